package session

import (
	"bytes"
	"crypto/sha256"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"reflect"
	"strings"

	"coilwright/app/disk"
	"coilwright/physics/design"
)

// What the window can ask about.
var (
	// ErrNoPath says that the design has no file yet: ask for a name.
	ErrNoPath = errors.New("the design has no file yet")
	// ErrChangedOnDisk says that another program changed the file since it
	// was opened or saved: ask, then SaveOver.
	ErrChangedOnDisk = errors.New("the file was changed by another program since it was opened")
	// ErrRemoved says that the file is no longer where it was opened or saved,
	// or its folder not: a memory stick may be pulled, a network folder away.
	// Ask, then SaveOver.
	ErrRemoved = errors.New("the file is no longer there")
	// ErrExists says that another file of that name is there: ask, then
	// SaveOver.
	ErrExists = errors.New("a file of that name is already there")
	// ErrTooLarge says that a file is too large to be a design.
	ErrTooLarge = errors.New("too large to be a design")
)

// maxFile bounds what is read into memory; a design with a thousand variants
// and measurements stays below a tenth of it.
const maxFile = 16 << 20 // bytes

// file is where the open design lives and what it held when it was last the
// same as there.
type file struct {
	path  string // absolute; empty: no file yet
	disk  [sha256.Size]byte
	saved design.Design
}

// New starts on a copy of d, an example say: no file, no history.
func (s *Session) New(d design.Design) {
	d = clone(d)
	s.adopt(d, file{saved: d})
}

// Open replaces the open design by the one in the file at path. On an error,
// one line naming the file, everything stays as it was.
func (s *Session) Open(path string) error {
	path, err := filepath.Abs(path)
	if err != nil {
		return err
	}
	content, err := readFile(path)
	if err != nil {
		return err
	}
	d, err := decode(filepath.Base(path), content)
	if err != nil {
		return err
	}
	s.remember(path)
	s.adopt(d, file{path: path, disk: sha256.Sum256(content), saved: d})
	return nil
}

// OpenReader replaces the open design by the one in r, which has no file to
// save to. name stands for it in the error, upon which everything stays as it
// was.
func (s *Session) OpenReader(name string, r io.Reader) error {
	content, err := readAll(name, r)
	if err != nil {
		return err
	}
	d, err := decode(name, content)
	if err != nil {
		return err
	}
	s.adopt(d, file{saved: d})
	return nil
}

// Save writes the design to its file, whole or not at all, and keeps what was
// there before as a backup; see [disk.Replace]. The error is [ErrNoPath]
// without a file and wraps [ErrChangedOnDisk] if another program wrote to it,
// [ErrRemoved] if it is gone.
func (s *Session) Save() error {
	if s.file.path == "" {
		return ErrNoPath
	}
	content, err := readFile(s.file.path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return fmt.Errorf("%s: %w", filepath.Base(s.file.path), ErrRemoved)
	case err != nil:
		return err
	case sha256.Sum256(content) != s.file.disk:
		return fmt.Errorf("%s: %w", filepath.Base(s.file.path), ErrChangedOnDisk)
	}
	return s.SaveOver(s.file.path)
}

// SaveAs writes the design to path, with [design.Extension] added if it is
// missing, and makes that its file. The error wraps [ErrExists] if another
// file is there.
func (s *Session) SaveAs(path string) error {
	path, err := filepath.Abs(WithExtension(path))
	if err != nil {
		return err
	}
	if path == s.file.path {
		return s.Save()
	}
	if _, err := os.Stat(path); err == nil {
		return fmt.Errorf("%s: %w", filepath.Base(path), ErrExists)
	}
	return s.SaveOver(path)
}

// SaveOver is [Session.SaveAs] after the user agreed to write over what is
// there, which becomes the backup.
func (s *Session) SaveOver(path string) error {
	path, err := filepath.Abs(WithExtension(path))
	if err != nil {
		return err
	}
	var content bytes.Buffer
	if err := design.Write(&content, s.current); err != nil {
		return err
	}
	sum := sha256.Sum256(content.Bytes())
	if err := disk.Replace(s.opts.Disk, path, content.Bytes(), disk.Options{Mode: newFileMode, Backup: true}); err != nil {
		// It may be there all the same, though not beyond a power cut: then
		// the next attempt must not take it for another program's.
		if there, reading := readFile(path); reading == nil && path == s.file.path && bytes.Equal(there, content.Bytes()) {
			s.file.disk = sum
		}
		return err
	}
	s.file = file{path: path, disk: sum, saved: s.current}
	s.remember(path)
	s.notify()
	return nil
}

// newFileMode is that of a new design, less what the user's mask takes away.
const newFileMode = 0o666

// HasBackup reports whether the version before the one in the file is kept.
func (s *Session) HasBackup() bool {
	if s.file.path == "" {
		return false
	}
	info, err := os.Stat(disk.BackupOf(s.resolved()))
	return err == nil && info.Mode().IsRegular()
}

// TakeBackup makes the version before the one in the file the open design, as
// one undo step called name. The file stays as it is until the next save.
func (s *Session) TakeBackup(name string) error {
	path := disk.BackupOf(s.resolved())
	content, err := readFile(path)
	if err != nil {
		return err
	}
	d, err := decode(filepath.Base(path), content)
	if err != nil {
		return err
	}
	s.take(name, d)
	return nil
}

// TakeFromDisk makes what another program put into the file the open design,
// as one undo step called name.
func (s *Session) TakeFromDisk(name string) error {
	content, err := readFile(s.file.path)
	if err != nil {
		return err
	}
	d, err := decode(filepath.Base(s.file.path), content)
	if err != nil {
		return err
	}
	s.file.disk, s.file.saved = sha256.Sum256(content), d
	s.take(name, d)
	s.notify() // the design may be the same, but its file is not
	return nil
}

// take makes d the open design as one undo step.
func (s *Session) take(name string, d design.Design) {
	s.End()
	s.Edit(name, func(open *design.Design) { *open = d })
}

// resolved returns the path that links at the design's lead to.
func (s *Session) resolved() string {
	if target, err := filepath.EvalSymlinks(s.file.path); err == nil {
		return target
	}
	return s.file.path
}

// Path returns the absolute path of the design's file, empty if it has none.
func (s *Session) Path() string { return s.file.path }

// Modified reports whether the design differs from what was opened or saved
// last. Undoing back to that state makes it unmodified again.
func (s *Session) Modified() bool { return !reflect.DeepEqual(s.current, s.file.saved) }

// adopt opens d as a new document.
func (s *Session) adopt(d design.Design, f file) {
	s.history = history{}
	s.file = f
	s.current = d
	s.notify()
	s.solve()
}

func decode(name string, content []byte) (design.Design, error) {
	d, err := design.Read(bytes.NewReader(content))
	if err != nil {
		return design.Design{}, &refusal{name, err}
	}
	return d, nil
}

// refusal is why the content of a file is no design, told in one line; errors.As
// finds the single [design.Problems] in it.
type refusal struct {
	name string
	err  error
}

// maxReasons is how many reasons of a refusal fit a line.
const maxReasons = 3

func (r *refusal) Error() string {
	reasons := strings.Split(r.err.Error(), "\n")
	if more := len(reasons) - maxReasons; more > 0 {
		reasons = append(reasons[:maxReasons], fmt.Sprintf("and %d more", more))
	}
	return r.name + ": " + strings.Join(reasons, "; ")
}

func (r *refusal) Unwrap() error { return r.err }

// readFile reads a regular file; a pipe or a device could block the window.
func readFile(path string) ([]byte, error) {
	info, err := os.Stat(path)
	if err != nil {
		return nil, err
	}
	if !info.Mode().IsRegular() {
		return nil, fmt.Errorf("%s: %w", path, disk.ErrNotFile)
	}
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return readAll(path, f)
}

func readAll(name string, r io.Reader) ([]byte, error) {
	content, err := io.ReadAll(io.LimitReader(r, maxFile+1))
	if err != nil {
		return nil, err
	}
	if len(content) > maxFile {
		return nil, fmt.Errorf("%s: %w", name, ErrTooLarge)
	}
	return content, nil
}

// WithExtension returns a path ended by [design.Extension] once.
func WithExtension(path string) string {
	if !strings.HasSuffix(strings.ToLower(path), design.Extension) {
		path = strings.TrimSuffix(path, ".json")
		path = strings.TrimSuffix(path, ".coil") + design.Extension
	}
	return path
}
