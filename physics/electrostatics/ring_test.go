package electrostatics

import (
	"errors"
	"math"
	"math/big"
	"testing"

	"gonum.org/v1/gonum/floats/scalar"
	"gonum.org/v1/gonum/integrate/quad"
)

// ringByQuadrature integrates 1/distance over the ring: the trapezoidal rule
// in the angle, which converges exponentially away from the ring.
func ringByQuadrature(a, r, z float64) float64 {
	const n = 20000
	sum := 0.0
	for i := range n {
		c := math.Cos(2 * math.Pi * (float64(i) + 0.5) / n)
		sum += 1 / math.Sqrt(a*a+r*r-2*a*r*c+z*z)
	}
	return Coulomb * sum / n
}

// ringByBigMean runs the arithmetic-geometric mean with 200 bits.
func ringByBigMean(a, r, z float64) float64 {
	f := func(x float64) *big.Float { return new(big.Float).SetPrec(200).SetFloat64(x) }
	z2 := f(0).Mul(f(z), f(z))
	root := func(x *big.Float) *big.Float {
		x.Mul(x, x)
		return x.Sqrt(x.Add(x, z2))
	}
	p, q := root(f(0).Add(f(a), f(r))), root(f(0).Sub(f(a), f(r)))
	for range 40 {
		g := f(0).Mul(p, q)
		p.Quo(p.Add(p, q), f(2))
		q = g.Sqrt(g)
	}
	m, _ := p.Float64()
	return Coulomb / m
}

func TestRingPotential(t *testing.T) {
	for _, test := range []struct {
		name    string
		a, r, z float64 // m
		want    float64 // V/C
		tol     float64 // relative
		source  string
	}{
		{"on the axis", 0.03, 0, 0.04, Coulomb / 0.05, 1e-15, "every point of the ring is 50 mm away"},
		{"centre", 0.03, 0, 0, Coulomb / 0.03, 1e-15, "every point of the ring is 30 mm away"},
		{"point charge", 0, 0.03, 0.04, Coulomb / 0.05, 1e-15, "Coulomb's law"},
		{"beside", 0.03, 0.05, 0.01, ringByQuadrature(0.03, 0.05, 0.01), 1e-13, "trapezoidal rule, this file"},
		{"inside", 0.03, 0.012, 0.002, ringByQuadrature(0.03, 0.012, 0.002), 1e-13, "trapezoidal rule, this file"},
		{"a tenth of the radius off", 0.03, 0.033, 0, ringByQuadrature(0.03, 0.033, 0), 1e-13, "trapezoidal rule, this file"},
		{"a nanometre off", 0.03, 0.03, 1e-9, ringByBigMean(0.03, 0.03, 1e-9), 1e-14, "mean with 200 bits, this file"},
		{"1e-14 of the radius off", 1, 1, 1e-14, ringByBigMean(1, 1, 1e-14), 1e-14, "mean with 200 bits, this file"},
		{"close by in the plane", 0.03, 0.03 * (1 + 1e-6), 0, ringByBigMean(0.03, 0.03*(1+1e-6), 0), 1e-14, "mean with 200 bits, this file"},
		{"thin ring limit", 1, 1, 1e-6, Coulomb * math.Log(8e6) / math.Pi, 1e-11, "ln(8a/z)/(pi a), Smythe; next term (z/a)²"},
		{"far", 0.01, 60, 80, Coulomb / 100, 1e-8, "point charge; next term (a/d)²"},
	} {
		got, err := RingPotential(test.a, test.r, test.z)
		if err != nil || !scalar.EqualWithinRel(got, test.want, test.tol) {
			t.Errorf("%s: RingPotential(%g, %g, %g) = %.16g V/C, %v, want %.16g V/C (%s)", test.name, test.a, test.r, test.z, got, err, test.want, test.source)
		}
		if swapped, err := RingPotential(test.r, test.a, test.z); err != nil || !scalar.EqualWithinRel(swapped, got, 1e-15) {
			t.Errorf("%s: ring and point exchanged: %.16g V/C, %v, want %.16g V/C", test.name, swapped, err, got)
		}
	}
}

func TestRingRefuses(t *testing.T) {
	for _, x := range [][3]float64{{-1, 1, 1}, {1, -1, 1}, {1, 1, 0}, {math.NaN(), 1, 1}, {1, math.Inf(1), 1}, {1, 1, math.NaN()}, {0, 0, 0}} {
		if _, err := RingPotential(x[0], x[1], x[2]); !errors.Is(err, ErrGeometry) {
			t.Errorf("RingPotential(%v) = %v, want ErrGeometry", x, err)
		}
		if _, _, err := RingGradient(x[0], x[1], x[2]); !errors.Is(err, ErrGeometry) {
			t.Errorf("RingGradient(%v) = %v, want ErrGeometry", x, err)
		}
	}
}

func TestRingGradient(t *testing.T) {
	for _, x := range [][3]float64{{0.03, 0.05, 0.01}, {0.03, 0.012, -0.002}, {0.03, 0.0301, 0.0001}, {0.03, 1e-9, 0.02}, {0.03, 0, 0.02}, {0.03, 0.4, 0.5}, {0.001, 0.4, 0.5}, {0, 0.03, 0.04}, {0.03, 0.0299, 0}} {
		a, r, z := x[0], x[1], x[2]
		dr, dz, err := RingGradient(a, r, z)
		if err != nil {
			t.Fatal(err)
		}
		wantR, wantZ := gradientByQuadrature(a, r, z)
		size := math.Hypot(wantR, wantZ)
		if math.Abs(dr-wantR) > 1e-12*size || math.Abs(dz-wantZ) > 1e-12*size {
			t.Errorf("RingGradient(%g, %g, %g) = %.14g, %.14g V/(C m), want %.14g, %.14g (trapezoidal rule, this file)", a, r, z, dr, dz, wantR, wantZ)
		}
	}
}

// gradientByQuadrature integrates the field of a point charge over the ring.
func gradientByQuadrature(a, r, z float64) (dr, dz float64) {
	const n = 40000
	for i := range n {
		half := math.Sin(math.Pi * (float64(i) + 0.5) / n)
		versine := 2 * half * half // 1 - cos, without cancellation
		d2 := (a-r)*(a-r) + 2*a*r*versine + z*z
		cube := d2 * math.Sqrt(d2)
		dr -= (r - a + a*versine) / cube
		dz -= z / cube
	}
	return Coulomb * dr / n, Coulomb * dz / n
}

// TestRingGauss checks the flux out of a torus around the ring: it counts the
// charge inside, whatever the shape of the surface.
func TestRingGauss(t *testing.T) {
	const a, tube = 0.03, 0.004
	flux := quad.Fixed(func(t float64) float64 {
		sin, cos := math.Sincos(t)
		r, z := a+0.001+tube*cos, tube*sin
		dr, dz := RingGradientUnchecked(a, r, z)
		return -(dr*cos + dz*sin) * 2 * math.Pi * r * tube
	}, 0, 2*math.Pi, 200, quad.Legendre{}, 0)
	if want := 4 * math.Pi * Coulomb; !scalar.EqualWithinRel(flux, want, 1e-11) {
		t.Errorf("flux = %.14g V m/C, want 1/epsilon0 = %.14g V m/C (Gauss's law)", flux, want)
	}
}

func BenchmarkRingPotential(b *testing.B) {
	b.ReportAllocs()
	r := 0.01
	for b.Loop() {
		sink = RingPotentialUnchecked(0.03, r, 0.004)
		r += 1e-9
	}
}

func BenchmarkRingGradient(b *testing.B) {
	b.ReportAllocs()
	r := 0.01
	for b.Loop() {
		sink, _ = RingGradientUnchecked(0.03, r, 0.004)
		r += 1e-9
	}
}

// sink keeps results of benchmarks alive.
var sink float64
