package app

import (
	"os"
	"path/filepath"
	"testing"

	"fyne.io/fyne/v2/test"
	"fyne.io/fyne/v2/widget"

	"coilwright/app/lesson"
)

// toolkitDialog is the dialog of the toolkit that is on top: what it lists and its
// buttons by their labels.
func toolkitDialog(t *testing.T, w *Window) (list *widget.GridWrap, buttons map[string]*widget.Button) {
	t.Helper()
	buttons = map[string]*widget.Button{}
	for _, o := range test.LaidOutObjects(w.window.Canvas().Overlays().Top()) {
		switch o := o.(type) {
		case *widget.GridWrap:
			list = o
		case *widget.Button:
			buttons[o.Text] = o
		}
	}
	if list == nil {
		t.Fatal("no dialog of the toolkit is on top")
	}
	return list, buttons
}

// saveThere makes a folder the one that dialogs of files begin in.
func saveThere(w *Window, folder string) { w.app.Preferences().SetString(preferFolder, folder) }

func TestAskFile(t *testing.T) {
	w := newWindow(t)
	folder := t.TempDir()
	saveThere(w, folder)
	for _, name := range []string{"a.csv", "B.CSV", "c.png"} {
		saveIn(t, folder, name, "")
	}
	const parent = 1 // item of the list that leads out of the folder
	var got []string
	for item, want := range []string{"a.csv", "B.CSV"} {
		w.askFile([]string{".csv"}, func(path string) { got = append(got, filepath.Base(path)) })
		list, buttons := toolkitDialog(t, w)
		if n := list.Length(); n != parent+2 {
			t.Fatalf("%d items, want the way out and two files", n)
		}
		list.Select(parent + item)
		test.Tap(buttons["Open"])
		if len(got) != item+1 || got[item] != want || len(w.dialogs) != 0 {
			t.Errorf("picked %q, want %s last; %d dialogs", got, want, len(w.dialogs))
		}
	}
	w.askFile([]string{".csv"}, func(path string) { t.Errorf("left, but goes on with %s", path) })
	_, buttons := toolkitDialog(t, w)
	test.Tap(buttons["Cancel"])
	if len(w.dialogs) != 0 {
		t.Errorf("%d dialogs after leaving", len(w.dialogs))
	}
}

func TestAskToRead(t *testing.T) {
	w := newWindow(t)
	folder := t.TempDir()
	saveThere(w, folder)
	path := saveIn(t, folder, "class.csv", "no table")
	then := func(lesson.Results) { t.Error("goes on with what cannot be read") }
	for _, missing := range []bool{false, true} {
		askToRead(w, []string{".csv"}, lesson.ReadResults, then)
		list, buttons := toolkitDialog(t, w)
		list.Select(1)
		if missing {
			if err := os.Remove(path); err != nil {
				t.Fatal(err)
			}
		}
		test.Tap(buttons["Open"])
		if len(w.dialogs) != 1 {
			t.Fatalf("missing %t: %d dialogs, want the one that says why", missing, len(w.dialogs))
		}
		w.dismiss()
	}
}

// The logbook is looked for where it was the last time.
func TestLogbookBeginsInItsFolder(t *testing.T) {
	w, s := newBench(t)
	saveThere(w, t.TempDir())
	book := filepath.Join(t.TempDir(), "coils of the club")
	if err := os.Mkdir(book, 0o777); err != nil {
		t.Fatal(err)
	}
	w.app.Preferences().SetString(preferBook, book)
	s.book.choose()
	_, buttons := toolkitDialog(t, w)
	if buttons[filepath.Base(book)] == nil {
		t.Errorf("the way to %s is not among the buttons", book)
	}
	test.Tap(buttons["Open"])
	if kept := w.app.Preferences().String(preferBook); kept != book {
		t.Errorf("the logbook is %s, want %s", kept, book)
	}
}
