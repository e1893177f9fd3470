package experiment

import (
	"context"
	"math"
	"math/cmplx"

	"coilwright/physics/driver"
)

// HumpsOutcome is how high the top swings against frequency, with a tuned primary.
type HumpsOutcome struct {
	Circuit   driver.Bridge
	Frequency []float64         // Hz, ascending
	Gain      []float64         // top crest over the source's, largest 1
	Humps     []driver.Hump     // one or more, ascending
	AtHumps   []driver.Response // one per hump
}

// Answer returns how far the highest hump lies above the lowest, over the coil's
// own frequency; 0 if there is one hump only.
func (o *HumpsOutcome) Answer() float64 {
	if len(o.Humps) < 2 {
		return 0
	}
	return (o.Humps[len(o.Humps)-1].Frequency - o.Humps[0].Frequency) / o.Circuit.Coil.Frequency()
}

// Upper returns the frequency in Hz of the upper of two humps that lie apart as
// [HumpsOutcome.Answer] says, counted from the lowest there is.
func (o *HumpsOutcome) Upper(apart float64) float64 {
	return o.Humps[0].Frequency + apart*o.Circuit.Coil.Frequency()
}

// Currents returns the phases in rad, over that of the source, of the currents in the
// primary and at the coil's foot at hump i.
func (o *HumpsOutcome) Currents(i int) (primary, foot float64) {
	return cmplx.Phase(o.AtHumps[i].Input), cmplx.Phase(o.AtHumps[i].Foot)
}

// PhaseApart returns the angle in rad between the two currents at hump i, 0 to π.
func (o *HumpsOutcome) PhaseApart(i int) float64 {
	primary, foot := o.Currents(i)
	return math.Abs(math.Remainder(primary-foot, 2*math.Pi))
}

func humpsExperiment(b *Bench) Experiment {
	return Experiment{
		Kind:     Humps,
		Settings: []Setting{couplingSetting(b.coupling()), tuningSetting()},
		Guess:    percentGuess(0, 1, 0.5),
		run:      runHumps,
	}
}

const (
	humpPoints = 600
	sourceOhms = 1.0 // of the source that feeds the tuned primary
	lowestHump = 0.5 // over the coil's frequency, where the curve begins
	highHump   = 1.8 // where it ends
)

func runHumps(_ context.Context, b *Bench, s Settings) (Outcome, error) {
	g, err := b.tank(s["coupling"], s["tuning"])
	if err != nil {
		return nil, err
	}
	o := &HumpsOutcome{Circuit: driver.Bridge{
		Coil: g.Coil, Primary: g.Primary, Feed: driver.SeriesTuned, SeriesCapacitance: g.TankCapacitance,
		SourceResistance: sourceOhms, Amplitude: 1,
	}}
	if o.Humps, err = o.Circuit.Humps(); err != nil {
		return nil, err
	}
	f := g.Coil.Frequency()
	responses, err := o.Circuit.Sweep(lowestHump*f, highHump*f, humpPoints)
	if err != nil {
		return nil, err
	}
	largest := 0.0
	for _, h := range o.Humps {
		largest = math.Max(largest, h.Gain)
		o.AtHumps = append(o.AtHumps, o.Circuit.At(h.Frequency))
	}
	for _, r := range responses {
		o.Frequency = append(o.Frequency, r.Frequency)
		o.Gain = append(o.Gain, r.Gain()/largest)
	}
	return o, nil
}
