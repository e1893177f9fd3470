package app

import (
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"fyne.io/fyne/v2/test"

	"coilwright/app/disk"
	"coilwright/physics/design"
)

// slowDisk is a disk that makes a file only when the test says so.
type slowDisk struct {
	disk.FileSystem
	began  chan string
	answer chan error // nil: make it
}

func (d *slowDisk) Create(path string, mode fs.FileMode) (disk.File, error) {
	d.began <- path
	if err := <-d.answer; err != nil {
		return nil, err
	}
	return d.FileSystem.Create(path, mode)
}

// slowWindow is a window on such a disk. What comes back from the disk waits for the
// test, which is the UI goroutine.
type slowWindow struct {
	*Window
	t       *testing.T
	disk    *slowDisk
	answers chan func()
	path    string // of the open design
}

func newSlowWindow(t *testing.T) *slowWindow {
	t.Helper()
	s := &slowWindow{
		t: t, path: writeExample(t), answers: make(chan func()),
		disk: &slowDisk{FileSystem: disk.OS, began: make(chan string), answer: make(chan error)},
	}
	var err error
	s.Window, err = New(test.NewTempApp(t), Options{
		Synchronous: true, Disk: s.disk,
		Beside: func(work func() func()) { go func() { s.answers <- work() }() },
	})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(s.session.Close)
	if err := s.OpenPath(s.path); err != nil {
		t.Fatal(err)
	}
	return s
}

// hangs begins a save that the disk does not answer.
func (s *slowWindow) hangs(turns float64) {
	s.setTurns(turns)
	s.save(nil)
	<-s.disk.began
}

// answers lets the disk answer.
func (s *slowWindow) goOn(err error) {
	s.disk.answer <- err
	(<-s.answers)()
}

func (s *slowWindow) wantTurns(want float64) {
	s.t.Helper()
	if got := readDesign(s.t, s.path).Secondary.Turns; got != want {
		s.t.Errorf("the file has %g turns, want %g", got, want)
	}
}

func (s *slowWindow) wantMark(part string) {
	s.t.Helper()
	_, mark := s.header.Title()
	if (mark == "") != (part == "") || !strings.Contains(mark, part) || !strings.Contains(s.window.Title(), part) {
		s.t.Errorf("header %q, title %q, want %q", mark, s.window.Title(), part)
	}
}

func TestSlowSaveIsTold(t *testing.T) {
	s := newSlowWindow(t)
	s.hangs(130)
	s.wantMark("not saved")
	s.tellErrand() // a moment later
	s.wantMark("saving")
	before := frequency(s.Window)
	s.setTurns(140)
	if frequency(s.Window) == before {
		t.Error("an edit does not answer while the disk hangs")
	}
	s.wantMark("saving")
	s.goOn(nil)
	s.wantMark("not saved")
	s.undo()
	s.wantMark("")
	s.wantTurns(130)
}

func TestSlowSaveThatFailsIsShownOnce(t *testing.T) {
	s := newSlowWindow(t)
	s.hangs(130)
	s.save(nil)
	s.goOn(&fs.PathError{Op: "open", Path: s.path, Err: syscall.EIO})
	<-s.disk.began
	s.goOn(&fs.PathError{Op: "open", Path: s.path, Err: syscall.EIO})
	if question(s.Window) != 1 {
		t.Fatalf("%d questions after two saves that failed, want 1", question(s.Window))
	}
	tap(t, s.Window, "Try again")
	<-s.disk.began
	s.goOn(nil)
	s.wantTurns(130)
	s.wantMark("")
}

// Leaving asks whether to wait for the disk.
func TestLeavingWhileSaving(t *testing.T) {
	for _, test := range []struct {
		answer       string // of the question; empty: none is given
		late         bool   // an edit follows
		fail         error  // of the disk
		before       int    // how often it left before the disk answered
		after        int    // and after
		openQuestion int    // then
	}{
		{answer: "Wait", after: 1},
		{answer: "Wait", late: true, openQuestion: 1}, // about the edit
		{answer: "Wait", fail: syscall.EIO, openQuestion: 1},
		{answer: "Do not wait", before: 1, after: 1},
		{answer: "Cancel"},
		{after: 1}, // the question has answered itself
	} {
		s := newSlowWindow(t)
		s.hangs(130)
		left := 0
		s.leave(func() { left++ })
		if question(s.Window) != 1 || left != 0 {
			t.Fatalf("%q: %d questions, left %d times", test.answer, question(s.Window), left)
		}
		if test.answer != "" {
			tap(t, s.Window, test.answer)
		}
		if left != test.before {
			t.Errorf("%q: left %d times before the disk answered, want %d", test.answer, left, test.before)
		}
		if test.late {
			s.setTurns(140)
		}
		s.goOn(test.fail)
		if left != test.after || question(s.Window) != test.openQuestion {
			t.Errorf("%+v: left %d times, %d questions", test, left, question(s.Window))
		}
	}
}

// Changes made while the save of a closing window hangs are asked about.
func TestSaveAndLeave(t *testing.T) {
	s := newSlowWindow(t)
	s.setTurns(130)
	left := 0
	s.leave(func() { left++ })
	tap(t, s.Window, "Save")
	<-s.disk.began
	s.setTurns(140)
	s.goOn(nil)
	if left != 0 || question(s.Window) != 1 {
		t.Fatalf("left %d times with a change, %d questions", left, question(s.Window))
	}
	tap(t, s.Window, "Discard them")
	if left != 1 {
		t.Error("discarding does not leave")
	}
}

// The form of "save as" makes room while the disk hangs and comes back with its
// name when the disk fails.
func TestSaveAsOnASlowDisk(t *testing.T) {
	s := newSlowWindow(t)
	folder := t.TempDir()
	s.saveAs(nil)
	typeName(t, s.Window, filepath.Join(folder, "other"))
	tap(t, s.Window, "Save")
	<-s.disk.began
	if question(s.Window) != 0 {
		t.Errorf("%d dialogs are in the way while the disk hangs", question(s.Window))
	}
	s.goOn(syscall.ENOSPC)
	if question(s.Window) != 2 || s.session.Path() != s.path {
		t.Errorf("%d dialogs, path %q, want the form, the question and the old path", question(s.Window), s.session.Path())
	}
	tap(t, s.Window, "Try again")
	<-s.disk.began
	s.goOn(nil)
	if want := filepath.Join(folder, "other"+design.Extension); s.session.Path() != want || question(s.Window) != 0 {
		t.Errorf("path %q, %d dialogs, want %q", s.session.Path(), question(s.Window), want)
	}
}

// A file that was read while the design changed does not take its place unasked.
func TestSlowOpenAsksAboutEdits(t *testing.T) {
	s := newSlowWindow(t)
	other := writeExample(t)
	s.openPath(other)
	s.setTurns(130)
	(<-s.answers)()
	if s.session.Path() != s.path || question(s.Window) != 1 {
		t.Fatalf("path %q, %d questions, want the edited design and a question", s.session.Path(), question(s.Window))
	}
	tap(t, s.Window, "Discard them")
	if s.session.Path() != other {
		t.Errorf("path %q after discarding the edits, want %q", s.session.Path(), other)
	}
}

func TestSlowExport(t *testing.T) {
	s := newSlowWindow(t)
	path := filepath.Join(t.TempDir(), "figure.png")
	s.writeFiles(filepath.Dir(path), []exportFile{{path, []byte("new")}})
	(<-s.answers)() // nothing is there
	<-s.disk.began
	s.setTurns(130)
	s.undo()
	left := 0
	s.leave(func() { left++ })
	tap(t, s.Window, "Wait")
	s.goOn(nil)
	if got, err := os.ReadFile(path); string(got) != "new" || left != 1 {
		t.Errorf("the file holds %q (%v), left %d times", got, err, left)
	}
	if s.writing() {
		t.Error("something is being written for ever")
	}
}
