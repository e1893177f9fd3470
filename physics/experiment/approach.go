package experiment

import (
	"context"
	"math"

	"coilwright/physics/design"
	"coilwright/physics/si"
)

// ApproachOutcome is a coil with an earthed plate over it: a hand, a lamp, a
// ceiling, at their largest.
type ApproachOutcome struct {
	Distance  []float64 // m, from the top of the coil to the plate, ascending
	Frequency []float64 // Hz

	PresentDistance float64       // m
	Present         design.Report // with the plate at that distance
	Free            design.Report // without it
}

// PresentFrequency returns the frequency in Hz with the plate.
func (o *ApproachOutcome) PresentFrequency() float64 { return *o.Present.Resonance.Frequency }

// FreeFrequency returns the frequency in Hz without the plate.
func (o *ApproachOutcome) FreeFrequency() float64 { return *o.Free.Resonance.Frequency }

// Answer returns by how much of itself the frequency falls.
func (o *ApproachOutcome) Answer() float64 { return 1 - o.PresentFrequency()/o.FreeFrequency() }

// Fallen returns the frequency in Hz after it has fallen by a share of itself.
func (o *ApproachOutcome) Fallen(share float64) float64 { return o.FreeFrequency() * (1 - share) }

// GradientRatio returns the largest surface gradient on the top with the plate over that
// without it, at the same voltage; false where it is not known.
func (o *ApproachOutcome) GradientRatio() (ratio float64, known bool) {
	with, without := o.Present.Air.SurfaceGradientPerVolt, o.Free.Air.SurfaceGradientPerVolt
	if with == nil || without == nil {
		return 0, false
	}
	return *with / *without, true
}

const (
	nearestPlate   = 0.005 // m
	farthestPlate  = 1.0   // m
	approachPoints = 14
)

// distanceSetting is a distance as a setting.
func distanceSetting(name string, least, most, start float64) Setting {
	return Setting{Name: name, Least: least, Most: most, Start: start, Step: 0.001, Unit: si.Millimetre, Geometric: true}
}

func approachExperiment(*Bench) Experiment {
	return Experiment{
		Kind:     Approach,
		Settings: []Setting{distanceSetting("distance", nearestPlate, farthestPlate, 0.03)},
		Guess:    Setting{Name: "guess", Least: 0, Most: 0.5, Start: 0.1, Step: 0.005, Unit: si.Percent},
		run:      runApproach,
	}
}

func runApproach(ctx context.Context, b *Bench, s Settings) (Outcome, error) {
	d := b.design
	d.Room.CeilingHeight = 0
	o := &ApproachOutcome{PresentDistance: s["distance"]}
	var err error
	if o.Free, err = b.solver.Evaluate(ctx, d); err != nil {
		return nil, err
	}
	g, err := d.Geometry()
	if err != nil {
		return nil, err
	}
	top := g.Winding.Top
	if g.TopLoad.Kind != design.NoTopLoad {
		top = math.Max(top, g.TopLoad.Top())
	}
	for _, distance := range geometric(nearestPlate, farthestPlate, approachPoints) {
		d.Room.CeilingHeight = top + distance
		r, err := b.solver.Quick(ctx, d)
		if err != nil {
			return nil, err
		}
		o.Distance = append(o.Distance, distance)
		o.Frequency = append(o.Frequency, *r.Resonance.Frequency)
	}
	d.Room.CeilingHeight = top + o.PresentDistance
	if o.Present, err = b.solver.Evaluate(ctx, d); err != nil {
		return nil, err
	}
	return o, nil
}
