package design

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/floats/scalar"
)

// The first mode starts at the foot with no voltage and all of the current, and
// ends at the top with all of the voltage.
func TestProfileEnds(t *testing.T) {
	for _, kind := range []string{NoTopLoad, WireRing, Torus, Sphere, Disc} {
		for _, turns := range []float64{1, 2, 37.25, 99.9, 310} {
			d := read(t, desk)
			d.SetPrimaryKind(NoPrimary)
			d.Secondary.Turns = turns
			d.SetTopLoadKind(kind)
			c := curves(t, d, VaryFormer).Profile
			checkProfile(t, kind, c)
			last := len(c.Height) - 1
			bottom, top := geometryOf(t, d).Winding.Bottom, geometryOf(t, d).Winding.Top
			if c.Height[0] != bottom || c.Height[last] != top || c.Voltage[0] != 0 || c.Voltage[last] != 1 || c.Current[0] != 1 {
				t.Errorf("%s, %g turns: from %g m, %g V, %g A to %g m, %g V, want from %g m, 0 V, 1 A to %g m, 1 V",
					kind, turns, c.Height[0], c.Voltage[0], c.Current[0], c.Height[last], c.Voltage[last], bottom, top)
			}
			if into := c.Current[last]; kind == NoTopLoad && into != 0 || kind != NoTopLoad && !(into > 0) {
				t.Errorf("%s, %g turns: %g A flow into the top load", kind, turns, into)
			}
		}
	}
}

func geometryOf(t *testing.T, d Design) Geometry {
	t.Helper()
	g, err := d.Geometry()
	if err != nil {
		t.Fatal(err)
	}
	return g
}

// checkProfile fails unless voltage rises along the winding and current, once it
// falls, falls for good; but for a body so wide that it draws charge of the other
// sign to the last turns under it.
func checkProfile(t *testing.T, name string, c ProfileCurve) {
	t.Helper()
	if len(c.Height) < 3 || len(c.Voltage) != len(c.Height) || len(c.Current) != len(c.Height) {
		t.Fatalf("%s: %d heights, %d voltages, %d currents", name, len(c.Height), len(c.Voltage), len(c.Current))
	}
	falls := false
	for i := 1; i < len(c.Height); i++ {
		up := c.Current[i] > c.Current[i-1]
		if !(c.Height[i] > c.Height[i-1]) || !(c.Voltage[i] >= c.Voltage[i-1]) || up && falls && name != Sphere {
			t.Errorf("%s: from %g m, %g V, %g A to %g m, %g V, %g A", name,
				c.Height[i-1], c.Voltage[i-1], c.Current[i-1], c.Height[i], c.Voltage[i], c.Current[i])
		}
		falls = falls || !up
	}
}

// No charge is lost on the way: what does not reach the top load stays on the
// turns.
func TestProfileKeepsTheCharge(t *testing.T) {
	d := read(t, desk)
	l, _ := layOut(&d)
	var r resonator
	m, err := r.modes(t.Context(), &d, &l)
	if err != nil {
		t.Fatal(err)
	}
	onTurns := 0.0
	for i, q := range m.Profile.Charge {
		onTurns += m.Profile.Weight[i] * q
	}
	c := profileCurve(&l, m)
	into := c.Current[len(c.Current)-1]
	omega := 2 * math.Pi * m.Frequency[0]
	if got := into + omega*onTurns/m.FootCurrent; !scalar.EqualWithinRel(got, 1, 1e-6) {
		t.Errorf("into the top load %g of the foot's current, onto turns the rest: %g in all, want 1 (continuity)", into, got)
	}
}

// A coil that is long against its width, bare and far from everything, is close
// to a quarter wave on a uniform line; a heavy load makes the voltage even.
func TestProfileLimits(t *testing.T) {
	d := read(t, desk)
	d.SetPrimaryKind(NoPrimary)
	d.SetTopLoadKind(NoTopLoad)
	d.Secondary.Turns = 2000
	bare := curves(t, d, VaryFormer).Profile
	d.Secondary.Turns = 20
	d.SetTopLoadKind(Sphere)
	d.TopLoad.Diameter, d.TopLoad.Height = 0.4, 0.25
	heavy := curves(t, d, VaryFormer).Profile
	middle := func(c ProfileCurve) float64 {
		return nearest(c.Height, c.Voltage, (c.Height[0]+c.Height[len(c.Height)-1])/2)
	}
	if got := middle(bare); math.Abs(got-math.Sin(math.Pi/4)) > 0.04 {
		t.Errorf("half way up a long bare coil %g of the top's voltage, want about 0.71 (quarter wave)", got)
	}
	if got := middle(heavy); math.Abs(got-0.5) > 0.04 {
		t.Errorf("half way up a coil under a heavy load %g of the top's voltage, want about 1/2 (one current all along)", got)
	}
	if got := heavy.Current[len(heavy.Current)-1]; got < 0.95 {
		t.Errorf("%g of the foot's current reaches a heavy load, want nearly all", got)
	}
}

// A ring that cannot be built leaves the profile of the bare coil.
func TestProfileWithoutAPossibleTopLoad(t *testing.T) {
	d := read(t, desk)
	d.TopLoad.Turns = 40
	c := curves(t, d, VaryFormer).Profile
	if into := c.Current[len(c.Current)-1]; len(c.Height) < 3 || into != 0 {
		t.Errorf("%d points, %g A into a ring that does not exist", len(c.Height), into)
	}
}
