package breakdown

import (
	"math"

	"coilwright/physics/electrostatics"
	"coilwright/physics/resonance"
)

// rowWires is how many turns at the end of a winding are met as round wires; those
// beyond are too far to matter for more than their net charge.
const rowWires = 24

// EndWire finds the surface gradient of the last turn of a winding from the charges
// of a solved coil. [resonance.Profile] has a gradient too, which stops at the dipole
// of the charge round a wire and so is 25 % low where turns nearly touch.
//
// The zero EndWire is ready; it is not for concurrent use.
type EndWire struct {
	row                 Row
	line, along, across []float64
}

// Gradient returns the largest surface gradient in V/m of the last turn of c, per
// volt of its top, in the first of the modes m.
//
// The last turns are a plane row of round wires, see [Row], in the field of
// everything else: the turns further down, what the near ones have over straight wires,
// the top load, and all images in earthed planes. Charges of a primary or a board,
// which stand at the other end, are left out. Bare metal is meant; where there is
// enamel the air begins at its surface, where the field is a little less.
//
// Against boundary elements round every wire it errs by at most 4 % (a test).
func (e *EndWire) Gradient(c *resonance.Coil, m *resonance.Modes) (float64, error) {
	p, w := &m.Profile, c.Winding
	count := len(p.Charge)
	wires := min(rowWires, count)
	e.line, e.along, e.across = e.line[:0], e.along[:0], e.across[:0]
	planes, err := planesOf(c)
	if err != nil {
		return 0, err
	}
	round := 2 * math.Pi * w.Radius
	near := count - wires // first sample that is a wire of the row
	var imageAlong, imageAcross float64
	if planes != nil {
		imageAlong, imageAcross = imageField(c, m, planes, p.Height[count-1])
	}
	for i := near; i < count; i++ {
		z := p.Height[i]
		along, across := imageAlong, imageAcross
		for j := range count {
			if j == i {
				// The ring on its own wire: what its curvature adds, the regular
				// part of φ = q/(4π²ε₀r) [ln(8r/ρ) + (x/2r)(1 - ln(8r/ρ))].
				across += p.Charge[j] * electrostatics.Coulomb * (math.Log(8*w.Radius/w.WireRadius) - 1) / (round * w.Radius)
				continue
			}
			weight := p.Charge[j]
			if j < near {
				weight *= p.Weight[j]
			}
			dr, dz := electrostatics.RingGradientUnchecked(w.Radius, w.Radius, z-p.Height[j])
			along, across = along-weight*dz, across-weight*dr
			if j >= near {
				// The row has the field of a straight wire already.
				along -= weight / round * lineField / (z - p.Height[j])
			}
		}
		if c.Top != nil {
			a, x := bodyField(c, m, w.Radius, z)
			along, across = along+a, across+x
		}
		e.line = append(e.line, p.Charge[i]/round)
		e.along, e.across = append(e.along, along), append(e.across, across)
	}
	if err := e.row.Solve(w.WireRadius, w.Pitch, e.line, e.along, e.across); err != nil {
		return 0, err
	}
	return e.row.Gradient(w.WireRadius, e.line[wires-1]), nil
}

// planesOf returns the earthed planes round c, nil for none.
func planesOf(c *resonance.Coil) (*electrostatics.Planes, error) {
	floor, ceiling := math.Inf(-1), math.Inf(1)
	if c.Room.Floor != nil {
		floor = *c.Room.Floor
	}
	if c.Room.Ceiling != nil {
		ceiling = *c.Room.Ceiling
	}
	if c.Room.Floor == nil && c.Room.Ceiling == nil {
		return nil, nil
	}
	reach := c.Winding.Radius + c.Winding.WireRadius
	if c.Top != nil {
		reach = math.Max(reach, c.Top.Outer)
	}
	return electrostatics.NewPlanes(floor, ceiling, reach)
}

// bodyField returns the field in V/m of the top load on the winding's surface at
// height z, up and outward.
func bodyField(c *resonance.Coil, m *resonance.Modes, radius, z float64) (along, across float64) {
	b := c.Top
	for s, r := range b.Radius {
		q := ringCharge(c, m, s)
		dr, dz := electrostatics.RingGradientUnchecked(r, radius, z-c.TopHeight-b.Height[s])
		along, across = along-q*dz, across-q*dr
	}
	return along, across
}

// ringCharge returns the charge in C on ring s of the top load.
func ringCharge(c *resonance.Coil, m *resonance.Modes, s int) float64 {
	q, rings := 0.0, len(c.Top.Radius)
	for i, a := range m.TopAmplitude {
		q += a * c.Top.Weight[i*rings+s]
	}
	return q
}

// imageField returns the field in V/m of all images on the winding at height z.
func imageField(c *resonance.Coil, m *resonance.Modes, planes *electrostatics.Planes, z float64) (along, across float64) {
	p, radius := &m.Profile, c.Winding.Radius
	for j, q := range p.Charge {
		dr, dz := planes.ImageGradient(radius, p.Height[j], radius, z)
		along, across = along-q*p.Weight[j]*dz, across-q*p.Weight[j]*dr
	}
	if c.Top != nil {
		for s, r := range c.Top.Radius {
			q := ringCharge(c, m, s)
			dr, dz := planes.ImageGradient(r, c.TopHeight+c.Top.Height[s], radius, z)
			along, across = along-q*dz, across-q*dr
		}
	}
	return along, across
}
