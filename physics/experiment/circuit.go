package experiment

import (
	"math"

	"coilwright/physics/design"
	"coilwright/physics/driver"
	"coilwright/physics/loss"
	"coilwright/physics/wire"
)

// What stands in where a design says nothing; invented for demonstrations.
const (
	spareQuality    = 200.0  // unloaded quality factor
	spareInductance = 0.8e-6 // H, of a primary of a few turns
	spareResistance = 0.2    // ohm
)

// coil returns the coil as a driver sees it at the foot.
func (b *Bench) coil() driver.Coil {
	r := &b.report.Resonance
	q := spareQuality
	if r.QualityFactor != nil {
		q = *r.QualityFactor
	}
	l, c := *r.FootInductance, *r.FootCapacitance
	return driver.Coil{Inductance: l, Capacitance: c, Resistance: math.Sqrt(l/c) / q, TopToFoot: *r.TopToFootRatio}
}

// primary returns the design's primary with its coupling to the mode, or one for
// demonstration.
func (b *Bench) primary() driver.Primary {
	p, r := &b.report.Primary, &b.report.Resonance
	if p.Inductance == nil || r.FootMutualInductance == nil {
		return driver.Primary{Inductance: spareInductance, Resistance: spareResistance, Coupling: 0.2}
	}
	return driver.Primary{
		Inductance: *p.Inductance,
		Resistance: b.primaryResistance(*r.Frequency),
		Coupling:   math.Min(0.9, math.Abs(*r.FootMutualInductance)/math.Sqrt(*p.Inductance**r.FootInductance)),
	}
}

// primaryResistance returns the resistance in ohm of the primary's wire at a
// frequency, each turn as if it were alone.
func (b *Bench) primaryResistance(frequency float64) float64 {
	g, err := b.design.Geometry()
	if err != nil || len(g.Primary.Places) == 0 {
		return spareResistance
	}
	length := 0.0
	for _, at := range g.Primary.Places {
		length += 2 * math.Pi * at.R
	}
	w, err := loss.NewRoundWire(frequency, g.Primary.WireDiameter/2, 1/wire.Resistivity(b.design.Room.AirTemperature))
	if err != nil {
		return spareResistance
	}
	return length * w.ResistanceAC
}

// exciter returns the design's exciter or one for demonstration: a small NPN
// transistor on nine volts.
func (b *Bench) exciter() (driver.Exciter, error) {
	file := design.CircuitFile{Coil: b.coil(), Primary: b.primary(), Driver: b.design.Driver}
	if b.design.Driver.Kind != design.FeedbackExciter {
		file.Driver = design.Driver{
			Kind: design.FeedbackExciter, Supply: 9, SupplyResistance: 1.5,
			Device: design.Part{Name: "PN2222A"}, Clamp: design.Part{Name: "1N4148"}, BaseResistor: 10e3, Sense: 1,
		}
	}
	return file.Exciter()
}
