package winding

import (
	"fmt"
	"math"

	"coilwright/physics/sentence"
	"coilwright/physics/si"
)

// named is a length in m with its name for messages.
type named struct {
	name  sentence.Text
	value float64
}

// checkLengths refuses lengths that are not finite, some that are not above and
// others that are below zero.
func checkLengths(positive, notNegative []named) error {
	for _, l := range positive {
		if !(l.value > 0) || math.IsInf(l.value, 0) {
			return refuse(sentence.New("%s %g m", l.name, l.value))
		}
	}
	for _, l := range notNegative {
		if !(l.value >= 0) || math.IsInf(l.value, 0) {
			return refuse(sentence.New("%s %g m", l.name, l.value))
		}
	}
	return nil
}

// plan collects steps while the work goes on.
type plan struct {
	rule
	at    Step // where the work stands; Kind and Text are not used
	steps []Step
}

// add appends a step after which the work stands where at says.
func (p *plan) add(kind Kind, expect Reading, text sentence.Text) {
	step := p.at
	step.Kind, step.Text, step.Expect = kind, text, expect
	p.steps = append(p.steps, step)
}

// stand moves on to a tally.
func (p *plan) stand(t Tally) {
	p.at.Turns, p.at.WireUsed, p.at.LengthOnFormer, p.at.RingAngle = t.Turn, t.WireUsed, t.LengthOnFormer, t.RingAngle
}

// marks returns the turns at which a winding stops for a mark, the last one
// included.
func marks(every int, last float64) []float64 {
	var at []float64
	for n := float64(every); n < last; n += float64(every) {
		at = append(at, n)
	}
	return append(at, last)
}

// windTo appends a step for every mark.
func (p *plan) windTo(marks []float64, tally func(turns float64) Tally) {
	last := marks[len(marks)-1]
	for _, to := range marks {
		t := tally(to)
		p.stand(t)
		stands := sentence.New("The winding is %s long and %s of wire are used.", p.length(t.LengthOnFormer), p.length(t.WireUsed))
		p.add(Wind, reading(sentence.New("length of the winding"), t.LengthOnFormer, si.Metre, Rule), sentence.Paragraph(windText(to, last, t.Mark), stands))
	}
}

// windText says how far to wind.
func windText(to, last float64, mark bool) sentence.Text {
	turn, left := si.FormatTurns(to), si.FormatTurns(last-to)
	switch {
	case to < last && mark:
		return sentence.New("Wind to turn %s and mark it; %s to go.", turn, left)
	case to < last:
		return sentence.New("Wind to turn %s; %s to go.", turn, left)
	case mark:
		return sentence.New("Wind to turn %s and mark it, the last one that counts.", turn)
	}
	return sentence.New("Wind to turn %s, the last one that counts.", turn)
}

// duration writes a time as a clock shows it.
func duration(seconds float64) string {
	const minute, hour = 60, 3600
	switch {
	case seconds < 2*minute:
		return si.Format(math.Round(seconds), si.Second, si.Shortest)
	case seconds < 2*hour:
		return fmt.Sprintf("%.0f min", seconds/minute)
	}
	return fmt.Sprintf("%.1f h", seconds/hour)
}

// rule writes lengths as they are read off a rule or a tape.
type rule struct {
	unit si.Unit // si.Inch: inches and feet; anything else: millimetres and metres
}

// tape is the length in m from which metres and feet are easier to read.
const tape = 1

// length writes a length with three digits.
func (r rule) length(metres float64) string {
	const digits = 3
	return si.Format(metres, r.unitFor(metres), digits)
}

// given writes a length that the design states, to a micrometre or a thousandth
// of an inch and without zeros at the end.
func (r rule) given(metres float64) string {
	const parts = 1e3
	unit := r.unitFor(metres)
	return si.FormatOf(math.Round(unit.Of(metres)*parts)/parts, unit, si.Shortest)
}

// LengthToCut writes a length in m to cut to, in metres and millimetres or, if that
// is the unit, in inches and feet: rounded up, so that it is enough.
func LengthToCut(metres float64, unit si.Unit) string { return rule{unit}.up(metres) }

// up writes a length rounded up to what one cuts to: a centimetre, half an inch
// or, by the tape, a tenth of a foot.
func (r rule) up(metres float64) string {
	unit, parts := r.unitFor(metres), 100.0
	switch unit {
	case si.Foot:
		parts = 10
	case si.Inch:
		parts = 2
	case si.Millimetre:
		parts = 0.1
	}
	return si.FormatOf(math.Ceil(unit.Of(metres)*parts)/parts, unit, si.Shortest)
}

func (r rule) unitFor(metres float64) si.Unit {
	switch {
	case r.unit == si.Inch && metres >= tape:
		return si.Foot
	case r.unit == si.Inch:
		return si.Inch
	case metres >= tape:
		return si.Metre
	}
	return si.Millimetre
}

// turnsText writes a number of turns that may be a fraction.
func turnsText(n float64) sentence.Text {
	if n == 1 {
		return sentence.New("1 turn")
	}
	return sentence.New("%s turns", si.FormatTurns(n))
}

// spareText writes a number of spare turns.
func spareText(n int) sentence.Text {
	if n == 1 {
		return sentence.New("1 spare turn")
	}
	return sentence.New("%d spare turns", n)
}

// ordinal writes "5th turn".
func ordinal(n int) sentence.Text {
	if tens := n / 10 % 10; tens != 1 {
		switch n % 10 {
		case 1:
			return sentence.New("%dst turn", n)
		case 2:
			return sentence.New("%dnd turn", n)
		case 3:
			return sentence.New("%drd turn", n)
		}
	}
	return sentence.New("%dth turn", n)
}
