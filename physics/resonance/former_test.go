package resonance

import (
	"errors"
	"math"
	"testing"
)

// onFormer puts the winding of c on a tube of the given wall, or a rod with a wall of
// 0, that ends 10 mm beyond it; the enamel is a tenth of the wire's radius.
func onFormer(c Coil, wall, permittivity float64) Coil {
	outer := c.Winding.Radius - 1.1*c.Winding.WireRadius
	inner := 0.0
	if wall > 0 {
		inner = outer - wall
	}
	c.Former = &Former{Inner: inner, Outer: outer, Bottom: c.Winding.Base - 0.01, Top: c.Winding.Top() + 0.01, RelativePermittivity: permittivity}
	return c
}

// TestFormerOfAir: permittivity 1 changes nothing, and little more little.
func TestFormerOfAir(t *testing.T) {
	var s Solver
	bare := solve(t, &s, deskCoil())
	air := solve(t, &s, onFormer(deskCoil(), 0.0015, 1))
	if bare.Frequency != air.Frequency {
		t.Errorf("with a former of air %v Hz, without %v Hz", air.Frequency, bare.Frequency)
	}
	within(t, "frequency at permittivity 1.000001", solve(t, &s, onFormer(deskCoil(), 0.0015, 1.000001)).Frequency[0], bare.Frequency[0], 1e-7, "limit")
}

// TestFormerLowers: more permittivity and more wall lower every mode.
func TestFormerLowers(t *testing.T) {
	var s Solver
	coil := deskCoil()
	coil.Winding.Turns, coil.Winding.Pitch, coil.Winding.WireRadius = 60, 0.001, 0.0004
	last := solve(t, &s, coil).Frequency
	lower := func(wall, permittivity float64) {
		m := solve(t, &s, onFormer(coil, wall, permittivity))
		for i, f := range m.Frequency {
			if !(f < last[i]) {
				t.Errorf("wall %g m, permittivity %g: mode %d at %g Hz, with less %g Hz", wall, permittivity, i, f, last[i])
			}
		}
		last = m.Frequency
	}
	for _, e := range []float64{1.5, 2.55, 4} {
		lower(0.001, e)
	}
	lower(0.002, 4)
	lower(0.005, 4)
	lower(0, 4)
	lower(0, 8)
}

func TestFormerRefused(t *testing.T) {
	var s Solver
	for name, change := range map[string]func(f *Former){
		"permittivity below 1":     func(f *Former) { f.RelativePermittivity = 0.5 },
		"no number":                func(f *Former) { f.RelativePermittivity = math.NaN() },
		"wider than the coil":      func(f *Former) { f.Outer = 0.0126 },
		"inside out":               func(f *Former) { f.Inner = 0.0125 },
		"upside down":              func(f *Former) { f.Top = f.Bottom },
		"through the floor":        func(f *Former) { f.Bottom = -0.001 },
		"of negative inner radius": func(f *Former) { f.Inner = -0.001 },
	} {
		c := onFormer(deskCoil(), 0.0015, 2)
		change(c.Former)
		if _, err := s.Solve(t.Context(), &c); !errors.Is(err, ErrGeometry) {
			t.Errorf("%s: %v, want ErrGeometry", name, err)
		}
	}
}

// TestFormerIsKept: what is kept from coil to coil is of that coil.
func TestFormerIsKept(t *testing.T) {
	var s Solver
	a, b := onFormer(deskCoil(), 0.0015, 2.5), deskCoil()
	b.Winding.Base += 0.001
	want := solve(t, &s, a).Frequency[0]
	solve(t, &s, b)
	solve(t, &s, onFormer(b, 0.0015, 4))
	within(t, "frequency asked for again", solve(t, &s, a).Frequency[0], want, 1e-12, "the first time")
}

// TestFormerUnderMedhurst prints, with -v, how far a rod of polystyrene lowers the
// frequency of a coil of Medhurst's lengths.
func TestFormerUnderMedhurst(t *testing.T) {
	var s Solver
	for _, x := range []float64{0.5, 1, 2, 4, 5, 10} {
		c := Coil{Winding: Winding{Radius: 0.05, Turns: 80, Base: 0.02}, Room: Room{Floor: height(0)}}
		c.Winding.Pitch = 0.1 * x / 80
		c.Winding.WireRadius = c.Winding.Pitch / 4
		air := solve(t, &s, c)
		rod := solve(t, &s, onFormer(c, 0, 2.55))
		ratio := air.Frequency[0] / rod.Frequency[0]
		t.Logf("length %g diameters: %.2f %% more capacitance on a rod, %.2f %% on a tube of 3 mm", x, 100*(ratio*ratio-1), 100*(math.Pow(air.Frequency[0]/solve(t, &s, onFormer(c, 0.003, 2.55)).Frequency[0], 2)-1))
		if !(ratio > 1 && ratio*ratio < 2.55) {
			t.Errorf("length %g diameters: %g times the capacitance on a rod of permittivity 2.55", x, ratio*ratio)
		}
	}
}
