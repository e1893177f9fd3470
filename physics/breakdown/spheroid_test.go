package breakdown

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/floats/scalar"
)

func TestSpheroid(t *testing.T) {
	needle := func(aspect float64) float64 { // half-axis along over across, large
		return aspect * aspect / (math.Log(2*aspect) - 1)
	}
	for _, test := range []struct {
		length, radius float64 // m
		want, tol      float64
		source         string
	}{
		{1, 1, 3, 1e-12, "half ball on a plane, 3"},
		// Osborn 1945: demagnetising factor 0.1736 at 2:1, 0.0203 at 10:1.
		{1, 0.25, 1 / 0.1736, 5e-4, "Osborn, Physical Review 67 (1945) 351, factor 0.1736 at 2:1 (from memory)"},
		{1, 0.01, 1 / 0.02029, 5e-4, "Osborn 1945, 0.02029 at 10:1 (from memory)"},
		{1, 4, 1 / 0.5272, 5e-4, "Osborn 1945, oblate 1:2, 0.5272 (from memory)"},
		{1, 1e-6, needle(1e3), 1e-5, "needle, a²/(ln 2a - 1)"},
		{1, 1e6, 1, 2e-3, "a flat bump changes little: 1 + π/2000"},
	} {
		got, err := Spheroid(test.length, test.radius)
		if err != nil || !scalar.EqualWithinRel(got, test.want, test.tol) {
			t.Errorf("Spheroid(%g, %g) = %.7g, %v, want %.7g (%s)", test.length, test.radius, got, err, test.want, test.source)
		}
	}
	// Where the form changes there is no step; scale does not matter; sharper is more.
	last := 0.0
	for flat := 1.2; flat > 0.8; flat -= 1e-4 {
		got, err := Spheroid(1e-3, flat*1e-3)
		if err != nil || got <= last || last > 0 && got > 1.001*last {
			t.Fatalf("Spheroid at radius/length %g = %g after %g, %v", flat, got, last, err)
		}
		last = got
	}
}

// The tip by another way: a line charge that grows with the height between the foci
// cancels the uniform field on the spheroid (Landau and Lifshitz, section 4).
func TestSpheroidByLineCharge(t *testing.T) {
	const a, b = 2.0, 1.0
	got, err := Spheroid(a, b*b/a)
	if err != nil {
		t.Fatal(err)
	}
	f := math.Sqrt(a*a - b*b)
	potential := func(z float64) float64 { return z*math.Log((z+f)/(z-f)) - 2*f } // on the axis, per k/4πε₀
	const h = 1e-5
	slope := (potential(a+h) - potential(a-h)) / (2 * h)
	want := 1 - slope*a/potential(a)
	if !scalar.EqualWithinRel(got, want, 1e-8) {
		t.Errorf("tip of a 2:1 spheroid: %.9g, want %.9g (line of charge between the foci)", got, want)
	}
}

func TestSparks(t *testing.T) {
	v, err := SparkByVoltage(30e3)
	if err != nil || !scalar.EqualWithinRel(v.Long, 0.0667, 1e-3) || !scalar.EqualWithinRel(v.Short, 0.024, 1e-3) {
		t.Errorf("SparkByVoltage(30 kV) = %+v, %v, want 24 to 67 mm (30 kV over 12.5 and 4.5 kV/cm)", v, err)
	}
	p, err := SparkByPower(100)
	if err != nil || !scalar.EqualWithinRel(p.Long, 17*0.0254, 1e-9) || p.Long < 3*p.Short || p.Status != Practice {
		t.Errorf("SparkByPower(100 W) = %+v, %v, want up to 17 inches (common practice, no source)", p, err)
	}
	// A linear drop of 10 kV over 1 cm carries positive streamers across, negative
	// not at all.
	r, err := StreamerReach(func(s float64) float64 { return 10e3 * (1 - s/0.01) }, 0.01)
	if err != nil || r.Long != 0.01 || r.Short != 0 {
		t.Errorf("StreamerReach at 10 kV/cm = %+v, %v, want all of it and nothing", r, err)
	}
	// From a ball of 1 cm at 30 kV the mean field to the distance s is V/(R + s).
	r, err = StreamerReach(func(s float64) float64 { return 30e3 * 0.01 / (0.01 + s) }, 0.5)
	if err != nil || math.Abs(r.Long-(30e3/4.5e5-0.01)) > 0.001 || math.Abs(r.Short-(30e3/12.5e5-0.01)) > 0.001 {
		t.Errorf("StreamerReach from a ball = %+v, %v, want 14 and 57 mm (V/(R + s) = g)", r, err)
	}
	if _, err := StreamerReach(func(float64) float64 { return math.NaN() }, 1); err == nil {
		t.Error("a potential that is no number passes")
	}
}
