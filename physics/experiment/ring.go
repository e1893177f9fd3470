package experiment

import (
	"context"
	"math"

	"coilwright/physics/design"
	"coilwright/physics/topload"
)

// RingOutcome is a ring of wire beside the smooth ring of the same outer size, while
// turns are added.
type RingOutcome struct {
	Present topload.Ring // with the turns of the setting

	Turns       []float64 // ascending
	Capacitance []float64 // of the ring over that of the smooth one, 1
	Gradient    []float64 // largest surface gradient per volt over that of the smooth one, 1

	Solution          topload.RingSolution // of the present one
	SmoothCapacitance float64              // F
	SmoothGradient    float64              // 1/m
}

// Answer returns the capacitance of the ring over that of the smooth one.
func (o *RingOutcome) Answer() float64 { return o.Solution.Capacitance / o.SmoothCapacitance }

// GradientRatio returns the largest surface gradient of the ring over that of the smooth
// one, both at the same voltage.
func (o *RingOutcome) GradientRatio() float64 { return o.Solution.PeakGradient / o.SmoothGradient }

// fewestTurns is the smallest ring of wire shown.
const fewestTurns = 3

// ring returns the ring of wire of the design or, where it has none, of the design that
// a new one starts with.
func (b *Bench) ring() topload.Ring {
	d := b.design
	if d.TopLoad.Kind != design.WireRing {
		d = design.New()
	}
	g, err := d.Geometry()
	if err != nil {
		panic("experiment: " + err.Error()) // both were solved or are tested to be buildable
	}
	t := g.TopLoad
	return topload.Ring{
		WireDiameter:   t.WireDiameter,
		FormerDiameter: 2*t.TurnRadius - t.WireDiameter,
		HubDiameter:    2 * t.HubRadius,
		Turns:          t.Turns,
	}
}

func ringExperiment(b *Bench) Experiment {
	r := b.ring()
	most := float64(max(r.MaxTurns(), fewestTurns+1))
	return Experiment{
		Kind:     Ring,
		Settings: []Setting{{Name: "turns", Least: fewestTurns, Most: most, Start: math.Max(fewestTurns, math.Min(most, float64(r.Turns))), Step: 1}},
		Guess:    percentGuess(0, 1.2, 0.5),
		run:      runRing,
	}
}

func runRing(ctx context.Context, b *Bench, s Settings) (Outcome, error) {
	o := &RingOutcome{Present: b.ring()}
	most := max(o.Present.MaxTurns(), fewestTurns+1)
	o.Present.Turns = int(math.Round(s["turns"]))
	smooth := o.Present.SmoothTorus()
	var err error
	if o.SmoothCapacitance, err = smooth.Capacitance(); err != nil {
		return nil, err
	}
	if o.SmoothGradient, err = smooth.PeakGradient(); err != nil {
		return nil, err
	}
	var solver topload.RingSolver
	for turns := fewestTurns; turns <= most; turns = nextTurns(turns, o.Present.Turns, most) {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		r := o.Present
		r.Turns = turns
		solution, err := solver.Solve(r)
		if err != nil {
			return nil, err
		}
		o.Turns = append(o.Turns, float64(turns))
		o.Capacitance = append(o.Capacitance, solution.Capacitance/o.SmoothCapacitance)
		o.Gradient = append(o.Gradient, solution.PeakGradient/o.SmoothGradient)
		if turns == o.Present.Turns {
			o.Solution = solution
		}
	}
	return o, nil
}

// ringPoints is how many rings a curve is drawn through, besides the present one.
const ringPoints = 20

// nextTurns returns the next number of turns of the curve, which meets the present
// one and the last.
func nextTurns(turns, present, most int) int {
	next := turns + max(1, (most-fewestTurns)/ringPoints)
	switch {
	case turns < present && next > present:
		return present
	case turns < most && next > most:
		return most
	}
	return next
}
