//go:build unix

package disk

import (
	"errors"
	"os"
	"syscall"
)

func openLock(path string) (*os.File, error) {
	file, err := os.OpenFile(path, os.O_RDWR|os.O_CREATE, 0o600)
	if err != nil {
		return nil, err
	}
	err = syscall.Flock(int(file.Fd()), syscall.LOCK_EX|syscall.LOCK_NB)
	if err == nil {
		return file, nil
	}
	if errors.Is(err, syscall.EWOULDBLOCK) {
		err = ErrLocked
	}
	return nil, errors.Join(err, file.Close())
}
