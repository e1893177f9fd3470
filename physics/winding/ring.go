package winding

import (
	"math"

	"coilwright/physics/sentence"
	"coilwright/physics/si"
	"coilwright/physics/wire"
)

// What a ring is wound with unless its maker says otherwise; common practice,
// no source.
const (
	RingMarkEvery  = 5
	RingSpareTurns = 3
	RingTail       = 0.060 // m, enough for a hand to hold

	defaultIron = 30.0 // W
)

// Ring is a ring of wire turns as its maker meets it: first a straight coil,
// turn against turn on a former, then closed round a hub.
type Ring struct {
	WireName       string  // "AWG 14"
	WireDiameter   float64 // m, over the insulation if any
	FormerDiameter float64 // m
	Turns          int     // 3 and up
	SpareTurns     int     // 0 and up, wound beyond and dropped: the end turns open when the coil comes off
	Tail           float64 // m, at either end
	MarkEvery      int     // turns, 1 and up

	// Of the closed ring, from the top load.
	HubDiameter   float64 // m, the circle that the inner wire surfaces touch
	OuterDiameter float64 // m
	GapAtHub      float64 // m, between neighbouring wires
	HubLimit      float64 // most turns that fit round the hub; 0: no limit

	// How the wire springs back. Zero: soft copper.
	Yield        float64 // Pa
	Modulus      float64 // Pa
	MeasuredLoop float64 // m, inside diameter of one turn once it was off the former; 0: by Yield

	// How it is soldered. Zero: as HubOf has it, tin-lead, an iron of 30 W.
	Hub         Hub
	SolderMelts float64 // °C
	IronPower   float64 // W
}

// touching is the slack, of a turn or a wire diameter, for rounding where wires
// just touch.
const touching = 1e-9

// check refuses numbers that are no ring.
func (r Ring) check() error {
	if err := checkLengths(
		[]named{{sentence.New("wire diameter"), r.WireDiameter}, {sentence.New("former diameter"), r.FormerDiameter}, {sentence.New("outside diameter"), r.OuterDiameter}},
		[]named{{sentence.New("hub diameter"), r.HubDiameter}, {sentence.New("tail"), r.Tail}, {sentence.New("measured loop"), r.MeasuredLoop}},
	); err != nil {
		return err
	}
	switch {
	case r.Turns < 3:
		return refuse(sentence.New("%d turns make no ring", r.Turns))
	case r.SpareTurns < 0:
		return refuse(sentence.New("%d spare turns", r.SpareTurns))
	case r.MarkEvery < 1:
		return refuse(sentence.New("a mark every %d turns", r.MarkEvery))
	case !(r.IronPower >= 0) || math.IsInf(r.IronPower, 0):
		return refuse(sentence.New("an iron of %g W", r.IronPower))
	case !(r.SolderMelts >= 0 && r.SolderMelts < meltingCopper):
		return refuse(sentence.New("solder that melts at %g °C", r.SolderMelts))
	}
	if r.HubLimit > 0 && float64(r.Turns) > r.HubLimit+touching {
		rule := rule{si.Millimetre}
		return refuse(sentence.New("%d turns of %s do not fit round a hub of %s, which holds %d; they need one of %s",
			r.Turns, r.WireName, rule.given(r.HubDiameter), int(r.HubLimit+touching), rule.length(r.HubNeeded())))
	}
	if !(r.GapAtHub+touching*r.WireDiameter >= 0) || math.IsInf(r.GapAtHub, 0) {
		return refuse(sentence.New("gap at the hub %g m", r.GapAtHub))
	}
	return nil
}

// meltingCopper is the melting point of copper in °C (copper.org).
const meltingCopper = 1083

// HubNeeded returns the least hub in m that the turns fit round,
// d/sin(π/N) − d.
func (r Ring) HubNeeded() float64 {
	return r.WireDiameter/math.Sin(math.Pi/float64(r.Turns)) - r.WireDiameter
}

// TurnLength returns the wire in one turn, in m: a helix of centreline diameter
// former + wire whose pitch is the wire's diameter,
//
//	l = √((π(D + d))² + d²).
//
// Exact for turns that touch.
func (r Ring) TurnLength() float64 {
	return wire.HelixLength(1, r.FormerDiameter+r.WireDiameter, r.WireDiameter)
}

// CutLength returns the wire to cut in m: all turns, the spare ones included,
// and two tails.
func (r Ring) CutLength() float64 {
	return float64(r.Turns+r.SpareTurns)*r.TurnLength() + 2*r.Tail
}

// tally returns where the work stands after a turn.
func (r Ring) tally(turn int) Tally {
	n := float64(turn)
	return Tally{
		Turn:           n,
		WireUsed:       r.Tail + n*r.TurnLength(),
		LengthOnFormer: n * r.WireDiameter,
		RingAngle:      2 * math.Pi * min(n/float64(r.Turns), 1),
		Mark:           turn%r.MarkEvery == 0,
		Spare:          turn > r.Turns,
	}
}

// Count returns the tally after every turn, the spare ones included. The error
// wraps [ErrPlan].
func (r Ring) Count() ([]Tally, error) {
	if err := r.check(); err != nil {
		return nil, err
	}
	tallies := make([]Tally, 0, r.Turns+r.SpareTurns)
	for turn := 1; turn <= r.Turns+r.SpareTurns; turn++ {
		tallies = append(tallies, r.tally(turn))
	}
	return tallies, nil
}

// gapAtRim returns the free distance in m between the wires of neighbouring
// turns at the rim, where their centres lie on a circle of the outer radius
// less half a wire.
func (r Ring) gapAtRim() float64 {
	return (r.OuterDiameter-r.WireDiameter)*math.Sin(math.Pi/float64(r.Turns)) - r.WireDiameter
}

// SolderOrder returns the turns in the order in which they are soldered, so that
// the heat goes round evenly: each lies about opposite the one before, and every
// new pair halves the largest stretch not yet soldered.
func SolderOrder(turns int) []int {
	bits := 0
	for 1<<bits < turns {
		bits++
	}
	order := make([]int, 0, turns)
	taken := make([]bool, turns)
	for i := 0; i < 1<<bits; i++ {
		mirrored := 0
		for b := range bits {
			mirrored |= i >> b & 1 << (bits - 1 - b)
		}
		if at := mirrored * turns >> bits; !taken[at] {
			taken[at] = true
			order = append(order, at+1)
		}
	}
	for at, done := range taken {
		if !done {
			order = append(order, at+1)
		}
	}
	return order
}
