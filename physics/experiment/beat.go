package experiment

import (
	"context"
	"math"

	"coilwright/physics/driver"
	"coilwright/physics/si"
)

// BeatOutcome is the energy of one spark passing between tank and coil.
type BeatOutcome struct {
	Circuit   driver.Gap
	Discharge driver.Discharge

	Time []float64 // s, ascending
	Tank []float64 // energy in tank and primary over all that the tank held
	Coil []float64 // energy in the coil over the same

	MostShare float64 // largest share of the tank's energy seen in the coil
}

// Answer returns how many swings of the coil it takes until the tank has given its
// energy away for the first time; NaN if they do not beat.
func (o *BeatOutcome) Answer() float64 {
	if o.Discharge.FirstNotch == 0 {
		return math.NaN()
	}
	return o.Discharge.FirstNotch * o.Circuit.Coil.Frequency()
}

// TimeAfter returns the time in s that so many swings of the coil take.
func (o *BeatOutcome) TimeAfter(swings float64) float64 { return swings / o.Circuit.Coil.Frequency() }

// couplingSetting is the coupling coefficient as a setting.
func couplingSetting(start float64) Setting {
	s := Setting{Name: "coupling", Least: 0.02, Most: 0.6, Step: 0.01, Geometric: true}
	s.Start = math.Max(s.Least, math.Min(s.Most, math.Round(start*100)/100))
	return s
}

// tuningSetting is the frequency of a tank alone over the coil's as a setting.
func tuningSetting() Setting {
	return Setting{Name: "tuning", Least: 0.7, Most: 1.3, Start: 1, Step: 0.01, Unit: si.Percent}
}

func beatExperiment(b *Bench) Experiment {
	return Experiment{
		Kind:     Beat,
		Settings: []Setting{couplingSetting(b.coupling()), tuningSetting()},
		Guess:    Setting{Name: "guess", Least: 0, Most: 30, Start: 10, Step: 0.5},
		run:      runBeat,
	}
}

func runBeat(_ context.Context, b *Bench, s Settings) (Outcome, error) {
	g, err := b.tank(s["coupling"], s["tuning"])
	if err != nil {
		return nil, err
	}
	o := &BeatOutcome{Circuit: g}
	d := &o.Discharge
	if *d, err = g.Solve(); err != nil {
		return nil, err
	}
	for i, sample := range d.Samples {
		o.Time = append(o.Time, float64(i)*d.SamplePeriod)
		o.Tank = append(o.Tank, sample.PrimaryEnergy/d.TankEnergy)
		o.Coil = append(o.Coil, sample.CoilEnergy/d.TankEnergy)
		o.MostShare = math.Max(o.MostShare, sample.CoilEnergy/d.TankEnergy)
	}
	return o, nil
}
