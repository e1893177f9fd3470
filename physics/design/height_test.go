package design

import (
	"context"
	"errors"
	"math"
	"slices"
	"testing"

	"gonum.org/v1/gonum/floats/scalar"
)

func heightCurve(t *testing.T, d Design) HeightCurve {
	t.Helper()
	c, err := ComputeHeightCurve(context.Background(), d)
	if err != nil {
		t.Fatalf("ComputeHeightCurve: %v", err)
	}
	return c
}

// The farther up, the lower the coil rings and the less shade there is.
func TestHeightCurveIsMonotone(t *testing.T) {
	for _, kind := range []string{WireRing, Torus, Sphere, Disc} {
		for _, ground := range []string{Floor, MetalPlane, Open} {
			d := read(t, desk)
			d.Room.Ground = ground
			d.SetTopLoadKind(kind)
			c := heightCurve(t, d)
			checkColumns(t, kind, c.Height, c.Frequency, c.Shading)
			for i := 1; i < len(c.Height); i++ {
				if c.Frequency[i] >= c.Frequency[i-1] || c.Shading[i] <= c.Shading[i-1] || c.Shading[i] >= 1 {
					t.Errorf("%s, %s: %g Hz, %g at %g m, %g Hz, %g at %g m", kind, ground,
						c.Frequency[i-1], c.Shading[i-1], c.Height[i-1], c.Frequency[i], c.Shading[i], c.Height[i])
				}
			}
		}
	}
}

// The mark is what the report says, and on the curve.
func TestHeightCurveMeetsTheReport(t *testing.T) {
	d := read(t, desk)
	for _, height := range []float64{0.0123, 0.014, 0.05, 0.3} {
		d.TopLoad.Height = height
		c, r := heightCurve(t, d), evaluated(t, d)
		bare := d
		bare.TopLoad = TopLoad{Kind: NoTopLoad}
		added := *r.Resonance.TopCapacitance - *evaluated(t, bare).Resonance.TopCapacitance
		at, on := slices.BinarySearch(c.Height, height)
		if !on || c.Frequency[at] != c.Present || c.Shading[at] != c.PresentShading {
			t.Errorf("%g m is not on its own curve", height)
		}
		if !scalar.EqualWithinRel(c.Present, *r.Resonance.Frequency, 1e-12) || !scalar.EqualWithinRel(c.PresentShading, added / *r.TopLoad.Capacitance, 1e-9) {
			t.Errorf("at %g m %g Hz and %g, the report says %g Hz and %g", height, c.Present, c.PresentShading, *r.Resonance.Frequency, added / *r.TopLoad.Capacitance)
		}
		if end := c.Height[len(c.Height)-1]; end < height || end < 0.0445 || end > 3*math.Max(height, 0.0445) {
			t.Errorf("at %g m the curve ends at %g m", height, end)
		}
	}
}

// Far up in the open the load no longer meets the winding: what is left is the
// change of the winding's own share, which a smaller load leaves larger.
func TestShadingFarUp(t *testing.T) {
	far := func(diameter, height float64) float64 {
		d := read(t, desk)
		d.SetPrimaryKind(NoPrimary)
		d.Room.Ground = Open
		d.SetTopLoadKind(Sphere)
		d.TopLoad.Diameter, d.TopLoad.Height = diameter, height
		return heightCurve(t, d).PresentShading
	}
	var last float64
	for _, diameter := range []float64{0.004, 0.04, 0.4, 2} {
		near, limit := far(diameter, 5), far(diameter, 10)
		if math.Abs(limit-near) > 0.02*limit {
			t.Errorf("a ball of %g m adds %g at 5 m and %g at 10 m: no limit", diameter, near, limit)
		}
		if !(limit > last && limit < 1) {
			t.Errorf("a ball of %g m adds %g far up, a smaller one %g", diameter, limit, last)
		}
		last = limit
	}
	if last < 0.97 {
		t.Errorf("a very large ball far up adds %g, want nearly all", last)
	}
}

// Twice the size: half the frequency, the same shade.
func TestHeightCurveScales(t *testing.T) {
	at := func(scale float64) HeightCurve {
		d := New()
		d.SetPrimaryKind(NoPrimary)
		d.Room.Ground = Open
		d.Secondary.Wire = Wire{Gauge: map[float64]string{1: "0.20 mm", 2: "0.40 mm"}[scale], Insulation: Bare}
		d.Secondary.FormerDiameter, d.Secondary.Pitch, d.Secondary.BaseHeight = scale*0.025, scale*0.00025, scale*0.02
		d.TopLoad = TopLoad{Kind: Sphere, Diameter: scale * 0.03, Height: scale * 0.02, Closed: true}
		return heightCurve(t, d)
	}
	one, two := at(1), at(2)
	if !scalar.EqualWithinRel(two.Present, one.Present/2, 1e-9) || !scalar.EqualWithinRel(two.PresentShading, one.PresentShading, 1e-6) {
		t.Errorf("twice the size: %g Hz and %g, want half of %g Hz and %g", two.Present, two.PresentShading, one.Present, one.PresentShading)
	}
}

// Heights at which it cannot be built are left out: in the winding, through the
// ceiling.
func TestHeightCurveLeavesOut(t *testing.T) {
	d := read(t, desk)
	c := heightCurve(t, d)
	d.TopLoad.Height = c.Height[0]
	if problems := Check(d); len(problems) > 0 {
		t.Errorf("the curve begins at %g m, where %v", c.Height[0], problems)
	}
	if c.Height[0] < 0.005 {
		t.Errorf("the curve begins at %g m, in the winding", c.Height[0])
	}
	d = read(t, desk)
	d.Room.CeilingHeight = geometryOf(t, d).TopLoad.Centre + 0.02
	low := heightCurve(t, d)
	if end := low.Height[len(low.Height)-1]; !(end >= d.TopLoad.Height && end < 0.03) {
		t.Errorf("under a ceiling the curve ends at %g m", end)
	}

	// A wide torus may hang below the edge.
	d = read(t, desk)
	d.SetPrimaryKind(NoPrimary)
	d.SetTopLoadKind(Torus)
	d.TopLoad.OuterDiameter, d.TopLoad.TubeDiameter, d.TopLoad.Height = 0.08, 0.01, -0.01
	if hanging := heightCurve(t, d); !(hanging.Height[0] < -0.01) || !slices.Contains(hanging.Height, -0.01) {
		t.Errorf("the curve of a torus that hangs begins at %g m", hanging.Height[0])
	}

	d.TopLoad = TopLoad{Kind: NoTopLoad}
	if none := heightCurve(t, d); none.Height != nil || none.Kind != NoTopLoad {
		t.Errorf("a curve of no top load: %+v", none)
	}
	d = read(t, desk)
	d.TopLoad.Turns = 40
	var problems Problems
	if _, err := ComputeHeightCurve(t.Context(), d); !errors.As(err, &problems) {
		t.Errorf("a ring that cannot be built: %v, want Problems", err)
	}
}

// A used solver answers as a fresh one, in whatever order it is asked.
func TestHeightCurveRemembersNothingWrong(t *testing.T) {
	s := NewSolver()
	for _, kind := range []string{WireRing, Torus, WireRing} {
		for _, height := range []float64{0.014, 0.02, 0.2, 0.014} { // the range goes up and back
			d := read(t, desk)
			d.SetTopLoadKind(kind)
			d.TopLoad.Height = height
			if _, err := s.Evaluate(t.Context(), d); err != nil {
				t.Fatal(err)
			}
			got, err := s.HeightCurve(t.Context(), d)
			if err != nil {
				t.Fatal(err)
			}
			want := heightCurve(t, d)
			if !slices.Equal(got.Height, want.Height) || !slices.Equal(got.Frequency, want.Frequency) || !slices.Equal(got.Shading, want.Shading) {
				t.Errorf("%s at %g m: a used solver differs from a fresh one", kind, height)
			}
		}
	}
}

func TestHeightCurveStops(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if _, err := ComputeHeightCurve(ctx, read(t, desk)); !errors.Is(err, context.Canceled) {
		t.Errorf("ComputeHeightCurve: %v, want context.Canceled", err)
	}
}
