package disk

import (
	"os"
	"syscall"
)

// errorSharingViolation is ERROR_SHARING_VIOLATION of the Windows
// documentation, from memory.
const errorSharingViolation = syscall.Errno(32)

// openLock opens a file that nobody else may open meanwhile.
func openLock(path string) (*os.File, error) {
	name, err := syscall.UTF16PtrFromString(path)
	if err != nil {
		return nil, err
	}
	const alone = 0 // shared for neither reading nor writing
	handle, err := syscall.CreateFile(name, syscall.GENERIC_READ|syscall.GENERIC_WRITE, alone, nil,
		syscall.OPEN_ALWAYS, syscall.FILE_ATTRIBUTE_NORMAL, 0)
	switch {
	case err == errorSharingViolation:
		return nil, ErrLocked
	case err != nil:
		return nil, &os.PathError{Op: "lock", Path: path, Err: err}
	}
	return os.NewFile(uintptr(handle), path), nil
}
