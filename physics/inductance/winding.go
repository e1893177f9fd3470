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

// MirrorMutual returns the mutual inductance in H of the winding and its mirror
// image in a metal plane at height z, in m, below all of its turns: what the
// plane takes from its inductance.
//
// Turn i and the image of turn j are as far apart as any two of the same i + j,
// so that n turns cost 2n evaluations and not n². A fractional last turn stands
// by itself.
func (w Winding) MirrorMutual(z float64) float64 {
	turns := w.Loops()
	whole := len(turns)
	last := turns[whole-1]
	if last.Weight != 1 {
		whole--
	}
	between := func(a, b Loop) float64 {
		return a.Weight * b.Weight * MutualLoopsUnchecked(a.Radius, b.Radius, a.Height+b.Height-2*z)
	}
	var sum float64
	for i := range 2*whole - 1 { // i is the sum of the two numbers
		pairs := math.Min(float64(i+1), float64(2*whole-1-i))
		sum += pairs * between(turns[i/2], turns[(i+1)/2])
	}
	if whole < len(turns) {
		sum += between(last, last)
		for _, turn := range turns[:whole] {
			sum += 2 * between(turn, last)
		}
	}
	return sum
}
