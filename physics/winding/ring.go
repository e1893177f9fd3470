package winding

import (
	"fmt"
	"math"

	"coilwright/physics/si"
	"coilwright/physics/wire"
)

// What a ring is wound with unless its maker says otherwise; common practice,
// no source.
const (
	RingMarkEvery  = 5
	RingSpareTurns = 3
	RingTail       = 0.060 // m, enough for a hand to hold
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
}

// touching is the slack, of a turn or a wire diameter, for rounding where wires
// just touch.
const touching = 1e-9

// check refuses numbers that are no ring.
func (r Ring) check() error {
	if err := checkLengths(
		[]named{{"wire diameter", r.WireDiameter}, {"former diameter", r.FormerDiameter}, {"outside diameter", r.OuterDiameter}},
		[]named{{"hub diameter", r.HubDiameter}, {"tail", r.Tail}, {"gap at the hub", r.GapAtHub + touching*r.WireDiameter}},
	); err != nil {
		return err
	}
	switch {
	case r.Turns < 3:
		return fmt.Errorf("%w: %d turns make no ring", ErrPlan, r.Turns)
	case r.SpareTurns < 0:
		return fmt.Errorf("%w: %d spare turns", ErrPlan, r.SpareTurns)
	case r.MarkEvery < 1:
		return fmt.Errorf("%w: a mark every %d turns", ErrPlan, r.MarkEvery)
	}
	if r.HubLimit > 0 && float64(r.Turns) > r.HubLimit+touching {
		return fmt.Errorf("%w: %d turns, the hub holds %d", ErrPlan, r.Turns, int(r.HubLimit+touching))
	}
	return nil
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

// Steps returns what to do, from the cut to the check, with lengths in the
// texts in millimetres, or in inches if that is the unit. The error wraps
// [ErrPlan].
func (r Ring) Steps(unit si.Unit) ([]Step, error) {
	if err := r.check(); err != nil {
		return nil, err
	}
	p := plan{rule: rule{unit}}
	turns := float64(r.Turns + r.SpareTurns)
	cut := fmt.Sprintf("Cut %s of %s wire: %s on the %s former take %s, and each of the two tails %s.",
		p.up(r.CutLength()), r.WireName, r.countText(), p.length(r.FormerDiameter), p.length(turns*r.TurnLength()), p.length(r.Tail))
	p.add(Cut, cut)
	p.add(Grip, fmt.Sprintf("Straighten the wire and bend its first %s off at a right angle: that is the grip, and it does not count as a turn.", p.length(r.Tail)))
	p.at.WireUsed = r.Tail

	p.windTo(r.MarkEvery, float64(r.Turns), r.tallyAt)
	if r.SpareTurns > 0 {
		p.stand(r.tally(r.Turns + r.SpareTurns))
		p.add(Spare, fmt.Sprintf("Wind %s, to turn %d: the last turns open when the coil comes off, and these are not kept.",
			counted(r.SpareTurns, "spare turn"), r.Turns+r.SpareTurns))
	}
	p.at.LengthOnFormer = 0
	p.add(Slide, fmt.Sprintf("Slide the coil off the former and count again from the grip: %s, marks at every %s.",
		counted(r.Turns+r.SpareTurns, "turn"), ordinal(r.MarkEvery)))
	p.at = Step{Turns: float64(r.Turns), WireUsed: r.Tail + float64(r.Turns)*r.TurnLength(), RingAngle: 2 * math.Pi}
	if r.SpareTurns > 0 {
		p.add(Drop, fmt.Sprintf("Cut the %s off behind turn %d. %d turns are left, %s of wire with the grip.",
			counted(r.SpareTurns, "spare turn"), r.Turns, r.Turns, p.length(p.at.WireUsed)))
	}
	p.add(Close, fmt.Sprintf("Bend the coil round until turn %d lies beside turn 1 and every turn touches the hub of %s. Over the wires the ring then measures %s.",
		r.Turns, p.length(r.HubDiameter), p.length(r.OuterDiameter)))
	p.add(Space, fmt.Sprintf("Space the turns evenly: one every %s, which leaves %s between the wires at the hub and %s at the rim.",
		si.FormatOf(360/float64(r.Turns), si.Degree, 3), p.length(max(r.GapAtHub, 0)), p.length(r.gapAtRim())))
	p.add(Bind, "Bind the ring to the hub with thin bare copper wire at three places or more, so that no turn moves or twists when it gets hot.")
	p.add(Solder, fmt.Sprintf("Solder every turn to the hub on the inside only, going to the far side each time: turn 1, then turn %d, and so on. "+
		"Hot metal burns long after the solder has set, and flux fumes harm the lungs: air the room, protect the eyes, and let the ring cool before touching it.", 1+r.Turns/2))
	p.add(Check, fmt.Sprintf("Check the cold ring: %d turns, %s over the wires, a hole of %s, no turn touching its neighbour away from the hub.",
		r.Turns, p.length(r.OuterDiameter), p.length(r.HubDiameter)))
	return p.steps, nil
}

// tallyAt is tally for a number of turns that windTo asks for.
func (r Ring) tallyAt(turns float64) Tally { return r.tally(int(turns)) }

// countText says how many turns are wound.
func (r Ring) countText() string {
	if r.SpareTurns == 0 {
		return counted(r.Turns, "turn")
	}
	return fmt.Sprintf("%s and %d spare ones", counted(r.Turns, "turn"), r.SpareTurns)
}

// gapAtRim returns the free distance in m between the wires of neighbouring
// turns at the rim, where their centres lie on a circle of the outer radius
// less half a wire.
func (r Ring) gapAtRim() float64 {
	return (r.OuterDiameter-r.WireDiameter)*math.Sin(math.Pi/float64(r.Turns)) - r.WireDiameter
}
