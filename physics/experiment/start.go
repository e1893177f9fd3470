package experiment

import (
	"context"
	"math"

	"coilwright/physics/driver"
)

// StartOutcome is a one-transistor exciter from the moment its supply is there.
type StartOutcome struct {
	Circuit driver.Exciter
	Start   driver.Start   // of a small oscillation
	Running driver.Running // from the supply's rise to the settled state; its envelope has one crest a swing
}

// nearlyAll is the share of the settled crest that counts as there.
const nearlyAll = 0.9

// Answer returns how many swings pass until the top swings nine tenths as high as it
// ever will; NaN if the exciter never reaches full output.
func (o *StartOutcome) Answer() float64 {
	if o.Running.Starts() {
		for i, c := range o.Running.Envelope {
			if c.Top >= nearlyAll*o.Running.TopCrest {
				return float64(i + 1)
			}
		}
	}
	return math.NaN()
}

// TimeAfter returns the time in s that so many swings take, in the mean of all that were
// followed.
func (o *StartOutcome) TimeAfter(swings float64) float64 {
	n := len(o.Running.Envelope)
	return swings * o.Running.Envelope[n-1].Time / float64(n)
}

// GrowthTime returns the time in s in which a small oscillation grows e times or, where
// it dies away, falls to 1/e.
func (o *StartOutcome) GrowthTime() float64 { return 1 / math.Abs(o.Start.Growth) }

// FullFrom returns the crest in V from which the top counts as at full output.
func (o *StartOutcome) FullFrom() float64 { return driver.FullOutput * o.Circuit.Supply }

func startExperiment(b *Bench) Experiment {
	return Experiment{
		Kind: StartUp,
		Settings: []Setting{
			couplingSetting(b.coupling()),
			{Name: "sense", Least: -1, Most: 1, Start: 1, Step: 2, TwoChoices: true},
		},
		Guess: Setting{Name: "guess", Least: 0, Most: 200, Start: 30, Step: 1},
		run:   runStart,
	}
}

func runStart(ctx context.Context, b *Bench, s Settings) (Outcome, error) {
	x, err := b.exciter()
	if err != nil {
		return nil, err
	}
	x.Primary.Coupling = s["coupling"]
	x.Sense = 1
	if s["sense"] < 0 {
		x.Sense = -1
	}
	o := &StartOutcome{Circuit: x}
	if o.Start, err = x.Start(); err != nil {
		return nil, err
	}
	if o.Running, err = x.Settle(ctx); err != nil {
		return nil, err
	}
	return o, nil
}
