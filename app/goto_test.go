package app

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"fyne.io/fyne/v2"
)

// typeHere types into what has the keyboard and presses Enter.
func typeHere(w *Window, words string, before ...fyne.KeyName) {
	c := w.window.Canvas()
	for _, letter := range words {
		c.Focused().TypedRune(letter)
	}
	for _, key := range append(before, fyne.KeyReturn) {
		c.Focused().TypedKey(&fyne.KeyEvent{Name: key})
	}
}

// TestGoToAValue: letters of a name, Enter, and what is typed next changes that
// value, in whichever stage and folded card its row stands.
func TestGoToAValue(t *testing.T) {
	w := newWindow(t)
	w.goTo()
	typeHere(w, "target frequ")
	typeHere(w, "3.5")
	if f := w.session.Design().TargetFrequency; f != 3.5e6 {
		t.Errorf("the target is %g Hz, typed were 3.5 MHz", f)
	}

	w.goTo()
	typeHere(w, "turns", fyne.KeyUp, fyne.KeyDown) // the second of them
	typeHere(w, "305")
	if n := w.session.Design().Secondary.Turns; n != 305 {
		t.Errorf("the secondary has %g turns, typed were 305", n)
	}

	w.goTo()
	typeHere(w, "KIND driver")
	if w.current().key != stageDrive {
		t.Fatalf("the kind of the driver was looked for in the stage %s", w.current().key)
	}
	kind := w.session.Design().Driver.Kind
	for _, step := range []struct {
		key  fyne.KeyName
		same bool
	}{{fyne.KeyRight, false}, {fyne.KeyLeft, true}} {
		w.window.Canvas().Focused().TypedKey(&fyne.KeyEvent{Name: step.key})
		if now := w.session.Design().Driver.Kind; (now == kind) != step.same {
			t.Errorf("%s takes the kind of the driver to %s", step.key, now)
		}
	}
	w.goTo()
	typeHere(w, "driver supply")
	typeHere(w, "13")
	if v := w.session.Design().Driver.Supply; v != 13 {
		t.Errorf("the supply is %g V, typed were 13", v)
	}

	w.goTo()
	typeHere(w, "nosuchthing")
	if len(w.dialogs) != 1 {
		t.Error("the question goes away without a value to go to")
	}
}

// TestPlacesAreNamedApart: no two values that can be gone to have the same name.
func TestPlacesAreNamedApart(t *testing.T) {
	w := newWindow(t)
	seen := map[string]string{}
	for _, p := range targets(w.columns(), "") {
		if other, ok := seen[p.Words]; ok {
			t.Errorf("%s and %s are both called %q", p.Key, other, p.Words)
		}
		seen[p.Words] = p.Key
	}
}

// TestFolderIsTyped: a folder is typed; one that is not there is refused and the
// question stays.
func TestFolderIsTyped(t *testing.T) {
	w := newWindow(t)
	folder, got := t.TempDir(), ""
	w.askFolder(folder, func(f string) { got = f })
	typeHere(w, "/missing")
	if got != "" || len(w.dialogs) != 1 {
		t.Fatalf("took %q with %d dialogs open", got, len(w.dialogs))
	}
	inside := filepath.Join(folder, "missing")
	if err := os.Mkdir(inside, 0o700); err != nil {
		t.Fatal(err)
	}
	typeHere(w, "")
	if got != inside || len(w.dialogs) != 0 {
		t.Errorf("took %q with %d dialogs open, want %q and none", got, len(w.dialogs), inside)
	}
}

// TestReadingIsTypedAtOnce: the key for a new reading leads to its value.
func TestReadingIsTypedAtOnce(t *testing.T) {
	w := newWindow(t)
	w.newReading()
	typeHere(w, "3.81")
	readings := w.session.Design().Measurements
	if last := readings[len(readings)-1]; last.Value != 3.81e6 || !strings.HasPrefix(last.Quantity, "freq") {
		t.Errorf("the reading is %s %g", last.Quantity, last.Value)
	}
}

// TestSheetIsAskedForFromAnywhere: the key for the build sheet leads to its form.
func TestSheetIsAskedForFromAnywhere(t *testing.T) {
	w := newWindow(t)
	w.buildSheet()
	if w.current().key != stageWind || len(w.dialogs) != 1 {
		t.Errorf("in the stage %s with %d dialogs open", w.current().key, len(w.dialogs))
	}
}
