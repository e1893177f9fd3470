package loss

import (
	"errors"
	"math"
	"math/cmplx"
	"testing"

	"gonum.org/v1/gonum/integrate/quad"
)

// TestCurrentDensity compares with the power series of J₀ where the wire is thin,
// with what the whole wire's impedance says at any thickness, and with the limit
// of a plane surface where the wire is thick.
func TestCurrentDensity(t *testing.T) {
	series := func(z complex128) complex128 { // DLMF 10.2.2
		sum, term := complex(1, 0), complex(1, 0)
		for k := 1; k < 60; k++ {
			term *= -z * z / complex(4*float64(k*k), 0)
			sum += term
		}
		return sum
	}
	share := []float64{0, 0.25, 0.5, 0.9, 1}
	got := make([]complex128, len(share))
	for _, x := range []float64{0.1, 1, 3, 6} {
		if err := CurrentDensity(got, share, x); err != nil {
			t.Fatal(err)
		}
		for i, s := range share {
			want := series(wireArgument(x*s)) / series(wireArgument(x))
			if d := cmplx.Abs(got[i] - want); d > 1e-12 {
				t.Errorf("a/δ = %g at %g: %g, want %g (power series), off %.1e", x, s, got[i], want, d)
			}
		}
	}
	// The current is the density summed over the section, and Z = E(a)/I: the
	// mean of the density over its value at the surface is R₀/Z. Gauss's rule of n
	// nodes has no error of its own for a function that grows by e^x over the radius
	// once n is well above x.
	for _, x := range []float64{0.5, 2, 10, 100} {
		const n = 300
		at, weight := make([]float64, n), make([]float64, n)
		quad.Legendre{}.FixedLocations(at, weight, 0, 1)
		density := make([]complex128, n)
		if err := CurrentDensity(density, at, x); err != nil {
			t.Fatal(err)
		}
		mean := complex(0, 0)
		for i, d := range density {
			mean += d * complex(2*at[i]*weight[i], 0)
		}
		ratio := real(1 / mean)
		if want := 1 + real(skinExcess(x)); math.Abs(ratio/want-1) > 1e-11 { // ten times the error of the density: the real part is a half at least
			t.Errorf("a/δ = %g: the density gives R/R₀ = %.12f, the impedance %.12f", x, ratio, want)
		}
	}
	// One skin depth under the surface of a thick wire: e⁻¹, and a radian behind.
	const thick = 200.0
	if err := CurrentDensity(got[:1], []float64{1 - 1/thick}, thick); err != nil {
		t.Fatal(err)
	}
	if want := cmplx.Exp(-complex(1, 1)); cmplx.Abs(got[0]-want) > 2.5e-3 {
		t.Errorf("a skin depth deep %g, want %g (plane surface, error δ/2a of 2.5e-3)", got[0], want)
	}
	if err := CurrentDensity(got[:1], []float64{1.1}, 1); !errors.Is(err, ErrInput) {
		t.Errorf("outside the wire: %v", err)
	}
}
