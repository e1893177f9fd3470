package resonance

import (
	"context"
	"errors"
	"math"
	"math/rand"
	"testing"

	"coilwright/physics/topload"
)

// TestFrequencyAgainstTurns compares the curve with solutions at 20 random points.
func TestFrequencyAgainstTurns(t *testing.T) {
	const allowed = 5e-4
	random := rand.New(rand.NewSource(3))
	c := deskCoil()
	c.Top, c.TopHeight = wireRing(t, topload.Ring{WireDiameter: 0.00129, FormerDiameter: 0.014, HubDiameter: 0.01, Turns: 19}), c.Winding.Top()+0.014
	c.TopLead = &Lead{Radius: 0.0125, Bottom: c.Winding.Top(), Length: 0.004, WireRadius: 0.00005}
	c.Primary = primary(0.023)
	for _, span := range [][2]float64{{110, 900}, {1, 20}, {3.5, 5000}, {30, 60}, {77, 77}} {
		turns := []float64{span[0], span[1]}
		for range 20 {
			turns = append(turns, span[0]*math.Pow(span[1]/span[0], random.Float64()))
		}
		var s Solver
		curve, err := s.FrequencyAgainstTurns(t.Context(), &c, turns)
		if err != nil {
			t.Fatal(err)
		}
		worst := 0.0
		for i, n := range turns {
			m := solve(t, &s, c.withTurns(n))
			within(t, "curve with top load", curve.WithTopLoad[i], m.Frequency[0], allowed, "solved at that point")
			within(t, "bare curve", curve.Bare[i], m.Bare, allowed, "solved at that point")
			worst = max(worst, math.Abs(curve.WithTopLoad[i]/m.Frequency[0]-1), math.Abs(curve.Bare[i]/m.Bare-1))
		}
		t.Logf("%v turns: %d solved, off by %.1e, foretold to %.1e", span, curve.Solved, worst, curve.Error)
	}
}

func TestFrequencyAgainstTurnsRefuses(t *testing.T) {
	var s Solver
	c := deskCoil()
	if _, err := s.FrequencyAgainstTurns(t.Context(), &c, []float64{0.5, 10}); !errors.Is(err, ErrGeometry) {
		t.Errorf("half a turn: %v", err)
	}
	if _, err := s.FrequencyAgainstTurns(t.Context(), &c, []float64{10, 6000}); !errors.Is(err, ErrGeometry) {
		t.Errorf("6000 turns: %v", err)
	}
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if _, err := s.FrequencyAgainstTurns(ctx, &c, []float64{10, 60}); !errors.Is(err, context.Canceled) {
		t.Errorf("cancelled: %v", err)
	}
	curve, err := s.FrequencyAgainstTurns(t.Context(), &c, []float64{20, 50})
	if err != nil || curve.WithTopLoad != nil || curve.Bare == nil {
		t.Errorf("no top load: %+v, %v", curve, err)
	}
}
