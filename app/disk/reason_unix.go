//go:build unix

package disk

import "syscall"

// What the system calls the reasons; errno(3).
var (
	fullErrors        = []syscall.Errno{syscall.ENOSPC, syscall.EDQUOT, syscall.EFBIG}
	unreachableErrors = []syscall.Errno{syscall.EIO, syscall.ESTALE, syscall.ENOTCONN, syscall.ETIMEDOUT, syscall.EHOSTDOWN, syscall.EHOSTUNREACH, syscall.ENXIO, syscall.ENODEV, syscall.ECONNRESET}
	readOnlyErrors    = []syscall.Errno{syscall.EROFS}
	tooLongErrors     = []syscall.Errno{syscall.ENAMETOOLONG}
)
