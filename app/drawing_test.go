package app

import (
	"bytes"
	"math"
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"

	"coilwright/app/session"
	"coilwright/app/view"
	"coilwright/physics/design"
)

// pick clicks a word of a switch.
func pick(s *view.Segments, index int) {
	for s.Picked() < index {
		s.TypedKey(&fyne.KeyEvent{Name: fyne.KeyRight})
	}
	for s.Picked() > index {
		s.TypedKey(&fyne.KeyEvent{Name: fyne.KeyLeft})
	}
}

// TestVoltageAndCurrentBesideTheWinding: each choice is a drawing of its own,
// and none of them a step of the history.
func TestVoltageAndCurrentBesideTheWinding(t *testing.T) {
	w := newWindow(t)
	shot := func(over int) []byte {
		pick(w.overlay, over)
		return bytes.Clone(w.coil.onView.Pix)
	}
	nothing, voltage, current := shot(overNothing), shot(overVoltage), shot(overCurrent)
	if bytes.Equal(nothing, voltage) || bytes.Equal(voltage, current) || bytes.Equal(nothing, current) {
		t.Error("two of the coil alone, with voltage and with current look the same")
	}
	if !bytes.Equal(nothing, shot(overNothing)) {
		t.Error("chosen again, the coil alone looks otherwise")
	}
	if w.session.Modified() || w.session.UndoName() != "" {
		t.Error("looking at the voltage changes the design")
	}
	w.breakRing()
	pick(w.overlay, overVoltage)
	if w.drawing.Missing() != "" {
		t.Errorf("with a ring that cannot be built the drawing says %q", w.drawing.Missing())
	}
}

func TestPointerReadsVoltageAndCurrent(t *testing.T) {
	w := newWindow(t)
	g, err := w.session.Design().Geometry()
	if err != nil {
		t.Fatal(err)
	}
	point := func(height float64) string {
		x, y := w.coilFrame().Place(0, height)
		w.drawing.Picture().OnPoint(fyne.NewPos(float32(x), float32(y)))
		return w.hint.Text()
	}
	bottom, top := g.Winding.Bottom+g.Winding.Pitch, g.Winding.Top-g.Winding.Pitch
	if plain := point(bottom); !strings.HasPrefix(plain, "Winding") {
		t.Errorf("with nothing beside the winding the pointer reads %q", plain)
	}
	pick(w.overlay, overVoltage)
	if foot := point(bottom); !strings.Contains(foot, "carries 100") {
		t.Errorf("at the foot the pointer reads %q", foot)
	}
	if head := point(top); !strings.Contains(head, "has 100") && !strings.Contains(head, "has 99") {
		t.Errorf("at the top the pointer reads %q", head)
	}
}

func TestBetween(t *testing.T) {
	x, y := []float64{1, 2, 4}, []float64{10, 20, 0}
	for _, c := range []struct{ at, want float64 }{
		{0, 10}, {1, 10}, {1.5, 15}, {2, 20}, {3, 10}, {4, 0}, {9, 0},
	} {
		if got := between(x, y, c.at); math.Abs(got-c.want) > 1e-12 {
			t.Errorf("between at %g = %g, want %g", c.at, got, c.want)
		}
	}
}

// TestHeightFigure: the curve against height takes the place of that against
// size, for a ring and for a smooth body, and gives it back.
func TestHeightFigure(t *testing.T) {
	w := newWindow(t)
	const height = 2
	pick(w.varyRing, height)
	heights := func() design.HeightCurve { return w.last.Curves.Height }
	if heights().Kind != design.WireRing || w.figures[figureSize].Missing() != "" {
		t.Errorf("the figure of height is of %q and says %q", heights().Kind, w.figures[figureSize].Missing())
	}
	if f := w.figureFrame(figureSize); f.XMax < w.session.Design().TopLoad.Height || f.XMax > 1 {
		t.Errorf("its heights end at %g m", f.XMax)
	}
	w.session.Edit("torus", func(d *design.Design) { d.SetTopLoadKind(design.Torus) })
	if w.varyRing.Visible() || !w.varyBody.Visible() || w.varyBody.Picked() != 1 || heights().Kind != design.Torus {
		t.Errorf("of a torus: ring's switch %t, body's %t at %d, curve of %q", w.varyRing.Visible(), w.varyBody.Visible(), w.varyBody.Picked(), heights().Kind)
	}
	pick(w.varyBody, 0)
	if heights().Kind != "" {
		t.Error("the curve against height is solved though nobody looks at it")
	}
	w.session.Edit("none", func(d *design.Design) { d.SetTopLoadKind(design.NoTopLoad) })
	if w.varyRing.Visible() || w.varyBody.Visible() {
		t.Error("without a top load there is a choice of what to vary")
	}
}

// TestUnbuildableRingKeepsItsCurves: what the figures are drawn of says where
// the ring could be built, and there is nothing to print.
func TestUnbuildableRingKeepsItsCurves(t *testing.T) {
	w := newWindow(t)
	var last session.Result
	w.session.OnResult(func(r session.Result) { last = r })
	w.breakRing()
	if last.Err == nil || last.CurvesErr != nil || last.Complete() {
		t.Fatalf("report: %v, curves: %v", last.Err, last.CurvesErr)
	}
	c := last.Curves
	if c.Size.BuildableFrom == 0 && c.Size.BuildableTo == 0 || c.Count.HubLimit >= c.Count.Closing || c.Turns.WithTopLoad != nil || len(c.Turns.Bare) == 0 {
		t.Errorf("buildable from %g to %g m, hub holds %g of %g turns, %d points with and %d without top load",
			c.Size.BuildableFrom, c.Size.BuildableTo, c.Count.HubLimit, c.Count.Closing, len(c.Turns.WithTopLoad), len(c.Turns.Bare))
	}
	if w.buildable() != nil {
		t.Error("a coil that cannot be built goes to print")
	}
}

// TestAccuracyTable: every comparison has its line, under its heading.
func TestAccuracyTable(t *testing.T) {
	w := newWindow(t)
	w.showAccuracy()
	if len(w.dialogs) != 1 {
		t.Fatalf("%d dialogs are open", len(w.dialogs))
	}
	found := false
	for _, o := range test.LaidOutObjects(w.window.Canvas().Overlays().Top()) {
		if text, ok := o.(*view.Text); ok {
			found = found || strings.Contains(text.Content(), "AWG 10")
		}
	}
	if !found {
		t.Error("the table does not begin with its first comparison, AWG 10")
	}
	w.dismiss()
}
