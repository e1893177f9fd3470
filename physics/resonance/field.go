package resonance

import (
	"math"
	"slices"

	"coilwright/physics/electrostatics"
)

// Field is the electric field of a coil in its first mode, at the moment when all
// voltages are at their crest, per volt of its top. It is that of all charges of
// [Modes.Rings], of the former's bound charge, and of their images in the planes of the
// room; potentials count from earth, or from infinity where there is no plane.
//
// Bound charge is rings too: within a third of a wall's thickness, a twelfth of a rod's
// radius, of the former's surface the field is not that of a sheet. It answers the charge
// of the turns; what their dipoles draw, at the ends of a close winding 2 % of its mean
// field a wall away, is left out. A wire ring is
// the mean round the axis, as the rest of the coil sees it: what its wires do one by one
// ends about a spacing of the turns away from it. Inside metal the field means nothing.
//
// One wire's diameter off the metal it is good to 1 % along the winding. At its last
// turns, whose dipoles are those of a row that does not end, to 3 % at a wire of 0.7 of
// the pitch and to 12 % at 0.94.
//
// A Field never changes and may be used from several goroutines.
type Field struct {
	winding, former cloud
	bodies          []Rings   // everything else
	omit            Conductor // whose charges are left out, not so their images

	floor, ceiling float64 // m; infinite: none
	between        *electrostatics.Planes
	far            Rings // the whole coil, for images that are far
	exact          bool  // every ring by itself, everywhere
}

// NewField returns the field of a solved coil. c must be the coil that m was
// solved from.
func NewField(c *Coil, m *Modes) (*Field, error) {
	f := &Field{floor: math.Inf(-1), ceiling: math.Inf(1), omit: nobody}
	if c.Room.Floor != nil {
		f.floor = *c.Room.Floor
	}
	if c.Room.Ceiling != nil {
		f.ceiling = *c.Room.Ceiling
	}
	f.winding = cloud{rings: m.Rings[0], radius: [2]float64{c.Winding.Radius - c.Winding.WireRadius, c.Winding.Radius + c.Winding.WireRadius}}
	f.winding.gather(ringsOfTurn)
	f.bodies = m.Rings[1:]
	if m.Polarised != nil {
		var faces Rings
		f.former, faces = formerCloud(c, m, c.Former.spacing())
		f.bodies = append(slices.Clip(f.bodies), faces)
	}
	if !math.IsInf(f.floor, 0) && !math.IsInf(f.ceiling, 0) {
		planes, err := electrostatics.NewPlanes(f.floor, f.ceiling, c.reach()+f.ceiling-f.floor)
		if err != nil {
			return nil, err
		}
		f.between = planes
		f.far = f.summed()
	}
	return f, nil
}

// Exact returns the same field with every turn summed by itself, for comparison.
func (f *Field) Exact() *Field {
	slow := *f
	slow.exact = true
	return &slow
}

// nobody is no conductor.
const nobody Conductor = -1

// Without returns the field of everything but one conductor and of all images, its
// own as well: what that conductor stands in.
func (f *Field) Without(one Conductor) *Field {
	rest := *f
	rest.omit = one
	return &rest
}

// summed returns a few rings that stand for the whole coil far away.
func (f *Field) summed() Rings {
	var all Rings
	for _, r := range append([]Rings{f.winding.rings, f.former.rings}, f.bodies...) {
		for i, q := range r.Charge {
			all.add(r.Radius[i], r.Height[i], q)
		}
	}
	low, high, gross, square := math.Inf(1), math.Inf(-1), 0.0, 0.0
	for i, q := range all.Charge {
		low, high = math.Min(low, all.Height[i]), math.Max(high, all.Height[i])
		gross += math.Abs(q)
		square += math.Abs(q) * all.Radius[i] * all.Radius[i]
	}
	c := cluster{middle: (low + high) / 2, half: (high - low) / 2}
	c.place()
	for i, q := range all.Charge {
		c.take(all.Height[i], [2]float64{q, 0})
	}
	var far Rings
	for k, z := range c.height {
		far.add(math.Sqrt(square/gross), z, c.charge[0][k])
	}
	return far
}

// Potential returns the potential in V/V at radius r and height z, in m.
func (f *Field) Potential(r, z float64) float64 {
	phi, _, _ := f.At(r, z)
	return phi
}

// At returns the potential in V and the field in V/m, outward and up, both per
// volt of the top, at radius r >= 0 and height z in m. Beyond the planes of the
// room everything is zero.
func (f *Field) At(r, z float64) (potential, outward, up float64) {
	if !(z > f.floor && z < f.ceiling) {
		return 0, 0, 0
	}
	var sum at
	f.direct(&sum, r, z, 1, 1)
	if !math.IsInf(f.floor, 0) {
		f.direct(&sum, r, 2*f.floor-z, -1, -1)
	}
	if !math.IsInf(f.ceiling, 0) {
		f.direct(&sum, r, 2*f.ceiling-z, -1, -1)
	}
	if f.between != nil {
		f.rest(&sum, r, z)
	}
	return sum.phi, -sum.dr, -sum.dz
}

// Strength returns the size of the field in V/m per volt of the top.
func (f *Field) Strength(r, z float64) float64 {
	_, outward, up := f.At(r, z)
	return math.Hypot(outward, up)
}

// at is a potential under way, and its derivatives.
type at struct{ phi, dr, dz float64 }

func (a *at) add(radius, height, charge, r, z, flip float64) {
	phi, dr, dz := electrostatics.RingFieldUnchecked(radius, r, z-height)
	a.phi += charge * phi
	a.dr += charge * dr
	a.dz += flip * charge * dz
}

// direct adds sign times the potential of all charges at (r, z), which is a mirrored
// point where flip is -1.
func (f *Field) direct(sum *at, r, z, sign, flip float64) {
	omit := f.omit
	if flip < 0 {
		omit = nobody
	}
	for _, c := range []*cloud{&f.winding, &f.former} {
		switch {
		case c.rings.Of == omit || len(c.clusters) == 0:
		case f.exact:
			c.each(sum, 0, len(c.rings.Charge), r, z, sign, flip)
		default:
			c.cluster(sum, 0, r, z, sign, flip)
		}
	}
	for b := range f.bodies {
		body := &f.bodies[b]
		if body.Of == omit {
			continue
		}
		for i, q := range body.Charge {
			sum.add(body.Radius[i], body.Height[i], sign*q, r, z, flip)
		}
	}
}

// rest adds the images between two planes but for the first in each.
func (f *Field) rest(sum *at, r, z float64) {
	for k, q := range f.far.Charge {
		a, h := f.far.Radius[k], f.far.Height[k]
		phi := f.between.ImagePotential(a, h, r, z)
		dr, dz := f.between.ImageGradient(a, h, r, z)
		for _, plane := range []float64{f.floor, f.ceiling} {
			p, pr, pz := electrostatics.RingFieldUnchecked(a, r, z+h-2*plane)
			phi, dr, dz = phi+p, dr+pr, dz+pz
		}
		sum.phi, sum.dr, sum.dz = sum.phi+q*phi, sum.dr+q*dr, sum.dz+q*dz
	}
}
