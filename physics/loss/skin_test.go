package loss

import (
	"errors"
	"math"
	"math/cmplx"
	"testing"

	"coilwright/physics/si"
)

func TestRoundWireReference(t *testing.T) {
	const conductivity = 58e6
	// The reference has μ₀ = 4π·10⁻⁷, which differs by 5e-10.
	const allowed = 1e-8
	for _, row := range readReference(t, "round_wire.csv") {
		diameter, frequency, want := number(t, row[0]), number(t, row[1]), number(t, row[2])
		if diameter == 0 {
			if got := SkinDepth(frequency, conductivity); math.Abs(got/want-1) > allowed {
				t.Errorf("SkinDepth(%g) = %.10g, want %.10g (closed form)", frequency, got, want)
			}
			continue
		}
		w, err := NewRoundWire(frequency, diameter/2, conductivity)
		if err != nil {
			t.Fatal(err)
		}
		if got := w.Ratio(); math.Abs(got/want-1) > allowed {
			t.Errorf("NewRoundWire(%g, %g).Ratio() = %.10g, want %.10g (mpmath)", frequency, diameter/2, got, want)
		}
		want = number(t, row[3])
		if got := w.InternalInductance * 8 * math.Pi / si.Mu0; math.Abs(got/want-1) > allowed {
			t.Errorf("NewRoundWire(%g, %g): internal inductance %.10g μ₀/8π, want %.10g (mpmath)", frequency, diameter/2, got, want)
		}
	}
}

// TestRoundWireTable takes values to five digits of Re[(ka/2) J₀/J₁] by x = a√2/δ.
func TestRoundWireTable(t *testing.T) {
	const printed = 5e-6
	for _, test := range []struct{ x, want float64 }{
		{0.5, 1.00033}, {1, 1.00519}, {1.5, 1.02582}, {2, 1.07816}, {3, 1.31809}, {4, 1.67787}, {5, 2.04273}, {8, 3.09445}, {10, 3.79858}, {20, 7.32767},
	} {
		// Source: computed apart from this program from the Bessel form; the table of
		// Rosa and Grover, Bulletin of the Bureau of Standards 8 (1912), is said to
		// have the same (from memory).
		if got := 1 + real(skinExcess(test.x/math.Sqrt2)); math.Abs(got-test.want) > 1.5*printed {
			t.Errorf("x = %g: R/R0 = %.7f, want %.5f (table)", test.x, got, test.want)
		}
	}
}

// TestRoundWireLimits: thin R/R₀ = 1 + (a/δ)⁴/48, L = (μ₀/8π)(1 - (a/δ)⁴/96); thick R/R₀ =
// a/2δ + 1/4 + 3δ/32a. Source: power and asymptotic series, DLMF 10.2.2 and 10.17.
func TestRoundWireLimits(t *testing.T) {
	for _, q := range []float64{1e-4, 1e-3, 1e-2, 0.05} {
		more := skinExcess(q)
		if want := math.Pow(q, 4) / 48; math.Abs(real(more)/want-1) > math.Max(math.Pow(q, 4), 1e-6) {
			t.Errorf("a/δ = %g: R/R0 - 1 = %g, want %g (series)", q, real(more), want)
		}
		if want := q * q / 4 * (1 - math.Pow(q, 4)/96); math.Abs(imag(more)/want-1) > math.Pow(q, 8)+1e-14 {
			t.Errorf("a/δ = %g: ωL/R0 = %g, want %g (series)", q, imag(more), want)
		}
	}
	for _, q := range []float64{50, 200, 281, 282, 283, 284, 1000, 1e5} {
		want := q/2 + 0.25 + 3/(32*q)
		if got := 1 + real(skinExcess(q)); math.Abs(got/want-1) > 1/(q*q*q) {
			t.Errorf("a/δ = %g: R/R0 = %.10g, want %.10g (asymptotic series)", q, got, want)
		}
	}
}

// TestBesselRatios sums the power series of J_n, good to 1e-9 up to |z| = 12 or so.
func TestBesselRatios(t *testing.T) {
	for _, q := range []float64{0.01, 0.5, 2, 5, 8} {
		var ratios [26]complex128
		z := wireArgument(q)
		besselRatios(ratios[:], z)
		for n := 1; n < len(ratios); n++ {
			want := bessel(n, z) / bessel(n-1, z)
			if cmplx.Abs(ratios[n]/want-1) > 1e-9 {
				t.Errorf("J_%d/J_%d(%g) = %g, want %g (series DLMF 10.2.2)", n, n-1, z, ratios[n], want)
			}
		}
	}
	// Both ways at the argument where one takes over from the other.
	var below, above [26]complex128
	besselRatios(below[:], wireArgument(farArgument/math.Sqrt2*(1-1e-13)))
	besselRatios(above[:], wireArgument(farArgument/math.Sqrt2*(1+1e-13)))
	for n := 1; n < len(below); n++ {
		if cmplx.Abs(above[n]/below[n]-1) > 1e-11 {
			t.Errorf("J_%d/J_%d by series %g, by fraction %g", n, n-1, above[n], below[n])
		}
	}
}

// bessel returns J_n(z) by its power series.
func bessel(n int, z complex128) complex128 {
	term := complex(1, 0)
	for k := 1; k <= n; k++ {
		term *= z / complex(2*float64(k), 0)
	}
	total := term
	for k := 1; k < 80; k++ {
		term *= -z * z / complex(4*float64(k)*float64(k+n), 0)
		total += term
	}
	return total
}

func TestRoundWireRefuses(t *testing.T) {
	for _, test := range [][3]float64{{1e6, 0, 1}, {1e6, -1, 1}, {1e6, 1, 0}, {-1, 1, 1}, {math.NaN(), 1, 1}, {1e6, math.Inf(1), 1}} {
		if _, err := NewRoundWire(test[0], test[1], test[2]); !errors.Is(err, ErrInput) {
			t.Errorf("NewRoundWire%v: error %v", test, err)
		}
	}
	if w, err := NewRoundWire(0, 1e-3, 58e6); err != nil || w.Ratio() != 1 {
		t.Errorf("direct current: %v, %v", w, err)
	}
}

// TestDevelopedSkin is the reason for medhurstDeveloped.
func TestDevelopedSkin(t *testing.T) {
	const q = medhurstDeveloped / 2.
	if got := (1 + real(skinExcess(q))) / (q / 2); got < 1 || got > 1.12 {
		t.Errorf("R over its thick limit at d/δ = %d: %g", medhurstDeveloped, got)
	}
}

func TestWireInField(t *testing.T) {
	const f, conductivity = 1e6, 58e6
	skin, surface := SkinDepth(f, conductivity), SurfaceResistance(f, conductivity, 1)
	// Thin: π a⁴ σ (ωμ₀H)²/8 across and half of it along. Source: Landau and Lifshitz,
	// Electrodynamics of Continuous Media, section 59 (number from memory).
	a := skin / 20
	weak := math.Pi * math.Pow(a, 4) * conductivity * math.Pow(2*math.Pi*f*si.Mu0, 2) / 8
	across, along := wireInField(a, conductivity, f)
	if math.Abs(across/weak-1) > 1e-5 || math.Abs(2*along/weak-1) > 1e-5 {
		t.Errorf("thin wire loses %g, %g; want %g and half of it", across, along, weak)
	}
	a = 1000 * skin
	across, along = wireInField(a, conductivity, f)
	if want := surface * 2 * math.Pi * a; math.Abs(across/want-1) > 1e-3 || math.Abs(2*along/want-1) > 1e-3 {
		t.Errorf("thick wire loses %g, %g; want %g and half of it (surface resistance)", across, along, want)
	}
}
