package winding

import (
	"fmt"
	"math"
	"strings"

	"coilwright/physics/sentence"
	"coilwright/physics/si"
	"coilwright/physics/wire"
)

// fewTurns is how many of a long list a sentence names.
const fewTurns = 6

// Steps returns what to do, from the cut to the check, with lengths in the
// texts in millimetres, or in inches if that is the unit. The error wraps
// [ErrPlan].
func (r Ring) Steps(unit si.Unit) ([]Step, error) {
	if err := r.check(); err != nil {
		return nil, err
	}
	spring, err := r.spring()
	if err != nil {
		return nil, err
	}
	p := plan{rule: rule{unit}}
	r.windSteps(&p)
	r.openSteps(&p, spring)
	r.closeSteps(&p)
	r.solderSteps(&p)
	return p.steps, nil
}

// windSteps are those on the former.
func (r Ring) windSteps(p *plan) {
	turns := float64(r.Turns + r.SpareTurns)
	p.add(Cut, toCut(r.CutLength()),
		sentence.New("Cut %s of %s wire: %s on the %s former take %s, and each of the two tails %s.",
			p.up(r.CutLength()), r.WireName, r.countText(), p.given(r.FormerDiameter), p.length(turns*r.TurnLength()), p.given(r.Tail)))
	p.at.WireUsed = r.Tail
	p.add(Grip, reading(sentence.New("length of the grip"), r.Tail, si.Metre, Rule),
		sentence.New("Straighten the wire and bend its first %s off at a right angle: that is the grip, and it does not count as a turn.", p.given(r.Tail)))
	p.windTo(marks(r.MarkEvery, float64(r.Turns)), r.tallyAt)
	if r.SpareTurns > 0 {
		p.stand(r.tally(r.Turns + r.SpareTurns))
		p.add(Spare, reading(sentence.New("length of the winding"), p.at.LengthOnFormer, si.Metre, Rule),
			sentence.New("Wind %s, to turn %d: the last turns open when the coil comes off, and these are not kept.",
				spareText(r.SpareTurns), r.Turns+r.SpareTurns))
	}
}

// openSteps take the coil off and drop the spare turns.
func (r Ring) openSteps(p *plan, spring Spring) {
	p.at.LengthOnFormer = 0
	p.add(Slide, reading(sentence.New("turns"), float64(r.Turns+r.SpareTurns), si.Plain, Eye),
		sentence.New("Slide the coil off the former and count again from the grip: %s, marks at every %s.",
			turnsText(float64(r.Turns+r.SpareTurns)), ordinal(r.MarkEvery)))
	yield := si.Format(spring.Yield/1e6, si.Plain, 2) + "\u202fMPa"
	how := sentence.New("copper that yields at %s", yield)
	if spring.Measured {
		how = sentence.New("the loop that was measured, whose copper yields at about %s", yield)
	}
	var more sentence.Text
	if lost := spring.TurnsLost; lost > float64(r.SpareTurns) {
		more = sentence.New("That is more than the spare turns: wind %d next time.", int(math.Ceil(lost)))
	}
	p.add(Open, reading(sentence.New("inside diameter of a turn"), spring.LoopInside, si.Metre, Calliper),
		sentence.Paragraph(sentence.New("Measure a turn from the middle of the coil: it has sprung open to %s inside, %s more than the former, by %s, and the whole coil by %s. "+
			"To come out at %s it would be wound on %s.",
			p.length(spring.LoopInside), percent(spring.LoopInside/r.FormerDiameter-1), how, angleOfTurns(spring.TurnsLost), p.given(r.FormerDiameter), p.length(spring.FormerToUse)), more))
	p.at = Step{Turns: float64(r.Turns), WireUsed: r.Tail + float64(r.Turns)*r.TurnLength(), RingAngle: 2 * math.Pi}
	if r.SpareTurns > 0 {
		p.add(Drop, reading(sentence.New("turns"), float64(r.Turns), si.Plain, Eye),
			sentence.New("Cut the %s off behind turn %d. %d turns are left, %s of wire with the grip.",
				spareText(r.SpareTurns), r.Turns, r.Turns, p.length(p.at.WireUsed)))
	}
}

// closeSteps make a ring of it.
func (r Ring) closeSteps(p *plan) {
	p.add(Close, reading(sentence.New("outside diameter"), r.OuterDiameter, si.Metre, Calliper),
		sentence.New("Bend the coil round until turn %d lies beside turn 1 and every turn touches the hub of %s. Over the wires the ring then measures %s.",
			r.Turns, p.given(r.HubDiameter), p.length(r.OuterDiameter)))
	p.add(Space, reading(sentence.New("gap at the rim"), r.gapAtRim(), si.Metre, Calliper),
		sentence.New("Space the turns evenly: one every %s, which leaves %s between the wires at the hub and %s at the rim.",
			si.FormatOf(360/float64(r.Turns), si.Degree, 3), p.length(max(r.GapAtHub, 0)), p.length(r.gapAtRim())))
	p.add(Bind, reading(sentence.New("places bound"), bindings, si.Plain, Eye),
		sentence.New("Bind the ring to the hub with thin bare copper wire at %d places or more, so that no turn moves or twists when it gets hot.", bindings))
}

// bindings is the least number of places that hold a ring; common practice, no
// source.
const bindings = 3

// solderSteps are the hot ones and the check.
func (r Ring) solderSteps(p *plan) {
	h := r.heat()
	order := SolderOrder(r.Turns)
	named := make([]string, 0, fewTurns)
	for _, turn := range order[:min(fewTurns, len(order))] {
		named = append(named, fmt.Sprint(turn))
	}
	p.add(Solder, reading(sentence.New("joints"), float64(r.Turns), si.Plain, Eye),
		sentence.New("Solder every turn to the hub on the inside only, going to the far side each time: turn 1, then turn %d, and so on (%s, …). %s "+
			"Hot metal burns long after the solder has set, and flux fumes harm the lungs: air the room, protect the eyes, clear away what can burn, and let the ring cool before touching it.",
			order[1], strings.Join(named, ", "), r.heatText(h)))
	p.add(Cool, reading(sentence.New("time to wait at least"), coolingTime, si.Second, Clock),
		sentence.New("Let it cool in still air for %s without moving it: joints that are moved while they set break, and water cracks them.", duration(coolingTime)))
	p.add(Straighten, reading(sentence.New("spread of the gaps at the rim at most"), evenness*r.gapAtRim(), si.Metre, Calliper),
		sentence.New("Take the bindings off, wash the flux away and straighten what the heat has moved: seen from above every turn points at the middle, and no gap at the rim differs from %s by more than %s.",
			p.length(r.gapAtRim()), p.length(evenness*r.gapAtRim())))
	p.add(Check, reading(sentence.New("outside diameter"), r.OuterDiameter, si.Metre, Calliper),
		sentence.New("Check the cold ring: %d turns, %s over the wires, a hole of %s, no turn touching its neighbour away from the hub, "+
			"and from any turn to the hub no more than the meter shows with its leads held together; the whole wire has only %s.",
			r.Turns, p.length(r.OuterDiameter), p.given(r.HubDiameter),
			si.FormatPrefixed(wire.ResistanceDC(float64(r.Turns)*r.TurnLength(), r.WireDiameter, wire.ReferenceTemperature), si.Ohm, 2)))
}

const (
	// coolingTime is enough for a ring of a few centimetres: an estimate.
	coolingTime = 300 // s
	// evenness is how far gaps at the rim may differ before one sees it; common
	// practice, no source.
	evenness = 0.2
)

// heatText says what the joint takes and which tool gives it.
func (r Ring) heatText(h Heat) sentence.Text {
	hub := sentence.New("The hub")
	if name := r.hubName(); name != "" {
		hub = sentence.New("The %s", name)
	}
	if r.Hub.Mass == 0 && HubOf(r.HubDiameter).Name == "" {
		hub = sentence.New("The hub, no listed nut and taken for a solid brass cylinder half as high as wide,")
	}
	text := sentence.New("%s alone takes %s to get %.0f\u202f°C above the room, with all the wire %s, and the hot ring loses %s to the air (estimate).",
		hub, energy(h.HubAlone), h.Rise, energy(h.All), si.FormatPrefixed(h.Hold, si.Watt, 2))
	iron, quick := si.Format(h.Iron, si.Watt, 2), si.FormatPrefixed(h.Quick, si.Watt, 2)
	reaches := si.Format(h.Iron*ironShare, si.Watt, 2)
	switch {
	case h.IronWillDo():
		return sentence.Paragraph(text, sentence.New("An iron of %s, of which about %s reach the work, has it hot in %s or less: it will do.", iron, reaches, duration(math.Ceil(h.IronTime))))
	case math.IsInf(h.IronTime, 1):
		return sentence.Paragraph(text, sentence.New("An iron of %s, of which about %s reach the work, never gets there: take a small gas torch, or an iron that puts %s into the joint.", iron, reaches, quick))
	}
	return sentence.Paragraph(text, sentence.New("An iron of %s, of which about %s reach the work, needs up to %s, too long for flux: take a small gas torch, or an iron that puts %s into the joint.", iron, reaches, duration(h.IronTime), quick))
}

func (r Ring) hubName() string {
	if r.Hub.Mass > 0 {
		return r.Hub.Name
	}
	return HubOf(r.HubDiameter).Name
}

// tallyAt is tally for a number of turns that windTo asks for.
func (r Ring) tallyAt(turns float64) Tally { return r.tally(int(turns)) }

// countText says how many turns are wound.
func (r Ring) countText() sentence.Text {
	if r.SpareTurns == 0 {
		return turnsText(float64(r.Turns))
	}
	return sentence.New("%s and %d spare ones", turnsText(float64(r.Turns)), r.SpareTurns)
}

// percent writes a share as "1.4 %".
func percent(share float64) string {
	return si.FormatOf(math.Round(share*1000)/10, si.Percent, si.Shortest)
}

// energy writes joules.
func energy(joules float64) string {
	if joules < 1000 {
		return fmt.Sprintf("%.0f\u202fJ", joules)
	}
	return fmt.Sprintf("%.1f\u202fkJ", joules/1000)
}

// angleOfTurns writes a part of a turn as an angle and more as turns.
func angleOfTurns(turns float64) sentence.Text {
	if turns < 1 {
		return sentence.Literal(si.FormatOf(math.Round(turns*360), si.Degree, si.Shortest))
	}
	return turnsText(turns)
}
