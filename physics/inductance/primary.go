package inductance

import "math"

// Primary is a winding of few turns laid out along a straight slant: upright
// for a cylinder, level for a flat spiral, in between for a cone.
type Primary struct {
	Turns       float64 // > 0; a fractional last turn is a ring of that weight
	InnerRadius float64 // m, centreline of the first (lowest, innermost) turn, > 0
	Pitch       float64 // m, centre to centre along the slant, > 0
	Slant       float64 // rad over the horizontal: π/2 a cylinder, 0 a flat spiral
	WireRadius  float64 // m, bare, > 0
	BaseHeight  float64 // m, of the centre of the first turn
}

// Loops returns the turns in use, from the first: turn i lies i pitches along
// the slant. A fractional last turn has its fraction as weight and lies in the
// middle of its stretch; less than one turn lies where the first would.
func (p Primary) Loops() []Loop {
	whole, fraction := split(p.Turns)
	sin, cos := math.Sincos(p.Slant)
	at := func(place, weight float64) Loop {
		along := place * p.Pitch
		return Loop{p.InnerRadius + along*cos, p.BaseHeight + along*sin, p.WireRadius, weight}
	}
	loops := make([]Loop, 0, whole+1)
	for i := range whole {
		loops = append(loops, at(float64(i), 1))
	}
	if fraction > 0 {
		// Less than one turn is still the first, where the design puts that.
		loops = append(loops, at(math.Max(lastPlace(whole, fraction), 0), fraction))
	}
	return loops
}
