package app

import (
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"fyne.io/fyne/v2/test"

	"coilwright/app/session"
	"coilwright/physics/design"
)

// newWindowOn opens a window that knows of a state folder.
func newWindowOn(t *testing.T, state string) *Window {
	t.Helper()
	w, err := New(test.NewTempApp(t), Options{Synchronous: true, StateFolder: state})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(w.session.Close)
	return w
}

// leaveBehind makes what a window with that many turns leaves when it crashes:
// the record of another window under a name whose lock nobody holds.
func leaveBehind(t *testing.T, state, path string, turns float64) {
	t.Helper()
	s := session.New(session.Options{Synchronous: true, StateFolder: state})
	defer s.Close()
	s.New(design.New())
	s.SaveAs(path, failOn(t))
	s.Edit("turns", func(d *design.Design) { d.Name, d.Secondary.Turns = "Club coil", turns })
	if err := s.KeepNow(); err != nil {
		t.Fatal(err)
	}
	const suffix = ".recovery.json"
	found, err := filepath.Glob(filepath.Join(state, "*"+suffix))
	if err != nil || len(found) != 1 {
		t.Fatalf("records %q, %v, want one", found, err)
	}
	content, err := os.ReadFile(found[0])
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(state, "window-CRASHED"+suffix), content, 0o600); err != nil {
		t.Fatal(err)
	}
}

// failOn returns an outcome that must be no error.
func failOn(t *testing.T) func(error) {
	t.Helper()
	return func(err error) {
		if err != nil {
			t.Error(err)
		}
	}
}

// openIn opens a file in a session that reads it on the spot.
func openIn(t *testing.T, s *session.Session, path string) {
	t.Helper()
	s.Read(path, func(d session.Document, err error) {
		failOn(t)(err)
		s.Open(d)
	})
}

func tap(t *testing.T, w *Window, label string) {
	t.Helper()
	test.Tap(findButton(t, w, label))
}

func question(w *Window) int { return len(w.dialogs) }

func TestCrashIsOffered(t *testing.T) {
	for _, test := range []struct {
		answer    string
		turns     float64 // afterwards; 0: as at the start
		questions int     // at the next start
	}{
		{"Open it", 321, 0},
		{"Ask again later", 0, 1},
		{"Throw it away", 0, 0},
	} {
		t.Run(test.answer, func(t *testing.T) {
			state := filepath.Join(t.TempDir(), "state")
			path := filepath.Join(t.TempDir(), "club"+design.Extension)
			leaveBehind(t, state, path, 321)
			w := newWindowOn(t, state)
			turns := w.session.Design().Secondary.Turns
			w.Welcome()
			if question(w) != 1 {
				t.Fatalf("%d questions after a crash, want 1", question(w))
			}
			tap(t, w, test.answer)
			if test.turns != 0 {
				turns = test.turns
				if w.session.Path() != path || !w.session.Modified() {
					t.Errorf("recovered: path %q, modified %v", w.session.Path(), w.session.Modified())
				}
			}
			if got := w.session.Design().Secondary.Turns; got != turns {
				t.Errorf("there are %g turns, want %g", got, turns)
			}
			next := newWindowOn(t, state)
			next.Welcome()
			if question(next) != test.questions {
				t.Errorf("%d questions at the next start, want %d", question(next), test.questions)
			}
		})
	}
}

func TestWelcomeAsksNothingUsually(t *testing.T) {
	w := newWindowOn(t, filepath.Join(t.TempDir(), "state"))
	if err := w.OpenPath(writeExample(t)); err != nil {
		t.Fatal(err)
	}
	w.Welcome()
	if question(w) != 0 {
		t.Errorf("%d questions at a usual start", question(w))
	}
}

func TestFileOpenInAnotherWindowIsAskedAbout(t *testing.T) {
	state := filepath.Join(t.TempDir(), "state")
	path := writeExample(t)
	other := session.New(session.Options{Synchronous: true, StateFolder: state})
	defer other.Close()
	openIn(t, other, path)
	if err := other.KeepNow(); err != nil {
		t.Fatal(err)
	}

	w := newWindowOn(t, state)
	w.openPath(path)
	tap(t, w, "Cancel")
	if w.session.Path() != "" {
		t.Error("Cancel opens the file")
	}
	w.openPath(path)
	tap(t, w, "Open a copy")
	if want := readDesign(t, path).Name; w.session.Path() != "" || w.session.Design().Name != want {
		t.Errorf("a copy: %q with the path %q, want %q without", w.session.Design().Name, w.session.Path(), want)
	}
	w.openPath(path)
	tap(t, w, "Open it here too")
	if w.session.Path() != path {
		t.Errorf("open here too: path %q", w.session.Path())
	}
	w.Welcome() // as if it had been named when the program was called
	tap(t, w, "Open a copy")
	if w.session.Path() != "" {
		t.Error("a copy keeps its path")
	}
}

func readDesign(t *testing.T, path string) design.Design {
	t.Helper()
	d, err := design.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

func TestFileChangedByAnotherIsAskedAboutOnce(t *testing.T) {
	w := newWindow(t)
	path := writeExample(t)
	if err := w.OpenPath(path); err != nil {
		t.Fatal(err)
	}
	turns := w.session.Design().Secondary.Turns
	theirs := session.New(session.Options{Synchronous: true})
	defer theirs.Close()
	openIn(t, theirs, path)
	theirs.Edit("turns", func(d *design.Design) { d.Secondary.Turns = 99 })
	theirs.Save(failOn(t))
	w.fileChanged()
	w.fileChanged()
	if question(w) != 1 {
		t.Fatalf("%d questions, want 1", question(w))
	}
	tap(t, w, "Keep what is open here")
	if got := w.session.Design().Secondary.Turns; got != turns {
		t.Errorf("kept, there are %g turns, want %g", got, turns)
	}
	w.fileChanged()
	tap(t, w, "Take what was saved")
	if got := w.session.Design().Secondary.Turns; got != 99 || w.session.Modified() {
		t.Errorf("taken, there are %g turns, modified %v, want 99", got, w.session.Modified())
	}
	w.undo()
	if got := w.session.Design().Secondary.Turns; got != turns {
		t.Errorf("undone, there are %g turns, want %g", got, turns)
	}
}

func TestPreviousVersion(t *testing.T) {
	w := newWindow(t)
	if !w.menu.previous.Disabled {
		t.Error("a design without a file offers a version before")
	}
	if err := w.OpenPath(writeExample(t)); err != nil {
		t.Fatal(err)
	}
	if w.menu.previous.Disabled {
		t.Error("a design with a file offers no version before")
	}
	turns := w.session.Design().Secondary.Turns
	w.previousVersion()
	tap(t, w, "Close")
	w.setTurns(99)
	w.save(nil)
	w.previousVersion()
	if got := w.session.Design().Secondary.Turns; got != turns || question(w) != 0 {
		t.Errorf("the version before has %g turns, %d questions, want %g", got, question(w), turns)
	}
	w.undo()
	if got := w.session.Design().Secondary.Turns; got != 99 {
		t.Errorf("undone, there are %g turns, want 99", got)
	}
}

func TestSaveThatCannotBe(t *testing.T) {
	w := newWindow(t)
	path := writeExample(t)
	if err := w.OpenPath(path); err != nil {
		t.Fatal(err)
	}
	w.setTurns(99)
	if err := os.Chmod(path, 0o400); err != nil {
		t.Fatal(err)
	}
	went := 0
	w.save(func() { went++ })
	if question(w) != 1 || went != 0 || !w.session.Modified() {
		t.Fatalf("read-only: %d questions, went on %d times, modified %v", question(w), went, w.session.Modified())
	}
	tap(t, w, "Try again")
	if question(w) != 1 {
		t.Fatalf("still read-only: %d questions", question(w))
	}
	if err := os.Chmod(path, 0o600); err != nil {
		t.Fatal(err)
	}
	tap(t, w, "Try again")
	if question(w) != 0 || went != 1 || w.session.Modified() {
		t.Errorf("writable again: %d questions, went on %d times, modified %v", question(w), went, w.session.Modified())
	}

	if err := os.RemoveAll(filepath.Dir(path)); err != nil {
		t.Fatal(err)
	}
	w.setTurns(98)
	w.save(nil)
	tap(t, w, "Write it there anew")
	tap(t, w, "Cancel")
	w.save(nil)
	tap(t, w, "Save as…")
	elsewhere := filepath.Join(t.TempDir(), "elsewhere"+design.Extension)
	typeName(t, w, elsewhere)
	tap(t, w, "Save")
	if w.session.Path() != elsewhere || w.session.Modified() || question(w) != 0 {
		t.Errorf("saved elsewhere: path %q, modified %v, %d questions", w.session.Path(), w.session.Modified(), question(w))
	}
}

func TestReasonsAreSentences(t *testing.T) {
	for _, err := range []error{syscall.ENOSPC, syscall.EROFS, syscall.ENOENT, syscall.ESTALE, syscall.ENAMETOOLONG, syscall.EMFILE} {
		if got := reason(err); !strings.HasSuffix(got, ".") || strings.HasPrefix(got, "file.") || strings.HasSuffix(got, "..") {
			t.Errorf("reason(%v) = %q", err, got)
		}
	}
}

func TestKeepFailureIsShown(t *testing.T) {
	w := newWindow(t)
	w.keepFailed(syscall.ENOSPC)
	tap(t, w, "Close")
}

func TestFileNames(t *testing.T) {
	for _, test := range []struct{ name, want string }{
		{"Desk coil", "Desk coil"},
		{"", "coil"},
		{"..", "coil"},
		{"../../etc/passwd", "etc-passwd"},
		{`C:\coil`, "C--coil"},
		{"a\x00b\nc", "a-b-c"},
		{"right \u202e to left", "right - to left"},
		{"bad \xff bytes", "bad - bytes"},
		{".hidden", "hidden"},
		{"-flag", "flag"},
		{"CON", "coil CON"},
		{"nul.txt", "coil nul.txt"},
		{"ends. ", "ends"},
		{strings.Repeat("ä", 200), strings.Repeat("ä", 60)},
	} {
		got := fileName(test.name)
		if got != test.want+design.Extension {
			t.Errorf("fileName(%q) = %q, want %q", test.name, got, test.want+design.Extension)
		}
		if filepath.Base(got) != got || !filepath.IsLocal(got) {
			t.Errorf("fileName(%q) = %q leads elsewhere", test.name, got)
		}
	}
}
