package app

import (
	"math"
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"

	"coilwright/physics/design"
)

// pressFigure presses the pointer where x stands in a figure and moves it to
// where to stands.
func pressFigure(w *Window, i int, x, to float64) {
	f := w.figureFrame(i)
	at := func(x float64) fyne.Position {
		px, py := f.Place(x, (f.YMin+f.YMax)/2)
		return w.plots[i].onScreen(float64(px), float64(py))
	}
	p := w.figures[i].Pad()
	p.MouseDown(&desktop.MouseEvent{Button: desktop.MouseButtonPrimary, PointEvent: fyne.PointEvent{Position: at(x)}})
	if to != x {
		p.Dragged(&fyne.DragEvent{PointEvent: fyne.PointEvent{Position: at(to)}})
	}
}

func releaseFigure(w *Window, i int) {
	w.figures[i].Pad().MouseUp(nil)
	w.figures[i].Pad().DragEnd()
}

// TestAPressOnACurveSetsItsQuantity presses each figure and looks whether what
// its x axis stands for then has the value under the pointer, within half a
// step, as one step of the history.
func TestAPressOnACurveSetsItsQuantity(t *testing.T) {
	across := func(d design.Design) float64 {
		g, err := d.Geometry()
		if err != nil {
			t.Fatal(err)
		}
		return 2 * g.TopLoad.OuterRadius()
	}
	for _, test := range []struct {
		name      string
		figure    int
		vary      int // of the ring's size
		from, to  float64
		get       func(design.Design) float64
		tolerance float64
	}{
		{"turns", figureTurns, 0, 250, 280, func(d design.Design) float64 { return d.Secondary.Turns }, 0.5},
		{"ring by its former", figureSize, 0, 0.040, 0.046, across, 0.1e-3},
		{"ring by its hub", figureSize, 1, 0.044, 0.045, across, 0.1e-3},
		{"height", figureSize, varyHeight, 0.020, 0.022, func(d design.Design) float64 { return d.TopLoad.Height }, 0.05e-3},
		{"turns of the ring", figureCountOfTurns, 0, 12, 15, func(d design.Design) float64 { return float64(d.TopLoad.Turns) }, 0.5},
	} {
		w := newWindow(t)
		pick(w.varyRing, test.vary)
		before := w.session.Design()
		pressFigure(w, test.figure, test.from, test.from)
		if got := test.get(w.session.Design()); math.Abs(got-test.from) > test.tolerance*1.001 {
			t.Errorf("%s: a press at %g gives %g", test.name, test.from, got)
		}
		releaseFigure(w, test.figure)
		w.undo()
		pressFigure(w, test.figure, test.from, test.to)
		releaseFigure(w, test.figure)
		if got := test.get(w.session.Design()); math.Abs(got-test.to) > test.tolerance*1.001 {
			t.Errorf("%s: a drag to %g gives %g", test.name, test.to, got)
		}
		w.undo()
		if got, want := test.get(w.session.Design()), test.get(before); got != want || w.session.UndoName() != "" {
			t.Errorf("%s: one undo after one drag gives %g, want %g, and leaves %q", test.name, got, want, w.session.UndoName())
		}
	}
}

// TestAPressSetsEveryKindOfTopLoad: the size of each smooth body, its height, and
// without a ring the turns of the secondary in the winding count.
func TestAPressSetsEveryKindOfTopLoad(t *testing.T) {
	w := newWindow(t)
	size := func(d design.Design) float64 {
		g, err := d.Geometry()
		if err != nil {
			t.Fatal(err)
		}
		return 2 * g.TopLoad.OuterRadius()
	}
	height := func(d design.Design) float64 { return d.TopLoad.Height }
	turns := func(d design.Design) float64 { return d.Secondary.Turns }
	for _, test := range []struct {
		kind    string
		figure  int
		heights bool
		get     func(design.Design) float64
	}{
		{design.Torus, figureSize, false, size},
		{design.Torus, figureSize, true, height},
		{design.Sphere, figureSize, false, size},
		{design.Disc, figureSize, false, size},
		{design.Disc, figureCountOfTurns, false, turns},
		{design.NoTopLoad, figureCountOfTurns, false, turns},
		{design.NoTopLoad, figureTurns, false, turns},
	} {
		w.session.Edit("kind", func(d *design.Design) { d.SetTopLoadKind(test.kind) })
		options := w.session.CurveOptions()
		options.Height = test.heights
		w.session.SetCurveOptions(options)
		before, steps := test.get(w.session.Design()), w.session.Steps()
		f := w.figureFrame(test.figure)
		to := (f.XMin + 2*f.XMax) / 3
		pressFigure(w, test.figure, before, to)
		releaseFigure(w, test.figure)
		const tolerance = 0.01
		if got := test.get(w.session.Design()); math.Abs(got-to) > tolerance*to || w.session.Steps() != steps+1 {
			t.Errorf("%s, figure %d, heights %t: a drag from %g to %g gives %g in %d steps", test.kind, test.figure, test.heights, before, to, got, w.session.Steps()-steps)
		}
		w.undo()
	}
}

func TestEscapeGivesAPressOnACurveUp(t *testing.T) {
	w := newWindow(t)
	before := w.session.Design().Secondary.Turns
	pressFigure(w, figureTurns, 200, 220)
	w.typedKey(&fyne.KeyEvent{Name: fyne.KeyEscape})
	releaseFigure(w, figureTurns)
	if got := w.session.Design().Secondary.Turns; got != before || w.session.UndoName() != "" {
		t.Errorf("after Escape there are %g turns and the step %q, want %g and none", got, w.session.UndoName(), before)
	}
}

func TestAPressBesideTheAxesDoesNothing(t *testing.T) {
	w := newWindow(t)
	w.figures[figureTurns].Pad().MouseDown(&desktop.MouseEvent{Button: desktop.MouseButtonPrimary})
	releaseFigure(w, figureTurns)
	if name := w.session.UndoName(); name != "" {
		t.Errorf("a press outside the axes makes the step %q", name)
	}
}

// TestThePointerReadsTheCurve compares what stands beside the pointer, at the
// present design's place, with the results.
func TestThePointerReadsTheCurve(t *testing.T) {
	w := newWindow(t)
	d := w.session.Design()
	f := w.figureFrame(figureTurns)
	x, y := f.Place(d.Secondary.Turns, (f.YMin+f.YMax)/2)
	p := w.figures[figureTurns].Picture()
	p.MouseMoved(&desktop.MouseEvent{PointEvent: fyne.PointEvent{Position: fyne.NewPos(float32(x), float32(y))}})
	words := w.readouts[figureTurns].Words()
	// The curve is read between its points, so the last digits may differ.
	number, _, _ := strings.Cut(frequency(w), ".")
	if !strings.HasPrefix(words, "310 turns · "+number) {
		t.Errorf("at the present design the pointer reads %q, the coil rings at %s", words, frequency(w))
	}
	aside, _ := f.Place(d.Secondary.Turns+0.4, (f.YMin+f.YMax)/2)
	p.MouseMoved(&desktop.MouseEvent{PointEvent: fyne.PointEvent{Position: fyne.NewPos(float32(aside), float32(y))}})
	if got := w.readouts[figureTurns].Words(); got != words {
		t.Errorf("between two turns the pointer reads %q, at the nearer one %q", got, words)
	}
	p.MouseOut()
	if got := w.readouts[figureTurns].Words(); got != "" {
		t.Errorf("the pointer is gone and the readout says %q", got)
	}
}
