package disk

import (
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"syscall"
)

// OS is the file system of the machine.
var OS FileSystem = machine{}

type machine struct{}

func (machine) Create(path string, mode fs.FileMode) (File, error) {
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, mode)
	if err != nil {
		return nil, err // a nil *os.File is no nil File
	}
	return f, nil
}

func (machine) Open(path string) (io.ReadCloser, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	return f, nil
}

func (machine) Names(folder string) ([]string, error) {
	f, err := os.Open(folder)
	if err != nil {
		return nil, err
	}
	names, err := f.Readdirnames(-1)
	return names, errors.Join(err, f.Close())
}

func (machine) Stat(path string) (fs.FileInfo, error)     { return os.Stat(path) }
func (machine) Resolve(path string) (string, error)       { return filepath.EvalSymlinks(path) }
func (machine) Link(path, name string) error              { return os.Link(path, name) }
func (machine) Rename(from, to string) error              { return os.Rename(from, to) }
func (machine) Remove(path string) error                  { return os.Remove(path) }
func (machine) Chmod(path string, mode fs.FileMode) error { return os.Chmod(path, mode) }

// SyncFolder does nothing on Windows, which cannot sync a folder and has no
// need to. Some network file systems cannot either, and the file is in place
// all the same.
func (machine) SyncFolder(folder string) error {
	if runtime.GOOS == "windows" {
		return nil
	}
	f, err := os.Open(folder)
	if err != nil {
		return err
	}
	err = f.Sync()
	if errors.Is(err, syscall.EINVAL) || errors.Is(err, errors.ErrUnsupported) {
		err = nil
	}
	return errors.Join(err, f.Close())
}
