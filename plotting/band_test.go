package plotting

import (
	"math"
	"testing"

	"coilwright/physics/design"
)

// bandsOf returns the bands that a figure of the curve has.
func bandsOf(t *testing.T, curve design.TurnsCurve) []band {
	t.Helper()
	if _, err := TurnsFigure(curve, Units{}, Light()); err != nil {
		t.Fatal(err)
	}
	f := &figure{style: Light()}
	f.band(curve)
	return f.bands
}

// The band runs along the coil's own curve, has the report's ends at the present turns
// and is left out where it is not known.
func TestBandOfTurnsFigure(t *testing.T) {
	curve := turnsCurve()
	if bands := bandsOf(t, curve); len(bands) != 0 {
		t.Fatalf("without ends there are %d bands", len(bands))
	}
	curve.Low, curve.High = 0.97*curve.Present, 1.02*curve.Present
	bands := bandsOf(t, curve)
	if len(bands) != 1 {
		t.Fatalf("%d bands, want 1", len(bands))
	}
	b := bands[0]
	for i, turns := range b.x {
		if turns == curve.PresentTurns && (math.Abs(b.low[i]/curve.Low-1) > 1e-12 || math.Abs(b.high[i]/curve.High-1) > 1e-12) {
			t.Errorf("at the present turns the band goes from %g to %g Hz, want %g to %g", b.low[i], b.high[i], curve.Low, curve.High)
		}
		if !(b.low[i] < b.high[i]) {
			t.Errorf("at %g turns the band goes from %g to %g Hz", turns, b.low[i], b.high[i])
		}
	}
	curve.High = math.NaN()
	if _, err := TurnsFigure(curve, Units{}, Light()); err == nil {
		t.Error("a band that ends nowhere is drawn")
	}
}
