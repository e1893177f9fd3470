package app

import (
	"strings"
	"testing"

	"fyne.io/fyne/v2/test"
)

func TestTheFirstStartSaysWhatToTryOnce(t *testing.T) {
	w := newWindow(t)
	if got := w.hint.Text(); !strings.Contains(got, "Cautions") {
		t.Errorf("the first start says %q", got)
	}
	again, err := New(w.app, Options{Synchronous: true})
	if err != nil {
		t.Fatal(err)
	}
	defer again.session.Close()
	if got := again.hint.Text(); strings.Contains(got, "Cautions") {
		t.Errorf("the second start says %q again", got)
	}
}

// TestTheTourGoesThroughEveryStage follows the tour to its end and leaves it
// half way.
func TestTheTourGoesThroughEveryStage(t *testing.T) {
	w := newWindow(t)
	w.tour(0)
	seen := map[string]bool{}
	for i := range tourStops {
		seen[w.current().key] = true
		if len(w.dialogs) != 1 {
			t.Fatalf("stop %d shows %d dialogs", i, len(w.dialogs))
		}
		if i+1 < len(tourStops) {
			test.Tap(findButton(t, w, "Next"))
		}
	}
	for _, s := range w.stages {
		if !seen[s.key] {
			t.Errorf("the tour leaves out %s", s.key)
		}
	}
	test.Tap(findButton(t, w, "Leave the tour"))
	if len(w.dialogs) != 0 {
		t.Error("the end of the tour leaves a dialog open")
	}
	w.tour(1)
	w.dismiss()
	if len(w.dialogs) != 0 || w.session.Modified() {
		t.Error("the tour cannot be left, or changes the design")
	}
}
