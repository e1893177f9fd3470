package session

import (
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"syscall"
	"testing"

	"coilwright/app/disk"
	"coilwright/physics/design"
)

// hanging is a disk on which a folder answers only when the test lets it.
type hanging struct {
	disk.FileSystem
	folder string
	began  chan string // a path whose file waits to be made or read
	answer chan error  // for what waits; nil: go on
}

func (h *hanging) wait(path string) error {
	if !strings.HasPrefix(path, h.folder) {
		return nil
	}
	h.began <- path
	return <-h.answer
}

func (h *hanging) Create(path string, mode fs.FileMode) (disk.File, error) {
	if err := h.wait(path); err != nil {
		return nil, err
	}
	return h.FileSystem.Create(path, mode)
}

func (h *hanging) Open(path string) (io.ReadCloser, error) {
	if strings.Contains(filepath.Base(path), "read") {
		if err := h.wait(path); err != nil {
			return nil, err
		}
	}
	return h.FileSystem.Open(path)
}

// desk is a session on such a disk, with the test's goroutine as the UI goroutine:
// what comes back from the disk waits in answers for the test.
type desk struct {
	*Session
	disk    *hanging
	answers chan func()
	said    []string // what save was told, in order
}

func newDesk(t *testing.T, state string) *desk {
	t.Helper()
	d := &desk{
		disk:    &hanging{FileSystem: disk.OS, folder: filepath.Join(t.TempDir(), "slow"), began: make(chan string), answer: make(chan error)},
		answers: make(chan func()),
	}
	if err := os.Mkdir(d.disk.folder, 0o700); err != nil {
		t.Fatal(err)
	}
	d.Session = New(Options{
		Synchronous: true, Disk: d.disk, StateFolder: state,
		Beside: func(work func() func()) { go func() { d.answers <- work() }() },
	})
	d.worker.close() // no test here looks at a result
	d.New(sample())
	t.Cleanup(d.Close)
	return d
}

// path returns a path on the disk that hangs.
func (d *desk) path(name string) string { return filepath.Join(d.disk.folder, name+design.Extension) }

// saveAs puts the design into a file while the disk answers.
func (d *desk) saveAs(t *testing.T, path string) {
	t.Helper()
	d.SaveAs(path, d.outcome("first"))
	d.goOn(t, nil)
	d.next(t)
	if d.Path() != path || d.Modified() || d.Saving() {
		t.Fatalf("the first save: path %q, modified %v, saving %v", d.Path(), d.Modified(), d.Saving())
	}
	d.said = nil
}

// outcome notes what a save comes to.
func (d *desk) outcome(name string) func(error) {
	return func(err error) {
		if err != nil {
			name += " failed"
		}
		d.said = append(d.said, name)
	}
}

// goOn waits until something hangs, and lets it go on or fail.
func (d *desk) goOn(t *testing.T, err error) {
	t.Helper()
	receive(t, d.disk.began)
	d.disk.answer <- err
}

// next takes one answer of the disk.
func (d *desk) next(t *testing.T) { t.Helper(); receive(t, d.answers)() }

func wantFile(t *testing.T, path string, turns int) {
	t.Helper()
	if got := turnsIn(t, path); got != turns {
		t.Errorf("%s holds %d turns, want %d", filepath.Base(path), got, turns)
	}
}

func TestEditsGoOnWhileASaveHangs(t *testing.T) {
	d := newDesk(t, "")
	path := d.path("club")
	d.saveAs(t, path)
	changes := 0
	d.OnBusy(func() { changes++ })
	setTurns(d.Session, "a", 130)
	d.Save(d.outcome("save"))
	receive(t, d.disk.began)
	if !d.Saving() || changes != 1 {
		t.Errorf("while the disk hangs: saving %v, told %d times", d.Saving(), changes)
	}
	setTurns(d.Session, "b", 140)
	wantTurns(t, d.Session, 140)
	if !d.Modified() {
		t.Error("not modified before the disk has answered")
	}
	d.disk.answer <- nil
	d.next(t)
	if d.Saving() || changes != 2 || !slices.Equal(d.said, []string{"save"}) {
		t.Errorf("after the disk answered: saving %v, told %d times, outcomes %q", d.Saving(), changes, d.said)
	}
	if !d.Modified() {
		t.Error("not modified after an edit that came too late for the save")
	}
	wantFile(t, path, 130)
	d.Undo()
	if d.Modified() {
		t.Error("modified after undoing to what was written")
	}
}

// Saves to one file run one by one; of those that wait the newest is written.
func TestSavesDoNotOvertake(t *testing.T) {
	d := newDesk(t, "")
	path := d.path("club")
	d.saveAs(t, path)
	for turns, name := range []string{"one", "two", "three"} {
		setTurns(d.Session, name, float64(130+turns))
		d.Save(d.outcome(name))
	}
	if l := d.lanes[path]; len(l.waiting) != 1 {
		t.Errorf("%d saves wait, want 1", len(l.waiting))
	}
	d.goOn(t, nil)
	d.next(t)
	wantFile(t, path, 130)
	if !slices.Equal(d.said, []string{"one"}) || !d.Saving() || !d.Modified() {
		t.Errorf("after the first: outcomes %q, saving %v, modified %v", d.said, d.Saving(), d.Modified())
	}
	d.goOn(t, nil)
	d.next(t)
	wantFile(t, path, 132)
	wantFile(t, disk.BackupOf(path), 130)
	if !slices.Equal(d.said, []string{"one", "two", "three"}) || d.Saving() || d.Modified() {
		t.Errorf("after the last: outcomes %q, saving %v, modified %v", d.said, d.Saving(), d.Modified())
	}
}

func TestSaveThatFailsAfterHanging(t *testing.T) {
	d := newDesk(t, "")
	path := d.path("club")
	d.saveAs(t, path)
	setTurns(d.Session, "a", 130)
	var got error
	d.Save(func(err error) { got = err })
	setTurns(d.Session, "b", 140)
	d.Save(d.outcome("second"))
	d.goOn(t, &fs.PathError{Op: "open", Path: path, Err: syscall.EIO})
	d.next(t)
	if !errors.Is(got, syscall.EIO) || !d.Modified() {
		t.Errorf("error %v, modified %v, want EIO and a change", got, d.Modified())
	}
	wantFile(t, path, 120)
	d.goOn(t, nil)
	d.next(t)
	wantFile(t, path, 140)
	if !slices.Equal(d.said, []string{"second"}) || d.Modified() || d.Saving() {
		t.Errorf("the save behind it: outcomes %q, modified %v, saving %v", d.said, d.Modified(), d.Saving())
	}
}

func TestSaveElsewhereWhileADiskHangs(t *testing.T) {
	d := newDesk(t, "")
	d.saveAs(t, d.path("club"))
	setTurns(d.Session, "a", 130)
	d.Save(d.outcome("slow"))
	receive(t, d.disk.began)
	setTurns(d.Session, "b", 140)
	elsewhere := filepath.Join(t.TempDir(), "elsewhere"+design.Extension)
	d.SaveAs(elsewhere, d.outcome("elsewhere"))
	d.next(t)
	if d.Path() != elsewhere || d.Modified() || !d.Saving() {
		t.Errorf("saved elsewhere: path %q, modified %v, saving %v", d.Path(), d.Modified(), d.Saving())
	}
	d.disk.answer <- nil
	d.next(t)
	if d.Path() != elsewhere || d.Modified() || d.Saving() || !slices.Equal(d.said, []string{"elsewhere", "slow"}) {
		t.Errorf("the slow disk answered: path %q, modified %v, saving %v, outcomes %q", d.Path(), d.Modified(), d.Saving(), d.said)
	}
	wantFile(t, d.path("club"), 130)
	wantFile(t, elsewhere, 140)
}

// A save that ends when another document is open says nothing about that.
func TestSaveOutlivesItsDocument(t *testing.T) {
	d := newDesk(t, "")
	path := d.path("club")
	d.saveAs(t, path)
	setTurns(d.Session, "a", 130)
	d.Save(d.outcome("save"))
	other := sample()
	other.Secondary.Turns = 77
	d.New(other)
	d.goOn(t, nil)
	d.next(t)
	if d.Path() != "" || d.Modified() || len(d.said) != 1 {
		t.Errorf("path %q, modified %v, outcomes %q", d.Path(), d.Modified(), d.said)
	}
	wantTurns(t, d.Session, 77)
	wantFile(t, path, 130)
}

// A file that comes late is forgotten when another was asked for since, or another
// document is open.
func TestReadThatHangsIsForgotten(t *testing.T) {
	d := newDesk(t, "")
	late, soon := d.path("read"), filepath.Join(t.TempDir(), "soon"+design.Extension)
	writeDesign(t, late, sample())
	writeDesign(t, soon, sample())
	read := func(path, name string) { d.Read(path, func(_ Document, err error) { d.outcome(name)(err) }) }
	for _, forget := range []func(){
		func() {
			read(soon, "soon")
			d.next(t)
		},
		func() { d.New(sample()) },
	} {
		read(late, "late")
		receive(t, d.disk.began)
		if d.Reading() != late {
			t.Errorf("reading %q, want %q", d.Reading(), late)
		}
		setTurns(d.Session, "a", 130)
		wantTurns(t, d.Session, 130)
		forget()
		d.disk.answer <- nil
		d.next(t)
		if d.Reading() != "" {
			t.Errorf("reading %q when all has come", d.Reading())
		}
	}
	if !slices.Equal(d.said, []string{"soon"}) {
		t.Errorf("outcomes %q, want the newer file's alone", d.said)
	}
}

// Between a save and its answer the file is no other program's.
func TestOwnSaveIsNoChangeByAnother(t *testing.T) {
	d := newDesk(t, "")
	path := d.path("club")
	d.saveAs(t, path)
	noticed := 0
	d.OnFileChanged(func() { noticed++ })
	setTurns(d.Session, "a", 130)
	d.Save(d.outcome("save"))
	d.goOn(t, nil)
	answer := receive(t, d.answers)
	d.watch.look()
	answer()
	d.watch.look()
	if noticed != 0 {
		t.Error("the session takes its own save for another program's")
	}
}

// What has not reached its file when the window closes is offered by the next.
func TestClosedWhileSaving(t *testing.T) {
	state := t.TempDir()
	d := newDesk(t, state)
	d.saveAs(t, d.path("club"))
	setTurns(d.Session, "a", 130)
	d.Save(d.outcome("save"))
	receive(t, d.disk.began)
	d.Close()
	d.disk.answer <- syscall.EIO
	d.next(t)
	if len(d.said) != 0 {
		t.Errorf("after Close: outcomes %q", d.said)
	}
	l := left(t, windowOn(state), 1)[0]
	if got := l.record.design.Secondary.Turns; got != 130 {
		t.Errorf("%g turns are left, want 130", got)
	}
}

func TestRecoveryDoesNotWaitForTheFile(t *testing.T) {
	state := t.TempDir()
	d := newDesk(t, state)
	path := d.path("read") // on the disk that hangs
	writeDesign(t, path, sample())
	before := windowOn(state)
	if err := open(before, path); err != nil {
		t.Fatal(err)
	}
	setTurns(before, "a", 130)
	flush(t, before)
	crash(t, before)
	d.Left(func(all []Left) { d.Recover(all[0], d.outcome("recover")) })
	d.next(t)
	receive(t, d.disk.began)
	wantTurns(t, d.Session, 130)
	d.next(t)
	if !slices.Equal(d.said, []string{"recover"}) || !d.Modified() {
		t.Errorf("outcomes %q, modified %v while the file's disk hangs", d.said, d.Modified())
	}
	setTurns(d.Session, "b", 120)
	d.disk.answer <- nil
	d.next(t)
	if d.Modified() {
		t.Error("modified with what the file holds, after it answered")
	}
}
