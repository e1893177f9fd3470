package winding

import (
	"math"

	"coilwright/physics/sentence"
	"coilwright/physics/si"
	"coilwright/physics/wire"
)

// What a secondary is wound with unless its maker says otherwise; common
// practice, no source.
const (
	SecondaryMarkEvery = 50
	SecondaryTail      = 0.100 // m

	defaultSpeed = 1.0 // turns a second, by hand with a crank
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

	MarkLength float64 // m along the former; above 0 it takes the place of MarkEvery
	Spool      float64 // kg of wire on the spool, without the spool; 0: not weighed
	Speed      float64 // turns a second; 0: one
	Yield      float64 // Pa; 0: soft copper
}

const (
	// spaced is the pitch over the wire's diameter from which a winding is meant
	// to have gaps; by hand a close one comes out 2 to 5 % longer than its wires
	// (common practice, no source).
	spaced = 1.1

	// maxTurns is the most turns a design may have.
	maxTurns = 5000

	// enamelDensity is that of polyurethane and polyester films in kg/m³, 1200 to
	// 1400 (from memory).
	enamelDensity = 1300

	// The pull while winding, as shares of the pull at which the copper yields:
	// enough to lie flat, too little to stretch; common practice, no source.
	leastTension, mostTension = 0.1, 0.3
)

// check refuses numbers that are no winding.
func (s Secondary) check() error {
	if err := checkLengths(
		[]named{{sentence.New("bare wire diameter"), s.BareDiameter}, {sentence.New("wire diameter"), s.OverallDiameter}, {sentence.New("former diameter"), s.FormerDiameter}, {sentence.New("pitch"), s.Pitch}},
		[]named{{sentence.New("tail"), s.Tail}, {sentence.New("distance of marks"), s.MarkLength}},
	); err != nil {
		return err
	}
	switch {
	case !(s.Turns >= 1 && s.Turns <= maxTurns):
		return refuse(sentence.New("%g turns", s.Turns))
	case s.MarkEvery < 1:
		return refuse(sentence.New("a mark every %d turns", s.MarkEvery))
	case s.MarkLength > 0 && s.MarkLength < s.Pitch:
		return refuse(sentence.New("marks every %g m, less than a turn of %g m", s.MarkLength, s.Pitch))
	case !(s.Spool >= 0) || math.IsInf(s.Spool, 0):
		return refuse(sentence.New("%g kg on the spool", s.Spool))
	case !(s.Speed >= 0) || math.IsInf(s.Speed, 0):
		return refuse(sentence.New("%g turns a second", s.Speed))
	case !(s.Yield >= 0) || math.IsInf(s.Yield, 0):
		return refuse(sentence.New("yield stress %g Pa", s.Yield))
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

// MassPerMetre returns what the wire weighs in kg/m, copper and enamel.
func (s Secondary) MassPerMetre() float64 {
	return wire.Mass(1, s.BareDiameter) + enamelDensity*(wire.Area(s.OverallDiameter)-wire.Area(s.BareDiameter))
}

// SpoolLength returns the wire in m on the spool that was weighed, 0 if none
// was.
func (s Secondary) SpoolLength() float64 { return s.Spool / s.MassPerMetre() }

// Tension returns the least and the most pull in N while winding.
func (s Secondary) Tension() (least, most float64) {
	yield := s.Yield
	if yield == 0 {
		yield = SoftYield
	}
	full := yield * wire.Area(s.BareDiameter)
	return leastTension * full, mostTension * full
}

// Duration returns how long winding takes in s, without stops.
func (s Secondary) Duration() float64 {
	if s.Speed == 0 {
		return s.Turns / defaultSpeed
	}
	return s.Turns / s.Speed
}

// tally returns where the work stands after some turns.
func (s Secondary) tally(turns float64) Tally {
	return Tally{
		Turn:           turns,
		WireUsed:       s.Tail + turns/s.Turns*s.WireLength(),
		LengthOnFormer: turns * s.Pitch,
		Mark:           s.marked(turns),
	}
}

// marked reports whether a turn carries a mark: every so many, or the first that
// lies beyond a mark on the former.
func (s Secondary) marked(turns float64) bool {
	if s.MarkLength == 0 {
		return math.Mod(turns, float64(s.MarkEvery)) == 0
	}
	below := math.Floor(turns*s.Pitch/s.MarkLength + touching)
	before := math.Floor((turns-1)*s.Pitch/s.MarkLength + touching)
	return turns == math.Floor(turns) && below > before
}

// stops returns the turns at which the work stops for a mark.
func (s Secondary) stops() []float64 {
	if s.MarkLength == 0 {
		return marks(s.MarkEvery, s.Turns)
	}
	var at []float64
	for turn := 1.0; turn < s.Turns; turn++ {
		if s.marked(turn) {
			at = append(at, turn)
		}
	}
	return append(at, s.Turns)
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
	height := s.Turns * s.Pitch
	distance := float64(s.MarkEvery) * s.Pitch
	every := turnsText(float64(s.MarkEvery))
	if s.MarkLength > 0 {
		distance, every = s.MarkLength, turnsText(s.MarkLength/s.Pitch)
	}
	p.add(Prepare, reading(sentence.New("length of the former"), height+2*formerEnd, si.Metre, Rule),
		sentence.New("Cut the former of %s to %s: the winding and %s at both ends. Mark where the winding begins and %s above, where it ends, and in between every %s: that is %s. Clean it and dry it.",
			p.given(s.FormerDiameter), p.length(height+2*formerEnd), p.given(formerEnd), p.length(height), p.length(distance), every))
	p.add(Cut, reading(sentence.New("wire that is needed"), s.MassPerMetre()*s.CutLength(), si.Gram, Scale), s.spoolText(p.rule))
	p.at.WireUsed = s.Tail
	least, most := s.Tension()
	p.add(Grip, reading(sentence.New("pull at most"), most/gravity, si.Gram, Gauge),
		sentence.New("Fix the wire at the lower mark with tape and leave a tail of %s. It does not count as a turn. Wind with a pull of %s to %s, what a mass of %s to %s weighs: more stretches the copper. At %s a second the winding takes %s.",
			p.given(s.Tail), newtons(least), newtons(most), mass(least/gravity), mass(most/gravity), turnsText(s.Turns/s.Duration()), duration(s.Duration())))
	p.windTo(s.stops(), s.tally)
	p.at.WireUsed = s.CutLength()
	p.add(Fix, reading(sentence.New("length of the upper tail"), s.Tail, si.Metre, Rule),
		sentence.New("Fix the end with tape and cut the wire %s beyond it.", p.given(s.Tail)))
	turns := sentence.New("every turn against the last")
	if s.Pitch > spaced*s.OverallDiameter {
		turns = sentence.New("a turn every %s", p.length(s.Pitch))
	}
	ohms := wire.ResistanceDC(s.WireLength(), s.BareDiameter, wire.ReferenceTemperature)
	p.add(Check, reading(sentence.New("resistance"), ohms, si.Ohm, Meter),
		sentence.New("Check the winding before it is coated: %s long, %s, no crossing, %s from end to end at 20 °C without the tails.",
			p.length(height), turns, si.FormatPrefixed(ohms, si.Ohm, 3)))
	p.add(Coat, reading(sentence.New("coats"), coats, si.Plain, Eye),
		sentence.New("Coat it with %d thin coats of a clear polyurethane varnish, or of polystyrene dissolved in its solvent, and let each dry. Try it on a scrap of the wire first: it must not lift the enamel. Vapours are harmful and burn: air the room.", coats))
	p.add(Lead, reading(sentence.New("distance from the winding at least"), leadDistance, si.Metre, Rule),
		sentence.New("Lead the lower end, the foot, straight down to earth or the circuit, and the upper end straight up to the top load, %s or more from the winding and never back along it: the whole voltage stands between them.", p.given(leadDistance)))
	return p.steps, nil
}

const (
	formerEnd    = 0.010 // m, bare former at both ends, as a design has it
	gravity      = 9.80665
	coats        = 2     // common practice, no source
	leadDistance = 0.010 // m; common practice, no source
)

// spoolText says whether the spool holds enough.
func (s Secondary) spoolText(r rule) sentence.Text {
	text := sentence.New("Leave the wire on its spool and see that it holds %s of %s, which is %s of copper and %s with its enamel: %s take %s, and each of the two tails %s.",
		r.up(s.CutLength()), s.WireName, mass(wire.Mass(s.CutLength(), s.BareDiameter)), mass(s.MassPerMetre()*s.CutLength()),
		turnsText(s.Turns), r.length(s.WireLength()), r.length(s.Tail))
	if s.Spool == 0 {
		return text
	}
	left := s.SpoolLength() - s.CutLength()
	if left < 0 {
		return sentence.Paragraph(text, sentence.New("The %s on the spool are %s: %s too little. Take another spool.", mass(s.Spool), r.length(s.SpoolLength()), r.length(-left)))
	}
	return sentence.Paragraph(text, sentence.New("The %s on the spool are %s: enough.", mass(s.Spool), r.length(s.SpoolLength())))
}

// mass writes a mass for a kitchen scale.
func mass(kilograms float64) string { return si.FormatPrefixed(kilograms, si.Gram, 3) }

// newtons writes a force.
func newtons(force float64) string { return si.FormatNumber(force, 2) + "\u202fN" }
