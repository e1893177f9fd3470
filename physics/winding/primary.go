package winding

import (
	"math"

	"coilwright/physics/sentence"
	"coilwright/physics/si"
	"coilwright/physics/wire"
)

// PrimaryTail is left at either end of a primary; common practice, no source.
const PrimaryTail = 0.150 // m

// Primary is the driven winding of few turns at the foot. Its turns lie on a
// cone: a cylinder's rise straight up, a spiral's lie flat.
type Primary struct {
	WireName        string  // "AWG 16"
	BareDiameter    float64 // m
	OverallDiameter float64 // m, over the insulation
	InnerDiameter   float64 // m, centreline of the first turn, in its middle
	Turns           float64 // fractions allowed
	TapTurns        float64 // turns in use from the first; 0: all of them
	Pitch           float64 // m, along the slant
	Slope           float64 // rad over the horizontal: π/2 a cylinder, 0 a flat spiral
	Tail            float64 // m, at either end
}

// check refuses numbers that are no primary.
func (p Primary) check() error {
	if err := checkLengths(
		[]named{{sentence.New("bare wire diameter"), p.BareDiameter}, {sentence.New("wire diameter"), p.OverallDiameter}, {sentence.New("inner diameter"), p.InnerDiameter}, {sentence.New("pitch"), p.Pitch}},
		[]named{{sentence.New("tail"), p.Tail}, {sentence.New("inner edge"), p.InnerDiameter - p.Pitch*math.Cos(p.Slope)}},
	); err != nil {
		return err
	}
	switch {
	case !(p.Turns > 0 && p.Turns <= maxTurns):
		return refuse(sentence.New("%g turns", p.Turns))
	case !(p.TapTurns >= 0 && p.TapTurns <= p.Turns):
		return refuse(sentence.New("a tap at turn %g of %g", p.TapTurns, p.Turns))
	case !(p.Slope >= 0 && p.Slope <= math.Pi/2):
		return refuse(sentence.New("a slope of %g rad", p.Slope))
	}
	return nil
}

// LengthTo returns the wire in m of the first turns, without tails: that of the
// exact spiral on a cone. Per radian it goes out by b = p cos s/2π and along
// with c = p/2π in all, and begins half a turn inside the first turn's middle, at
// the radius u₀ = D/2 − πb:
//
//	l = ∫√(u² + c²) du/b = [u√(u² + c²) + c² asinh(u/c)]/2b.
//
// A cylinder, b = 0, is a helix. Exact.
func (p Primary) LengthTo(turns float64) float64 {
	b, c := p.Pitch*math.Cos(p.Slope)/(2*math.Pi), p.Pitch/(2*math.Pi)
	begin := p.InnerDiameter/2 - math.Pi*b
	end := begin + 2*math.Pi*b*turns
	if end-begin < flat*begin { // as good as a cylinder; the difference below would cancel
		return wire.HelixLength(turns, begin+end, p.Pitch)
	}
	primitive := func(u float64) float64 { return u*math.Hypot(u, c) + c*c*math.Asinh(u/c) }
	return (primitive(end) - primitive(begin)) / (2 * b)
}

// flat is the growth of the radius, as a part of it, under which a spiral is
// taken as a helix of its middle radius: the error is a twenty-fourth of its
// square.
const flat = 1e-6

// CutLength returns the wire to cut in m, with both tails.
func (p Primary) CutLength() float64 { return p.LengthTo(p.Turns) + 2*p.Tail }

// OuterDiameter returns the diameter in m over the last turn's wire.
func (p Primary) OuterDiameter() float64 {
	return p.InnerDiameter + 2*math.Max(0, p.Turns-1)*p.Pitch*math.Cos(p.Slope) + p.OverallDiameter
}

// tally returns where the work stands after some turns.
func (p Primary) tally(turns float64) Tally {
	return Tally{Turn: turns, WireUsed: p.Tail + p.LengthTo(turns), LengthOnFormer: turns * p.Pitch, Mark: turns == p.TapTurns}
}

// Count returns the tally after every turn, and after the fraction at the end.
// The error wraps [ErrPlan].
func (p Primary) Count() ([]Tally, error) {
	if err := p.check(); err != nil {
		return nil, err
	}
	var tallies []Tally
	for turn := 1.0; turn <= p.Turns; turn++ {
		tallies = append(tallies, p.tally(turn))
	}
	if p.Turns > math.Floor(p.Turns) {
		tallies = append(tallies, p.tally(p.Turns))
	}
	return tallies, nil
}

// Steps returns what to do, from the former to the check, with lengths in the
// texts in millimetres, or in inches if that is the unit. The error wraps
// [ErrPlan].
func (p Primary) Steps(unit si.Unit) ([]Step, error) {
	if err := p.check(); err != nil {
		return nil, err
	}
	w := plan{rule: rule{unit}}
	first := p.InnerDiameter - p.OverallDiameter
	w.add(Prepare, reading(sentence.New("inside of the first turn"), first, si.Metre, Calliper), p.formerText(w.rule, first))
	w.add(Cut, toCut(p.CutLength()),
		sentence.New("Cut %s of %s wire: %s take %s, and each of the two tails %s.",
			w.up(p.CutLength()), p.WireName, turnsText(p.Turns), w.length(p.LengthTo(p.Turns)), w.given(p.Tail)))
	w.at.WireUsed = p.Tail
	w.add(Grip, reading(sentence.New("length of the first tail"), p.Tail, si.Metre, Rule),
		sentence.New("Fix the wire where the first turn begins, leave a tail of %s and mark it START: which end is which decides whether the coil oscillates. Wind the same way round as the secondary.", w.given(p.Tail)))
	w.windTo(p.stops(), p.tally)
	if p.TapTurns > 0 && p.TapTurns < p.Turns {
		w.add(Tap, reading(sentence.New("wire from the start to the tap"), p.LengthTo(p.TapTurns), si.Metre, Rule),
			sentence.New("Bare the wire at turn %s, %s of wire from the start, over %s and fasten the tap there; the %s beyond it stay open and are not joined to anything.",
				si.FormatTurns(p.TapTurns), w.length(p.LengthTo(p.TapTurns)), w.given(tapBare), turnsText(p.Turns-p.TapTurns)))
	}
	w.at.WireUsed = p.CutLength()
	w.add(Fix, reading(sentence.New("length of the last tail"), p.Tail, si.Metre, Rule),
		sentence.New("Fix the last turn, leave a tail of %s and mark it END.", w.given(p.Tail)))
	ohms := wire.ResistanceDC(p.LengthTo(p.Turns), p.BareDiameter, wire.ReferenceTemperature)
	w.add(Check, reading(sentence.New("outside diameter"), p.OuterDiameter(), si.Metre, Calliper),
		sentence.New("Check the primary: %s, %s over the last turn, a turn every %s, no turn touching the next where the wire is bare, %s from end to end at 20 °C without the tails.",
			turnsText(p.Turns), w.length(p.OuterDiameter()), w.given(p.Pitch), si.FormatPrefixed(ohms, si.Ohm, 2)))
	return w.steps, nil
}

// tapBare is how much wire is bared for a tap.
const tapBare = 0.008 // m; common practice, no source

// stops returns the turns at which the work stops: every one and the tap.
func (p Primary) stops() []float64 {
	at := marks(1, p.Turns)
	if p.TapTurns == 0 || p.TapTurns == math.Floor(p.TapTurns) || p.TapTurns == p.Turns {
		return at
	}
	for i, turn := range at {
		if turn > p.TapTurns {
			return append(at[:i:i], append([]float64{p.TapTurns}, at[i:]...)...)
		}
	}
	return at
}

// formerText says what the turns are laid on.
func (p Primary) formerText(r rule, first float64) sentence.Text {
	switch {
	case math.Cos(p.Slope) < touching:
		return sentence.New("Take a tube of %s outside for the primary, or ribs that the wire lies on at that diameter, and mark a turn every %s over %s.",
			r.length(first), r.given(p.Pitch), r.length(p.Turns*p.Pitch))
	case p.Slope == 0:
		return sentence.New("Draw a circle of %s on a flat board that does not conduct, and turn after turn %s farther out to %s; fix ribs or drill holes to hold the wire.",
			r.length(first), r.given(p.Pitch), r.length(p.OuterDiameter()))
	}
	return sentence.New("Make ribs that rise at %s, with a notch every %s along the slant, so that the first turn is %s inside and the last %s over the wire.",
		si.FormatOf(p.Slope*180/math.Pi, si.Degree, 3), r.given(p.Pitch), r.length(first), r.length(p.OuterDiameter()))
}
