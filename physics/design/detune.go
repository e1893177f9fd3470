package design

import (
	"errors"
	"math"

	"coilwright/physics/driver"
	"coilwright/physics/inductance"
	"coilwright/physics/loss"
	"coilwright/physics/wire"
)

// Detuning is what happens when something near adds capacitance to the top.
type Detuning struct {
	Code        string  // DetunedByHand or DetunedBySpark
	Capacitance float64 // F that is added at the top
	Coil        float64 // Hz, where the coil resonates then
	Frequency   float64 // Hz, of the driver; 0: it stopped
	TopVoltage  float64 // V
}

// What detunes a coil.
const (
	DetunedByHand  = "hand"
	DetunedBySpark = "spark"
)

// Capacitances in F that detune: a hand some hand's breadths from the top, and
// a spark of a few centimetres. Common practice, no source; they differ
// by a factor of three.
const (
	handCapacitance  = 0.5e-12
	sparkCapacitance = 0.3e-12
)

// detune solves the driver once more with something near the top.
func (v *drive) detune(solve func(driver.Coil) (frequency, top float64, err error)) error {
	top := v.topCapacitance
	if top == 0 { // 2 We = Ct Vt²
		c := v.Circuit.Coil
		top = c.Capacitance / (c.TopToFoot * c.TopToFoot)
	}
	for _, near := range []Detuning{{Code: DetunedByHand, Capacitance: handCapacitance}, {Code: DetunedBySpark, Capacitance: sparkCapacitance}} {
		c := v.Circuit.Coil
		c.Capacitance *= 1 + near.Capacitance/top
		near.Coil = c.Frequency()
		var err error
		near.Frequency, near.TopVoltage, err = solve(c)
		if errors.Is(err, driver.ErrNotSettled) {
			continue
		}
		if err != nil {
			return err
		}
		v.Detuned = append(v.Detuned, near)
	}
	return nil
}

// Tuning is how a tank or a series capacitor stands to the coil, and the tap that
// brings them together.
type Tuning struct {
	Tank float64 // Hz, of the primary with its capacitor
	Coil float64 // Hz
	Off  float64 // by which the tank is above the coil, relative
	Tap  float64 // turns of the primary at which both agree; 0: no number of turns does, or not known
	Most float64 // turns that are wound; 0: not known
}

// mostTap is the largest number of turns a primary may have.
const mostTap = 200

// tune compares a capacitance in F across the primary with the coil.
func (v *drive) tune(farads float64) {
	t := &Tuning{
		Tank: 1 / (2 * math.Pi * math.Sqrt(v.Circuit.Primary.Inductance*farads)),
		Coil: v.Circuit.Coil.Frequency(),
	}
	t.Off = t.Tank/t.Coil - 1
	if v.shape != nil {
		wanted := 1 / (4 * math.Pi * math.Pi * t.Coil * t.Coil * farads) // H
		t.Tap, t.Most = v.shape.turnsOf(wanted), v.shape.design.Primary.Turns
	}
	v.Tuning = t
}

// shape is the design behind a circuit, for what its values alone do not say.
type shape struct {
	design Design
	report Report
	solver *Solver
}

// turnsOf returns how many turns of the primary have an inductance in H, to a
// thousandth of a turn; 0 if no number from a tenth to 200 has.
func (s *shape) turnsOf(henries float64) float64 {
	l, problems := layOut(&s.design)
	if len(problems) > 0 {
		return 0
	}
	metal := s.design.Room.Ground == MetalPlane
	over := func(turns float64) (bool, bool) {
		own, err := primaryInductance(l.primary.firstLoops(turns), metal)
		return own > henries, err == nil
	}
	low, high := 0.1, mostTap*1.0
	if above, ok := over(low); above || !ok {
		return 0
	}
	if above, ok := over(high); !above || !ok {
		return 0
	}
	for high-low > 1e-3 {
		middle := (low + high) / 2
		above, ok := over(middle)
		switch {
		case !ok:
			return 0
		case above:
			high = middle
		default:
			low = middle
		}
	}
	return (low + high) / 2
}

// primaryInductance returns the inductance in H of turns of a primary at low
// frequency, over the mirror of a metal plane if there is one.
func primaryInductance(turns []inductance.Loop, metal bool) (float64, error) {
	own, err := inductance.Inductance(turns, inductance.Uniform)
	if err != nil || !metal {
		return own, err
	}
	less, err := inductance.MutualInductance(turns, inductance.Mirror(turns, 0))
	return own - less, err
}

// primaryResistance returns the resistance in ohm of the turns in use at a frequency
// in Hz: that of a lone round wire. Neighbouring turns add some per cent at a
// wide pitch, up to a half when close wound; leads and joints are left out.
func (d *Design) primaryResistance(frequency float64) (float64, error) {
	l, problems := layOut(d)
	if len(problems) > 0 {
		return 0, problems
	}
	length := 0.0
	for _, turn := range l.primary.loops() {
		length += 2 * math.Pi * turn.Radius * turn.Weight
	}
	w, err := loss.NewRoundWire(frequency, l.primary.wire.bare/2, 1/wire.Resistivity(d.Room.AirTemperature))
	return w.ResistanceAC * length, err
}
