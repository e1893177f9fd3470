//go:build !unix && !windows

package disk

import "syscall"

// Here only the portable errors are told apart.
var fullErrors, unreachableErrors, readOnlyErrors, tooLongErrors []syscall.Errno
