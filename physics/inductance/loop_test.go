package inductance

import (
	"errors"
	"math"
	"testing"

	"gonum.org/v1/gonum/floats/scalar"

	"coilwright/physics/si"
)

// neumann is Neumann's double integral for two coaxial loops, by the trapezoid
// rule, which converges faster than any power for a smooth periodic integrand.
func neumann(a, b, d float64) float64 {
	const n = 4000
	var sum float64
	for i := range n {
		cos := math.Cos(2 * math.Pi * float64(i) / n)
		sum += cos / math.Sqrt(a*a+b*b+d*d-2*a*b*cos)
	}
	return si.Mu0 / 2 * a * b * sum * 2 * math.Pi / n
}

// dipole is the mutual inductance of two small loops far apart on one axis.
func dipole(a, b, d float64) float64 {
	return si.Mu0 * math.Pi * a * a * b * b / (2 * d * d * d)
}

func TestMutualLoops(t *testing.T) {
	for _, test := range []struct {
		name    string
		a, b, d float64 // m
		want    float64 // H
		tol     float64 // relative
		source  string
	}{
		{"equal radii", 0.05, 0.05, 0.05, neumann(0.05, 0.05, 0.05), 1e-13, "Neumann integral, this file"},
		{"unequal radii, one plane", 0.06, 0.04, 0, neumann(0.06, 0.04, 0), 1e-13, "Neumann integral, this file"},
		{"close", 0.03, 0.03, 0.001, neumann(0.03, 0.03, 0.001), 1e-12, "Neumann integral, this file"},
		{"far apart", 0.01, 0.02, 2, dipole(0.01, 0.02, 2), 2e-4, "dipole limit, error 3(a²+b²)/2d²"},
		{"very far apart", 0.01, 0.02, 2000, dipole(0.01, 0.02, 2000), 2e-10, "dipole limit, error 3(a²+b²)/2d²"},
		{"textbook circles", 0.25, 0.20, 0.10, 248.7875e-9, 1e-6, "Rosa and Grover 1912, example of two circles, 248.7875 cm (from memory)"},
	} {
		got, err := MutualLoops(test.a, test.b, test.d)
		if err != nil || !scalar.EqualWithinRel(got, test.want, test.tol) {
			t.Errorf("%s: MutualLoops(%g, %g, %g) = %v H, %v, want %v H (%s)", test.name, test.a, test.b, test.d, got, err, test.want, test.source)
		}
	}
}

func TestMutualLoopsRefuses(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for _, test := range [][3]float64{{0, 1, 1}, {1, -1, 1}, {1, 1, 0}, {nan, 1, 1}, {1, inf, 1}, {1, 1, inf}, {1, 1, nan}, {1, 1, 1e-170}, {1e200, 1, 1}} {
		if got, err := MutualLoops(test[0], test[1], test[2]); !errors.Is(err, ErrGeometry) {
			t.Errorf("MutualLoops(%v) = %v, %v, want ErrGeometry", test, got, err)
		}
	}
}

func TestValidationMutualLoops(t *testing.T) {
	r := readReference(t)
	for _, test := range r.MutualLoops {
		got, err := MutualLoops(test.A, test.B, test.D)
		if err != nil || !scalar.EqualWithinRel(got, test.Henry, 1e-12) {
			t.Errorf("MutualLoops(%g, %g, %g) = %v H, %v, want %v H (%s)", test.A, test.B, test.D, got, err, test.Henry, r.Source)
		}
	}
}

func FuzzMutualLoops(f *testing.F) {
	f.Add(0.05, 0.04, 0.02, 3.0)
	f.Add(1e-3, 1e-3, 1e-9, 7.0)
	f.Add(1e-3, 900.0, 900.0, 0.01)
	f.Fuzz(func(t *testing.T, a, b, d, s float64) {
		for _, x := range []float64{a, b, s} {
			if !(x > 1e-3 && x < 1e3) {
				t.Skip("outside the range a winder meets")
			}
		}
		if !(math.Abs(d) < 1e3) || math.Hypot(a-b, d) < 1e-6*(a+b) {
			t.Skip("no pair of filaments a winder meets")
		}
		one, err1 := MutualLoops(a, b, d)
		scaled, err2 := MutualLoops(s*a, s*b, s*d)
		swapped, err3 := MutualLoops(b, a, -d)
		if err := errors.Join(err1, err2, err3); err != nil {
			t.Fatal(err)
		}
		const tol = 1e-9 // the distance of near filaments loses digits when scaled
		if !scalar.EqualWithinRel(scaled, s*one, tol) {
			t.Errorf("M(%g × size) = %g H, want %g H: inductance grows with size", s, scaled, s*one)
		}
		if !scalar.EqualWithinRel(swapped, one, 1e-14) {
			t.Errorf("M(b, a) = %g H, M(a, b) = %g H", swapped, one)
		}
		bound := si.Mu0 * math.Sqrt(a*b) * (math.Log(8*math.Sqrt(a*b)/math.Hypot(a-b, d)) + 1)
		if one <= 0 || bound > 0 && one > math.Max(bound, si.Mu0*math.Sqrt(a*b)*8) {
			t.Errorf("M(%g, %g, %g) = %g H is out of bounds", a, b, d, one)
		}
	})
}

func TestSelfLoop(t *testing.T) {
	// A filament at the geometric mean distance of a round section, b e^(-1/4),
	// from another has the loop's self-inductance in the limit of thin wire.
	const r, b = 0.05, 1e-6
	want := neumannNear(r, b*math.Exp(-0.25))
	got, err := SelfLoop(r, b, Uniform)
	if err != nil || !scalar.EqualWithinRel(got, want, 1e-6) {
		t.Errorf("SelfLoop(%g, %g, Uniform) = %v H, %v, want %v H (geometric mean distance)", r, b, got, err, want)
	}
	surface, err := SelfLoop(r, b, Surface)
	if want := neumannNear(r, b); err != nil || !scalar.EqualWithinRel(surface, want, 1e-6) {
		t.Errorf("SelfLoop(%g, %g, Surface) = %v H, %v, want %v H (geometric mean distance)", r, b, surface, err, want)
	}
	for _, bad := range [][2]float64{{0, 0.1}, {1, 0}, {1, 1}, {math.NaN(), 1}, {math.Inf(1), 1}} {
		if _, err := SelfLoop(bad[0], bad[1], Uniform); !errors.Is(err, ErrGeometry) {
			t.Errorf("SelfLoop(%v): %v, want ErrGeometry", bad, err)
		}
	}
}

// neumannNear is the limit of the mutual inductance of two loops of radius r as
// their distance g vanishes, μ₀ r (ln(8r/g) - 2), by Neumann's integral split
// at an angle where the near part is that of two straight lines.
func neumannNear(r, g float64) float64 {
	const split = 1e-3 // rad; what it leaves out is 0.2 split²
	const n = 400000
	var sum float64
	step := (math.Pi - split) / n
	for i := range n {
		x := split + (float64(i)+0.5)*step
		sum += math.Cos(x) / (2 * math.Sin(x/2)) * step
	}
	near := math.Log(2 * split * r / g) // ∫ dx/√(x²+(g/r)²) for small g
	return si.Mu0 * r * (sum + near)
}

func BenchmarkMutualLoops(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		MutualLoopsUnchecked(0.0125, 0.0125, 0.003)
	}
}
