package app

import (
	"math"
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"

	"coilwright/physics/design"
	"coilwright/plotting"
)

// wheel turns the wheel over a figure where x stands in it.
func wheel(w *Window, i int, x float64, notches float32) fyne.Position {
	f := w.figureFrame(i)
	px, py := f.Place(x, (f.YMin+f.YMax)/2)
	at := w.plots[i].onScreen(float64(px), float64(py))
	w.figures[i].Picture().MouseMoved(&desktop.MouseEvent{PointEvent: fyne.PointEvent{Position: at}})
	w.figures[i].Pad().Scrolled(&fyne.ScrollEvent{PointEvent: fyne.PointEvent{Position: at}, Scrolled: fyne.NewDelta(0, notches*notch)})
	return at
}

// TestTheWheelLooksCloserAtEveryFigure: about the curve at the pointer, which
// stays where it is, on figures as they are and filling the window; the readout and
// a press still mean what is under the pointer.
func TestTheWheelLooksCloserAtEveryFigure(t *testing.T) {
	for _, test := range []struct {
		name   string
		figure int
		vary   int
		x      float64
	}{
		{"turns", figureTurns, 0, 250},
		{"size", figureSize, 0, 0.044},
		{"height", figureSize, varyHeight, 0.021},
		{"count", figureCountOfTurns, 0, 12},
	} {
		for _, enlarged := range []bool{false, true} {
			w := newWindow(t)
			pick(w.varyRing, test.vary)
			if enlarged {
				w.pointed = test.figure
				w.enlarge()
			}
			before := w.figureFrame(test.figure)
			at := wheel(w, test.figure, test.x, 4)
			after := w.figureFrame(test.figure)
			times := (before.XMax - before.XMin) / (after.XMax - after.XMin)
			if want := math.Pow(perNotch, 4); math.Abs(times-want) > 1e-6 {
				t.Errorf("%s: four notches look %g times closer, want %g", test.name, times, want)
			}
			in, _ := w.inputOf(test.figure, w.last)
			y := between(in.x, in.y, test.x)
			bx, by := before.Place(test.x, y)
			ax, ay := after.Place(test.x, y)
			// The labels of the axes may take more room.
			const slack = 24
			if math.Abs(float64(ax-bx)) > slack || math.Abs(float64(ay-by)) > slack {
				t.Errorf("%s: the point of the curve went from %g, %g to %g, %g", test.name, bx, by, ax, ay)
			}
			if words := w.readouts[test.figure].Words(); words == "" {
				t.Errorf("%s: nothing is read any more at %v", test.name, at)
			}
			pressFigure(w, test.figure, test.x, test.x)
			releaseFigure(w, test.figure)
			g, err := w.session.Design().Geometry()
			if err != nil {
				t.Fatal(err)
			}
			d := w.session.Design()
			got := map[string]float64{"turns": d.Secondary.Turns, "size": 2 * g.TopLoad.OuterRadius(), "height": d.TopLoad.Height, "count": float64(d.TopLoad.Turns)}[test.name]
			if math.Abs(got-test.x) > 0.01*test.x {
				t.Errorf("%s: a press at %g in a closer look gives %g", test.name, test.x, got)
			}
		}
	}
}

// TestADoubleClickShowsAllAndSetsNothing: the first of its two clicks would.
func TestADoubleClickShowsAllAndSetsNothing(t *testing.T) {
	w := newWindow(t)
	before, whole := w.session.Design().Secondary.Turns, w.figureFrame(figureTurns).Axes
	w.setTurns(before + 2)
	steps := w.session.Steps()
	wheel(w, figureTurns, 250, 3)
	for range 2 {
		pressFigure(w, figureTurns, 240, 240)
		releaseFigure(w, figureTurns)
	}
	if w.session.Design().Secondary.Turns != 240 {
		t.Fatal("a click in a closer look sets nothing")
	}
	w.figures[figureTurns].Pad().DoubleTapped(nil)
	if got := w.session.Design().Secondary.Turns; got != before+2 || w.session.Steps() != steps {
		t.Errorf("a double click leaves %g turns and %d steps, want %g and %d", got, w.session.Steps(), before+2, steps)
	}
	if got := w.figureFrame(figureTurns); got.XMin != whole.XMin || got.XMax != whole.XMax {
		t.Errorf("after it the figure shows %+v, want all of %+v", got.Axes, whole)
	}
	for range 2 {
		pressFigure(w, figureTurns, 240, 240)
		releaseFigure(w, figureTurns)
	}
	w.figures[figureTurns].Pad().DoubleTapped(nil)
	if got := w.session.Design().Secondary.Turns; got != 240 {
		t.Errorf("two clicks on a whole figure give %g turns, want 240", got)
	}
}

// TestKeysLookCloser: plus and minus about the present design, the arrows, 0.
func TestKeysLookCloser(t *testing.T) {
	w := newWindow(t)
	whole := w.figureFrame(figureTurns).Axes
	present := w.session.Design().Secondary.Turns
	share := func(a plotting.Axes) float64 { return (present - a.XMin) / (a.XMax - a.XMin) }
	w.typedRune('+')
	w.typedRune('+')
	closer := w.figureFrame(figureTurns).Axes
	if got, want := closer.XMax-closer.XMin, (whole.XMax-whole.XMin)/perKey/perKey; math.Abs(got-want) > 1e-6*want {
		t.Errorf("two times plus show %g turns, want %g", got, want)
	}
	if math.Abs(share(closer)-share(whole)) > 1e-6 {
		t.Errorf("the present design went from %g of the axis to %g", share(whole), share(closer))
	}
	w.typedKey(&fyne.KeyEvent{Name: fyne.KeyRight})
	if got := w.figureFrame(figureTurns).Axes; got.XMin <= closer.XMin {
		t.Errorf("the arrow to the right moves from %g to %g turns", closer.XMin, got.XMin)
	}
	w.typedRune('-')
	w.typedRune('0')
	if got := w.figureFrame(figureTurns).Axes; got != whole {
		t.Errorf("0 shows %+v, want %+v", got, whole)
	}
	w.typedKey(&fyne.KeyEvent{Name: fyne.KeyRight})
	if got := w.figureFrame(figureTurns).Axes; got != whole {
		t.Errorf("an arrow moves a figure that shows all to %+v", got)
	}
	w.showPage(pageUsing)
	w.typedRune('+')
	if got := w.figureFrame(figureTurns).Axes; got != whole {
		t.Error("a key under a dialog looks closer")
	}
	w.dismiss()
	var keys strings.Builder
	for _, row := range w.keyRows() {
		keys.WriteString(row[0] + ": " + row[1] + "\n")
	}
	for _, want := range []string{"Ctrl+=", "Ctrl+0", "+, −, 0", "Double click on a figure"} {
		if !strings.Contains(keys.String(), want) {
			t.Errorf("the list of keys does not name %s", want)
		}
	}
}

// TestTheCurveStaysInSight changes the coil under a closer look, far enough for its
// curve to leave what was seen.
func TestTheCurveStaysInSight(t *testing.T) {
	w := newWindow(t)
	wheel(w, figureTurns, 310, 8)
	for _, base := range []float64{0.02, 0.08, 0.01} {
		w.session.Edit("former", func(d *design.Design) { d.Secondary.FormerDiameter = base })
		f := w.figureFrame(figureTurns)
		in, ok := w.inputOf(figureTurns, w.last)
		if !ok {
			t.Fatal("no curve")
		}
		seen := false
		for share := 0.0; share <= 1; share += 0.01 {
			y := between(in.x, in.y, f.XMin+share*(f.XMax-f.XMin))
			seen = seen || y >= f.YMin && y <= f.YMax
		}
		if !seen {
			t.Errorf("with a former of %g m nothing of the curve is between %g and %g Hz", base, f.YMin, f.YMax)
		}
	}
}

// TestACloserLookIsOfOneFigure: another figure in the same place, and another
// document, are shown whole; so is every other figure.
func TestACloserLookIsOfOneFigure(t *testing.T) {
	w := newWindow(t)
	title := func() bool { return w.closeUps[figureSize].shown.Load() != nil }
	count := w.figureFrame(figureCountOfTurns)
	wheel(w, figureSize, 0.044, 3)
	size := w.figureFrame(figureSize)
	pick(w.varyRing, varyHeight)
	heights := w.figureFrame(figureSize)
	if all := w.last.Curves.Height.Height; heights.XMin > all[0] || heights.XMax < all[len(all)-1] {
		t.Errorf("the figure of the height shows %g to %g m of %g to %g", heights.XMin, heights.XMax, all[0], all[len(all)-1])
	}
	pick(w.varyRing, 0)
	if got := w.figureFrame(figureSize); got.XMin != size.XMin {
		t.Errorf("back at the size it shows from %g m, before from %g m", got.XMin, size.XMin)
	}
	if w.figureFrame(figureCountOfTurns) != count {
		t.Error("the figure beside it has changed")
	}
	w.session.New(w.session.Design())
	if title() {
		t.Error("a new document is looked at closer")
	}
}

// TestTheDriversFiguresZoomAlongTheirAxis: their second curves have scales of their
// own, so that the upright axis stays.
func TestTheDriversFiguresZoomAlongTheirAxis(t *testing.T) {
	w, s := openDrive(t)
	for i := range driveFigures {
		f, ok := s.looks[i].frame()
		if !ok {
			t.Fatalf("figure %d: %q", i, s.figures[i].Missing())
		}
		s.figures[i].Picture().MouseMoved(&desktop.MouseEvent{PointEvent: fyne.PointEvent{Position: fyne.NewPos(float32(f.Left+f.Right)/2, 40)}})
		w.typedRune('+')
		g, _ := s.looks[i].frame()
		if g.YMin != f.YMin || g.YMax != f.YMax || g.Axes == f.Axes {
			t.Errorf("figure %d: plus goes from %+v to %+v", i, f.Axes, g.Axes)
		}
		s.figures[i].Pad().DoubleTapped(nil)
		if g, _ = s.looks[i].frame(); g.Axes != f.Axes {
			t.Errorf("figure %d: a double click shows %+v, want %+v", i, g.Axes, f.Axes)
		}
	}
}
