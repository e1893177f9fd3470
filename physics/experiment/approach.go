package experiment

import (
	"context"
	"math"

	"coilwright/physics/design"
)

// ApproachOutcome is a coil with an earthed plate over it: a hand, a lamp, a
// ceiling, at their largest.
type ApproachOutcome struct {
	Distance  []float64 // m, from the top of the coil to the plate, ascending
	Frequency []float64 // Hz

	PresentDistance  float64 // m
	PresentFrequency float64 // Hz
	FreeFrequency    float64 // Hz, without the plate

	FreeGradient    float64 // 1/m, largest surface gradient on the top per volt, without the plate
	PresentGradient float64 // 1/m, with it
	GlowsFirst      string  // name of the place that glows first with the plate
}

// Answer returns by how much of itself the frequency falls.
func (o *ApproachOutcome) Answer() float64 { return 1 - o.PresentFrequency/o.FreeFrequency }

const (
	nearestPlate   = 0.005 // m
	farthestPlate  = 1.0   // m
	approachPoints = 14
)

func approachExperiment(*Bench) Experiment {
	return Experiment{
		Kind:     Approach,
		Settings: []Setting{distanceSetting("distance", nearestPlate, farthestPlate, 0.03)},
		Guess:    Setting{Name: "guess", Least: 0, Most: 0.5, Start: 0.1, Step: 0.005, Unit: percentGuess(0, 1, 0).Unit},
		run:      runApproach,
	}
}

func runApproach(ctx context.Context, b *Bench, s Settings) (Outcome, error) {
	d := b.design
	d.Room.CeilingHeight = 0
	free, err := b.solver.Evaluate(ctx, d)
	if err != nil {
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
	o := &ApproachOutcome{PresentDistance: s["distance"], FreeFrequency: *free.Resonance.Frequency}
	if free.Air.SurfaceGradientPerVolt != nil {
		o.FreeGradient = *free.Air.SurfaceGradientPerVolt
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
	present, err := b.solver.Evaluate(ctx, d)
	if err != nil {
		return nil, err
	}
	o.PresentFrequency = *present.Resonance.Frequency
	if present.Air.SurfaceGradientPerVolt != nil {
		o.PresentGradient = *present.Air.SurfaceGradientPerVolt
	}
	if len(present.Air.Places) > 0 {
		o.GlowsFirst = present.Air.Places[0].Name
	}
	return o, nil
}
