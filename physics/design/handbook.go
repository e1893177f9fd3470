package design

import (
	"math"

	"coilwright/physics/electrostatics"
	"coilwright/physics/inductance"
	"coilwright/physics/resonance"
	"coilwright/physics/sentence"
)

// handbook is the coil by handbook formulas: the second opinion beside the
// solved coil. It knows nothing of floor, former and primary, and adds the top
// load as if it stood alone.
type handbook struct {
	inductance      float64 // H
	selfCapacitance float64 // F
	topCapacitance  float64 // F; 0 without a top load
	noTop           bool    // the formulas give no capacitance for the top load there is
	kind            string  // of the top load
	cautions        []Caution
}

// frequency is not a number where the formulas have none.
func (h handbook) frequency() float64 {
	if h.noTop {
		return math.NaN()
	}
	return resonance.HandbookFrequency(h.inductance, h.selfCapacitance, h.topCapacitance)
}

func (h *handbook) say(code, key string, text sentence.Text) {
	h.cautions = append(h.cautions, Caution{Code: code, Key: key, Text: text})
}

// top returns the capacitance in F of the top load, nil without one or where
// the formulas have none.
func (h handbook) top() *float64 {
	if h.kind == NoTopLoad || h.noTop {
		return nil
	}
	return known(h.topCapacitance)
}

func (h handbook) report() HandbookReport {
	return HandbookReport{
		Inductance:         known(h.inductance),
		SelfCapacitance:    known(h.selfCapacitance),
		TopLoadCapacitance: h.top(),
		Frequency:          known(h.frequency()),
	}
}

// topCache keeps the capacitance of the last top load.
type topCache struct {
	body    topBody
	value   float64 // F
	inRange bool    // of the formula
	ok      bool    // there is a formula
}

// capacitance returns the capacitance in F of the body alone in free space. ok
// is false where there is no formula for it.
func (c *topCache) capacitance(b topBody) (value float64, ok bool) {
	b.centre, b.wire = 0, conductor{} // they do not matter
	if c.body != b {
		value, inRange, err := isolatedCapacitance(b)
		*c = topCache{b, value, inRange, err == nil}
	}
	return c.value, c.ok
}

// isolatedCapacitance returns the capacitance in F of a body alone in free
// space: exact for torus and sphere, that of the set-back torus for a wire
// ring. A disc with its half-round rim is taken as the oblate spheroid of the
// same diameter and thickness, which lies inside it and so has a little less.
func isolatedCapacitance(b topBody) (value float64, inRange bool, err error) {
	switch b.kind {
	case WireRing:
		e, err := b.ring.HandbookCapacitance()
		return e.Value, e.InRange, err
	case Torus:
		value, err = electrostatics.Torus{Radius: b.inner, Tube: b.radius}.Capacitance()
	case Sphere:
		value, err = electrostatics.SphereCapacitance(b.radius)
	case Disc:
		value, err = electrostatics.SpheroidCapacitance(b.radius, b.outer+b.radius)
	}
	return value, b.kind != Disc || b.radius == 0, err
}

// byHandbook computes the coil by handbook formulas.
func (s *Solver) byHandbook(l *layout) (handbook, error) {
	c := l.secondary
	h := handbook{kind: l.top.kind}
	sheet, err := inductance.CurrentSheet(c.turns, c.diameter, c.height())
	if err != nil {
		return handbook{}, err
	}
	h.inductance = sheet - inductance.RoundWireCorrection(c.turns, c.diameter, c.pitch, c.wire.bare)
	self, err := resonance.MedhurstCapacitance(c.diameter, c.height())
	if err != nil {
		return handbook{}, err
	}
	h.selfCapacitance = self.Value
	if !self.InRange {
		h.say("self_capacitance_range", "secondary.turns", sentence.New("The winding is %.3g times as long as wide; the handbook's self-capacitance was measured from 0.1 to 50 times.", c.height()/c.diameter))
	}
	if l.top.kind != NoTopLoad {
		var ok bool
		h.topCapacitance, ok = s.top.capacitance(l.top)
		h.noTop = !ok
	}
	switch b := l.top; {
	case h.noTop:
		h.say("ring_estimate", "top_load.turns", sentence.New("The handbook has no capacitance for so few turns of thin wire: they do not act as a ring."))
	case b.kind == NoTopLoad || s.top.inRange:
	case b.kind == WireRing:
		h.say("ring_range", "top_load.turns", sentence.New("The handbook's capacitance of a wire ring was tried for 8 to 40 turns on a former of several wire diameters; this ring lies outside."))
	case b.kind == Disc:
		h.say("disc_estimate", "top_load.thickness_m", sentence.New("The handbook takes the disc as a flattened ball of the same size, which has a little less capacitance."))
	}
	return h, nil
}
