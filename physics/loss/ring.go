package loss

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/integrate/quad"
)

// Ring is a top load of closed circular turns of round wire in meridian planes, soldered
// where they touch the hub.
type Ring struct {
	Radius       float64 // m, from the axis to the centres of the turns
	TurnRadius   float64 // m, of a turn's centreline, < Radius
	WireRadius   float64 // m, of the bare metal
	Turns        int
	Height       float64 // m, of the centre plane
	Conductivity float64 // S/m
}

// ringPoints is how many points of Gauss's rule lie on half a turn. Twice as many change
// the losses by less than 1e-3 (TestRingRefinement).
const ringPoints = 16

// check refuses what has no answer.
func (r Ring) check(frequency float64) error {
	if !positive(r.Radius) || !positive(r.TurnRadius) || !(r.TurnRadius < r.Radius) || !positive(r.WireRadius) || !(r.WireRadius < r.TurnRadius) || r.Turns < 1 || !positive(r.Conductivity) {
		return fmt.Errorf("%w: ring of radius %g m with %d turns of radius %g m of wire of radius %g m and %g S/m", ErrInput, r.Radius, r.Turns, r.TurnRadius, r.WireRadius, r.Conductivity)
	}
	if !positive(frequency) {
		return fmt.Errorf("%w: frequency %g Hz", ErrInput, frequency)
	}
	return nil
}

// RingChargingLoss returns the power in W of the currents that charge a wire ring
// with charge in C, crest, at a frequency in Hz. lineCharge is the charge per length of
// wire by the angle along the turn, 0 on the outer equator and π at the hub, in any unit.
//
// All current comes in at the hub and leaves it both ways round every turn; the current
// at the angle θ is what charges the wire from there to the equator,
//
//	I(θ) = ω ∫₀^θ λ r_t dθ',
//
// and the turns side by side act on each other as an endless row of their local pitch
// with the field on one side, the cage that they are at the hub. Taking that for the
// whole turn errs by some ten per cent of a loss that is itself well under 1 % of the
// winding's. The currents spread from the lead as if it met all turns alike.
func RingChargingLoss(r Ring, charge, frequency float64, lineCharge func(theta float64) float64) (float64, error) {
	if err := r.check(frequency); err != nil {
		return 0, err
	}
	wire, err := NewRoundWire(frequency, r.WireRadius, r.Conductivity)
	if err != nil {
		return 0, err
	}
	upTo := func(theta float64) float64 {
		return quad.Fixed(func(x float64) float64 { return lineCharge(x) }, 0, theta, ringPoints, nil, 0)
	}
	half := upTo(math.Pi)
	if !(math.Abs(half) > 0) || math.IsInf(half, 0) || math.IsNaN(charge) || math.IsInf(charge, 0) {
		return 0, fmt.Errorf("%w: charge %g C on a ring, %g on half a turn", ErrInput, charge, half)
	}
	// Current per unit of the integral: the whole charge is on 2N halves.
	scale := 2 * math.Pi * frequency * charge / (2 * float64(r.Turns) * half)
	thickness := r.WireRadius / SkinDepth(frequency, r.Conductivity)
	var failed error
	squares := quad.Fixed(func(theta float64) float64 {
		pitch := 2 * math.Pi * (r.Radius + r.TurnRadius*math.Cos(theta)) / float64(r.Turns)
		factor, err := EndlessRow(math.Min(1, 2*r.WireRadius/pitch), thickness, 1)
		if err != nil {
			failed = err
		}
		current := scale * upTo(theta)
		return factor * current * current
	}, 0, math.Pi, ringPoints, nil, 0)
	if failed != nil {
		return 0, failed
	}
	return wire.ResistanceAC / 2 * squares * r.TurnRadius * 2 * float64(r.Turns), nil
}

// RingEddyLoss returns the power in W of the eddy currents that the field of the
// sources, the turns of the winding, drives within the wires of a wire ring. No flux
// goes through its turns, which lie in meridian planes, and what the hub closes is
// [LoopLoss]; but the wires are thick. Each point of wire loses what a lone straight
// wire does in the field that is there. mirror is the height in m of a metal plane, nil for
// none.
func RingEddyLoss(r Ring, sources []RingCurrent, mirror *float64, frequency float64) (float64, error) {
	if err := r.check(frequency); err != nil {
		return 0, err
	}
	if err := checkSources(sources); err != nil {
		return 0, err
	}
	across, along := wireInField(r.WireRadius, r.Conductivity, frequency)
	perTurn := quad.Fixed(func(theta float64) float64 {
		sin, cos := math.Sincos(theta)
		hr, hz := fieldOf(sources, mirror, r.Radius+r.TurnRadius*cos, r.Height+r.TurnRadius*sin)
		normal, tangent := hr*cos+hz*sin, hz*cos-hr*sin
		return across*normal*normal + along*tangent*tangent
	}, -math.Pi, math.Pi, 2*ringPoints, nil, 0)
	return perTurn * r.TurnRadius * float64(r.Turns), nil
}
