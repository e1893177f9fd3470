package experiment

import (
	"math"
	"testing"
)

// TestBeatWithoutLosses compares with two tuned circuits without losses: modes at
// f/√(1±k), and the tank empty after half a beat.
func TestBeatWithoutLosses(t *testing.T) {
	b := bench(t, nil)
	b.circuit.Coil.Resistance, b.circuit.Primary.Resistance = 1e-9, 1e-9 // a part in 10¹⁰ of their reactances
	for _, k := range []float64{0.05, 0.1, 0.2} {
		o := run[*BeatOutcome](t, b, Beat, Settings{"coupling": k, "tuning": 1})
		f, d := *b.Report().Resonance.Frequency, o.Discharge
		near(t, "lower mode", d.Splitting[0], f/math.Sqrt(1+k), same, "two tuned circuits")
		near(t, "upper mode", d.Splitting[1], f/math.Sqrt(1-k), same, "two tuned circuits")
		half := 0.5 / (d.Splitting[1] - d.Splitting[0])
		near(t, "swings until the tank is empty", o.Answer(), half*f, same, "half a beat")
		near(t, "time of them", o.TimeAfter(o.Answer()), half, same, "half a beat")
		// The top swings as sin(Ωt)·sin(δt), Ω and δ half the sum and half the difference
		// of the modes. One of the first factor's crests lies within a quarter of its period
		// of the second's, which has then cos(πδ/2Ω) left.
		ratio := (d.Splitting[1] - d.Splitting[0]) / (d.Splitting[1] + d.Splitting[0])
		if least := math.Pow(math.Cos(math.Pi*ratio/2), 2); d.EnergyShare < least || d.EnergyShare > 1 {
			t.Errorf("at k = %g %g of the energy goes across, want %g to 1", k, d.EnergyShare, least)
		}
		if o.MostShare < d.EnergyShare {
			t.Errorf("at most %g of the energy is seen in the coil, and %g at the peak of its voltage", o.MostShare, d.EnergyShare)
		}
	}
}

func TestTuning(t *testing.T) {
	o := run[*BeatOutcome](t, bench(t, nil), Beat, Settings{"tuning": 0.8})
	near(t, "tank over coil", o.Discharge.TuningRatio, 0.8, same, "the setting")
}
