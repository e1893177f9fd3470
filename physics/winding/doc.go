// Package winding counts turns: how much wire a part takes turn by turn, and in
// which steps it is wound. Lengths are in metres, angles in radians.
//
// Start reading at [Ring] for the ring of a top load, wound as a straight coil
// on a former and then closed round a hub, and at [Secondary] and [Primary].
// Each has Count, the tally after every turn, and Steps, what to do in order;
// every step comes with a number to check. [Wiring] says which end goes where,
// [Plan] holds all of it.
//
// The geometry of the closed ring is the top load's business and is passed in.
// Wire lengths are those of the exact helix or spiral; how far turns open is in
// [SpringBack]. The order of the steps, tails and spare turns are common
// practice, no source.
package winding

import (
	"coilwright/physics/sentence"
	"coilwright/physics/si"
)

// ErrPlan says that the numbers of a part do not make one that can be wound.
var ErrPlan = sentence.Error(nil, sentence.New("cannot be wound"))

// refuse returns an error of kind [ErrPlan].
func refuse(why sentence.Text) error { return sentence.Because(ErrPlan, why) }

// Kind is what a step does.
type Kind string

// Kinds of steps, in the order in which they come.
const (
	Prepare    Kind = "prepare"    // mark the former, see that the wire suffices
	Cut        Kind = "cut"        // to length
	Grip       Kind = "grip"       // bend or fix the first tail
	Wind       Kind = "wind"       // up to the next mark
	Spare      Kind = "spare"      // turns beyond the count
	Slide      Kind = "slide"      // off the former
	Open       Kind = "open"       // the turns spring back: measure how far
	Drop       Kind = "drop"       // the spare turns
	Close      Kind = "close"      // into a ring
	Space      Kind = "space"      // evenly
	Bind       Kind = "bind"       // so that nothing moves
	Solder     Kind = "solder"     // to the hub
	Cool       Kind = "cool"       // in still air
	Straighten Kind = "straighten" // what the heat has moved
	Fix        Kind = "fix"        // the last tail
	Coat       Kind = "coat"       // with varnish
	Lead       Kind = "lead"       // the ends to where they go
	Tap        Kind = "tap"        // where the primary is tapped
	Check      Kind = "check"      // against a rule or a meter
)

// Step is one thing to do, and where the work stands when it is done.
type Step struct {
	Kind           Kind
	Text           sentence.Text // full sentences for the bench, with the numbers in them
	Turns          float64       // wound so far
	WireUsed       float64       // m, first tail included
	LengthOnFormer float64       // m of winding along the former; 0 once it is off
	RingAngle      float64       // rad of the closed ring that the turns will fill, up to 2π; 0 for a secondary
	Expect         Reading       // what to check when it is done
}

// Tool is what a number is checked with.
type Tool string

// Tools of the bench.
const (
	Eye      Tool = "count"
	Rule     Tool = "rule"
	Calliper Tool = "calliper"
	Scale    Tool = "scale"
	Meter    Tool = "ohmmeter"
	Clock    Tool = "clock"
	Gauge    Tool = "spring balance"
)

// words returns the name of a tool.
func (t Tool) words() sentence.Text {
	switch t {
	case Eye:
		return sentence.New("count")
	case Rule:
		return sentence.New("rule")
	case Calliper:
		return sentence.New("calliper")
	case Scale:
		return sentence.New("scale")
	case Meter:
		return sentence.New("ohmmeter")
	case Clock:
		return sentence.New("clock")
	}
	return sentence.New("spring balance")
}

// Reading is a number to check, and with what.
type Reading struct {
	Name  sentence.Text // "length of the winding"
	Value float64       // SI
	Unit  si.Unit       // si.Plain: a number of things
	Tool  Tool
	Up    bool // a length that is rounded up, as one cuts
}

// reading returns one that is rounded to the nearest.
func reading(name sentence.Text, value float64, unit si.Unit, tool Tool) Reading {
	return Reading{Name: name, Value: value, Unit: unit, Tool: tool}
}

// toCut returns the check of a wire's length in m after the cut, with the number
// that was cut to.
func toCut(length float64) Reading {
	return Reading{Name: sentence.New("length of the wire"), Value: length, Unit: si.Metre, Tool: Rule, Up: true}
}

// Words says the reading with three digits, lengths in inches and feet if that is
// the unit: "length of the winding 8.14 mm (rule)".
func (r Reading) Words(unit si.Unit) sentence.Text {
	return sentence.New("%s %s (%s)", r.Name, r.Number(unit), r.Tool.words())
}

// Number writes the value alone.
func (r Reading) Number(unit si.Unit) string {
	const digits = 3
	switch r.Unit {
	case si.Plain:
		return si.FormatTurns(r.Value)
	case si.Metre:
		if r.Up {
			return LengthToCut(r.Value, unit)
		}
		return rule{unit}.length(r.Value)
	case si.Degree:
		return si.FormatOf(r.Value, si.Degree, digits)
	case si.Second:
		return duration(r.Value)
	}
	return si.FormatPrefixed(r.Value, r.Unit, digits)
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
