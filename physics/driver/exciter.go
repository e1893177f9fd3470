package driver

import (
	"errors"
	"fmt"
	"math"
	"slices"
)

// ErrCircuit is wrapped by errors about a circuit that cannot be.
var ErrCircuit = errors.New("driver: circuit")

// ErrNotSettled is wrapped when a solution was not reached; the message says
// what was seen until then.
var ErrNotSettled = errors.New("driver: not settled")

// Coil is a resonant coil as its driver sees it at the foot.
type Coil struct {
	Inductance  float64 // H
	Capacitance float64 // F
	Resistance  float64 // ohm, all losses
	TopToFoot   float64 // top voltage over the voltage across Capacitance
}

// Frequency returns the resonant frequency in Hz without losses.
func (c Coil) Frequency() float64 {
	return 1 / (2 * math.Pi * math.Sqrt(c.Inductance*c.Capacitance))
}

// QUnloaded returns the quality factor of the coil alone.
func (c Coil) QUnloaded() float64 {
	return math.Sqrt(c.Inductance/c.Capacitance) / c.Resistance
}

// check refuses what is no coil.
func (c Coil) check() error {
	return errors.Join(
		positive("the coil's inductance", c.Inductance, "H"),
		positive("the coil's capacitance", c.Capacitance, "F"),
		positive("the coil's resistance", c.Resistance, "ohm"),
		positive("the coil's top-to-foot ratio", c.TopToFoot, ""),
	)
}

// Primary is the driven winding, with its leads.
type Primary struct {
	Inductance float64 // H
	Resistance float64 // ohm
	Coupling   float64 // coupling coefficient with the coil's foot inductance, 0 < k < 1
}

func (p Primary) check() error {
	err := errors.Join(positive("the primary's inductance", p.Inductance, "H"), notNegative("the primary's resistance", p.Resistance, "ohm"))
	if !(p.Coupling > 0 && p.Coupling < 1) {
		err = errors.Join(err, fmt.Errorf("%w: the coupling coefficient is %g; it must lie between 0 and 1: without coupling nothing is fed back", ErrCircuit, p.Coupling))
	}
	return err
}

// positive refuses a value that is not over zero and finite.
func positive(what string, x float64, unit string) error {
	if x > 0 && !math.IsInf(x, 0) {
		return nil
	}
	return fmt.Errorf("%w: %s is %g %s; it must be positive", ErrCircuit, what, x, unit)
}

// notNegative refuses a value below zero or not finite.
func notNegative(what string, x float64, unit string) error {
	if x >= 0 && !math.IsInf(x, 0) {
		return nil
	}
	return fmt.Errorf("%w: %s is %g %s; it must not be negative", ErrCircuit, what, x, unit)
}

// Exciter is a one-transistor feedback exciter. From the supply the primary
// leads to the collector; the coil's foot is the base; a resistor from the
// supply biases the base; a clamp diode from ground to the base limits how far
// the base swings below the emitter. With a MOSFET read gate, drain and source.
type Exciter struct {
	Coil    Coil
	Primary Primary
	Sense   int // 1: wound the same way, with the primary's end that matches the foot at the supply; -1: reversed

	Supply           float64 // V
	SupplyResistance float64 // ohm
	SupplyChoke      float64 // H, in series with the supply

	Device            Part
	Breakdown         float64 // V, collector to base (drain to source); 0: none, which no real part has
	BaseResistor      float64 // ohm, supply to base
	LowerBaseResistor float64 // ohm, base to ground; 0: none
	EmitterResistor   float64 // ohm
	BaseCapacitance   float64 // F, base to ground
	CollectorCapacity float64 // F, collector to ground, beyond the device's own
	Clamp             *Part   // nil: none
	GateZener         *Part   // cathode at the base; nil: none

	Thermal Thermal
}

// Thermal is what the device's temperature depends on besides its power.
type Thermal struct {
	Air        float64 // °C
	Resistance float64 // K/W, junction to air; 0: the part's own in free air
	BurstOn    float64 // s, how long the supply is on; 0: continuously
	BurstRate  float64 // Hz, how often
}

// Duty returns the share of the time that the supply is on, 1 when continuous.
func (t Thermal) Duty() float64 {
	if t.BurstOn <= 0 || t.BurstRate <= 0 {
		return 1
	}
	return math.Min(1, t.BurstOn*t.BurstRate)
}

func (x Exciter) check() error {
	err := errors.Join(
		x.Coil.check(), x.Primary.check(),
		positive("the supply", x.Supply, "V"),
		notNegative("the supply's resistance", x.SupplyResistance, "ohm"),
		notNegative("the supply choke", x.SupplyChoke, "H"),
		notNegative("the breakdown voltage", x.Breakdown, "V"),
		positive("the base resistor", x.BaseResistor, "ohm"),
		notNegative("the resistor from base to ground", x.LowerBaseResistor, "ohm"),
		notNegative("the emitter resistor", x.EmitterResistor, "ohm"),
		notNegative("the base capacitance", x.BaseCapacitance, "F"),
		notNegative("the collector capacitance", x.CollectorCapacity, "F"),
		notNegative("the thermal resistance", x.Thermal.Resistance, "K/W"),
	)
	if x.Sense != 1 && x.Sense != -1 {
		err = errors.Join(err, fmt.Errorf("%w: the sense of the primary is %d; it must be 1 or -1", ErrCircuit, x.Sense))
	}
	switch x.Device.Type {
	case NPN, NMOS, VDMOS:
	default:
		err = errors.Join(err, fmt.Errorf("%w: %s is no transistor of a kind that works here (npn, nmos, vdmos)", ErrPart, x.Device.Name))
	}
	for _, d := range []*Part{x.Clamp, x.GateZener} {
		if d != nil && d.Type != Diode {
			err = errors.Join(err, fmt.Errorf("%w: %s is no diode", ErrPart, d.Name))
		}
	}
	return err
}

// circuit is an exciter ready to be solved.
type circuit struct {
	exciter Exciter
	network
	bipolar *bipolar // or
	mosfet  *mosfetCard
	diodes  [maxPorts]*diode // nil at the transistor's ports and the avalanche's
	// avalanche is the port of the collector's breakdown, -1 if there is none.
	avalanche       int
	clampPort       int // -1: no clamp
	top, base, coll int
	rail            int // node of the supply behind its resistance, ground: none
	primary, foot   int // branch currents
	rb, rc, re      float64
	ignored         []string
	junctionTol     [maxPorts]float64 // V, scale of the voltage's change that matters; 0: it swings with the supply
	omega           float64           // rad/s, of the coil alone

	// Where the memory of capacitor and coils lies among the states, and what
	// turns it into voltage and currents: 1/C and the inverse of the
	// inductances.
	stateTop, statePrimary, stateFoot           int
	inverseTop, inversePP, inversePS, inverseSS float64
}

// Ports of the transistor; diodes follow.
const (
	portEmitter   = 0
	portCollector = 1
)

// build makes the network of an exciter.
func (x Exciter) build() (*circuit, error) {
	if err := x.check(); err != nil {
		return nil, err
	}
	c := &circuit{exciter: x, avalanche: -1, clampPort: -1, rail: ground, omega: 2 * math.Pi * x.Coil.Frequency()}
	c.top, c.base, c.coll = c.unknown(), c.unknown(), c.unknown()

	// Supply.
	switch {
	case x.SupplyChoke > 0:
		c.rail = c.unknown()
		i := c.branch(ground, c.rail, x.SupplyResistance)
		c.source[i] = 1
		c.e[i][i] = x.SupplyChoke
	case x.SupplyResistance > 0:
		c.rail = c.unknown()
		c.conduct(c.rail, ground, 1/x.SupplyResistance)
		c.source[c.rail] = 1 / x.SupplyResistance
	}
	c.conduct(c.base, c.rail, 1/x.BaseResistor)
	c.primary = c.branch(c.rail, c.coll, x.Primary.Resistance)
	if c.rail == ground { // the rail is the source itself
		c.source[c.base] = 1 / x.BaseResistor
		c.source[c.primary] = 1
	}
	if x.LowerBaseResistor > 0 {
		c.conduct(c.base, ground, 1/x.LowerBaseResistor)
	}

	// Coil.
	c.foot = c.branch(c.base, c.top, x.Coil.Resistance)
	mutual := float64(x.Sense) * x.Primary.Coupling * math.Sqrt(x.Primary.Inductance*x.Coil.Inductance)
	c.e[c.primary][c.primary], c.e[c.primary][c.foot] = x.Primary.Inductance, mutual
	c.e[c.foot][c.primary], c.e[c.foot][c.foot] = mutual, x.Coil.Inductance
	c.capacitor(c.top, x.Coil.Capacitance)
	c.capacitor(c.base, x.BaseCapacitance)
	c.capacitor(c.coll, x.CollectorCapacity)

	// Device.
	emitter := ground
	if x.EmitterResistor > 0 {
		emitter = c.unknown()
		c.conduct(emitter, ground, 1/x.EmitterResistor)
	}
	if x.Device.IsMOSFET() {
		if err := c.addMOSFET(emitter); err != nil {
			return nil, err
		}
	} else if err := c.addBipolar(emitter); err != nil {
		return nil, err
	}
	if x.Clamp != nil {
		c.clampPort = len(c.ports)
		if err := c.addDiode(*x.Clamp); err != nil {
			return nil, err
		}
	}
	if x.GateZener != nil {
		if err := c.addDiode(*x.GateZener); err != nil {
			return nil, err
		}
	}
	if x.Breakdown > 0 && c.bipolar != nil {
		c.avalanche = len(c.ports)
		c.ports = append(c.ports, [2]int{c.coll, c.base})
	}
	c.finish()
	c.stateTop = slices.Index(c.states, c.top)
	c.statePrimary = slices.Index(c.states, c.primary)
	c.stateFoot = slices.Index(c.states, c.foot)
	c.inverseTop = 1 / x.Coil.Capacitance
	determinant := x.Primary.Inductance*x.Coil.Inductance - mutual*mutual
	c.inversePP = x.Coil.Inductance / determinant
	c.inverseSS = x.Primary.Inductance / determinant
	c.inversePS = -mutual / determinant
	return c, nil
}

func (c *circuit) addBipolar(emitter int) (err error) {
	var ignored []string
	c.bipolar, c.rb, c.rc, c.re, ignored, err = c.exciter.Device.bipolar()
	if err != nil {
		return err
	}
	c.ignored = append(c.ignored, ignored...)
	b, k, e := c.through(c.base, c.rb), c.through(c.coll, c.rc), emitter
	if c.re > 0 {
		e = c.unknown()
		c.conduct(e, emitter, 1/c.re)
	}
	c.ports = [][2]int{{b, e}, {b, k}}
	c.junctionTol[portEmitter] = 0.03
	return nil
}

func (c *circuit) addMOSFET(source int) error {
	m, err := c.exciter.Device.mosfet(c.exciter.Breakdown)
	if err != nil {
		return err
	}
	c.mosfet = m
	c.ignored = append(c.ignored, m.ignored...)
	g, d, s := c.through(c.base, m.rg), c.through(c.coll, m.rd), source
	if m.rs > 0 {
		s = c.unknown()
		c.conduct(s, source, 1/m.rs)
	}
	if m.rds > 0 {
		c.conduct(c.coll, source, 1/m.rds)
	}
	c.ports = [][2]int{{g, s}, {g, d}}
	c.diodes[len(c.ports)] = &m.body
	c.junctionTol[portEmitter] = 0.2
	c.ports = append(c.ports, [2]int{source, c.through(c.coll, m.rb)})
	return nil
}

// addDiode puts a diode from ground (anode) to the base (cathode).
func (c *circuit) addDiode(p Part) error {
	d, rs, ignored, err := p.diode()
	if err != nil {
		return err
	}
	c.ignored = append(c.ignored, ignored...)
	c.diodes[len(c.ports)] = d
	c.junctionTol[len(c.ports)] = 0.03 * d.emission / thermalVoltage
	c.ports = append(c.ports, [2]int{ground, c.through(c.base, rs)})
	return nil
}

// devices are the currents and charges of all ports at one instant.
type devices struct {
	transistor
	current, conductance [maxPorts]float64 // of the diodes
	charge, capacitance  [maxPorts]float64
}

// at evaluates the devices at the ports' voltages.
func (c *circuit) at(u *[maxPorts]float64, d *devices) {
	if c.bipolar != nil {
		c.bipolar.at(u[0], u[1], &d.transistor)
	} else {
		c.mosfet.channel.at(u[0], u[1], &d.transistor)
	}
	for k := 2; k < len(c.ports); k++ {
		if k == c.avalanche {
			d.current[k], d.conductance[k] = avalanche(u[k] - c.exciter.Breakdown)
			continue
		}
		d.current[k], d.conductance[k], d.charge[k], d.capacitance[k] = c.diodes[k].at(u[k])
	}
}

// limit keeps a Newton step of the ports' voltages on the exponentials.
func (c *circuit) limit(next, old *[maxPorts]float64) {
	if c.bipolar != nil {
		next[0] = limitedStep(next[0], old[0], c.bipolar.nf*thermalVoltage, c.bipolar.criticalBE)
		next[1] = limitedStep(next[1], old[1], c.bipolar.nr*thermalVoltage, c.bipolar.criticalBC)
	}
	for k := 2; k < len(c.ports); k++ {
		d := c.diodes[k]
		if d == nil {
			continue
		}
		next[k] = limitedStep(next[k], old[k], d.emission, d.critical)
		if d.breakdown > 0 { // the breakdown is an exponential too
			back := limitedStep(-(next[k] + d.breakdown), -(old[k] + d.breakdown), d.emission, d.critical)
			next[k] = -back - d.breakdown
		}
	}
}
