//go:build !unix && !windows

package disk

import (
	"errors"
	"os"
)

// openLock cannot tell whether somebody else holds the file.
func openLock(path string) (*os.File, error) {
	return nil, &os.PathError{Op: "lock", Path: path, Err: errors.ErrUnsupported}
}
