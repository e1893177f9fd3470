package session

import (
	"bytes"
	"crypto/rand"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"time"

	"coilwright/app/disk"
	"coilwright/physics/design"
)

// What the state folder holds, two files for every window: the record of its
// design, and a lock that ends with the window, whatever ended it. A record
// whose lock is free was left by a crash.
const (
	recordSuffix = ".recovery.json"
	lockSuffix   = ".lock"
	recordFormat = "coilwright-recovery"
	recordNumber = 1 // version of the format

	ownerFolder = 0o700 // a design is nobody else's business
	ownerFile   = 0o600

	// keepAfter is how long changes gather before they are put on the disk; a
	// change is there within a second, with time left for a slow disk.
	keepAfter = 300 * time.Millisecond

	// retryAfter is how long a disk that took no record is left alone.
	retryAfter = 10 * time.Second

	// unusedAfter is how old a lock without a record is before it counts as
	// left by a window that crashed before it had one.
	unusedAfter = time.Minute
)

// record is what is kept of an open design.
type record struct {
	design   design.Design
	path     string // of its file; empty: none
	disk     [sha256.Size]byte
	modified bool // the design is not what its file holds
}

// recordFile is a record as it is written.
type recordFile struct {
	Format   string          `json:"format"`
	Version  int             `json:"version"`
	Kept     time.Time       `json:"kept"`
	Path     string          `json:"path"`
	Disk     string          `json:"disk_sha256"`
	Modified bool            `json:"modified"`
	Design   json.RawMessage `json:"design"`
}

func (s *Session) record() record {
	return record{s.current, s.file.path, s.file.disk, s.Modified()}
}

func encodeRecord(r record, now time.Time) ([]byte, error) {
	var content bytes.Buffer
	if err := design.Write(&content, r.design); err != nil {
		return nil, err
	}
	return json.MarshalIndent(recordFile{recordFormat, recordNumber, now, r.path, hex.EncodeToString(r.disk[:]), r.modified, content.Bytes()}, "", "  ")
}

// errRecord says that a file is no record this program can read.
var errRecord = errors.New("no record of an open design")

func decodeRecord(content []byte) (record, time.Time, error) {
	var f recordFile
	decoder := json.NewDecoder(bytes.NewReader(content))
	decoder.DisallowUnknownFields()
	if err := decoder.Decode(&f); err != nil {
		return record{}, time.Time{}, fmt.Errorf("%w: %w", errRecord, err)
	}
	if f.Format != recordFormat || f.Version != recordNumber {
		return record{}, time.Time{}, fmt.Errorf("%w: format %q, version %d", errRecord, f.Format, f.Version)
	}
	r := record{path: f.Path, modified: f.Modified}
	sum, err := hex.DecodeString(f.Disk)
	if err != nil || len(sum) != len(r.disk) || f.Path != "" && !filepath.IsAbs(f.Path) {
		return record{}, time.Time{}, fmt.Errorf("%w: path %q, checksum %q", errRecord, f.Path, f.Disk)
	}
	copy(r.disk[:], sum)
	if r.design, err = design.Read(bytes.NewReader(f.Design)); err != nil {
		return record{}, time.Time{}, fmt.Errorf("%w: %w", errRecord, err)
	}
	return r, f.Kept, nil
}

// keeper keeps the record of the open design on the disk.
type keeper struct {
	opts   Options
	failed func(error) // on the UI goroutine

	mu     sync.Mutex
	newest *record // not on the disk yet; nil: all is
	busy   bool    // a timer or a write runs
	told   bool    // that keeping fails
	closed bool
	name   string // of this window's files, without suffix; empty: none yet

	writing sync.Mutex // held while a record is written
	lock    *disk.Lock // nil: not taken yet
}

func newKeeper(opts Options, failed func(error)) *keeper {
	return &keeper{opts: opts, failed: failed}
}

// keep puts a record on the disk soon, in place of the last.
func (k *keeper) keep(r record) {
	if k.opts.StateFolder == "" {
		return
	}
	k.mu.Lock()
	defer k.mu.Unlock()
	if k.closed {
		return
	}
	k.newest = &r
	if k.busy || k.opts.Synchronous {
		return
	}
	k.busy = true
	time.AfterFunc(keepAfter, k.write)
}

// write puts the newest record on the disk, if it is not there yet.
func (k *keeper) write() {
	err := k.flush()
	wait := keepAfter
	if err != nil {
		wait = retryAfter
	}
	k.mu.Lock()
	k.busy = k.newest != nil && !k.closed
	again := k.busy
	tell := err != nil && !k.told && !k.closed
	k.told = k.told || tell
	k.mu.Unlock()
	if again {
		time.AfterFunc(wait, k.write)
	}
	if tell {
		k.opts.dispatch(func() { k.failed(err) })
	}
}

// flush writes the newest record now. One that cannot be written stays the
// newest until another takes its place.
func (k *keeper) flush() (err error) {
	k.writing.Lock()
	defer k.writing.Unlock()
	k.mu.Lock()
	r := k.newest
	k.newest = nil
	closed := k.closed
	k.mu.Unlock()
	if r == nil || closed {
		return nil
	}
	defer func() {
		k.mu.Lock()
		defer k.mu.Unlock()
		if err != nil && k.newest == nil {
			k.newest = r
		}
	}()
	content, err := encodeRecord(*r, k.opts.Now())
	if err != nil {
		return err
	}
	if err := k.claim(); err != nil {
		return err
	}
	return disk.Replace(k.opts.Disk, k.ownName()+recordSuffix, content, disk.Options{Mode: ownerFile})
}

// claim gives this window a name of its own in the state folder.
func (k *keeper) claim() error {
	if k.lock != nil {
		return nil
	}
	if err := os.MkdirAll(k.opts.StateFolder, ownerFolder); err != nil {
		return err
	}
	name := filepath.Join(k.opts.StateFolder, "window-"+rand.Text()[:10])
	lock, err := disk.NewLock(name + lockSuffix)
	if err != nil {
		return err
	}
	k.lock = lock
	k.mu.Lock()
	k.name = name
	k.mu.Unlock()
	return nil
}

// ownName returns the path of this window's files without suffix.
func (k *keeper) ownName() string {
	k.mu.Lock()
	defer k.mu.Unlock()
	return k.name
}

// close ends keeping, when a write that is under way has ended. The record is
// removed, because nothing is to be recovered; leave brings it up to date instead,
// for the next window to find.
func (k *keeper) close(leave bool) {
	if leave {
		_ = k.flush() // the record before stays
	}
	k.mu.Lock()
	k.closed, k.newest = true, nil
	k.mu.Unlock()
	k.writing.Lock()
	defer k.writing.Unlock()
	if k.lock == nil {
		return
	}
	if !leave {
		removeRecord(k.ownName())
	}
	_ = k.lock.Release()
	k.lock = nil
}

// KeepNow puts the open design on the disk against a crash without waiting for
// its time to come.
func (s *Session) KeepNow() error { return s.keeper.flush() }

// OnKeepFailed adds a listener that is called once, when the open design cannot
// be kept against a crash, with the reason.
func (s *Session) OnKeepFailed(listener func(error)) {
	s.keepFailures = append(s.keepFailures, listener)
}

func (s *Session) keepFailed(err error) {
	if s.closed {
		return
	}
	for _, listener := range s.keepFailures {
		listener(err)
	}
}

// Left is a design that a window left behind when it crashed. Give it to
// [Session.Recover], [Session.Discard] or, to be asked again later, to
// [Session.Leave].
type Left struct {
	Name string    // of the design
	Path string    // of its file; empty: it had none
	Kept time.Time // when it changed last

	record record
	files  string // their path, without suffix
	lock   *disk.Lock
}

// Left hands done what windows that crashed had open and not saved, newest first.
func (s *Session) Left(done func([]Left)) {
	s.Beside(func() func() {
		all := s.left()
		return func() { done(all) }
	})
}

func (s *Session) left() []Left {
	var all []Left
	s.removeUnused()
	for _, name := range s.records() {
		lock, err := disk.NewLock(name + lockSuffix)
		if err != nil {
			continue // its window lives, or is looking at this one too
		}
		r, kept, err := readRecord(s.opts.Disk, name)
		switch {
		case errors.Is(err, fs.ErrNotExist): // its window closed just now
		case err != nil: // of a newer program, say
		case !r.modified:
			removeRecord(name)
		default:
			all = append(all, Left{Name: r.design.Name, Path: r.path, Kept: kept, record: r, files: name, lock: lock})
			continue
		}
		_ = lock.Release()
	}
	slices.SortFunc(all, func(a, b Left) int { return b.Kept.Compare(a.Kept) })
	return all
}

// records returns the windows that have a record, as paths without suffix.
func (s *Session) records() []string { return s.stateFiles(recordSuffix) }

// removeUnused removes the locks of windows that crashed before they had a
// record.
func (s *Session) removeUnused() {
	records := s.records()
	for _, name := range s.stateFiles(lockSuffix) {
		info, err := os.Stat(name + lockSuffix)
		if err != nil || slices.Contains(records, name) || s.opts.Now().Sub(info.ModTime()) < unusedAfter {
			continue
		}
		if lock, err := disk.NewLock(name + lockSuffix); err == nil {
			removeRecord(name)
			_ = lock.Release()
		}
	}
}

// stateFiles returns the files in the state folder with a suffix, as paths
// without it.
func (s *Session) stateFiles(suffix string) []string {
	if s.opts.StateFolder == "" {
		return nil
	}
	entries, err := os.ReadDir(s.opts.StateFolder)
	if err != nil {
		return nil // no window has crashed yet
	}
	var names []string
	for _, e := range entries {
		if name, ok := strings.CutSuffix(e.Name(), suffix); ok && e.Type().IsRegular() {
			names = append(names, filepath.Join(s.opts.StateFolder, name))
		}
	}
	return names
}

func readRecord(system disk.FileSystem, name string) (record, time.Time, error) {
	content, err := readFile(system, name+recordSuffix)
	if err != nil {
		return record{}, time.Time{}, err
	}
	return decodeRecord(content)
}

func removeRecord(name string) {
	_ = os.Remove(name + recordSuffix) // what stays is offered once more
	_ = os.Remove(name + lockSuffix)
}

// Recover makes what a crash left the open design, with its file, as changed
// and not saved. Only when that is on the disk for this window too, what was
// left is removed, and done is called; on an error what was left stays.
func (s *Session) Recover(l Left, done func(error)) {
	f := file{path: l.record.path, disk: l.record.disk}
	s.adopt(l.record.design, f)
	s.findSaved()
	s.Beside(func() func() {
		err := s.keeper.flush()
		if err == nil {
			removeRecord(l.files)
		}
		_ = l.lock.Release()
		return func() { done(err) }
	})
}

// findSaved looks what the file of a recovered design holds, so that undoing to
// that is no change.
func (s *Session) findSaved() {
	if s.file.path == "" {
		return
	}
	s.readOwn(readDocument, func(d Document, err error) {
		if err == nil && d.disk == s.file.disk && s.file.number == 0 {
			s.file.saved = d.Design
			s.notify()
		}
	})
}

// Discard removes what a crash left.
func (s *Session) Discard(l Left) {
	s.Beside(func() func() {
		removeRecord(l.files)
		_ = l.lock.Release()
		return func() {}
	})
}

// Leave keeps what a crash left for another time.
func (s *Session) Leave(l Left) {
	s.Beside(func() func() {
		_ = l.lock.Release()
		return func() {}
	})
}

// OpenElsewhere tells done whether another window has the file at path open.
func (s *Session) OpenElsewhere(path string, done func(bool)) {
	s.Beside(func() func() {
		elsewhere := s.openElsewhere(path)
		return func() { done(elsewhere) }
	})
}

func (s *Session) openElsewhere(path string) bool {
	path, err := filepath.Abs(path)
	if err != nil {
		return false
	}
	for _, name := range s.records() {
		if name == s.keeper.ownName() {
			continue
		}
		if r, _, err := readRecord(s.opts.Disk, name); err != nil || !samePath(r.path, path) {
			continue
		}
		lock, err := disk.NewLock(name + lockSuffix)
		if errors.Is(err, disk.ErrLocked) {
			return true
		}
		if err == nil {
			_ = lock.Release()
		}
	}
	return false
}

// samePath reports whether two paths lead to one file.
func samePath(a, b string) bool {
	if a == b {
		return true
	}
	infoA, errA := os.Stat(a)
	infoB, errB := os.Stat(b)
	return errA == nil && errB == nil && os.SameFile(infoA, infoB)
}
