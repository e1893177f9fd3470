package experiment

import (
	"context"
	"math"

	"coilwright/physics/design"
	"coilwright/physics/driver"
)

// driven returns d with what it takes to drive it: its own primary and exciter or, where
// it has none, those that a design starts with.
func driven(d design.Design) design.Design {
	if d.Primary.Kind == design.NoPrimary {
		d.SetPrimaryKind(design.Cylinder)
	}
	if d.Driver.Kind != design.FeedbackExciter {
		d.SetDriverKind(design.FeedbackExciter)
	}
	return d
}

// drive finds the coil as its driver sees it. A coil that takes no primary, or whose
// losses are not known, keeps the reason for the experiments that need one; the error
// is that of ctx.
func (b *Bench) drive(ctx context.Context) error {
	d, r := driven(b.design), *b.report
	if b.design.Primary.Kind == design.NoPrimary {
		// Another primary is other metal near the winding.
		if r, b.undriven = b.solver.Evaluate(ctx, d); b.undriven != nil {
			return ctx.Err()
		}
	}
	b.circuit, b.undriven = d.DriverCircuit(r)
	return nil
}

// usualCoupling stands at first where a coil has no circuit.
const usualCoupling = 0.2

// coupling returns the coupling coefficient of the primary.
func (b *Bench) coupling() float64 {
	if b.undriven != nil {
		return usualCoupling
	}
	return b.circuit.Primary.Coupling
}

// tankVoltage is what the tank of a demonstration is charged to, in V; the shares
// do not depend on it.
const tankVoltage = 1000

// tank returns a tank on the primary whose frequency alone is ratio times the
// coil's. The error is [design.Problems].
func (b *Bench) tank(coupling, ratio float64) (driver.Gap, error) {
	if b.undriven != nil {
		return driver.Gap{}, b.undriven
	}
	g := driver.Gap{Coil: b.circuit.Coil, Primary: b.circuit.Primary, FiringVoltage: tankVoltage}
	g.Primary.Coupling = coupling
	omega := 2 * math.Pi * g.Coil.Frequency() * ratio
	g.TankCapacitance = 1 / (omega * omega * g.Primary.Inductance)
	return g, nil
}

// exciter returns the exciter. The error is [design.Problems].
func (b *Bench) exciter() (driver.Exciter, error) {
	if b.undriven != nil {
		return driver.Exciter{}, b.undriven
	}
	return b.circuit.Exciter()
}
