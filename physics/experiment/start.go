package experiment

import (
	"context"
	"math"

	"coilwright/physics/driver"
)

// StartOutcome is a one-transistor exciter from the moment its supply is there.
type StartOutcome struct {
	Coupling float64
	Sense    int

	Time []float64 // s, ascending
	Top  []float64 // V, crest, one per swing

	Growth float64 // 1/s, of a small oscillation
	Supply float64 // V
	State  driver.State
	Final  float64 // V, crest of the settled state
	Swings float64 // until the top swings nine tenths as high; NaN if it never reaches full output
}

// Answer returns how many swings pass until the top swings nine tenths as high as it
// ever will; NaN if the exciter never reaches full output.
func (o *StartOutcome) Answer() float64 { return o.Swings }

func startExperiment(b *Bench) Experiment {
	return Experiment{
		Kind: StartUp,
		Settings: []Setting{
			couplingSetting(b.primary().Coupling),
			{Name: "sense", Least: -1, Most: 1, Start: 1, Step: 2, TwoChoices: true},
		},
		Guess: Setting{Name: "guess", Least: 0, Most: 200, Start: 30, Step: 1},
		run:   runStart,
	}
}

// nearlyAll is the share of the settled crest that counts as there.
const nearlyAll = 0.9

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
	o := &StartOutcome{Coupling: s["coupling"], Sense: x.Sense, Supply: x.Supply, Swings: math.NaN()}
	start, err := x.Start()
	if err != nil {
		return nil, err
	}
	o.Growth = start.Growth
	r, err := x.Settle(ctx)
	if err != nil {
		return nil, err
	}
	o.State, o.Final = r.State, r.TopCrest
	for i, c := range r.Envelope {
		o.Time = append(o.Time, c.Time)
		o.Top = append(o.Top, c.Top)
		if r.Starts() && math.IsNaN(o.Swings) && c.Top >= nearlyAll*r.TopCrest {
			o.Swings = float64(i + 1)
		}
	}
	return o, nil
}
