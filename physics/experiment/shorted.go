package experiment

import (
	"context"
	"math"

	"coilwright/physics/design"
	"coilwright/physics/si"
)

// ShortedOutcome is a smooth ring on the coil, unbroken and slotted, against its
// height over the winding.
type ShortedOutcome struct {
	OuterDiameter float64 // m, of the smooth ring
	TubeDiameter  float64 // m

	Height   []float64 // m, from the edge of the winding to the ring's centre plane, ascending
	Unbroken []float64 // Hz
	Slotted  []float64 // Hz

	PresentHeight   float64 // m
	PresentUnbroken float64 // Hz
	PresentSlotted  float64 // Hz
	OfWire          float64 // Hz, with the design's own ring of wire at that height; 0: it has none
}

// Answer returns by how much of itself the frequency rises when the slot is closed.
func (o *ShortedOutcome) Answer() float64 { return o.PresentUnbroken/o.PresentSlotted - 1 }

// Risen returns the frequency in Hz after that with the slotted ring has risen by a
// share of itself.
func (o *ShortedOutcome) Risen(share float64) float64 { return o.PresentSlotted * (1 + share) }

const shortedPoints = 12

func shortedExperiment(b *Bench) Experiment {
	tube := 2 * b.ring().TurnRadius()
	least := math.Ceil(1000*(0.6*tube+0.002)) / 1000
	return Experiment{
		Kind:     ShortedTurn,
		Settings: []Setting{distanceSetting("height", least, 8*least, 1.5*least)},
		Guess:    Setting{Name: "guess", Least: 0, Most: 0.2, Start: 0.05, Step: 0.002, Unit: si.Percent},
		run:      runShorted,
	}
}

func runShorted(ctx context.Context, b *Bench, s Settings) (Outcome, error) {
	smooth := b.ring().SmoothTorus()
	x := shortedExperiment(b).Settings[0]
	o := &ShortedOutcome{OuterDiameter: 2 * (smooth.Radius + smooth.Tube), TubeDiameter: 2 * smooth.Tube, PresentHeight: s["height"]}
	frequency := func(top design.TopLoad) (float64, error) {
		d := b.design
		d.TopLoad = top
		r, err := b.solver.Quick(ctx, d)
		if err != nil {
			return 0, err
		}
		return *r.Resonance.Frequency, nil
	}
	torus := func(height float64, closed bool) design.TopLoad {
		return design.TopLoad{Kind: design.Torus, Height: height, OuterDiameter: o.OuterDiameter, TubeDiameter: o.TubeDiameter, Closed: closed}
	}
	both := func(height float64) (unbroken, slotted float64, err error) {
		if unbroken, err = frequency(torus(height, true)); err != nil {
			return 0, 0, err
		}
		slotted, err = frequency(torus(height, false))
		return unbroken, slotted, err
	}
	for _, height := range geometric(x.Least, x.Most, shortedPoints) {
		unbroken, slotted, err := both(height)
		if err != nil {
			return nil, err
		}
		o.Height = append(o.Height, height)
		o.Unbroken = append(o.Unbroken, unbroken)
		o.Slotted = append(o.Slotted, slotted)
	}
	var err error
	if o.PresentUnbroken, o.PresentSlotted, err = both(o.PresentHeight); err != nil {
		return nil, err
	}
	if b.design.TopLoad.Kind == design.WireRing {
		ring := b.design.TopLoad
		ring.Height = o.PresentHeight
		if o.OfWire, err = frequency(ring); err != nil {
			return nil, err
		}
	}
	return o, nil
}
