package plotting

import (
	"math"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg/draw"

	"coilwright/physics/design"
)

// mustPlot builds a sample in the light style.
func mustPlot(t *testing.T, name string) *plot.Plot {
	t.Helper()
	p, err := sample(name)(Light())
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// TestCloserKeepsThePlace goes closer and farther about places of linear and
// logarithmic axes: what was at the place stays there, by as much as was asked.
func TestCloserKeepsThePlace(t *testing.T) {
	for _, whole := range []Axes{
		{XMin: 60, XMax: 600, YMin: 0, YMax: 4e6},
		{XMin: 10, XMax: 1e5, YMin: -3, YMax: 7, LogX: true},
	} {
		for _, at := range []struct{ right, up float64 }{{0.5, 0.5}, {0.2, 0.9}, {0, 1}} {
			a := whole.Closer(whole, at.right, at.up, 4, false)
			b := a.Closer(whole, at.right, at.up, 1.5, false)
			for _, part := range []Axes{a, b} {
				x, y := whole.at(at.right), whole.YMin+at.up*(whole.YMax-whole.YMin)
				if math.Abs(part.along(x)-at.right) > 1e-9 || math.Abs(part.up(y)-at.up) > 1e-9 {
					t.Errorf("%+v of %+v: the place %+v went to %g, %g", part, whole, at, part.along(x), part.up(y))
				}
			}
			if got := whole.along(b.XMax) - whole.along(b.XMin); math.Abs(got-1./6) > 1e-9 {
				t.Errorf("4 times closer and 1.5 times shows %g of the axis, want 1/6", got)
			}
			if back := b.Closer(whole, at.right, at.up, 1./6, false); back != whole {
				t.Errorf("as many times farther shows %+v, want the whole %+v", back, whole)
			}
		}
	}
}

// TestNobodyGetsLost turns the wheel far beyond both ends and moves away.
func TestNobodyGetsLost(t *testing.T) {
	whole := AxesOf(mustPlot(t, "turns"))
	inside := func(what string, a Axes) {
		t.Helper()
		if a.XMin < whole.XMin-1e-9 || a.XMax > whole.XMax+1e-9 || a.YMin < whole.YMin-1e-3 || a.YMax > whole.YMax+1e-3 {
			t.Errorf("%s shows %+v, beyond the whole %+v", what, a, whole)
		}
	}
	a := whole
	for range 100 {
		a = a.Closer(whole, 0.1, 0.9, 1.25, false)
		inside("closer", a)
	}
	if got, want := a.XMax-a.XMin, (whole.XMax-whole.XMin)/mostZoom; math.Abs(got-want) > 1e-9*want {
		t.Errorf("the closest shows %g turns, want %g", got, want)
	}
	for range 100 {
		a = a.Moved(whole, 0.4, -0.7)
		inside("moved", a)
	}
	if math.Abs(a.XMax-whole.XMax) > 1e-9 || math.Abs(a.YMin-whole.YMin) > 1e-3 {
		t.Errorf("moved to the lower right for long it shows %+v, want that corner of %+v", a, whole)
	}
	if flat := whole.Closer(whole, 0.5, 0.5, 8, true); flat.YMin != whole.YMin || flat.YMax != whole.YMax {
		t.Errorf("flat, the upright axis shows %g to %g", flat.YMin, flat.YMax)
	}
	count := AxesOf(mustPlot(t, "count"))
	if few := count.Closer(count, 0.5, 0.5, 1000, false); math.Abs(few.XMax-few.XMin-leastCount) > 1e-9 {
		t.Errorf("the closest shows %g turns of a ring, want %d", few.XMax-few.XMin, leastCount)
	}
}

// TestFollowingKeepsTheCurve looks at a part beside the curve, above and under it.
func TestFollowingKeepsTheCurve(t *testing.T) {
	curve := turnsCurve()
	whole := AxesOf(mustPlot(t, "turns"))
	for _, foot := range []float64{0, 0.5e6, 3e6} {
		part := Axes{XMin: 305, XMax: 345, YMin: foot, YMax: foot + 0.4e6}
		got := part.Following(whole, curve.Turns, curve.WithTopLoad)
		y, _ := at(curve.Turns, curve.WithTopLoad, 320)
		if y < got.YMin || y > got.YMax {
			t.Errorf("from %g Hz on it shows %g to %g Hz, the curve is at %g Hz", foot, got.YMin, got.YMax, y)
		}
	}
	seen := Axes{XMin: 305, XMax: 345, YMin: 1.7e6, YMax: 2e6}
	if got := seen.Following(whole, curve.Turns, curve.WithTopLoad); math.Abs(got.YMin-seen.YMin) > 1e-3 {
		t.Errorf("a part with the curve in it moves from %g to %g Hz", seen.YMin, got.YMin)
	}
}

// TestZoomedFiguresAreWhole draws parts of every figure: nothing outside the
// frame, no label cut off, and no word about what is not seen.
func TestZoomedFiguresAreWhole(t *testing.T) {
	for _, s := range samples {
		if s.name == "size-none" {
			continue
		}
		for _, place := range []float64{0.05, 0.3, 0.6, 0.95} {
			for _, times := range []float64{1.3, 4, mostZoom} {
				p := mustPlot(t, s.name)
				whole := AxesOf(p)
				part := whole.Closer(whole, place, 1-place, times, false)
				Zoom(p, part)
				w := newWatcher(530, 205)
				frame := Draw(p, draw.New(w))
				inspect(t, s.name+" zoomed", w, Light())
				if !strings.Contains(w.texts[0].text, "×") {
					t.Errorf("%s: the title %q does not say that it is zoomed", s.name, w.texts[0].text)
				}
				if math.Abs(frame.XMin-part.XMin) > 1e-9*whole.XMax || math.Abs(frame.YMax-part.YMax) > 1e-9*whole.YMax {
					t.Errorf("%s: the frame shows %+v, want %+v", s.name, frame.Axes, part)
				}
				for _, line := range w.lines {
					for _, at := range line.points {
						if y := w.height - at.Y; line.width >= Light().GuideWidth && (at.X < frame.Left-1 || at.X > frame.Right+1 || y < frame.Top-1 || y > frame.Bottom+1) {
							t.Fatalf("%s at %g: a line leaves the frame at %v", s.name, place, at)
						}
					}
				}
			}
		}
	}
	curve := turnsCurve()
	p := mustPlot(t, "turns")
	Zoom(p, Axes{XMin: 400, XMax: 440, YMin: 1.2e6, YMax: 1.6e6})
	w := newWatcher(530, 205)
	Draw(p, draw.New(w))
	for _, gone := range []string{Light().turns(curve.PresentTurns), "target", "without top load"} {
		if w.found(gone) {
			t.Errorf("%q is written though it is out of the frame: %q", gone, words(w))
		}
	}
}

// TestTheRightScaleZoomsToo: the share at a height stays beside that height.
func TestTheRightScaleZoomsToo(t *testing.T) {
	p := mustPlot(t, "height")
	whole := AxesOf(p)
	Zoom(p, whole.Closer(whole, 0.5, 0, 2, false)) // the lower half: 0 to 50 %
	w := newWatcher(700, 450)
	Draw(p, draw.New(w))
	if !w.found("50 %") || w.found("100 %") || w.found("80") {
		t.Errorf("the lower half reads %q, want a scale to 50 %%", words(w))
	}
}

// TestResistancesHaveTicksAtAnyZoom: a logarithmic axis shorter than a decade.
func TestResistancesHaveTicksAtAnyZoom(t *testing.T) {
	for lo := 100.0; lo < 2e6; lo *= 1.7 {
		for _, ratio := range []float64{1.1, 1.4, 3, 8, 30, 90, 150, 1e4} {
			if got := len(ohmDecades{}.Ticks(lo, lo*ratio)); got < 2 || got > 9 {
				t.Errorf("from %g Ω to %g Ω there are %d ticks", lo, lo*ratio, got)
			}
		}
	}
}

// TestKeptCurvesAreInEveryFigure looks for the name, the colour and the dash of
// two kept designs.
func TestKeptCurvesAreInEveryFigure(t *testing.T) {
	shifted := func(slot int, name string, x, y []float64, by float64) Kept {
		k := Kept{Slot: slot, Name: name, X: x}
		for _, v := range y {
			k.Y = append(k.Y, v*by)
		}
		return k
	}
	turns, size, height, ring, secondary := turnsCurve(), sizeCurve(), heightCurve(), countCurve(), secondaryCount()
	two := func(x, y []float64) []Kept {
		return []Kept{shifted(0, "A", x, y, 1.06), shifted(3, "B", x, y, 0.93)}
	}
	style := Light()
	for name, build := range map[string]func([]Kept) (*plot.Plot, error){
		"turns":  func(k []Kept) (*plot.Plot, error) { return TurnsFigure(turns, Units{}, style, k...) },
		"size":   func(k []Kept) (*plot.Plot, error) { return SizeFigure(size, Units{}, style, k...) },
		"height": func(k []Kept) (*plot.Plot, error) { return HeightFigure(height, Units{}, style, k...) },
		"ring":   func(k []Kept) (*plot.Plot, error) { return CountFigure(ring, Units{}, style, k...) },
		"count":  func(k []Kept) (*plot.Plot, error) { return CountFigure(secondary, Units{}, style, k...) },
	} {
		x, y := map[string][]float64{"turns": turns.Turns, "size": size.OuterDiameter, "height": height.Height, "ring": ring.Turn, "count": secondary.Turn}[name],
			map[string][]float64{"turns": turns.WithTopLoad, "size": size.Capacitance, "height": height.Frequency, "ring": ring.WireUsed, "count": secondary.WireUsed}[name]
		p, err := build(two(x, y))
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		w := newWatcher(700, 450)
		Draw(p, draw.New(w))
		inspect(t, name+" with kept ones", w, style)
		if !w.found("A") || !w.found("B") {
			t.Errorf("%s: the kept curves are not named: %q", name, words(w))
		}
		for slot, ink := range map[int]any{0: style.Target, 3: style.Second} {
			found := false
			for _, line := range w.lines {
				found = found || line.ink == ink && line.width == style.GuideWidth && slices.Equal(line.dash, style.keptDash(slot))
			}
			if !found {
				t.Errorf("%s: no line has the colour and the dash of slot %d", name, slot)
			}
		}
		if _, err := build([]Kept{{Name: "broken", X: []float64{1, 2}, Y: []float64{1, math.NaN()}}}); err == nil {
			t.Errorf("%s: a kept curve with a hole is drawn", name)
		}
	}
}

// TestAFarKeptCurveLeavesRoom: the axis reaches to a kept curve, but not so far
// that nothing is left of the present one.
func TestAFarKeptCurveLeavesRoom(t *testing.T) {
	curve := heightCurve()
	low, high := extremes(curve.Frequency)
	for _, test := range []struct {
		by   float64
		seen bool
	}{{1.1, true}, {3, false}} {
		k := Kept{Name: "A", X: curve.Height}
		for _, f := range curve.Frequency {
			k.Y = append(k.Y, f*test.by)
		}
		p, err := HeightFigure(curve, Units{}, Light(), k)
		if err != nil {
			t.Fatal(err)
		}
		if seen := p.Y.Max >= high*test.by; seen != test.seen {
			t.Errorf("%g times as high: the axis ends at %g Hz, curve %g to %g Hz", test.by, p.Y.Max, low, high)
		}
	}
	if _, err := HeightFigure(design.HeightCurve{}, Units{}, Light(), Kept{}); err != nil {
		t.Errorf("without a top load: %v", err)
	}
}
