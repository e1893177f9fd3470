// Package tally keeps count of turns while a coil is wound, so that neither a
// crash nor a power cut loses one: every count is a line of a log that is on the
// disk before it is shown. No widget.
//
// Start reading at [Start] and [Log.Count]; [Unfinished] finds what can be gone
// on with, [Filter] keeps accidental double presses out.
//
// A log is a text file. Its first line says what is counted, every other line
// what was done and how many turns there are then. A line ends in the CRC-32 of
// what stands before it, so that a line of which only a part reached the disk is
// known and left out; it was not shown to anybody.
package tally

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"hash/crc32"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"time"

	"coilwright/app/disk"
)

// What can be wrong with a count.
var (
	// ErrDamaged says that a file is no log, or that its first line is broken.
	ErrDamaged = errors.New("not a log of turns that can be read")
	// ErrRange says that there cannot be so many turns.
	ErrRange = errors.New("there cannot be so many turns")
	// ErrClosed says that the log was closed or finished.
	ErrClosed = errors.New("the count is closed")
)

// Extension ends the name of a log.
const Extension = ".turns"

// MaxTurns is more than anybody winds.
const MaxTurns = 1_000_000

// maxFile bounds what is read: a log of a million counts stays below it.
const maxFile = 128 << 20 // bytes

// Job is what is counted.
type Job struct {
	Coil        string    `json:"coil"`        // name of the design
	Fingerprint string    `json:"fingerprint"` // of the design
	Part        string    `json:"part"`        // "ring", "secondary" or "primary"
	Wire        string    `json:"wire"`        // its name
	Total       float64   `json:"total"`       // turns that stay
	Spare       int       `json:"spare"`       // turns beyond, dropped again
	Pitch       float64   `json:"pitch_m"`     // m along the former
	TurnLength  float64   `json:"turn_m"`      // m of wire in a turn
	Tail        float64   `json:"tail_m"`      // m of wire before the first
	Marks       []int     `json:"marks"`       // turns that carry a mark, ascending
	AskEvery    int       `json:"ask_every"`   // turns after which the height is asked for; 0: never
	Started     time.Time `json:"started"`
}

// All returns the turns that are wound, the spare ones included.
func (j Job) All() float64 { return j.Total + float64(j.Spare) }

// WireUsed returns the wire in m after some turns, the first tail included.
func (j Job) WireUsed(turns int) float64 { return j.Tail + float64(turns)*j.TurnLength }

// NextMark returns the next turn after some that carries a mark; false: there is
// none left.
func (j Job) NextMark(turns int) (int, bool) {
	for _, m := range j.Marks {
		if m > turns {
			return m, true
		}
	}
	return 0, false
}

// Marked reports whether a turn carries a mark.
func (j Job) Marked(turn int) bool {
	_, found := slices.BinarySearch(j.Marks, turn)
	return found
}

// Asks reports whether the height is to be asked for after so many turns.
func (j Job) Asks(turns int) bool {
	return j.AskEvery > 0 && turns > 0 && turns%j.AskEvery == 0
}

// TurnsAt returns how many turns of a pitch in m fill a height in m, rounded; the
// pitch is the one measured last, or that of the job.
func (l *Log) TurnsAt(height float64) int {
	pitch := l.pitch
	if pitch == 0 {
		pitch = l.job.Pitch
	}
	return int(math.Round(height / pitch))
}

// Length returns the winding's length in m along the former, by the pitch
// measured last.
func (l *Log) Length() float64 {
	if l.pitch > 0 {
		return float64(l.last.Turns) * l.pitch
	}
	return float64(l.last.Turns) * l.job.Pitch
}

// entry is a line of the log.
type entry struct {
	Number int       `json:"n"` // of the line, from 1
	At     time.Time `json:"at"`
	Do     action    `json:"do"`
	By     int       `json:"by,omitempty"`     // turns counted or taken back
	Height float64   `json:"height,omitempty"` // m, measured
	Turns  int       `json:"turns"`            // then
	Job    *Job      `json:"job,omitempty"`    // first line only
}

// action is what a line says was done.
type action string

const (
	begin   action = "begin"
	count   action = "count"
	back    action = "back"
	correct action = "correct"
	measure action = "measure"
	finish  action = "finish"
)

// Log is a count under way. It is not for concurrent use.
type Log struct {
	path  string
	file  file
	size  int64 // of what is on the disk and counts
	job   Job
	last  entry
	pitch float64 // m, by the height measured last; 0: not measured
	lock  *disk.Lock
}

// file is what a log needs of an open file.
type file interface {
	Write([]byte) (int, error)
	Sync() error
	Truncate(size int64) error
	Seek(offset int64, whence int) (int64, error)
	Close() error
}

// Start begins a count in a new log in a folder, which is made if need be.
func Start(folder string, job Job, now time.Time) (*Log, error) {
	if err := os.MkdirAll(folder, 0o700); err != nil {
		return nil, err
	}
	job.Started = now.UTC().Truncate(time.Millisecond)
	name := job.Started.Format("20060102-150405.000")
	for n := 0; ; n++ {
		path := filepath.Join(folder, name+Extension)
		if n > 0 {
			path = filepath.Join(folder, fmt.Sprintf("%s-%d%s", name, n, Extension))
		}
		f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
		if errors.Is(err, fs.ErrExist) {
			continue
		}
		if err != nil {
			return nil, err
		}
		l := &Log{path: path, file: f, job: job}
		if l.lock, err = disk.NewLock(path + ".lock"); err == nil {
			err = l.append(entry{At: job.Started, Do: begin, Job: &job})
		}
		if err == nil {
			err = disk.OS.SyncFolder(folder)
		}
		if err != nil {
			return nil, errors.Join(err, l.Close(), os.Remove(path))
		}
		return l, nil
	}
}

// Open goes on with the count in a log. What a crash or a power cut left of a
// line is cut off. The error wraps [disk.ErrLocked] while another window counts
// there.
func Open(path string) (*Log, error) {
	lock, err := disk.NewLock(path + ".lock")
	if err != nil {
		return nil, err
	}
	s, err := read(path)
	if err != nil {
		return nil, errors.Join(err, lock.Release())
	}
	f, err := os.OpenFile(path, os.O_WRONLY, 0o600)
	if err != nil {
		return nil, errors.Join(err, lock.Release())
	}
	l := &Log{path: path, file: f, job: s.job, last: s.last, pitch: s.pitch, size: s.size, lock: lock}
	if err := l.cut(); err != nil {
		return nil, errors.Join(err, l.Close())
	}
	return l, nil
}

// Job returns what is counted.
func (l *Log) Job() Job { return l.job }

// Turns returns how many there are.
func (l *Log) Turns() int { return l.last.Turns }

// Path returns where the log is.
func (l *Log) Path() string { return l.path }

// Finished reports whether the count was finished.
func (l *Log) Finished() bool { return l.last.Do == finish }

// Count adds turns. When it returns nil they are on the disk and may be shown;
// when it returns an error they are not counted.
func (l *Log) Count(by int, at time.Time) error {
	return l.append(entry{At: at, Do: count, By: by, Turns: l.last.Turns + by})
}

// Back takes turns back, as far as there are any; see [Log.Count].
func (l *Log) Back(by int, at time.Time) error {
	by = min(by, l.last.Turns)
	if by == 0 {
		return nil
	}
	return l.append(entry{At: at, Do: back, By: by, Turns: l.last.Turns - by})
}

// Correct puts a miscount right; see [Log.Count].
func (l *Log) Correct(turns int, at time.Time) error {
	return l.append(entry{At: at, Do: correct, Turns: turns})
}

// Measure keeps the height in m that the turns so far were measured to have; it
// makes the pitch more exact from which turns are told later.
func (l *Log) Measure(height float64, at time.Time) error {
	if !(height > 0) || math.IsInf(height, 0) {
		return fmt.Errorf("%w: a height of %g m", ErrRange, height)
	}
	return l.append(entry{At: at, Do: measure, Height: height, Turns: l.last.Turns})
}

// Finish ends the count, so that it is no longer offered, and closes the log.
func (l *Log) Finish(at time.Time) error {
	if err := l.append(entry{At: at, Do: finish, Turns: l.last.Turns}); err != nil {
		return err
	}
	return l.Close()
}

// Close closes the log; the count can be gone on with.
func (l *Log) Close() error {
	if l.file == nil {
		return nil
	}
	err := l.file.Close()
	l.file = nil
	if l.lock != nil {
		err = errors.Join(err, l.lock.Release())
		// The lock's file is of no further use; where another window has opened
		// it meanwhile it goes when that one closes.
		_ = os.Remove(l.path + ".lock")
	}
	return err
}

// append writes a line and waits until it is on the disk. After an error the
// line is taken off again.
func (l *Log) append(e entry) error {
	if l.file == nil {
		return ErrClosed
	}
	if e.Turns < 0 || e.Turns > MaxTurns {
		return fmt.Errorf("%w: %d", ErrRange, e.Turns)
	}
	e.Number = l.last.Number + 1
	e.At = e.At.UTC().Truncate(time.Millisecond)
	line, err := encode(e)
	if err != nil {
		return err
	}
	if _, err := l.file.Write(line); err != nil {
		return errors.Join(err, l.cut())
	}
	if err := l.file.Sync(); err != nil {
		return errors.Join(err, l.cut())
	}
	l.size += int64(len(line))
	l.last = e
	if p := e.pitch(); p > 0 {
		l.pitch = p
	}
	return nil
}

// pitch returns the pitch in m that a line tells, 0 if none.
func (e entry) pitch() float64 {
	if e.Do != measure || e.Turns == 0 {
		return 0
	}
	return e.Height / float64(e.Turns)
}

// cut takes off what stands behind the last line that counts.
func (l *Log) cut() error {
	if err := l.file.Truncate(l.size); err != nil {
		return err
	}
	_, err := l.file.Seek(l.size, 0)
	return err
}

// encode returns an entry as a line.
func encode(e entry) ([]byte, error) {
	content, err := json.Marshal(e)
	if err != nil {
		return nil, err
	}
	return fmt.Appendf(content, "\t%08x\n", crc32.ChecksumIEEE(content)), nil
}

// decode reads a line without its end; it reports whether the line is whole.
func decode(line []byte) (entry, bool) {
	content, sum, found := bytes.Cut(line, []byte{'\t'})
	if !found || len(sum) != 8 {
		return entry{}, false
	}
	want, err := strconv.ParseUint(string(sum), 16, 32)
	if err != nil || uint32(want) != crc32.ChecksumIEEE(content) {
		return entry{}, false
	}
	var e entry
	if json.Unmarshal(content, &e) != nil || e.Turns < 0 || e.Turns > MaxTurns {
		return entry{}, false
	}
	return e, true
}

// state is what a log says.
type state struct {
	job   Job
	last  entry
	pitch float64
	size  int64 // up to the end of the last whole line
}

// read reads a log. Lines that are not whole are passed over; every line says
// how many turns there are, so that the last whole one counts.
func read(path string) (state, error) {
	info, err := os.Stat(path)
	if err != nil {
		return state{}, err
	}
	if !info.Mode().IsRegular() || info.Size() > maxFile {
		return state{}, fmt.Errorf("%s: %w", filepath.Base(path), ErrDamaged)
	}
	content, err := os.ReadFile(path)
	if err != nil {
		return state{}, err
	}
	s, ok := parse(content)
	if !ok {
		return state{}, fmt.Errorf("%s: %w", filepath.Base(path), ErrDamaged)
	}
	return s, nil
}

// parse reads the content of a log; it reports whether there is a first line.
func parse(content []byte) (state, bool) {
	var s state
	at := int64(0)
	for {
		end := bytes.IndexByte(content[at:], '\n')
		if end < 0 {
			return s, s.last.Number > 0
		}
		e, whole := decode(content[at : at+int64(end)])
		at += int64(end) + 1
		switch {
		case !whole || e.Number <= s.last.Number:
			continue
		case s.last.Number == 0:
			if e.Do != begin || e.Job == nil {
				return state{}, false
			}
			s.job = *e.Job
		}
		s.last, s.size = e, at
		if p := e.pitch(); p > 0 {
			s.pitch = p
		}
	}
}

// Summary is a count that can be gone on with.
type Summary struct {
	Path  string
	Job   Job
	Turns int
	At    time.Time // of the last line
}

// Unfinished returns the counts in a folder that were not finished, the latest
// first. Files that are no logs are passed over; a folder that is not there has
// none.
func Unfinished(folder string) ([]Summary, error) {
	entries, err := os.ReadDir(folder)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	var all []Summary
	for i := len(entries) - 1; i >= 0; i-- {
		if !strings.HasSuffix(entries[i].Name(), Extension) {
			continue
		}
		path := filepath.Join(folder, entries[i].Name())
		s, err := read(path)
		if err != nil || s.last.Do == finish {
			continue
		}
		all = append(all, Summary{path, s.job, s.last.Turns, s.last.At})
	}
	return all, nil
}
