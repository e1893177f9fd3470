package session

import (
	"bytes"
	"crypto/sha256"
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"

	"coilwright/app/disk"
	"coilwright/physics/design"
)

// Saves run beside the UI goroutine, because a network folder may take minutes to
// answer. Those to one file run one after the other in the order they were asked
// for; a save to another file does not wait for them, so that a design can be put
// elsewhere while a disk hangs.

// lane holds the saves to one file.
type lane struct {
	running *saving
	waiting []*saving // one for each document: a newer version takes the place of an older one
}

// writes reports whether content with a checksum is on its way to the lane's file.
func (l *lane) writes(sum [sha256.Size]byte) bool { return l != nil && l.running.sum == sum }

// agreed is what may be in the place of a file that is saved.
type agreed int

const (
	own      agreed = iota // what the design was opened from or saved as
	nothing                // no file
	anything               // the user agreed to write over it
)

// saving is a version of the design on its way to a file.
type saving struct {
	number   uint64
	document uint64
	path     string
	design   design.Design
	content  []byte
	sum      [sha256.Size]byte // of the content
	over     agreed
	disk     [sha256.Size]byte // of what the file holds, as far as the session knows
	done     []func(error)
}

// Save writes the design to its file, whole or not at all, and keeps what was
// there before as a backup; see [disk.Replace]. What is edited meanwhile is not
// part of it. done is called with the outcome: [ErrNoPath] without a file; the
// error wraps [ErrChangedOnDisk] if another program wrote to it, [ErrRemoved] if
// it is gone.
func (s *Session) Save(done func(error)) {
	if s.file.path == "" {
		done(ErrNoPath)
		return
	}
	s.save(s.file.path, own, done)
}

// SaveAs writes the design to path, with [design.Extension] added if it is
// missing, and makes that its file when it is there. The error wraps [ErrExists]
// if another file is there.
func (s *Session) SaveAs(path string, done func(error)) {
	path, err := filepath.Abs(WithExtension(path))
	switch {
	case err != nil:
		done(err)
	case path == s.file.path:
		s.Save(done)
	default:
		s.save(path, nothing, done)
	}
}

// SaveOver is [Session.SaveAs] after the user agreed to write over what is
// there, which becomes the backup.
func (s *Session) SaveOver(path string, done func(error)) {
	path, err := filepath.Abs(WithExtension(path))
	if err != nil {
		done(err)
		return
	}
	s.save(path, anything, done)
}

// Saving reports whether a save is under way.
func (s *Session) Saving() bool { return len(s.lanes) > 0 }

// save puts the design as it is now behind the saves to the same file that are
// under way.
func (s *Session) save(path string, over agreed, done func(error)) {
	var content bytes.Buffer
	if err := design.Write(&content, s.current); err != nil {
		done(err)
		return
	}
	s.saves++
	j := &saving{
		number: s.saves, document: s.document, path: path, design: s.current,
		content: content.Bytes(), sum: sha256.Sum256(content.Bytes()), over: over, disk: s.file.disk, done: []func(error){done},
	}
	l := s.lanes[path]
	if l == nil {
		l = &lane{}
		s.lanes[path] = l
	}
	if l.running == nil {
		s.begin(l, j)
		return
	}
	if last := len(l.waiting) - 1; last >= 0 && l.waiting[last].document == j.document {
		older := l.waiting[last]
		j.done = append(older.done, j.done...)
		j.over = max(j.over, older.over)
		l.waiting = l.waiting[:last]
	}
	l.waiting = append(l.waiting, j)
}

// begin starts a save whose turn it is.
func (s *Session) begin(l *lane, j *saving) {
	l.running = j
	s.busyChanged()
	s.Beside(func() func() {
		landed, err := j.write(s.opts.Disk)
		return func() { s.finish(l, j, landed, err) }
	})
}

// write puts the design into its file and reports whether it is there. It may be
// in spite of an error, though not beyond a power cut: then the next attempt must
// not take it for another program's.
func (j *saving) write(system disk.FileSystem) (landed bool, err error) {
	if err := j.allowed(system); err != nil {
		return false, err
	}
	err = disk.Replace(system, j.path, j.content, disk.Options{Mode: newFileMode, Backup: true})
	if err == nil {
		return true, nil
	}
	there, reading := readFile(system, j.path)
	return reading == nil && bytes.Equal(there, j.content), err
}

// newFileMode is that of a new design, less what the user's mask takes away.
const newFileMode = 0o666

// allowed returns why the file may not be written without asking.
func (j *saving) allowed(system disk.FileSystem) error {
	name := filepath.Base(j.path)
	switch j.over {
	case nothing:
		if _, err := system.Stat(j.path); err == nil {
			return fmt.Errorf("%s: %w", name, ErrExists)
		}
	case own:
		content, err := readFile(system, j.path)
		switch {
		case errors.Is(err, fs.ErrNotExist):
			return fmt.Errorf("%s: %w", name, ErrRemoved)
		case err != nil:
			return err
		case sha256.Sum256(content) != j.disk:
			return fmt.Errorf("%s: %w", name, ErrChangedOnDisk)
		}
	}
	return nil
}

// finish notes what became of a save, and begins the next to the same file. A save
// that ends after a newer one to another file leaves the design with that.
func (s *Session) finish(l *lane, j *saving, landed bool, err error) {
	l.running = nil
	if landed && len(l.waiting) > 0 && l.waiting[0].document == j.document {
		l.waiting[0].over, l.waiting[0].disk = own, j.sum
	}
	if j.document == s.document && j.number > s.file.number {
		if err == nil {
			s.file = file{path: j.path, disk: j.sum, saved: j.design, number: j.number}
		} else if landed && j.path == s.file.path {
			s.file.disk = j.sum
		}
	}
	if err == nil {
		s.remember(j.path)
	}
	if len(l.waiting) == 0 {
		delete(s.lanes, j.path)
	} else {
		next := l.waiting[0]
		l.waiting = l.waiting[1:]
		s.begin(l, next)
	}
	s.notify()
	for _, done := range j.done {
		done(err)
	}
	s.busyChanged()
}
