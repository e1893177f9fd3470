package session

import (
	"bytes"
	"crypto/sha256"
	"errors"
	"fmt"
	"io"
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
	path   string // absolute; empty: no file yet
	disk   [sha256.Size]byte
	saved  design.Design
	number uint64 // of the save that brought it there; 0: it was opened
}

// Document is a design with the file it was read from.
type Document struct {
	Design design.Design

	Elsewhere bool // another window has the file open
	Edited    bool // the open design was changed while the file was being read

	path string            // absolute
	disk [sha256.Size]byte // what the file held
}

// New starts on a copy of d, an example say: no file, no history.
func (s *Session) New(d design.Design) {
	d = clone(d)
	s.adopt(d, file{saved: d})
}

// ReadDocument reads a design on the spot, which takes as long as the disk does.
// The error is one line that names the file.
func (s *Session) ReadDocument(path string) (Document, error) { return readDocument(s.opts.Disk, path) }

func readDocument(system disk.FileSystem, path string) (Document, error) {
	path, err := filepath.Abs(path)
	if err != nil {
		return Document{}, err
	}
	content, err := readFile(system, path)
	if err != nil {
		return Document{}, err
	}
	d, err := decode(filepath.Base(path), content)
	return Document{Design: d, path: path, disk: sha256.Sum256(content)}, err
}

// Read reads a design beside the UI goroutine and hands it to done, for
// [Session.Open]. A file that is asked for later, or another document, makes this
// one unwanted: done is then never called.
func (s *Session) Read(path string, done func(Document, error)) {
	s.reading++
	asked, document, before := s.reading, s.document, s.current
	s.wanted = path
	s.busyChanged()
	s.Beside(func() func() {
		d, err := readDocument(s.opts.Disk, path)
		d.Elsewhere = err == nil && s.openElsewhere(path)
		return func() {
			if asked != s.reading || document != s.document {
				return
			}
			s.wanted = ""
			s.busyChanged()
			d.Edited = !reflect.DeepEqual(before, s.current)
			done(d, err)
		}
	})
}

// Reading returns the path of the file that [Session.Read] still waits for; empty:
// none.
func (s *Session) Reading() string { return s.wanted }

// Open replaces the open design by a document and its file.
func (s *Session) Open(d Document) {
	s.remember(d.path)
	s.adopt(d.Design, file{path: d.path, disk: d.disk, saved: d.Design})
}

// TakeBackup makes the version before the one in the file the open design, as
// one undo step called name. The file stays as it is until the next save. The
// error is [ErrNoPath] without a file, and wraps [io/fs.ErrNotExist] if no such
// version is kept.
func (s *Session) TakeBackup(name string, done func(error)) {
	s.readOwn(func(system disk.FileSystem, path string) (Document, error) {
		if target, err := system.Resolve(path); err == nil {
			path = target
		}
		return readDocument(system, disk.BackupOf(path))
	}, func(d Document, err error) {
		if err == nil {
			s.take(name, d.Design)
		}
		done(err)
	})
}

// TakeFromDisk makes what another program put into the file the open design,
// as one undo step called name.
func (s *Session) TakeFromDisk(name string, done func(error)) {
	s.readOwn(readDocument, func(d Document, err error) {
		if err == nil {
			s.file.disk, s.file.saved = d.disk, d.Design
			s.take(name, d.Design)
			s.notify() // the design may be the same, but its file is not
		}
		done(err)
	})
}

// readOwn reads something that belongs to the design's file beside the UI
// goroutine. A window that has another file by then has no use for it: then is not
// called.
func (s *Session) readOwn(read func(disk.FileSystem, string) (Document, error), then func(Document, error)) {
	path, document := s.file.path, s.document
	if path == "" {
		then(Document{}, ErrNoPath)
		return
	}
	s.Beside(func() func() {
		d, err := read(s.opts.Disk, path)
		return func() {
			if document == s.document && path == s.file.path {
				then(d, err)
			}
		}
	})
}

// take makes d the open design as one undo step.
func (s *Session) take(name string, d design.Design) {
	s.End()
	s.Edit(name, func(open *design.Design) { *open = d })
}

// Path returns the absolute path of the design's file, empty if it has none.
func (s *Session) Path() string { return s.file.path }

// Modified reports whether the design differs from what was opened or saved
// last. Undoing back to that state makes it unmodified again.
func (s *Session) Modified() bool { return !reflect.DeepEqual(s.current, s.file.saved) }

// adopt opens d as a new document.
func (s *Session) adopt(d design.Design, f file) {
	s.document++
	s.wanted = ""
	s.busyChanged()
	s.history = history{}
	s.file = f
	s.current = d
	for _, listener := range s.opened {
		listener()
	}
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

// readFile reads a regular file; from a pipe or a device nothing may ever come.
func readFile(system disk.FileSystem, path string) ([]byte, error) {
	info, err := system.Stat(path)
	if err != nil {
		return nil, err
	}
	if !info.Mode().IsRegular() {
		return nil, fmt.Errorf("%s: %w", path, disk.ErrNotFile)
	}
	f, err := system.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	content, err := io.ReadAll(io.LimitReader(f, maxFile+1))
	if err != nil {
		return nil, err
	}
	if len(content) > maxFile {
		return nil, fmt.Errorf("%s: %w", path, ErrTooLarge)
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
