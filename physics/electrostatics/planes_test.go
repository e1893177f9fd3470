package electrostatics

import (
	"errors"
	"math"
	"testing"

	"gonum.org/v1/gonum/floats/scalar"
)

var none = math.Inf(1)

func mustPlanes(t testing.TB, floor, ceiling, reach float64) *Planes {
	t.Helper()
	p, err := NewPlanes(floor, ceiling, reach)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// whole returns the potential of a ring with its images.
func whole(p *Planes, a, zs, r, z float64) float64 {
	return RingPotentialUnchecked(a, r, z-zs) + p.ImagePotential(a, zs, r, z)
}

// TestPlanesAreEarthed checks what images are for: no potential on the planes.
func TestPlanesAreEarthed(t *testing.T) {
	for _, test := range []struct {
		name           string
		floor, ceiling float64
	}{
		{"floor", 0, none},
		{"floor below zero", -0.75, none},
		{"ceiling", -none, 0.3},
		{"floor and ceiling", -0.02, 0.3},
		{"low ceiling", 0, 0.06},
	} {
		p := mustPlanes(t, test.floor, test.ceiling, 0.08)
		for _, x := range [][2]float64{{0.03, 0.05}, {0, 0.05}, {0.08, 0.001}, {0.08, 0.055}} {
			a, zs := x[0], x[1]
			scale := RingPotentialUnchecked(a, 0.08, 0.06)
			for _, r := range []float64{0, 0.01, 0.03, 0.08} {
				for _, h := range []float64{test.floor, test.ceiling} {
					if math.IsInf(h, 0) {
						continue
					}
					if got := whole(p, a, zs, r, h); math.Abs(got) > 1e-9*scale {
						t.Errorf("%s: ring %g m at %g m gives %g of its own potential on the plane at %g m, r = %g m", test.name, a, zs, got/scale, h, r)
					}
				}
			}
		}
	}
}

// TestImagesBetweenPlanes compares with the images summed one by one, whose
// rest falls as 1/n² for pairs of opposite sign.
func TestImagesBetweenPlanes(t *testing.T) {
	for _, x := range [][5]float64{{0.3, 0.03, 0.05, 0.04, 0.09}, {0.06, 0.08, 0.05, 0.07, 0.01}, {0.4, 0.03, 0.35, 0, 0.39}} {
		height, a, zs, r, z := x[0], x[1], x[2], x[3], x[4]
		p := mustPlanes(t, 0, height, 0.08)
		direct := func(n int) float64 {
			sum := -RingPotentialUnchecked(a, r, z+zs)
			for i := 1; i <= n; i++ {
				s := 2 * height * float64(i)
				sum += RingPotentialUnchecked(a, r, z-zs-s) + RingPotentialUnchecked(a, r, z-zs+s)
				sum -= RingPotentialUnchecked(a, r, z+zs-s) + RingPotentialUnchecked(a, r, z+zs+s)
			}
			return sum
		}
		want := (4*direct(4000) - direct(2000)) / 3 // the rest is even in 1/n
		if got := p.ImagePotential(a, zs, r, z); !scalar.EqualWithinRel(got, want, 1e-9) {
			t.Errorf("ImagePotential(%g, %g, %g, %g) between planes %g m apart = %.12g V/C, want %.12g V/C (images one by one)", a, zs, r, z, height, got, want)
		}
	}
}

// TestImagesBetweenPlanesFarAway: beyond a few distances of the planes the
// potential of a point charge falls as exp(-pi r/H).
func TestImagesBetweenPlanesFarAway(t *testing.T) {
	p := mustPlanes(t, 0, 0.1, 0.5)
	// The first term of the series in Bessel functions is
	// 4/(4 pi epsilon0 H) sin² K0(pi r/H), Smythe section 5: at the middle,
	// r = 4H: K0(4 pi) = 1.2264e-6 (asymptotic series); the next is exp(-8 pi).
	x := 4 * math.Pi
	k0 := math.Sqrt(math.Pi/(2*x)) * math.Exp(-x) * (1 - 1/(8*x) + 9/(2*64*x*x) - 225/(6*512*x*x*x) + 11025/(24*4096*x*x*x*x))
	want := Coulomb * 4 / 0.1 * k0
	got := whole(p, 0, 0.05, 0.4, 0.05)
	if math.Abs(got-want) > 1e-9*Coulomb/0.4 || !scalar.EqualWithinRel(got, want, 1e-3) {
		t.Errorf("potential = %g V/C, want %g V/C (first Bessel term)", got, want)
	}
}

// TestCeilingGoesAway: a ceiling far up changes nothing.
func TestCeilingGoesAway(t *testing.T) {
	floor := mustPlanes(t, 0, none, 0)
	want := floor.ImagePotential(0.03, 0.05, 0.02, 0.1)
	last := math.Inf(1)
	for _, height := range []float64{1, 10, 100} {
		p := mustPlanes(t, 0, height, 0.05)
		diff := math.Abs(p.ImagePotential(0.03, 0.05, 0.02, 0.1) - want)
		if diff > last/500 {
			t.Errorf("ceiling at %g m: off by %g V/C, less than a thousandth of before expected (third power)", height, diff)
		}
		last = diff
	}
}

func TestImageGradient(t *testing.T) {
	const h = 1e-5
	for _, p := range []*Planes{mustPlanes(t, -none, none, 0), mustPlanes(t, -0.01, none, 0), mustPlanes(t, -none, 0.2, 0), mustPlanes(t, 0, 0.2, 0.1)} {
		for _, x := range [][4]float64{{0.03, 0.05, 0.02, 0.1}, {0.09, 0.15, 0.09, 0.15}, {0.03, 0.05, 0.04, 0.05}} {
			a, zs, r, z := x[0], x[1], x[2], x[3]
			difference := func(f func(float64) float64) float64 {
				return (8*(f(h)-f(-h)) - (f(2*h) - f(-2*h))) / (12 * h)
			}
			wantR := difference(func(d float64) float64 { return p.ImagePotential(a, zs, r+d, z) })
			wantZ := difference(func(d float64) float64 { return p.ImagePotential(a, zs, r, z+d) })
			dr, dz := p.ImageGradient(a, zs, r, z)
			size := math.Hypot(wantR, wantZ)
			if math.Abs(dr-wantR) > 1e-8*size || math.Abs(dz-wantZ) > 1e-8*size {
				t.Errorf("planes %g, %g m: ImageGradient%v = %.10g, %.10g V/(C m), want %.10g, %.10g (differences)", p.Floor(), p.Ceiling(), x, dr, dz, wantR, wantZ)
			}
		}
	}
}

func TestNewPlanesRefuses(t *testing.T) {
	for _, x := range [][3]float64{{1, 1, 1}, {2, 1, 1}, {math.NaN(), 1, 1}, {none, none, 1}, {0, 1, 0}, {0, 1, none}} {
		if _, err := NewPlanes(x[0], x[1], x[2]); !errors.Is(err, ErrGeometry) {
			t.Errorf("NewPlanes(%v) = %v, want ErrGeometry", x, err)
		}
	}
}

func BenchmarkImagesBetweenPlanes(b *testing.B) {
	p := mustPlanes(b, 0, 0.3, 0.08)
	b.ReportAllocs()
	for b.Loop() {
		sink = p.ImagePotential(0.03, 0.05, 0.04, 0.09)
	}
}
