package app

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/storage"
	"fyne.io/fyne/v2/test"

	"coilwright/app/view"
	"coilwright/assets"
	"coilwright/physics/design"
)

func TestOpeningWhatIsNoDesign(t *testing.T) {
	w := newWindow(t)
	w.setTurns(123)
	folder := t.TempDir()
	bad := filepath.Join(folder, "bad.coil.json")
	if err := os.WriteFile(bad, []byte(`{"format": "coilwright-design", "version": 1`), 0o666); err != nil {
		t.Fatal(err)
	}
	for _, path := range []string{bad, filepath.Join(folder, "missing.coil.json")} {
		err := w.OpenPath(path)
		if err == nil {
			t.Fatalf("opening %s succeeds", path)
		}
		if strings.Contains(err.Error(), "\n") {
			t.Errorf("the error has more than one line: %q", err)
		}
		if got := w.session.Design().Secondary.Turns; got != 123 {
			t.Errorf("after a refused file there are %g turns, want 123", got)
		}
	}
}

func TestDropAndRecent(t *testing.T) {
	w := newWindow(t)
	path := writeExample(t)
	w.dropped(fyne.Position{}, []fyne.URI{storage.NewFileURI(path)})
	if got := w.session.Path(); got != path {
		t.Errorf("after the drop %q is open, want %q", got, path)
	}
	if w.menu.recent.Disabled || !strings.HasPrefix(w.menu.recent.ChildMenu.Items[0].Label, filepath.Base(path)) {
		t.Errorf("the menu does not list %s as recent", path)
	}
	w.dropped(fyne.Position{}, nil)
}

// writeExample writes the last example to a file of its own.
func writeExample(t testing.TB) string {
	t.Helper()
	examples := assets.Examples()
	path := filepath.Join(t.TempDir(), "club"+design.Extension)
	if err := os.WriteFile(path, examples[len(examples)-1].Content, 0o666); err != nil {
		t.Fatal(err)
	}
	return path
}

func TestUnsavedChangesAreAskedAbout(t *testing.T) {
	w := newWindow(t)
	path := writeExample(t)
	if err := w.OpenPath(path); err != nil {
		t.Fatal(err)
	}
	w.setTurns(123)
	left := 0
	leave := func() { w.leave(func() { left++ }) }

	leave()
	if left != 0 || len(w.dialogs) != 1 {
		t.Fatalf("leaving changes: left %d times, %d questions", left, len(w.dialogs))
	}
	w.window.Canvas().Focused().TypedKey(&fyne.KeyEvent{Name: fyne.KeyEscape})
	if left != 0 || len(w.dialogs) != 0 {
		t.Errorf("Escape: left %d times, %d questions", left, len(w.dialogs))
	}
	leave()
	test.Tap(findButton(t, w, "Cancel"))
	if left != 0 {
		t.Error("Cancel leaves")
	}
	leave()
	test.Tap(findButton(t, w, "Save"))
	if left != 1 || w.session.Modified() {
		t.Errorf("Save: left %d times, modified %t", left, w.session.Modified())
	}
	w.setTurns(124)
	leave()
	test.Tap(findButton(t, w, "Discard them"))
	if left != 2 {
		t.Error("discarding does not leave")
	}
	w.undo()
	leave()
	if left != 3 {
		t.Error("a saved design cannot be left without a question")
	}
}

func TestTypedValueIsPartOfWhatIsSaved(t *testing.T) {
	w := newWindow(t)
	path := writeExample(t)
	if err := w.OpenPath(path); err != nil {
		t.Fatal(err)
	}
	for _, o := range test.LaidOutObjects(w.cards.Quantity("secondary.turns").Row) {
		if e, ok := o.(*view.Entry); ok {
			w.window.Canvas().Focus(e)
			for _, r := range "77" {
				e.TypedRune(r)
			}
		}
	}
	w.save(nil)
	content, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(string(content), `"turns": 77`) {
		t.Error("a value that was typed but not committed is missing in the file")
	}
}

// typeName types a name over the one that the form proposes.
func typeName(t *testing.T, w *Window, name string) {
	t.Helper()
	entry, ok := w.window.Canvas().Focused().(*line)
	if !ok {
		t.Fatalf("the keyboard is at %T, want the name of the file", w.window.Canvas().Focused())
	}
	entry.SetText(name)
}

func TestSaveAs(t *testing.T) {
	w := newWindow(t)
	folder := t.TempDir()
	w.app.Preferences().SetString(preferFolder, folder)
	w.setTurns(123)
	went := 0
	w.saveAs(func() { went++ })
	typeName(t, w, "club")
	test.Tap(findButton(t, w, "Save"))
	want := filepath.Join(folder, "club"+design.Extension)
	if w.session.Path() != want || w.session.Modified() || went != 1 || len(w.dialogs) != 0 {
		t.Errorf("saved to %q, modified %t, went on %d times, %d dialogs; want %q", w.session.Path(), w.session.Modified(), went, len(w.dialogs), want)
	}
}

// TestSaveAsLeavesAnotherFileAlone: not a byte of a file changes before its
// owner has agreed, and then all of them at once.
func TestSaveAsLeavesAnotherFileAlone(t *testing.T) {
	w := newWindow(t)
	path := writeExample(t)
	before, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	unchanged := func(when string) {
		t.Helper()
		if now, err := os.ReadFile(path); err != nil || string(now) != string(before) {
			t.Fatalf("%s the other file has changed (error %v)", when, err)
		}
	}
	w.setTurns(123)
	w.saveAs(nil)
	typeName(t, w, path)
	unchanged("with its name typed")
	test.Tap(findButton(t, w, "Save"))
	unchanged("when asked about,")
	test.Tap(findButton(t, w, "Cancel"))
	unchanged("after Cancel")
	if len(w.dialogs) != 1 || w.session.Path() != "" {
		t.Fatalf("after Cancel %d dialogs are open and the file is %q, want the form", len(w.dialogs), w.session.Path())
	}
	test.Tap(findButton(t, w, "Save"))
	test.Tap(findButton(t, w, "Write over it"))
	if len(w.dialogs) != 0 || w.session.Path() != path {
		t.Errorf("after agreeing %d dialogs are open and the file is %q", len(w.dialogs), w.session.Path())
	}
	if err := w.OpenPath(path); err != nil || w.session.Design().Secondary.Turns != 123 {
		t.Errorf("read again there are %g turns, error %v", w.session.Design().Secondary.Turns, err)
	}
}

func TestSaveAsWithoutSuccess(t *testing.T) {
	w := newWindow(t)
	w.saveAs(nil)
	for _, name := range []string{"", filepath.Join(t.TempDir(), "no such folder", "club")} {
		typeName(t, w, name)
		test.Tap(findButton(t, w, "Save"))
		if w.session.Path() != "" {
			t.Errorf("%q was saved", name)
		}
	}
	test.Tap(findButton(t, w, "Cancel")) // of the question what to do about it
	w.dismiss()
	if len(w.dialogs) != 0 {
		t.Errorf("%d dialogs stay open", len(w.dialogs))
	}
}

func TestEscapeLeavesTheForm(t *testing.T) {
	w := newWindow(t)
	w.saveAs(nil)
	w.window.Canvas().Focused().TypedKey(&fyne.KeyEvent{Name: fyne.KeyEscape})
	if len(w.dialogs) != 0 {
		t.Error("Escape leaves the form open")
	}
}
