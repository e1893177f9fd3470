package breakdown

import (
	"math"

	"coilwright/physics/electrostatics"
	"coilwright/physics/resonance"
)

// rowWires is how many turns at the end of a winding are met as round wires; those
// beyond are too far to matter for more than their net charge.
const rowWires = 24

// EndWire finds the surface gradient of the last and first turn of a winding from the
// charges of a solved coil. [resonance.Profile] has a gradient too, which stops at the
// dipole of the charge round a wire and so is 25 % low where turns nearly touch.
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
// everything else: the turns further on, what the near ones have over straight wires,
// top load, primary and board, and all images in earthed planes. Where turns nearly
// touch the faces towards the next one are left out, see [Row.Gradient]. Bare metal is
// meant; where there is enamel the air begins at its surface, where the field is a
// little less.
//
// Against boundary elements round every wire it errs by at most 5 % up to a wire of 0.9
// of the pitch and by 7 % at 0.94 (a test).
func (e *EndWire) Gradient(c *resonance.Coil, m *resonance.Modes) (float64, error) {
	return e.gradient(c, m, false)
}

// First is [EndWire.Gradient] of the first turn.
func (e *EndWire) First(c *resonance.Coil, m *resonance.Modes) (float64, error) {
	return e.gradient(c, m, true)
}

func (e *EndWire) gradient(c *resonance.Coil, m *resonance.Modes, first bool) (float64, error) {
	p, w := &m.Profile, c.Winding
	count := len(p.Charge)
	wires := min(rowWires, count)
	e.line, e.along, e.across = e.line[:0], e.along[:0], e.across[:0]
	planes, err := planesOf(c, m)
	if err != nil {
		return 0, err
	}
	round := 2 * math.Pi * w.Radius
	from, step, sign := count-wires, 1, 1.0 // of the row, whose last wire is the end
	if first {
		from, step, sign = wires-1, -1, -1
	}
	near := func(j int) bool { return (j-from)*step >= 0 }
	var imageAlong, imageAcross float64
	if planes != nil {
		imageAlong, imageAcross = imageField(c, m, planes, p.Height[from+step*(wires-1)])
	}
	for k := range wires {
		i := from + step*k
		z := p.Height[i]
		along, across := imageAlong, imageAcross
		for j := range count {
			if j == i {
				// The ring on its own wire: what its curvature adds, the regular
				// part of φ = q/(4π²ε₀r) [ln(8r/ρ) + (x/2r)(1 - ln(8r/ρ))].
				across += p.Charge[j] * curvature(w.Radius, w.WireRadius)
				continue
			}
			weight := p.Charge[j]
			if !near(j) {
				weight *= p.Weight[j]
			}
			dr, dz := electrostatics.RingGradientUnchecked(w.Radius, w.Radius, z-p.Height[j])
			along, across = along-weight*dz, across-weight*dr
			if near(j) {
				// The row has the field of a straight wire already.
				along -= weight / round * lineField / (z - p.Height[j])
			}
		}
		a, x := otherField(m, w.Radius, z)
		along, across = along+a, across+x
		e.line = append(e.line, p.Charge[i]/round)
		e.along, e.across = append(e.along, sign*along), append(e.across, across)
	}
	if err := e.row.Solve(w.WireRadius, w.Pitch, e.line, e.along, e.across); err != nil {
		return 0, err
	}
	return e.row.Gradient(w.WireRadius, e.line[wires-1]), nil
}

// curvature returns the outward field in V/(C m) that the curvature of a charged
// ring of the given radius puts on its own wire.
func curvature(radius, wireRadius float64) float64 {
	return electrostatics.Coulomb * (math.Log(8*radius/wireRadius) - 1) / (2 * math.Pi * radius * radius)
}

// planesOf returns the earthed planes round c, nil for none.
func planesOf(c *resonance.Coil, m *resonance.Modes) (*electrostatics.Planes, error) {
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
	for _, r := range m.Rings {
		for _, radius := range r.Radius {
			reach = math.Max(reach, radius)
		}
	}
	return electrostatics.NewPlanes(floor, ceiling, reach)
}

// otherField returns the field in V/m of everything but the winding on its surface
// at height z, up and outward.
func otherField(m *resonance.Modes, radius, z float64) (along, across float64) {
	for _, body := range m.Rings {
		if body.Of == resonance.OfWinding {
			continue
		}
		for s, q := range body.Charge {
			dr, dz := electrostatics.RingGradientUnchecked(body.Radius[s], radius, z-body.Height[s])
			along, across = along-q*dz, across-q*dr
		}
	}
	return along, across
}

// imageField returns the field in V/m of all images on the winding at height z.
func imageField(c *resonance.Coil, m *resonance.Modes, planes *electrostatics.Planes, z float64) (along, across float64) {
	p, radius := &m.Profile, c.Winding.Radius
	add := func(a, height, q float64) {
		dr, dz := planes.ImageGradient(a, height, radius, z)
		along, across = along-q*dz, across-q*dr
	}
	for j, q := range p.Charge {
		add(radius, p.Height[j], q*p.Weight[j])
	}
	for _, body := range m.Rings {
		if body.Of == resonance.OfWinding {
			continue
		}
		for s, q := range body.Charge {
			add(body.Radius[s], body.Height[s], q)
		}
	}
	return along, across
}
