package accuracy

import (
	"context"
	"math"

	"coilwright/physics/loss"
	"coilwright/physics/sentence"
	"coilwright/physics/si"
	"coilwright/physics/wire"
)

// Allowed differences of resistances.
const (
	roundWireAllowed = 1e-6

	// windingAllowed is what the package promises for the bend of thick wire and
	// the end of the harmonics; 0.2 % is reached.
	windingAllowed = 5e-3
)

// resistances compares the resistance to alternating current of round wire over
// that to direct current: alone, and wound up.
func resistances(ctx context.Context, t *table) error {
	if err := roundWires(t); err != nil {
		return err
	}
	return windingResistances(ctx, t)
}

func roundWires(t *table) error {
	rows, err := printed("round_wire.csv")
	if err != nil {
		return err
	}
	shown := map[float64]bool{1e6: true, 5e6: true} // Hz; the others say the same
	for _, row := range rows {
		n, err := numbers(row[:3])
		if err != nil {
			return err
		}
		diameter, frequency, theirs := n[0], n[1], n[2]
		if diameter == 0 || !shown[frequency] {
			continue // a skin depth
		}
		ours, err := loss.NewRoundWire(frequency, diameter/2, wire.Conductivity)
		if err != nil {
			return err
		}
		t.add(subject{sentence.New("AC over DC resistance"), si.Plain, sentence.New("Bessel functions in arbitrary precision"), roundWireAllowed},
			sentence.New("lone wire %s at %s", mm(diameter), si.FormatPrefixed(frequency, si.Hertz, si.Shortest)), theirs, ours.Ratio())
	}
	return nil
}

// windingResistances compares windings of one current. Their sizes are in wire
// radii and skin depths, so that any wire will do.
func windingResistances(ctx context.Context, t *table) error {
	rows, err := printed("winding_resistance.csv")
	if err != nil {
		return err
	}
	const radius = 0.5e-3 // m, of the wire
	var solver loss.Solver
	for _, row := range rows {
		if err := ctx.Err(); err != nil {
			return err
		}
		n, err := numbers(row)
		if err != nil {
			return err
		}
		turns, pitch, coil, thick, theirs := n[0], n[1], n[2], n[3], n[4]
		depth := 2 * radius / thick
		frequency := 1 / (math.Pi * depth * depth * si.Mu0 * wire.Conductivity)
		current := make([]float64, int(turns))
		for i := range current {
			current[i] = 1
		}
		ours, err := solver.Winding(loss.Winding{
			Radius: coil * radius, WireRadius: radius, Pitch: pitch * 2 * radius, Conductivity: wire.Conductivity,
		}, frequency, current)
		if err != nil {
			return err
		}
		t.add(subject{sentence.New("AC over DC resistance"), si.Plain, sentence.New("finite elements, FreeFEM 4.11"), windingAllowed},
			sentence.New("%g turns %g wires wide, pitch %g, wire %g skin depths", turns, coil, pitch, thick), theirs, ours.Resistance(1)/ours.ResistanceDC)
	}
	return nil
}
