package topload

import (
	"errors"
	"fmt"
	"math"
)

// ErrShape is wrapped by every error about dimensions that are no shape at
// all: negative, zero, infinite or not a number.
var ErrShape = errors.New("topload: not a shape")

const (
	// turnSlack keeps a ring whose wires just touch from being refused by
	// rounding; it is a billionth of a turn.
	turnSlack = 1e-9

	// leastFormerRatio is the smallest former over the wire diameter: bare
	// soft copper takes an inner bend radius of one diameter without
	// cracking (common practice, no source). Enamelled wire is type-tested on
	// a mandrel of about its own diameter (IEC 60851-3, from memory).
	leastFormerRatio = 2
)

// Ring is a ring of separate wire turns: closed circles in the planes through
// the ring's axis, evenly spaced, whose inner wire surfaces touch the hub.
type Ring struct {
	WireDiameter   float64 // m, bare metal, > 0
	FormerDiameter float64 // m, the tube the turns are wound on, > 0
	HubDiameter    float64 // m, the circle that the inner wire surfaces touch, >= 0
	Turns          int     // 1 and up
}

// Radius returns the distance in m from the ring's axis to the centre of a
// turn, hub/2 + d + former/2.
func (r Ring) Radius() float64 {
	return r.HubDiameter/2 + r.WireDiameter + r.FormerDiameter/2
}

// TurnRadius returns the radius in m of a turn's centreline, (former + d)/2.
func (r Ring) TurnRadius() float64 { return (r.FormerDiameter + r.WireDiameter) / 2 }

// OuterDiameter returns the diameter in m over the wires, hub + 2 former + 4 d.
func (r Ring) OuterDiameter() float64 {
	return r.HubDiameter + 2*r.FormerDiameter + 4*r.WireDiameter
}

// HoleDiameter returns the diameter in m of the free hole, which is the hub.
func (r Ring) HoleDiameter() float64 { return r.HubDiameter }

// Height returns the thickness in m of the ring along its axis, over the wires.
func (r Ring) Height() float64 { return r.FormerDiameter + 2*r.WireDiameter }

// SmoothRadii returns the radius in m of the centre circle and of the tube of
// the smooth torus of the same outer size, the one the wires fit into.
func (r Ring) SmoothRadii() (centre, tube float64) {
	return r.Radius(), r.TurnRadius() + r.WireDiameter/2
}

// TurnAngle returns the angle in rad between neighbouring turns, 2 pi/N.
func (r Ring) TurnAngle() float64 { return 2 * math.Pi / float64(r.Turns) }

// TurnLimit returns how many turns fit round the hub, as a real number,
// pi / asin(d/(hub + d)): where the inner wires of neighbouring turns touch.
// The former does not enter.
func (r Ring) TurnLimit() float64 {
	return math.Pi / math.Asin(r.WireDiameter/(r.HubDiameter+r.WireDiameter))
}

// MaxTurns returns the largest whole number of turns that fit round the hub.
func (r Ring) MaxTurns() int { return int(math.Floor(r.TurnLimit() + turnSlack)) }

// HubFor returns the least hub diameter in m on which the given number of
// turns fits, d/sin(pi/N) - d; 0 for one or two turns.
func (r Ring) HubFor(turns int) float64 {
	if turns <= 2 {
		return 0
	}
	return r.WireDiameter/math.Sin(math.Pi/float64(turns)) - r.WireDiameter
}

// GapAtHub returns the free distance in m between the wires of neighbouring
// turns where they are closest, at the hub. It is negative where they would
// overlap and infinite for a single turn, which has no neighbour.
func (r Ring) GapAtHub() float64 {
	if r.Turns < 2 {
		return math.Inf(1)
	}
	return (r.HubDiameter+r.WireDiameter)*math.Sin(math.Pi/float64(r.Turns)) - r.WireDiameter
}

// WireLength returns the length in m of wire in the ring without tails: the
// helix as it is wound on the former, turn against turn.
func (r Ring) WireLength() float64 {
	return float64(r.Turns) * math.Hypot(2*math.Pi*r.TurnRadius(), r.WireDiameter)
}

// UnbuildableError says why a ring cannot be built and gives the nearest one
// that can.
type UnbuildableError struct {
	Reason  string // a plain sentence, without the final stop
	Nearest Ring   // differs from the ring asked for in one dimension
}

// Error returns the reason.
func (e *UnbuildableError) Error() string { return e.Reason }

// Check returns nil if the ring can be built. Otherwise the error says in
// plain words what is in the way: it wraps [ErrShape] for dimensions that are
// no shape, and is an [UnbuildableError] for a ring that does not go together.
// The wire's name is used in the sentence, as in "AWG 12"; empty, its diameter
// is.
func (r Ring) Check(wire string) error {
	for _, v := range []struct {
		name  string
		value float64 // m
		least float64 // m
	}{
		{"wire diameter", r.WireDiameter, math.SmallestNonzeroFloat64},
		{"former diameter", r.FormerDiameter, math.SmallestNonzeroFloat64},
		{"hub diameter", r.HubDiameter, 0},
	} {
		if !(v.value >= v.least) || math.IsInf(v.value, 0) {
			return fmt.Errorf("%w: %s %g m", ErrShape, v.name, v.value)
		}
	}
	if r.Turns < 1 {
		return fmt.Errorf("%w: %d turns", ErrShape, r.Turns)
	}
	if least := leastFormerRatio * r.WireDiameter; r.FormerDiameter < least*(1-turnSlack) {
		near := r
		near.FormerDiameter = least
		return &UnbuildableError{
			Reason: fmt.Sprintf("%s does not bend round a %s former: take one of at least %s",
				r.wireName(wire), millimetres(r.FormerDiameter), millimetresUp(least)),
			Nearest: near,
		}
	}
	if most := r.MaxTurns(); r.Turns > most {
		near := r
		near.Turns = most
		return &UnbuildableError{
			Reason: fmt.Sprintf("%d turns of %s do not fit on a %s hub: at most %d, or a hub of at least %s",
				r.Turns, r.wireName(wire), millimetres(r.HubDiameter), most, millimetresUp(r.HubFor(r.Turns))),
			Nearest: near,
		}
	}
	return nil
}

// wireName returns the name given, or the diameter in its place.
func (r Ring) wireName(name string) string {
	if name == "" {
		return millimetres(r.WireDiameter) + " wire"
	}
	return name
}

// millimetres writes a length in m with three digits.
func millimetres(length float64) string { return fmt.Sprintf("%.3g mm", length*1e3) }

// millimetresUp writes a least length in m, rounded up to a tenth of a
// millimetre so that what it says is enough.
func millimetresUp(length float64) string {
	const slack = 1e-6 // mm, so that rounding noise does not add a tenth
	return fmt.Sprintf("%.1f mm", math.Ceil((length*1e3-slack)*10)/10)
}
