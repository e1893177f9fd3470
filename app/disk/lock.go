package disk

import (
	"errors"
	"os"
)

// ErrLocked says that another program, or another window of this one, holds a
// lock.
var ErrLocked = errors.New("in use")

// Lock is a file that one program at a time can hold. The system gives it back
// when the program ends, however it ends.
type Lock struct {
	file *os.File
}

// NewLock takes the lock at path, which becomes a file for its owner alone. The
// error is [ErrLocked] while somebody holds it.
func NewLock(path string) (*Lock, error) {
	file, err := openLock(path)
	if err != nil {
		return nil, err
	}
	return &Lock{file}, nil
}

// Release gives the lock back and leaves its file.
func (l *Lock) Release() error { return l.file.Close() }
