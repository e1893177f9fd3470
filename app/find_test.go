package app

import (
	"math"
	"strings"
	"testing"

	"fyne.io/fyne/v2/test"
	"fyne.io/fyne/v2/widget"

	"coilwright/app/view"
	"coilwright/physics/design"
)

// onTop returns the texts and buttons of the dialog that was opened last.
func onTop(w *Window) (said string, buttons map[string]*view.Button) {
	buttons = map[string]*view.Button{}
	top := w.window.Canvas().Overlays().Top()
	for _, o := range test.LaidOutObjects(top) {
		switch o := o.(type) {
		case *widget.Label:
			said += o.Text + "\n"
		case *view.Button:
			buttons[o.Text] = o
		}
	}
	return said, buttons
}

func TestFindTurns(t *testing.T) {
	w := newWindow(t)
	before := w.session.Design()
	target := design.Target{Quantity: design.TargetFrequency, Value: 3.5e6}
	w.find(target, "secondary.turns")
	got := *w.last.Report.Resonance.Frequency
	if math.Abs(got/target.Value-1) > 1e-4 || w.session.Design().TargetFrequency != target.Value {
		t.Errorf("found, the coil rings at %g Hz and holds %g Hz, want %g Hz", got, w.session.Design().TargetFrequency, target.Value)
	}
	if !strings.HasPrefix(w.hint.Text(), "Found: turns of the secondary ") || w.session.UndoName() != "find turns of the secondary" {
		t.Errorf("it says %q, and the step is %q", w.hint.Text(), w.session.UndoName())
	}
	w.undo()
	if w.session.Design().Secondary.Turns != before.Secondary.Turns {
		t.Errorf("undone, there are %g turns, want %g", w.session.Design().Secondary.Turns, before.Secondary.Turns)
	}
}

// A target out of reach is answered by one sentence and what comes nearest.
func TestFindUnreachable(t *testing.T) {
	w := newWindow(t)
	turns := w.session.Design().TopLoad.Turns
	target := design.Target{Quantity: design.TargetCapacitance, Value: 50e-12}
	w.find(target, "top_load.turns")
	said, buttons := onTop(w)
	if !strings.Contains(said, "50.000\u202fpF cannot be reached by the turns of the ring alone: it gives") || buttons["Take the nearest"] == nil {
		t.Fatalf("it says %q and offers %v", said, buttons)
	}
	test.Tap(buttons["Leave as it is"])
	if got := w.session.Design().TopLoad.Turns; got != turns || len(w.dialogs) != 0 {
		t.Errorf("left as it is, there are %d turns, want %d", got, turns)
	}
	w.find(target, "top_load.turns")
	_, buttons = onTop(w)
	test.Tap(buttons["Take the nearest"])
	if got := w.session.Design().TopLoad.Turns; got != 22 {
		t.Errorf("the nearest has %d turns, want the 22 that the hub holds", got)
	}
	// What changes nothing has no nearest.
	w.find(target, "secondary.turns")
	said, buttons = onTop(w)
	if !strings.Contains(said, "which leaves it at") || len(buttons) != 1 {
		t.Errorf("it says %q and offers %v", said, buttons)
	}
	w.dismiss()
}
