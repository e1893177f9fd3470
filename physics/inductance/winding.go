package inductance

import (
	"fmt"
	"math"
)

// Winding is a uniform single-layer winding on the axis.
type Winding struct {
	Turns      float64 // > 0; a fractional last turn is a ring of that weight
	Radius     float64 // m, of the centreline, > 0
	Pitch      float64 // m, centre to centre, >= 2·WireRadius
	WireRadius float64 // m, bare, > 0
	BaseHeight float64 // m, of the centre of the first turn
}

// Loops returns the turns of the winding, from the foot up. A fractional last
// turn has its fraction as weight and lies in the middle of its stretch, so
// that everything computed from the turns is continuous at whole numbers.
func (w Winding) Loops() []Loop {
	whole, fraction := split(w.Turns)
	loops := make([]Loop, 0, whole+1)
	for i := range whole {
		loops = append(loops, Loop{w.Radius, w.BaseHeight + float64(i)*w.Pitch, w.WireRadius, 1})
	}
	if fraction > 0 {
		loops = append(loops, Loop{w.Radius, w.BaseHeight + lastPlace(whole, fraction)*w.Pitch, w.WireRadius, fraction})
	}
	return loops
}

// split returns the whole turns and the fraction left.
func split(turns float64) (whole int, fraction float64) {
	floor := math.Floor(turns)
	return int(floor), turns - floor
}

// lastPlace returns where, in pitches from the first turn's centre, the middle
// of a fractional last turn lies.
func lastPlace(whole int, fraction float64) float64 {
	return float64(whole) - 0.5 + fraction/2
}

// Inductance returns the inductance in H of the winding by the ring sum, the
// same as [Inductance] of its [Winding.Loops]. Pairs at the same distance share
// one evaluation, so that n turns cost 2n instead of n²/2 of them.
//
// Within 1e-6 of the ring model; what the model leaves out is in the package
// comment. A size that cannot be is an error that wraps [ErrGeometry].
func (w Winding) Inductance(current Current) (float64, error) {
	if !(w.Turns > 0) || !(w.Pitch > 0) || math.IsInf(w.Turns, 0) || math.IsInf(w.Pitch, 0) {
		return 0, fmt.Errorf("%w: %g turns at a pitch of %g m", ErrGeometry, w.Turns, w.Pitch)
	}
	self, err := SelfLoop(w.Radius, w.WireRadius, current)
	if err != nil {
		return 0, err
	}
	whole, fraction := split(w.Turns)
	total := (float64(whole) + fraction*fraction) * self
	last := lastPlace(whole, fraction)
	for k := 1; k <= whole; k++ {
		if k < whole {
			total += 2 * float64(whole-k) * MutualLoopsUnchecked(w.Radius, w.Radius, float64(k)*w.Pitch)
		}
		if fraction > 0 {
			total += 2 * fraction * MutualLoopsUnchecked(w.Radius, w.Radius, (last-float64(k-1))*w.Pitch)
		}
	}
	return total, nil
}
