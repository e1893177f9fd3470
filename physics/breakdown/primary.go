package breakdown

import (
	"fmt"
	"math"

	"coilwright/physics/electrostatics"
	"coilwright/physics/inductance"
	"coilwright/physics/resonance"
)

// Primary returns the largest surface gradient in V/m on the turns of the primary of
// a solved coil, per volt of its top, and which turn has it. The primary is at zero; what its driver puts
// on it, some volts to some hundreds, is not in it.
//
// The turns are a plane row of round wires, see [Row], in the field of all else; of
// more than rowWires turns the nearest to either end are looked at. Bare metal is
// meant, as in [EndWire]. Against boundary elements round every wire it errs by at
// most 5 %. Without a primary the gradient is 0.
func Primary(c *resonance.Coil, m *resonance.Modes, f *resonance.Field) (gradient float64, turn int, err error) {
	var charge []float64
	for _, r := range m.Rings {
		if r.Of == resonance.OfPrimary {
			charge = r.Charge
		}
	}
	loops := c.Primary
	if len(charge) != len(loops) {
		return 0, 0, fmt.Errorf("%w: modes of another coil", ErrRange)
	}
	outside := f.Without(resonance.OfPrimary)
	for _, end := range []bool{false, true} {
		n := min(rowWires, len(loops))
		row, q := make([]inductance.Loop, n), make([]float64, n)
		at := func(k int) int { // from the inside of the row to its end
			if end {
				return n - 1 - k
			}
			return len(loops) - n + k
		}
		for k := range n {
			row[k], q[k] = loops[at(k)], charge[at(k)]
		}
		g, k, err := rowGradient(row, q, outside)
		if err != nil {
			return 0, 0, err
		}
		if g > gradient {
			gradient, turn = g, at(k)
		}
	}
	return gradient, turn, nil
}

// rowGradient returns the largest gradient on the last turns of a row of loops with
// the given charges in a field, and which of them has it.
func rowGradient(loops []inductance.Loop, charge []float64, outside *resonance.Field) (gradient float64, turn int, err error) {
	n := len(loops)
	if n == 0 {
		return 0, 0, nil
	}
	wire := loops[0].WireRadius
	pitch, cos, sin := 4*wire, 0.0, 1.0
	if n > 1 {
		dr, dz := loops[n-1].Radius-loops[0].Radius, loops[n-1].Height-loops[0].Height
		length := math.Hypot(dr, dz)
		pitch, cos, sin = math.Max(length/float64(n-1), 2*wire), dr/length, dz/length
	}
	line, along, across := make([]float64, n), make([]float64, n), make([]float64, n)
	for i, l := range loops {
		_, er, ez := outside.At(l.Radius, l.Height)
		for j, other := range loops {
			if j == i {
				er += charge[j] * curvature(l.Radius, wire)
				continue
			}
			dr, dz := electrostatics.RingGradientUnchecked(other.Radius, l.Radius, l.Height-other.Height)
			er, ez = er-charge[j]*dr, ez-charge[j]*dz
			straight := charge[j] / (2 * math.Pi * other.Radius) * lineField / (float64(i-j) * pitch)
			er, ez = er-straight*cos, ez-straight*sin
		}
		weight := math.Max(l.Weight, 1e-3)
		line[i] = charge[i] / (2 * math.Pi * l.Radius * weight)
		along[i], across[i] = er*cos+ez*sin, er*sin-ez*cos
	}
	var row Row
	if err := row.Solve(wire, pitch, line, along, across); err != nil {
		return 0, 0, err
	}
	for i := max(0, n-resolved); i < n; i++ {
		if g := row.GradientOf(i, wire, line[i]); g > gradient {
			gradient, turn = g, i
		}
	}
	return gradient, turn, nil
}
