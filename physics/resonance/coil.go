package resonance

import (
	"errors"
	"fmt"
	"math"

	"coilwright/physics/inductance"
	"coilwright/physics/si"
	"coilwright/physics/topload"
)

// ErrGeometry is wrapped by every error about sizes or places for which there is
// no answer: a negative radius, a body that reaches through a plane.
var ErrGeometry = errors.New("resonance: impossible geometry")

// MostTurns is the longest winding accepted.
const MostTurns = 5000

// Coil is everything the modes depend on. Lengths are in m, heights over a zero
// of the caller's choice, which the planes of the room share.
type Coil struct {
	Winding Winding
	Room    Room
	Former  *Former // under the winding; nil: none

	Top       *topload.Body     // on the last node; nil: none
	TopHeight float64           // m, of the body's centre plane
	Shorted   []inductance.Loop // currents on an unbroken top load, heights over its centre plane; nil: slotted or none

	Primary []inductance.Loop // turns at zero potential that carry no current; nil: none

	TopLead  *Lead // from winding to top load; nil: left out
	FootLead *Lead // from foot to earth or board; nil: left out
	Rod      *Lead // that stands on the top load; nil: none. Without a top load it is left out

	Board *Board // what a foot that is not earthed returns to; nil, or lying on the floor: the foot is at zero
}

// Winding is the single-layer secondary: circular turns of bare round wire.
type Winding struct {
	Radius     float64 // m, of the centreline, > 0
	WireRadius float64 // m, of the bare metal, > 0
	Pitch      float64 // m, centre to centre, > 0, not below the bare diameter
	Turns      float64 // 1 to MostTurns; fractions allowed
	Base       float64 // m, height of the centre of the lowest turn

	Insulation [2]Layer // round the wire from inside out: enamel and varnish, say
}

// Top returns the height in m of the winding's upper edge, from which the
// height of a top load counts: half a pitch below the lowest centre, plus turns
// times pitch.
func (w Winding) Top() float64 { return w.Base - w.Pitch/2 + w.Turns*w.Pitch }

// Room says which planes surround the coil. A nil height is no plane.
type Room struct {
	Floor   *float64 // m, height of the earthed plane below
	Metal   bool     // the floor mirrors currents as well as charges
	Ceiling *float64 // m, height of an earthed plate above, for the electric field only
}

// Lead is a straight vertical wire, taken as a thin cylinder of the same charge
// about the coil's axis; what it is to itself is that of the wire.
type Lead struct {
	Radius     float64 // m, its distance from the axis, > 0
	Bottom     float64 // m, height of the lower end
	Length     float64 // m, > 0
	WireRadius float64 // m, > 0
}

// Board is the free-standing circuit at the foot. The charges of coil, board
// and earth capacitance add to zero in every mode.
type Board struct {
	Body             *topload.Body // mode 0 must carry its net charge
	Height           float64       // m, of its centre plane
	EarthCapacitance float64       // F, to earth, beyond its own; >= 0
}

// check refuses what has no answer, naming the number that is wrong.
func (c *Coil) check() error {
	w := c.Winding
	positive := func(x float64) bool { return x > 0 && !math.IsInf(x, 0) }
	finite := func(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }
	switch {
	case !positive(w.Radius):
		return fmt.Errorf("%w: winding radius %g m", ErrGeometry, w.Radius)
	case !positive(w.WireRadius) || w.WireRadius >= w.Radius:
		return fmt.Errorf("%w: wire radius %g m on a winding radius of %g m", ErrGeometry, w.WireRadius, w.Radius)
	case !positive(w.Pitch) || w.Pitch < 2*w.WireRadius*(1-pitchSlack):
		return fmt.Errorf("%w: pitch %g m for a wire %g m thick", ErrGeometry, w.Pitch, 2*w.WireRadius)
	case !(w.Turns >= 1) || w.Turns > MostTurns:
		return fmt.Errorf("%w: %g turns, 1 to %d are possible", ErrGeometry, w.Turns, MostTurns)
	case !w.insulated():
		return fmt.Errorf("%w: insulation of the wire %+v", ErrGeometry, w.Insulation)
	case !finite(w.Base):
		return fmt.Errorf("%w: base height %g m", ErrGeometry, w.Base)
	}
	low, high := w.Base-w.WireRadius, w.Base+(w.Turns-1)*w.Pitch+w.WireRadius
	widen := func(bottom, top float64) { low, high = math.Min(low, bottom), math.Max(high, top) }
	if c.Top != nil {
		if !finite(c.TopHeight) {
			return fmt.Errorf("%w: top load at height %g m", ErrGeometry, c.TopHeight)
		}
		widen(c.TopHeight-c.Top.Top, c.TopHeight+c.Top.Top)
	}
	for _, l := range []*Lead{c.TopLead, c.FootLead, c.Rod} {
		if l == nil {
			continue
		}
		if !positive(l.Radius) || !positive(l.WireRadius) || !positive(l.Length) || !finite(l.Bottom) {
			return fmt.Errorf("%w: lead or rod of radius %g m, %g m long, %g m from the axis, from %g m up", ErrGeometry, l.WireRadius, l.Length, l.Radius, l.Bottom)
		}
		widen(l.Bottom, l.Bottom+l.Length)
	}
	for _, l := range c.Primary {
		if !positive(l.Radius) || !positive(l.WireRadius) || !finite(l.Height) || !positive(l.Weight) || l.Weight > 1 {
			return fmt.Errorf("%w: primary turn of radius %g m, wire radius %g m, weight %g at height %g m", ErrGeometry, l.Radius, l.WireRadius, l.Weight, l.Height)
		}
		widen(l.Height-l.WireRadius, l.Height+l.WireRadius)
	}
	if c.Former != nil {
		if err := c.Former.check(w, c.Room); err != nil {
			return err
		}
	}
	if f := c.Room.Floor; f != nil && !(*f < low) {
		return fmt.Errorf("%w: floor at %g m, lowest part of the coil at %g m", ErrGeometry, *f, low)
	}
	if h := c.Room.Ceiling; h != nil && !(*h > high) {
		return fmt.Errorf("%w: ceiling at %g m, highest part of the coil at %g m", ErrGeometry, *h, high)
	}
	return nil
}

// leastGap is how far above the floor a board is solved for, over its radius: the
// few modes of a body do not answer an image nearer than that.
const leastGap = 1.0 / 40

// overFloor returns the coil with a board that lies on the floor taken away, for
// the foot is then earthed, and one that is nearer than leastGap lifted to it; what it
// loses is given back as capacitance to earth, ε₀πR²/gap.
func (c *Coil) overFloor() *Coil {
	if c.Board == nil || c.Room.Floor == nil {
		return c
	}
	body := c.Board.Body
	gap, least := c.Board.Height-body.Top-*c.Room.Floor, leastGap*body.Outer
	if gap >= least {
		return c
	}
	changed := *c
	changed.Board = nil
	if gap > 0 {
		plate := si.Epsilon0 * math.Pi * body.Outer * body.Outer
		changed.Board = &Board{
			Body: body, Height: c.Board.Height + least - gap,
			EarthCapacitance: c.Board.EarthCapacitance + plate/gap - plate/least,
		}
	}
	return &changed
}

// pitchSlack lets touching bare wires through in spite of rounding.
const pitchSlack = 1e-9
