package loss

import (
	"errors"
	"math"
	"testing"
)

func TestQualityFactor(t *testing.T) {
	const f, energy = 1.4e6, 2e-12
	parts := Parts{Winding: 3e-8, Ring: 1e-10, Shorted: 2e-9, Former: 1e-9}
	q, err := QualityFactor(f, energy, parts)
	if err != nil {
		t.Fatal(err)
	}
	if want := 1 / (1/q.Winding + 1/q.Ring + 1/q.Shorted + 1/q.Plane + 1/q.Former + 1/q.Coat); math.Abs(q.Total/want-1) > 1e-12 {
		t.Errorf("Q = %g, want %g from the parts", q.Total, want)
	}
	if !math.IsInf(q.Plane, 1) {
		t.Errorf("no plane, but its Q is %g", q.Plane)
	}
	for _, bad := range []Parts{{}, {Winding: -1}, {Winding: math.NaN()}, {Ring: math.Inf(1)}} {
		if _, err := QualityFactor(f, energy, bad); !errors.Is(err, ErrInput) {
			t.Errorf("QualityFactor of %+v: error %v", bad, err)
		}
	}
}

// TestQualityOfCircuit integrates a ring-down: an inductance L in series with R and C
// (and a lossy C) loses 2π/Q of its energy in a period.
func TestQualityOfCircuit(t *testing.T) {
	const l, c, r = 1e-3, 12e-12, 60.0
	omega := 1 / math.Sqrt(l*c)
	f := omega / (2 * math.Pi)
	const crest = 1e-3 // A
	q, err := QualityFactor(f, l*crest*crest/2, Parts{Winding: r * crest * crest / 2})
	if err != nil {
		t.Fatal(err)
	}
	// Runge and Kutta over a hundred periods.
	const periods, steps = 100, 200
	h := 1 / (f * steps)
	current, volts := crest, 0.0
	slope := func(i, v float64) (float64, float64) { return (-v - r*i) / l, i / c }
	for range periods * steps {
		a1, b1 := slope(current, volts)
		a2, b2 := slope(current+h/2*a1, volts+h/2*b1)
		a3, b3 := slope(current+h/2*a2, volts+h/2*b2)
		a4, b4 := slope(current+h*a3, volts+h*b3)
		current += h / 6 * (a1 + 2*a2 + 2*a3 + a4)
		volts += h / 6 * (b1 + 2*b2 + 2*b3 + b4)
	}
	left := (l*current*current + c*volts*volts) / (l * crest * crest)
	if want := -2 * math.Pi * periods / math.Log(left); math.Abs(q.Total/want-1) > 1e-3 {
		t.Errorf("Q = %g, want %g (ring-down)", q.Total, want)
	}
}

// TestDielectricLoss is the power of a capacitor with a parallel conductance ωC tan δ.
func TestDielectricLoss(t *testing.T) {
	const f, c, volts, tangent = 2e6, 5e-12, 300.0, 0.02
	got, err := DielectricLoss(f, c*volts*volts/2, tangent)
	if err != nil {
		t.Fatal(err)
	}
	if want := 2 * math.Pi * f * c * tangent * volts * volts / 2; math.Abs(got/want-1) > 1e-12 {
		t.Errorf("DielectricLoss = %g W, want %g (conductance)", got, want)
	}
	if _, err := DielectricLoss(f, -1, tangent); !errors.Is(err, ErrInput) {
		t.Errorf("negative energy: error %v", err)
	}
}
