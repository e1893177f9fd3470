package inductance

import (
	"errors"
	"math"
	"testing"

	"gonum.org/v1/gonum/floats/scalar"
	"pgregory.net/rapid"
)

// TestPrimaryPlaces: turn i, from 0, lies at r0 + i·pitch·cos, z0 + i·pitch·sin.
func TestPrimaryPlaces(t *testing.T) {
	const r0, z0, pitch = 0.02, 0.005, 0.004
	for _, test := range []struct {
		name           string
		slant          float64 // rad
		radius, height float64 // m, of the fourth turn
	}{
		{"cylinder", math.Pi / 2, r0, z0 + 3*pitch},
		{"flat spiral", 0, r0 + 3*pitch, z0},
		{"cone of 30°", math.Pi / 6, r0 + 3*pitch*math.Sqrt(3)/2, z0 + 1.5*pitch},
	} {
		loops := Primary{Turns: 4, InnerRadius: r0, Pitch: pitch, Slant: test.slant, WireRadius: 0.001, BaseHeight: z0}.Loops()
		last := loops[len(loops)-1]
		if len(loops) != 4 || !scalar.EqualWithinAbs(last.Radius, test.radius, 1e-15) || !scalar.EqualWithinAbs(last.Height, test.height, 1e-15) {
			t.Errorf("%s: fourth of %d turns at r = %g m, z = %g m, want r = %g m, z = %g m", test.name, len(loops), last.Radius, last.Height, test.radius, test.height)
		}
	}
}

// TestSpiralAgainstWheeler: the rule of thumb is good to 5 % where the winding
// is wider than a fifth of its mean radius.
func TestSpiralAgainstWheeler(t *testing.T) {
	const source = "Wheeler, Proceedings of the IRE 16 (1928): a²n²/(8a+11c) µH, inches, 5 % for c > 0.2 a"
	const inch, tol = 0.0254, 0.05
	for _, p := range []Primary{
		{10, 0.05, 0.005, 0, 0.001, 0}, {6, 0.03, 0.006, 0, 0.001, 0}, {20, 0.1, 0.006, 0, 0.0015, 0}, {12, 0.02, 0.003, 0, 0.0008, 0},
	} {
		a := (p.InnerRadius + (p.Turns-1)*p.Pitch/2) / inch // mean radius
		c := p.Turns * p.Pitch / inch                       // width of the winding
		want := a * a * p.Turns * p.Turns / (8*a + 11*c) * 1e-6
		got, err := Inductance(p.Loops(), Uniform)
		if err != nil || !scalar.EqualWithinRel(got, want, tol) {
			t.Errorf("%+v: %v H, %v, want %v H (%s)", p, got, err, want, source)
		}
	}
}

// TestCouplingBounds: whatever stands round a winding, k is between 0 and 1, as
// the energy of any pair of currents must be positive, and so with the mirror of
// a metal plane.
func TestCouplingBounds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		secondary := Winding{
			Turns:  rapid.Float64Range(1, 60).Draw(t, "secondary turns"),
			Radius: 0.0125, Pitch: 0.0003, WireRadius: 0.0001, BaseHeight: 0.003,
		}
		const primaryWire = 0.0005
		primary := Primary{
			Turns:       rapid.Float64Range(0.1, 12).Draw(t, "primary turns"),
			InnerRadius: secondary.Radius + secondary.WireRadius + primaryWire + rapid.Float64Range(0, 0.1).Draw(t, "gap"),
			Pitch:       0.0012,
			Slant:       rapid.Float64Range(0, math.Pi/2).Draw(t, "slant"),
			WireRadius:  primaryWire,
			BaseHeight:  rapid.Float64Range(0.001, 0.05).Draw(t, "height"),
		}
		first, second := primary.Loops(), secondary.Loops()
		l1, err1 := Inductance(first, Uniform)
		l2, err2 := Inductance(second, Uniform)
		m, err3 := MutualInductance(first, second)
		back, err4 := MutualInductance(second, first)
		if err := errors.Join(err1, err2, err3, err4); err != nil {
			t.Fatal(err)
		}
		if !scalar.EqualWithinRel(m, back, 1e-13) {
			t.Errorf("M of primary and secondary %v H, of secondary and primary %v H", m, back)
		}
		if k := Coupling(l1, l2, m); !(k > 0 && k < 1) {
			t.Errorf("coupling coefficient %v is not between 0 and 1", k)
		}
		less1, err1 := MutualInductance(first, Mirror(first, 0))
		less2, err2 := MutualInductance(second, Mirror(second, 0))
		lessM, err3 := MutualInductance(first, Mirror(second, 0))
		if err := errors.Join(err1, err2, err3); err != nil {
			t.Fatal(err)
		}
		if !(less1 < l1 && less2 < l2) {
			t.Fatalf("the plane takes %v of %v H and %v of %v H", less1, l1, less2, l2)
		}
		if k := Coupling(l1-less1, l2-less2, m-lessM); !(k > 0 && k < 1) {
			t.Errorf("coupling coefficient over a metal plane %v is not between 0 and 1", k)
		}
	})
}

// TestPrimaryScales: double every length, and the inductance doubles, the
// coupling stays.
func TestPrimaryScales(t *testing.T) {
	at := func(s float64) (l, k float64) {
		primary := Primary{3.4, s * 0.02, s * 0.004, 0.5, s * 0.0007, s * 0.01}.Loops()
		winding := Winding{100.3, s * 0.0125, s * 0.0003, s * 0.0001, s * 0.018}
		l1, err1 := Inductance(primary, Surface)
		l2, err2 := winding.Inductance(Surface)
		m, err3 := MutualInductance(primary, winding.Loops())
		if err := errors.Join(err1, err2, err3); err != nil {
			t.Fatal(err)
		}
		return l1, Coupling(l1, l2, m)
	}
	l1, k1 := at(1)
	l2, k2 := at(2)
	if !scalar.EqualWithinRel(l2, 2*l1, 1e-14) || !scalar.EqualWithinRel(k2, k1, 1e-14) {
		t.Errorf("twice the size: %v H and k = %v, want twice %v H and k = %v", l2, k2, l1, k1)
	}
}

// TestPartOfATurnIsTheFirst: a primary of less than a turn lies where its first
// turn would, not half a pitch before it, inside the winding.
func TestPartOfATurnIsTheFirst(t *testing.T) {
	loops := Primary{0.125, 0.02, 0.004, 0.5, 0.0005, 0.01}.Loops()
	if len(loops) != 1 || loops[0] != (Loop{Radius: 0.02, Height: 0.01, WireRadius: 0.0005, Weight: 0.125}) {
		t.Errorf("an eighth of a turn is %+v, want it at the place of the first", loops)
	}
}
