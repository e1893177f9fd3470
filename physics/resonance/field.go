package resonance

import (
	"math"

	"coilwright/physics/electrostatics"
)

// Field is the electric field of a coil in its first mode, at the moment when all
// voltages are at their crest, per volt of its top. It is that of all charges of
// [Modes.Rings] and their images in the planes of the room; potentials count from
// earth, or from infinity where there is no plane.
//
// A former's polarisation is not in it: beside a thin tube of permittivity 3 potentials
// are off by 1 %, of 5 by 3 %, of that of the top. A wire ring is the mean round the axis, as
// the rest of the coil sees it: what its wires do one by one ends about a spacing
// of the turns away from it. Inside metal the field means nothing.
//
// One wire's diameter off the metal it is good to 1 % along the winding. At its last
// turns, whose dipoles are those of a row that does not end, to 3 % at a wire of 0.7 of
// the pitch and to 12 % at 0.94.
//
// A Field never changes and may be used from several goroutines.
type Field struct {
	turns   []cluster // of the winding; the first holds all others
	winding Rings
	bodies  []Rings   // everything else
	omit    Conductor // whose charges are left out, not so their images

	radius [2]float64 // m, of the cylinders that clusters are put on

	floor, ceiling float64 // m; infinite: none
	between        *electrostatics.Planes
	far            Rings // the whole coil, for images that are far
	exact          bool  // every turn by itself, everywhere
}

// cluster is a run of neighbouring turns and the rings that stand for it at a
// distance, on two cylinders.
type cluster struct {
	from, to     int     // of the winding's rings
	middle, half float64 // m, of the heights
	height       [clusterRings]float64
	charge       [2][clusterRings]float64
	parts        int // first of two smaller clusters, one behind the other; 0: none
}

const (
	// clusterRings at Chebyshev's places on either cylinder stand for a cluster seen
	// from farther than clusterReach times half its length: one in a thousand of its
	// own part at the worst (TestFieldMeetsTheSum).
	clusterRings = 5
	clusterReach = 2.0
	ringsOfTurn  = 4
	smallCluster = 6 * ringsOfTurn // that is not divided further
)

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
	f.winding, f.bodies = m.Rings[0], m.Rings[1:]
	f.radius = [2]float64{c.Winding.Radius - c.Winding.WireRadius, c.Winding.Radius + c.Winding.WireRadius}
	f.turns = make([]cluster, 1)
	f.divide(0, 0, len(f.winding.Charge))
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

// divide makes cluster at hold the rings from..to of the winding.
func (f *Field) divide(at, from, to int) {
	w := &f.winding
	low, high := math.Inf(1), math.Inf(-1)
	for i := from; i < to; i++ {
		low, high = math.Min(low, w.Height[i]), math.Max(high, w.Height[i])
	}
	c := cluster{from: from, to: to, middle: (low + high) / 2, half: (high - low) / 2}
	c.place()
	if to-from <= smallCluster {
		// A charge is shared by the two cylinders so that its radius keeps its mean.
		width := f.radius[1] - f.radius[0]
		for i := from; i < to; i++ {
			outer := (w.Radius[i] - f.radius[0]) / width * w.Charge[i]
			c.take(w.Height[i], [2]float64{w.Charge[i] - outer, outer})
		}
		f.turns[at] = c
		return
	}
	half := from + (to-from)/2/ringsOfTurn*ringsOfTurn
	c.parts = len(f.turns)
	f.turns = append(f.turns, cluster{}, cluster{})
	f.divide(c.parts, from, half)
	f.divide(c.parts+1, half, to)
	for _, part := range f.turns[c.parts : c.parts+2] {
		for i, z := range part.height {
			c.take(z, [2]float64{part.charge[0][i], part.charge[1][i]})
		}
	}
	f.turns[at] = c
}

// place puts the heights on Chebyshev's places.
func (c *cluster) place() {
	for k := range c.height {
		c.height[k] = c.middle + c.half*math.Cos(math.Pi*(float64(k)+0.5)/clusterRings)
	}
}

// take puts charges at the height z on the rings, so that sums of polynomials in the
// height stay.
func (c *cluster) take(z float64, charge [2]float64) {
	for k, own := range c.height {
		l := 1.0
		for j, other := range c.height {
			if j != k && c.half > 0 {
				l *= (z - other) / (own - other)
			}
		}
		c.charge[0][k] += l * charge[0]
		c.charge[1][k] += l * charge[1]
		if c.half == 0 {
			return // all in one plane
		}
	}
}

// summed returns a few rings that stand for the whole coil far away.
func (f *Field) summed() Rings {
	var all Rings
	for _, r := range append([]Rings{f.winding}, f.bodies...) {
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
	switch {
	case omit == OfWinding:
	case f.exact:
		for i, q := range f.winding.Charge {
			sum.add(f.winding.Radius[i], f.winding.Height[i], sign*q, r, z, flip)
		}
	default:
		f.cluster(sum, 0, r, z, sign, flip)
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

func (f *Field) cluster(sum *at, which int, r, z, sign, flip float64) {
	c := &f.turns[which]
	along := math.Max(0, math.Abs(z-c.middle)-c.half)
	across := math.Max(0, math.Max(f.radius[0]-r, r-f.radius[1]))
	switch reach := clusterReach * c.half; {
	case along*along+across*across > reach*reach && c.to-c.from > 2*clusterRings:
		for k, charges := range c.charge {
			for i, q := range charges {
				sum.add(f.radius[k], c.height[i], sign*q, r, z, flip)
			}
		}
	case c.parts != 0:
		f.cluster(sum, c.parts, r, z, sign, flip)
		f.cluster(sum, c.parts+1, r, z, sign, flip)
	default:
		for i := c.from; i < c.to; i++ {
			sum.add(f.winding.Radius[i], f.winding.Height[i], sign*f.winding.Charge[i], r, z, flip)
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
