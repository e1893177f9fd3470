package design

import (
	"bytes"
	"crypto/rand"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"syscall"
)

// Write writes d as a design file: every key that its kinds have, in a fixed
// order, so that equal designs give equal files. Reading it back gives d again,
// less what d keeps of other kinds than its present ones.
//
// A design that [Read] would refuse is not written; the error is [Problems].
func Write(to io.Writer, d Design) error {
	content, err := encode(d)
	if err != nil {
		return err
	}
	_, err = to.Write(content)
	return err
}

// encode returns the content of the design file of d.
func encode(d Design) ([]byte, error) {
	if problems := outOfRange(&d); len(problems) > 0 {
		return nil, problems
	}
	format, version := Format, Version
	var content bytes.Buffer
	if err := json.Indent(&content, wholeDesign(&d, &format, &version).write(nil), "", "  "); err != nil {
		return nil, fmt.Errorf("design: writing: %w", err)
	}
	content.WriteByte('\n')
	if content.Len() > maxFileSize {
		return nil, Problems{{Code: CodeTooLarge, Text: fmt.Sprintf("too large for a design file: over %d MB", maxFileSize>>20)}}
	}
	return content.Bytes(), nil
}

// outOfRange returns what [Read] would refuse in d.
func outOfRange(d *Design) Problems {
	format, version := Format, Version
	var r reader
	wholeDesign(d, &format, &version).check(&r, "")
	return r.problems
}

// WriteFile writes d to the file at path, whole or not at all: into a new file
// beside it, which then takes its place. A link is followed. What stood at path
// stays if anything fails.
func WriteFile(path string, d Design) error {
	content, err := encode(d)
	if err != nil {
		return err
	}
	if target, err := filepath.EvalSymlinks(path); err == nil {
		path = target
	} else if !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	mode := fs.FileMode(0o666) // less what the user's mask takes away
	existing, err := os.Stat(path)
	switch {
	case err == nil && !existing.Mode().IsRegular():
		return &fs.PathError{Op: "write", Path: path, Err: errors.New("is not a file")}
	case err == nil:
		mode = existing.Mode().Perm()
	case !errors.Is(err, fs.ErrNotExist):
		return err
	}
	folder := filepath.Dir(path)
	temporary := filepath.Join(folder, ".coilwright-"+rand.Text()[:10])
	if err := writeNew(temporary, content, mode); err != nil {
		return errors.Join(err, removed(temporary))
	}
	if existing != nil {
		if err := os.Chmod(temporary, mode); err != nil { // the mask does not apply twice
			return errors.Join(err, removed(temporary))
		}
	}
	if err := os.Rename(temporary, path); err != nil {
		return errors.Join(err, removed(temporary))
	}
	return syncFolder(folder)
}

// removed removes a file that may not be there.
func removed(path string) error {
	if err := os.Remove(path); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	return nil
}

// writeNew writes a file that must not exist yet and waits until it is on the
// disk.
func writeNew(path string, content []byte, mode fs.FileMode) error {
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, mode)
	if err != nil {
		return err
	}
	_, err = f.Write(content)
	return errors.Join(err, f.Sync(), f.Close())
}

// syncFolder waits until a rename in the folder is on the disk. Windows cannot
// sync a folder and has no need to; some network file systems cannot either,
// and the file is in place all the same.
func syncFolder(folder string) error {
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
