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
