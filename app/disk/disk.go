// Package disk puts files on the disk so that, whatever happens on the way,
// either the old content or the new one is there, whole: after a crash, on a
// full disk, in a folder that has gone, and after a power cut.
//
// Start reading at [Replace]. It works through a [FileSystem], so that a test
// can look at the order of the steps and stop at any of them; programs use [OS].
package disk

import (
	"crypto/rand"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"path/filepath"
	"strings"
	"time"
)

// FileSystem is what [Replace] needs of an operating system. Paths are those of
// the system.
type FileSystem interface {
	// Create makes a file that must not be there yet and opens it for writing.
	Create(path string, mode fs.FileMode) (File, error)
	// Open opens a file for reading.
	Open(path string) (io.ReadCloser, error)
	// Stat describes a file; links are followed.
	Stat(path string) (fs.FileInfo, error)
	// Resolve returns the path that links at path lead to.
	Resolve(path string) (string, error)
	// Link gives the file at path a second name, which must be free.
	Link(path, name string) error
	// Rename moves a file, over another one of that name.
	Rename(from, to string) error
	Remove(path string) error
	Chmod(path string, mode fs.FileMode) error
	// Names lists what a folder holds.
	Names(folder string) ([]string, error)
	// SyncFolder returns when names given in a folder are on the disk.
	SyncFolder(folder string) error
}

// File is a new file.
type File interface {
	io.Writer
	Sync() error // returns when what was written is on the disk
	Close() error
}

// What stands in the way of writing, beyond what the system says.
var (
	// ErrReadOnly says that the user set a file to read-only.
	ErrReadOnly = errors.New("the file is set to read-only")
	// ErrNotFile says that a path leads to a folder or a device.
	ErrNotFile = errors.New("not a file")
)

// Options is how [Replace] writes.
type Options struct {
	// Mode is that of a file that is new, less what the user's mask takes
	// away; a file that is there keeps its own.
	Mode fs.FileMode
	// Backup keeps what was there under the name [BackupOf] gives.
	Backup bool
}

const (
	temporaryPrefix = ".coilwright-"
	secondPrefix    = ".coilwright~"   // of a second name, which is as old as its file: never abandoned
	randomLetters   = 10               // behind either
	backupSuffix    = "~"              // common practice on Unix: file managers hide such names
	abandonedAfter  = 10 * time.Minute // a temporary file this old belongs to no running save
)

// BackupOf returns the name under which the previous version of the file at
// path is kept.
func BackupOf(path string) string { return path + backupSuffix }

// Replace makes content the content of the file at path, which need not be
// there yet; a link is followed. It writes a new file beside it, waits until
// that is on the disk, gives it the name, and waits until the name is on the
// disk. On an error the old content is there still, except after the last wait
// failed: then the new one is, and a power cut may bring the old one back.
//
// With a backup the previous version is never without a name.
func Replace(system FileSystem, path string, content []byte, options Options) error {
	if target, err := system.Resolve(path); err == nil {
		path = target
	} else if !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	mode := options.Mode
	existing, err := system.Stat(path)
	switch {
	case err == nil && !existing.Mode().IsRegular():
		return &fs.PathError{Op: "write", Path: path, Err: ErrNotFile}
	case err == nil && existing.Mode().Perm()&0o200 == 0:
		return &fs.PathError{Op: "write", Path: path, Err: ErrReadOnly}
	case err == nil:
		mode = existing.Mode().Perm()
	case !errors.Is(err, fs.ErrNotExist):
		return err
	}
	folder := filepath.Dir(path)
	temporary := randomName(folder, temporaryPrefix)
	err = writeNew(system, temporary, content, mode)
	if err == nil && existing != nil {
		err = system.Chmod(temporary, mode) // the mask does not apply twice
	}
	if err == nil && existing != nil && options.Backup {
		err = keep(system, path, mode)
	}
	if err == nil {
		err = system.Rename(temporary, path)
	}
	if err != nil {
		return errors.Join(err, removed(system, temporary))
	}
	removeAbandoned(system, folder)
	return system.SyncFolder(folder)
}

// keep gives the file at path the name of its backup too: as a second name of
// the same file or, where the file system has no such thing, as a copy.
func keep(system FileSystem, path string, mode fs.FileMode) error {
	temporary := randomName(filepath.Dir(path), secondPrefix)
	if err := system.Link(path, temporary); err != nil {
		if err := duplicate(system, path, temporary, mode); err != nil {
			return errors.Join(err, removed(system, temporary))
		}
	}
	if err := system.Rename(temporary, BackupOf(path)); err != nil {
		return errors.Join(fmt.Errorf("keeping the previous version: %w", err), removed(system, temporary))
	}
	// A rename of one name of a file over another of the same file does nothing.
	return removed(system, temporary)
}

// duplicate copies a file into a new one.
func duplicate(system FileSystem, path, to string, mode fs.FileMode) error {
	from, err := system.Open(path)
	if err != nil {
		return err
	}
	content, err := io.ReadAll(from)
	if err := errors.Join(err, from.Close()); err != nil {
		return err
	}
	return writeNew(system, to, content, mode)
}

// writeNew writes a file that must not exist yet and waits until it is on the
// disk.
func writeNew(system FileSystem, path string, content []byte, mode fs.FileMode) error {
	f, err := system.Create(path, mode)
	if err != nil {
		return err
	}
	if _, err := f.Write(content); err != nil {
		return errors.Join(err, f.Close())
	}
	return errors.Join(f.Sync(), f.Close())
}

func randomName(folder, prefix string) string {
	return filepath.Join(folder, prefix+rand.Text()[:randomLetters])
}

// removed removes a file that may not be there.
func removed(system FileSystem, path string) error {
	if err := system.Remove(path); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	return nil
}

// removeAbandoned removes what saves that were killed left in a folder. Nothing
// is lost if it cannot.
func removeAbandoned(system FileSystem, folder string) {
	names, err := system.Names(folder)
	if err != nil {
		return
	}
	for _, name := range names {
		if !strings.HasPrefix(name, temporaryPrefix) || len(name) != len(temporaryPrefix)+randomLetters {
			continue
		}
		path := filepath.Join(folder, name)
		if info, err := system.Stat(path); err == nil && info.Mode().IsRegular() && time.Since(info.ModTime()) > abandonedAfter {
			_ = system.Remove(path)
		}
	}
}
