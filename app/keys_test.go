package app

import (
	"slices"
	"testing"

	"fyne.io/fyne/v2"
)

// TestKeysAreListedOnce: every shortcut of the menus is on the page of keys, and
// no two entries of the menus share one.
func TestKeysAreListedOnce(t *testing.T) {
	w := newWindow(t)
	var listed []string
	for _, row := range w.keyRows() {
		if row[1] == "" || slices.Contains(listed, row[0]) {
			t.Errorf("%s is listed twice or does nothing: %q", row[0], row[1])
		}
		listed = append(listed, row[0])
	}
	for _, want := range []string{"Ctrl+Z", "Ctrl+S", "Ctrl+Shift+S", "Ctrl+1", "Ctrl+K", "Escape"} {
		if !slices.Contains(listed, want) {
			t.Errorf("%s is not listed in %q", want, listed)
		}
	}
	w.showKeys()
	if len(w.dialogs) != 1 {
		t.Error("the page of keys does not open")
	}
	if got := keysOf(control(fyne.KeyF1)); got != "Ctrl+F1" {
		t.Errorf("the key of the page is written %q", got)
	}
}
