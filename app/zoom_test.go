package app

import (
	"os"
	"testing"

	"fyne.io/fyne/v2/test"

	"coilwright/app/theme"
	"coilwright/app/view"
)

// TestSizesAreKept chooses a scale and larger text; the next window has them,
// and back to the desktop's nothing is left.
func TestSizesAreKept(t *testing.T) {
	t.Setenv(scaleVariable, "") // restores what is there now
	os.Unsetenv(scaleVariable)
	w := newWindow(t)
	w.setScale(150)
	if got := os.Getenv(scaleVariable); got != "1.50" {
		t.Errorf("at 150 %% the toolkit is told %q", got)
	}
	row := w.cards.Quantity("secondary.turns").Row.Size().Height
	w.toggleLargeText()
	if got := w.cards.Quantity("secondary.turns").Row.MinSize().Height; got < row*(theme.LargeText-0.01) {
		t.Errorf("with larger text a row is %g high, before %g", got, row)
	}
	again, err := New(w.app, Options{Synchronous: true})
	if err != nil {
		t.Fatal(err)
	}
	defer again.session.Close()
	if again.scale != 150 || !again.largeText {
		t.Errorf("the next window starts at %d %%, larger text %t", again.scale, again.largeText)
	}
	again.setScale(0)
	if got, ok := os.LookupEnv(scaleVariable); ok && got != desktopScale {
		t.Errorf("left to the desktop the toolkit is told %q", got)
	}
}

// TestLargerTextFitsTheLeastWindow: nothing needs more room than there is, and
// no text of a card is cut off.
func TestLargerTextFitsTheLeastWindow(t *testing.T) {
	w := newWindow(t)
	w.toggleLargeText()
	w.window.Resize(leastSize)
	least := w.window.Content().MinSize()
	if least.Width > leastSize.Width || least.Height+menuBar > leastSize.Height {
		t.Errorf("with larger text the content needs %v, the least window is %v", least, leastSize)
	}
	for _, o := range test.LaidOutObjects(w.window.Content()) {
		if s, ok := o.(*view.Segments); ok && s.Visible() && s.Size().Width < s.MinSize().Width {
			t.Errorf("a switch has %v, needs %v", s.Size(), s.MinSize())
		}
	}
}
