package comparison

import (
	"context"
	"math"
	"testing"

	"coilwright/physics/design"
)

// finite fails for a number that is none.
func finite(t *testing.T, what string, numbers ...float64) {
	t.Helper()
	for _, x := range numbers {
		if math.IsNaN(x) || math.IsInf(x, 0) {
			t.Errorf("%s: %g", what, x)
		}
	}
}

// allFinite looks at every number of a comparison and of the advice after it.
func allFinite(t *testing.T, what string, d design.Design, c *Comparison) {
	t.Helper()
	for _, r := range c.Rows {
		finite(t, what+", row", r.Measured, r.Sigma, r.Corrected, r.Predicted, r.PredictedSigma, r.ModelError, r.Deviation)
	}
	if x := c.TopLoad; x != nil {
		finite(t, what+", top", x.Value, x.Sigma, x.Predicted)
	}
	if n := c.Count; n != nil {
		finite(t, what+", count", n.Best.Value, n.Best.Sigma)
	}
	e := c.Explanation
	if e == nil {
		return
	}
	finite(t, what+", explanation", e.Prior.Value, e.Prior.Sigma, e.Posterior.Value, e.Posterior.Sigma)
	for _, x := range e.Changes {
		finite(t, what+", change", x.To, x.Sigma)
	}
	for _, x := range e.Alone {
		finite(t, what+", alone", x.To, x.Sigma)
	}
	if what != Frequency {
		return
	}
	a, err := Advise(context.Background(), design.NewSolver(), d, c, 4e6)
	if err != nil {
		t.Errorf("%s: %v", what, err)
	}
	for _, s := range a.Steps {
		finite(t, what+", "+s.Key, s.From, s.To, s.Reached.Value, s.Reached.Sigma, s.PerUnit)
	}
}

// TestOddReadings: whatever is typed, nothing panics and no number is none.
func TestOddReadings(t *testing.T) {
	at := 1e5
	for _, quantity := range []string{Frequency, QualityFactor, Inductance, Resistance, Capacitance, Turns, Dimension, Gap, SupplyCurrent, Temperature} {
		for _, value := range []float64{0, -1, 1e-300, 1e300} {
			d := handSized(t)
			d.Measurements = []design.Measurement{
				{Quantity: quantity, Value: value, Setup: WithPrimary, ProbePlace: OnTop, ProbeCapacitance: 1, AtFrequency: &at, Key: KeyWindingHeight},
				{Quantity: quantity, Value: value / 2, Uncertainty: 1e-300, Setup: WithPrimary, ProbePlace: OnTop, ProbeCapacitance: 0.5},
				{Quantity: Frequency, Value: 4.6e6, Setup: WithPrimary, ProbePlace: NoProbe},
			}
			c, err := Compare(context.Background(), design.NewSolver(), d, Driven{})
			if err != nil {
				t.Errorf("%s of %g: %v", quantity, value, err)
				continue
			}
			allFinite(t, quantity, d, &c)
		}
	}
}
