// Package winding counts turns: how much wire a part takes turn by turn, and in
// which steps it is wound. Lengths are in metres, angles in radians.
//
// Start reading at [Ring] for the ring of a top load, wound as a straight coil
// on a former and then closed round a hub, and at [Secondary]. Each has Count,
// the tally after every turn, and Steps, what to do in order.
//
// The geometry of the closed ring is the top load's business and is passed in.
// Wire lengths are those of the exact helix. The order of the steps, tails and
// spare turns are common practice, no source.
package winding

import "errors"

// ErrPlan says that the numbers of a part do not make one that can be wound.
var ErrPlan = errors.New("cannot be wound")

// Kind is what a step does.
type Kind string

// Kinds of steps, in the order in which they come.
const (
	Prepare Kind = "prepare" // mark the former, see that the wire suffices
	Cut     Kind = "cut"     // to length
	Grip    Kind = "grip"    // bend or fix the first tail
	Wind    Kind = "wind"    // up to the next mark
	Spare   Kind = "spare"   // turns beyond the count
	Slide   Kind = "slide"   // off the former
	Drop    Kind = "drop"    // the spare turns
	Close   Kind = "close"   // into a ring
	Space   Kind = "space"   // evenly
	Bind    Kind = "bind"    // so that nothing moves
	Solder  Kind = "solder"  // to the hub
	Fix     Kind = "fix"     // the last tail
	Check   Kind = "check"   // against a rule or a meter
)

// Step is one thing to do, and where the work stands when it is done.
type Step struct {
	Kind           Kind
	Text           string  // full sentences for the bench, with the numbers in them
	Turns          float64 // wound so far
	WireUsed       float64 // m, first tail included
	LengthOnFormer float64 // m of winding along the former; 0 once it is off
	RingAngle      float64 // rad of the closed ring that the turns will fill, up to 2π; 0 for a secondary
}

// Tally is where the work stands after a turn.
type Tally struct {
	Turn           float64 // the last may be a fraction
	WireUsed       float64 // m, first tail included
	LengthOnFormer float64 // m
	RingAngle      float64 // rad, as in [Step]
	Mark           bool    // the turn carries a mark
	Spare          bool    // the turn is dropped again
}
