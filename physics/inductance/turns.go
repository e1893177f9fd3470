package inductance

import (
	"fmt"
	"math"
)

// Loop is one turn as a ring on the common axis.
type Loop struct {
	Radius     float64 // m, of the centreline, > 0
	Height     float64 // m, of its plane
	WireRadius float64 // m, bare, > 0
	Weight     float64 // its share of a full turn, 0 to 1; 1 for all but a fractional last one
}

// mutual returns the mutual inductance in H of two turns, weights included.
func mutual(a, b Loop) float64 {
	return a.Weight * b.Weight * MutualLoopsUnchecked(a.Radius, b.Radius, a.Height-b.Height)
}

// Inductance returns the inductance in H of turns in series that carry the
// same current: self terms on the diagonal and [MutualLoops] off it. Turns may
// lie anywhere on the axis but must not coincide. It costs n²/2 evaluations;
// for a uniform winding use [Winding.Inductance].
//
// An impossible turn, or two that coincide, is an error that wraps
// [ErrGeometry].
func Inductance(turns []Loop, current Current) (float64, error) {
	var total float64
	for i, a := range turns {
		self, err := SelfLoop(a.Radius, a.WireRadius, current)
		if err != nil {
			return 0, err
		}
		total += a.Weight * a.Weight * self
		for _, b := range turns[:i] {
			total += 2 * mutual(a, b)
		}
	}
	return finite(total)
}

// MutualInductance returns the mutual inductance in H of two sets of turns,
// each in series and wound the same way round. A turn of one must not coincide
// with a turn of the other, otherwise the error wraps [ErrGeometry].
func MutualInductance(a, b []Loop) (float64, error) {
	var total float64
	for _, i := range a {
		for _, j := range b {
			total += mutual(i, j)
		}
	}
	return finite(total)
}

// Mirror returns the turns reflected in a metal plane at height z, in m. Their
// currents run the other way round: what two windings have in common over the
// plane is MutualInductance(a, b) - MutualInductance(a, Mirror(b, z)), and the
// inductance of one is Inductance(a) - MutualInductance(a, Mirror(a, z)).
//
// The plane is a perfect conductor without edges.
func Mirror(turns []Loop, z float64) []Loop {
	mirrored := make([]Loop, len(turns))
	for i, t := range turns {
		t.Height = 2*z - t.Height
		mirrored[i] = t
	}
	return mirrored
}

// Coupling returns the coupling coefficient k = M/√(L₁L₂) of two windings of
// inductances l1 and l2 and mutual inductance m, all in H.
func Coupling(l1, l2, m float64) float64 { return m / math.Sqrt(l1*l2) }

// finite refuses what coinciding filaments lead to.
func finite(value float64) (float64, error) {
	if math.IsInf(value, 0) || math.IsNaN(value) {
		return 0, fmt.Errorf("%w: two turns coincide", ErrGeometry)
	}
	return value, nil
}
