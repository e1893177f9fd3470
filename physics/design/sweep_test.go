package design

import (
	"context"
	"math"
	"slices"
	"testing"

	"gonum.org/v1/gonum/floats/scalar"
)

func curves(t *testing.T, d Design, vary SizeVariation) Curves {
	t.Helper()
	c, err := ComputeCurves(context.Background(), d, CurveOptions{Vary: vary})
	if err != nil {
		t.Fatalf("ComputeCurves: %v", err)
	}
	return c
}

// checkColumn fails unless the columns have one finite value for each x, and x
// ascends.
func checkColumns(t *testing.T, name string, x []float64, columns ...[]float64) {
	t.Helper()
	if len(x) < 5 {
		t.Errorf("%s has %d points", name, len(x))
	}
	for i := range x {
		if i > 0 && x[i] <= x[i-1] {
			t.Errorf("%s does not ascend at %d: %g, %g", name, i, x[i-1], x[i])
		}
	}
	for _, column := range append(columns, x) {
		if len(column) != len(x) {
			t.Errorf("%s has %d points and %d values", name, len(x), len(column))
		}
		for i, v := range column {
			if math.IsNaN(v) || math.IsInf(v, 0) || v < 0 {
				t.Errorf("%s at %d is %g", name, i, v)
			}
		}
	}
}

// The marks of the present design are what the report says, and the curves
// pass through them.
func TestCurvesMeetTheReport(t *testing.T) {
	d := read(t, desk)
	d.TargetFrequency = 3e6
	r := evaluated(t, d)
	for _, vary := range []SizeVariation{VaryFormer, VaryHub} {
		c := curves(t, d, vary)
		checkColumns(t, "turns", c.Turns.Turns, c.Turns.WithTopLoad, c.Turns.Bare)
		checkColumns(t, "size", c.Size.OuterDiameter, c.Size.Capacitance, c.Size.Smooth)
		checkColumns(t, "count", c.Count.Turn, c.Count.WireUsed, c.Count.Fill)
		for _, test := range []struct {
			name      string
			got, want float64
		}{
			{"present frequency", c.Turns.Present, *r.Resonance.Frequency},
			{"present bare frequency", c.Turns.PresentBare, *r.Resonance.BareFrequency},
			{"present diameter", c.Size.PresentDiameter, *r.TopLoad.OuterDiameter},
			{"present capacitance", c.Size.Present, *r.TopLoad.Capacitance},
			{"present smooth capacitance", c.Size.PresentSmooth, *r.TopLoad.SmoothCapacitance},
			{"curve at the present turns", c.Turns.WithTopLoad[slices.Index(c.Turns.Turns, 310)], *r.Resonance.Frequency},
			{"curve at the present size", nearest(c.Size.OuterDiameter, c.Size.Capacitance, c.Size.PresentDiameter), *r.TopLoad.Capacitance},
			{"target", c.Turns.Target, 3e6},
			{"turns that close the ring", c.Count.Closing, 19},
			{"fill of the ring when closed", c.Count.Fill[18], 2 * math.Pi},
		} {
			if !scalar.EqualWithinRel(test.got, test.want, 1e-12) {
				t.Errorf("%s = %g, want %g", test.name, test.got, test.want)
			}
		}
	}
}

// nearest returns the y of the x nearest to at.
func nearest(x, y []float64, at float64) float64 {
	best := 0
	for i := range x {
		if math.Abs(x[i]-at) < math.Abs(x[best]-at) {
			best = i
		}
	}
	return y[best]
}

// More turns ring lower, with a top load lower than without, and a bigger ring
// holds more charge.
func TestCurvesAreMonotone(t *testing.T) {
	c := curves(t, read(t, desk), VaryFormer)
	for i := range c.Turns.Turns {
		if c.Turns.WithTopLoad[i] >= c.Turns.Bare[i] {
			t.Errorf("at %g turns %g Hz with top load, %g without", c.Turns.Turns[i], c.Turns.WithTopLoad[i], c.Turns.Bare[i])
		}
		if i > 0 && c.Turns.WithTopLoad[i] >= c.Turns.WithTopLoad[i-1] {
			t.Errorf("the frequency rises from %g turns", c.Turns.Turns[i-1])
		}
	}
	for i := range c.Size.OuterDiameter {
		if i > 0 && c.Size.Capacitance[i] <= c.Size.Capacitance[i-1] {
			t.Errorf("the capacitance falls from %g m", c.Size.OuterDiameter[i-1])
		}
		if c.Size.Capacitance[i] >= c.Size.Smooth[i] {
			t.Errorf("at %g m the wires hold more than the smooth torus round them", c.Size.OuterDiameter[i])
		}
	}
}

func TestCurvesOfARingThatCannotBeBuilt(t *testing.T) {
	d := read(t, desk)
	d.TopLoad.Turns = 24
	byHub := curves(t, d, VaryHub)
	if byHub.Turns.WithTopLoad != nil {
		t.Error("a frequency with a ring that does not exist")
	}
	checkColumns(t, "turns", byHub.Turns.Turns, byHub.Turns.Bare)
	if byHub.Turns.Present != byHub.Turns.PresentBare {
		t.Errorf("present %g Hz lies off the only curve, %g Hz", byHub.Turns.Present, byHub.Turns.PresentBare)
	}
	checkColumns(t, "size", byHub.Size.OuterDiameter, byHub.Size.Capacitance, byHub.Size.Smooth)

	// 24 turns of AWG 14, 1.6277 mm, fit from d/sin(pi/24) - d = 10.843 mm.
	want := 0.010843 + 2*0.014 + 4*0.0016277
	if got := byHub.Size.BuildableFrom; !scalar.EqualWithinRel(got, want, 1e-4) {
		t.Errorf("buildable from %g m, want %g", got, want)
	}
	if byHub.Size.PresentDiameter >= byHub.Size.BuildableFrom {
		t.Error("the ring that cannot be built lies in the region that can")
	}
	if limit := byHub.Count.HubLimit; !(limit > 22 && limit < 23) || byHub.Count.Closing != 24 {
		t.Errorf("hub limit %g, closing %g", limit, byHub.Count.Closing)
	}

	byFormer := curves(t, d, VaryFormer) // no former helps
	last := byFormer.Size.OuterDiameter[len(byFormer.Size.OuterDiameter)-1]
	if byFormer.Size.BuildableFrom != last {
		t.Errorf("buildable from %g m, want the end of the curve, %g", byFormer.Size.BuildableFrom, last)
	}

	d.TopLoad.Turns = 2
	if few := curves(t, d, VaryFormer); few.Count.OfRing {
		t.Error("a count of a ring of two turns")
	}

	d.TopLoad.Turns, d.TopLoad.FormerDiameter = 19, 0.003
	bend := curves(t, d, VaryFormer) // AWG 14 bends round 2 d
	if got, want := bend.Size.BuildableFrom, 0.010+(4+4)*0.0016277; !scalar.EqualWithinRel(got, want, 1e-4) {
		t.Errorf("buildable from %g m, want %g", got, want)
	}
}

func TestCurvesOfEveryTopLoad(t *testing.T) {
	for _, kind := range []string{NoTopLoad, WireRing, Torus, Sphere, Disc} {
		d := New()
		d.SetTopLoadKind(kind)
		c := curves(t, d, VaryFormer)
		checkColumns(t, kind+" turns", c.Turns.Turns, c.Turns.Bare)
		checkColumns(t, kind+" count", append([]float64{}, c.Count.Turn...), c.Count.WireUsed)
		if kind == NoTopLoad {
			if c.Size.OuterDiameter != nil || c.Turns.WithTopLoad != nil {
				t.Error("curves of a top load that is not there")
			}
			continue
		}
		checkColumns(t, kind+" size", c.Size.OuterDiameter, c.Size.Capacitance)
	}
}

// Three turns are no surface, and the handbook has nothing to say of them.
func TestCurvesOfARingWithoutAnAnswer(t *testing.T) {
	d := read(t, desk)
	d.TopLoad.Turns, d.TopLoad.Wire.Gauge = 3, "AWG 20"
	r := evaluated(t, d)
	c := curves(t, d, VaryFormer)
	if r.Resonance.Frequency != nil {
		checkColumns(t, "turns", c.Turns.Turns, c.Turns.Bare, c.Turns.WithTopLoad)
		return // it is solved
	}
	if r.TopLoad.Capacitance != nil || r.Handbook.TopLoadCapacitance != nil || r.Resonance.BareFrequency == nil {
		t.Errorf("the report says %+v, %+v", r.TopLoad, r.Resonance)
	}
	checkColumns(t, "turns", c.Turns.Turns, c.Turns.Bare)
	if c.Turns.WithTopLoad != nil || c.Turns.Present != c.Turns.PresentBare {
		t.Errorf("present %g Hz, bare %g Hz", c.Turns.Present, c.Turns.PresentBare)
	}
}

// A ceiling ends the curve where the coil would touch it.
func TestTurnsCurveEndsAtTheCeiling(t *testing.T) {
	d := read(t, desk)
	d.Room.CeilingHeight = 0.13
	c := curves(t, d, VaryFormer)
	most := c.Turns.Turns[len(c.Turns.Turns)-1]
	open := curves(t, read(t, desk), VaryFormer)
	if end := open.Turns.Turns[len(open.Turns.Turns)-1]; !(most > 310 && most < end) {
		t.Errorf("the curve ends at %g turns, want between 310 and %g", most, end)
	}
}

// While a slider moves the axes stand still but for a few steps.
func TestSweepRangesGoInSteps(t *testing.T) {
	ends := map[float64]bool{}
	for turns := 200.0; turns <= 400; turns++ {
		d := read(t, desk)
		d.Secondary.Turns = turns
		hi := stepAbove(1.15 * turns)
		if hi < turns || hi > 2*turns {
			t.Errorf("%g turns are swept to %g", turns, hi)
		}
		ends[hi] = true
	}
	if len(ends) > 4 {
		t.Errorf("from 200 to 400 turns the axis has %d ends", len(ends))
	}
	for _, test := range []struct{ x, want float64 }{{1, 1}, {1.01, 1.5}, {0.0182, 0.02}, {356, 400}, {701, 1000}, {0.05, 0.05}} {
		if got := stepAbove(test.x); !scalar.EqualWithinRel(got, test.want, 1e-12) {
			t.Errorf("stepAbove(%g) = %g, want %g", test.x, got, test.want)
		}
	}
}

// The marks of the figures lie on their curves.
func TestCurvesHoldThePresent(t *testing.T) {
	for _, turns := range []float64{1, 37.25, 250, 310, 311, 400} {
		d := read(t, desk)
		d.Secondary.Turns = turns
		c := curves(t, d, VaryFormer)
		at, on := slices.BinarySearch(c.Turns.Turns, turns)
		if !on || c.Turns.WithTopLoad[at] != c.Turns.Present || c.Turns.Bare[at] != c.Turns.PresentBare {
			t.Errorf("%g turns are not on their own curve", turns)
		}
		if !slices.Contains(c.Size.Capacitance, c.Size.Present) {
			t.Errorf("the ring is not on its own curve: %g F", c.Size.Present)
		}
	}
}
