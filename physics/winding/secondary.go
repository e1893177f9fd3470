package winding

import (
	"fmt"
	"math"

	"coilwright/physics/si"
	"coilwright/physics/wire"
)

// What a secondary is wound with unless its maker says otherwise; common
// practice, no source.
const (
	SecondaryMarkEvery = 50
	SecondaryTail      = 0.100 // m
)

// Secondary is a single-layer winding that stays on its former.
type Secondary struct {
	WireName        string  // "AWG 32"
	BareDiameter    float64 // m
	OverallDiameter float64 // m, over the insulation
	FormerDiameter  float64 // m
	Turns           float64 // 1 and up, fractions allowed
	Pitch           float64 // m, centre to centre
	Tail            float64 // m, at either end
	MarkEvery       int     // turns, 1 and up
}

// spaced is the pitch over the wire's diameter from which a winding is meant to
// have gaps; by hand a close one comes out 2 to 5 % longer than its wires
// (common practice, no source).
const spaced = 1.1

// maxTurns is the most turns a design may have.
const maxTurns = 5000

// check refuses numbers that are no winding.
func (s Secondary) check() error {
	if err := checkLengths(
		[]named{{"bare wire diameter", s.BareDiameter}, {"wire diameter", s.OverallDiameter}, {"former diameter", s.FormerDiameter}, {"pitch", s.Pitch}},
		[]named{{"tail", s.Tail}},
	); err != nil {
		return err
	}
	if !(s.Turns >= 1 && s.Turns <= maxTurns) {
		return fmt.Errorf("%w: %g turns", ErrPlan, s.Turns)
	}
	if s.MarkEvery < 1 {
		return fmt.Errorf("%w: a mark every %d turns", ErrPlan, s.MarkEvery)
	}
	return nil
}

// WireLength returns the wire on the former in m, without tails: an exact
// helix of centreline diameter former + wire.
func (s Secondary) WireLength() float64 {
	return wire.HelixLength(s.Turns, s.FormerDiameter+s.OverallDiameter, s.Pitch)
}

// CutLength returns the wire needed in m, with both tails.
func (s Secondary) CutLength() float64 { return s.WireLength() + 2*s.Tail }

// tally returns where the work stands after some turns.
func (s Secondary) tally(turns float64) Tally {
	return Tally{
		Turn:           turns,
		WireUsed:       s.Tail + turns/s.Turns*s.WireLength(),
		LengthOnFormer: turns * s.Pitch,
		Mark:           math.Mod(turns, float64(s.MarkEvery)) == 0,
	}
}

// Count returns the tally after every turn, and after the fraction of a turn at
// the end if there is one. The error wraps [ErrPlan].
func (s Secondary) Count() ([]Tally, error) {
	if err := s.check(); err != nil {
		return nil, err
	}
	var tallies []Tally
	for turn := 1.0; turn <= s.Turns; turn++ {
		tallies = append(tallies, s.tally(turn))
	}
	if s.Turns > math.Floor(s.Turns) {
		tallies = append(tallies, s.tally(s.Turns))
	}
	return tallies, nil
}

// Steps returns what to do, from the marks on the former to the check, with
// lengths in the texts in millimetres, or in inches if that is the unit. The
// error wraps [ErrPlan].
func (s Secondary) Steps(unit si.Unit) ([]Step, error) {
	if err := s.check(); err != nil {
		return nil, err
	}
	p := plan{rule: rule{unit}}
	p.add(Prepare, fmt.Sprintf("Mark the former of %s where the winding begins and %s above, where it ends, and in between every %s: that is %s.",
		p.length(s.FormerDiameter), p.length(s.Turns*s.Pitch), p.length(float64(s.MarkEvery)*s.Pitch), counted(s.MarkEvery, "turn")))
	p.add(Cut, fmt.Sprintf("Leave the wire on its spool and see that it holds %s of %s, which is %s of copper: %s take %s, and each of the two tails %s.",
		p.up(s.CutLength()), s.WireName, mass(wire.Mass(s.CutLength(), s.BareDiameter)), turnsText(s.Turns), p.length(s.WireLength()), p.length(s.Tail)))
	p.at.WireUsed = s.Tail
	p.add(Grip, fmt.Sprintf("Fix the wire at the lower mark with tape and leave a tail of %s. It does not count as a turn.", p.length(s.Tail)))
	p.windTo(s.MarkEvery, s.Turns, s.tally)
	p.at.WireUsed = s.CutLength()
	p.add(Fix, fmt.Sprintf("Fix the end with tape, cut the wire %s beyond it, and coat the winding thinly with a clear varnish that suits the enamel.", p.length(s.Tail)))
	turns := "every turn against the last"
	if s.Pitch > spaced*s.OverallDiameter {
		turns = fmt.Sprintf("a turn every %s", p.length(s.Pitch))
	}
	p.add(Check, fmt.Sprintf("Check the winding: %s long, %s, no crossing, %s from end to end at 20 °C without the tails.",
		p.length(s.Turns*s.Pitch), turns, si.FormatPrefixed(wire.ResistanceDC(s.WireLength(), s.BareDiameter, wire.ReferenceTemperature), si.Ohm, 3)))
	return p.steps, nil
}

// mass writes a mass for a kitchen scale.
func mass(kilograms float64) string { return si.FormatPrefixed(kilograms, si.Gram, 3) }
