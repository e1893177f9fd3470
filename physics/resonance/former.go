package resonance

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"

	"coilwright/physics/electrostatics"
)

// Former is the tube, or the solid rod, that the winding lies on.
type Former struct {
	Inner, Outer         float64 // m, radii; Inner 0 is a solid rod, Outer at most that of the wire's inner side
	Bottom, Top          float64 // m, heights of its ends, which the winding does not overhang
	RelativePermittivity float64 // 1 and up; 1 changes nothing; above 20 the panels were not compared with finer ones

	panelsOf float64 // permittivity that the panels are made for; 0: its own
}

// usualPanels is the permittivity up to which the usual panels do: they cost less than
// 0.05 % of the first mode (TestFormerPanels).
const usualPanels = 3

// smallestPanels is the scale of the panels from where on they shrink no more: at
// permittivity 20, where they cost 0.1 %. Beyond they cost more.
const smallestPanels = 0.4

// panels returns the scale of the panels over that of the knots. The more permittivity,
// the nearer the bound charges come to answering every turn by itself, and the smaller are
// the panels.
func (f *Former) panels() float64 {
	permittivity := f.RelativePermittivity
	if f.panelsOf != 0 {
		permittivity = f.panelsOf
	}
	return math.Max(smallestPanels, math.Min(1, math.Sqrt(usualPanels/permittivity)))
}

// check refuses a former for which there is no answer.
func (f *Former) check(w Winding, r Room) error {
	low, high := w.Base-w.Pitch/2, w.Top()
	switch e := f.RelativePermittivity; {
	case !(e >= 1) || math.IsInf(e, 0):
		return fmt.Errorf("%w: relative permittivity %g of the former", ErrGeometry, e)
	case !(f.Inner >= 0) || !(f.Outer > f.Inner) || !(f.Outer <= w.Radius-w.WireRadius*(1-pitchSlack)):
		return fmt.Errorf("%w: former of radii %g and %g m in a winding of radius %g m", ErrGeometry, f.Inner, f.Outer, w.Radius)
	case !(f.Bottom <= low+pitchSlack*w.Pitch) || !(f.Top >= high-pitchSlack*w.Pitch) || math.IsInf(f.Top-f.Bottom, 0):
		return fmt.Errorf("%w: former from %g to %g m under a winding from %g to %g m", ErrGeometry, f.Bottom, f.Top, low, high)
	case r.Floor != nil && f.Bottom < *r.Floor, r.Ceiling != nil && f.Top > *r.Ceiling:
		return fmt.Errorf("%w: former from %g to %g m reaches through a plane", ErrGeometry, f.Bottom, f.Top)
	}
	return nil
}

// former answers the charges of the coil by bound charge on the surfaces of a
// [Former].
//
// The charge of the winding is spread to a sheet of its radius, which answers as
// [electrostatics.Bound] says. What the turns are otherwise than a sheet is only seen
// from near. Each finds in the outer surface, y off, its image, -κ = -(ε-1)/(ε+1) of
// its charge as far behind it, and so does the dipole of its crowding: the images of the
// turns take the place of the image of the sheet. In a wall that is thin over the pitch
// the images in the inner surface are those of a plane slab, less those of the sheet
// (formernear.go).
//
// The elastance that it adds is symmetric but for the division into panels, and is
// made so.
type former struct {
	of    formerKey // what bound is of
	knots []int     // of the grid that all but bound is of; none: not yet
	bound electrostatics.Bound
	gap   float64 // m, y

	spread []float64 // sheet×knots: charge there per charge of a knot's polygon
	within [][2]int  // by node of the sheet: the knots from and to, without, whose charge is there

	image      []float64    // knots×knots, V/C: images of unit strength, of turns less sheet
	imageField [2][]float64 // knots×knots, V/(C m): along and across, summed over the turns
	deep       []deepImage

	answered float64 // permittivity for which bound is factorised; 0: none

	seen, drawn, flux []float64    // nodes×stride: potentials of the unknowns, bound charge
	own               [4][]float64 // nodes×knots: potential, flux and fields of the winding
	laid              []float64    // nodes×knots: flux of its charge laid upon the surface
	product, row      []float64
	tables            [3]table
}

// formerKey is all that the bound charge depends on.
type formerKey struct {
	shape   Former // with permittivity 0
	wound   Winding
	room    room
	spacing float64 // of the panels
}

// keyOf returns what a former's parts depend on for the coil c.
func (w *winding) keyOf(c *Coil) formerKey {
	key := formerKey{*c.Former, w.wound, w.room, w.spacing * c.Former.panels()}
	key.shape.RelativePermittivity, key.shape.panelsOf = 0, 0
	return key
}

// formers keeps the last two formers: a winding that ends within a turn is solved with
// both whole numbers of turns about it, over and over as a report asks for more.
type formers struct {
	kept [2]former
	last int
}

// of returns the former kept for the coil, or the one used longer ago.
func (f *formers) of(c *Coil, w *winding) *former {
	if f.kept[f.last].of != w.keyOf(c) {
		f.last = 1 - f.last
	}
	return &f.kept[f.last]
}

// slab is what the dipoles of the turns see of a former: its plane surface.
type slab struct {
	kappa    float64 // (ε-1)/(ε+1); 0: no former
	distance float64 // from a turn to its image over the pitch
}

// hasFormer reports whether c has a former that does anything.
func (c *Coil) hasFormer() bool {
	return c.Former != nil && c.Former.RelativePermittivity > 1
}

// slab returns the former as the dipoles see it.
func (c *Coil) slab() slab {
	if !c.hasFormer() {
		return slab{}
	}
	e := c.Former.RelativePermittivity
	return slab{(e - 1) / (e + 1), 2 * (c.Winding.Radius - c.Former.Outer) / c.Winding.Pitch}
}

// apply adds to elastance and fields in m what the bound charge does.
func (f *former) apply(c *Coil, w *winding, sources []*source, m *matrices) error {
	if err := f.prepare(c, w); err != nil {
		return err
	}
	b := &f.bound
	permittivity := c.Former.RelativePermittivity
	if f.answered != permittivity {
		f.answered = 0
		if err := b.Factorize(permittivity); err != nil {
			return fmt.Errorf("%w: %w", ErrNotSolved, err)
		}
		f.answered = permittivity
	}
	kappa := (permittivity - 1) / (permittivity + 1)
	n, knots, all := m.stride, m.size, b.Nodes()

	f.seen, f.drawn = resize(f.seen, all*n), resize(f.drawn, all*n)
	clear(f.seen)
	clear(f.drawn) // what has no field, an earth capacitance, draws nothing
	for i := range all {
		copy(f.seen[i*n:i*n+knots], f.own[0][i*knots:])
		copy(f.drawn[i*n:i*n+knots], f.own[1][i*knots:])
	}
	for _, src := range sources {
		f.meetSource(src, w, n)
	}
	b.Conserve(f.drawn, n, n)
	// What comes on top of -κ of the sheet's charge, laid upon the surface.
	for i := range all {
		for k := range knots {
			f.drawn[i*n+k] -= kappa * f.laid[i*knots+k]
		}
	}
	for i := range b.OnSheet {
		for k := range knots {
			f.drawn[b.Behind(i)*n+k] += f.spread[i*knots+k] / 2
		}
	}
	b.Solve(f.drawn, n, n)

	f.product = resize(f.product, n*n)
	drawn := blas64.General{Rows: all, Cols: n, Stride: n, Data: f.drawn}
	blas64.Gemm(blas.Trans, blas.NoTrans, 1, blas64.General{Rows: all, Cols: n, Stride: n, Data: f.seen}, drawn, 0,
		blas64.General{Rows: n, Cols: n, Stride: n, Data: f.product})
	for i := range n {
		for j := i; j < n; j++ {
			v := f.product[i*n+j]
			if i >= knots || j < knots {
				v = (v + f.product[j*n+i]) / 2
			}
			if j < knots {
				v -= kappa * f.image[i*knots+j]
				for k := range f.deep {
					v += f.deep[k].strength(kappa) * f.deep[k].elastance[i*knots+j]
				}
			}
			m.elastance[i*n+j] += v
		}
	}
	for d := range m.field {
		blas64.Gemm(blas.Trans, blas.NoTrans, 1, blas64.General{Rows: all, Cols: knots, Stride: knots, Data: f.own[2+d]}, drawn, 0,
			blas64.General{Rows: knots, Cols: n, Stride: n, Data: f.product})
		for i := range knots {
			for j := range n {
				v := f.product[i*n+j]
				if j < knots {
					v -= kappa * f.imageField[d][i*knots+j]
				}
				m.field[d][i*n+j] += v
			}
		}
	}
	return nil
}

// prepare sets up what depends on the tube, the winding and its knots alone. The knots
// move with a neighbour of the winding too.
func (f *former) prepare(c *Coil, w *winding) error {
	key := w.keyOf(c)
	if f.of != key {
		if err := f.build(c, w, key); err != nil {
			return err
		}
	}
	if slices.Equal(f.knots, w.grid.knots) {
		return nil
	}
	f.spreadTurns(w)
	b, knots := &f.bound, w.grid.unknowns()
	for i, v := range [][]float64{b.Potential, b.Flux, b.Axial, b.Radial, b.LaidFlux} {
		to := &f.laid
		if i < len(f.own) {
			to = &f.own[i]
		}
		*to = resize(*to, b.Nodes()*knots)
		f.byKnots(*to, v, knots)
	}
	f.images(w)
	f.slabImages(w)
	f.knots = append(f.knots[:0], w.grid.knots...)
	return nil
}

// build sets bound.
func (f *former) build(c *Coil, w *winding, key formerKey) error {
	f.of, f.knots, f.answered = formerKey{}, f.knots[:0], 0
	shape := c.Former
	f.gap = c.Winding.Radius - shape.Outer
	tube := electrostatics.Tube{Inner: shape.Inner, Outer: shape.Outer, Bottom: shape.Bottom, Top: shape.Top}
	sheet := electrostatics.Sheet{
		Radius: c.Winding.Radius,
		Bottom: math.Max(c.Winding.Base-c.Winding.Pitch/2, shape.Bottom), Top: math.Min(c.Winding.Top(), shape.Top),
	}
	if err := f.bound.Build(tube, sheet, w.room.planes, key.spacing); err != nil {
		return fmt.Errorf("%w: %w", ErrGeometry, err)
	}
	f.of = key
	return nil
}

func (f *former) spreads(knots int) blas64.General {
	return blas64.General{Rows: f.bound.OnSheet, Cols: knots, Stride: knots, Data: f.spread}
}

// byKnots sets dst, by any rows and the knots, to v, by the same rows and the nodes of the
// sheet, times spread.
func (f *former) byKnots(dst, v []float64, knots int) {
	size := f.bound.OnSheet
	clear(dst)
	for row := range len(v) / size {
		to := dst[row*knots : (row+1)*knots]
		for node, x := range v[row*size : (row+1)*size] {
			from, end := f.within[node][0], f.within[node][1]
			part := to[from:end]
			for k, share := range f.spread[node*knots+from : node*knots+end] {
				part[k] += x * share
			}
		}
	}
}

// spreadTurns sets spread and within. Every turn is a stretch of sheet one pitch wide.
func (f *former) spreadTurns(w *winding) {
	knots := w.grid.unknowns()
	f.spread = resize(f.spread, f.bound.OnSheet*knots)
	clear(f.spread)
	pitch := w.kernels.winding.Pitch
	for e, el := range w.grid.elements {
		for t := range el.length {
			up := float64(t) / float64(el.length)
			middle := w.kernels.winding.Base + float64(el.start+t)*pitch
			for g, place := range gaussPlaces {
				first, parts := f.bound.Spread(middle + (place-0.5)*pitch)
				for k, v := range parts {
					v *= gaussWeights[g]
					row := f.spread[(first+k)*knots:]
					row[e] += (1 - up) * v
					if up > 0 {
						row[e+1] += up * v
					}
				}
			}
		}
	}
	f.within = resize(f.within, f.bound.OnSheet)
	for node := range f.within {
		row := f.spread[node*knots : (node+1)*knots]
		from, end := 0, knots
		for from < end && row[from] == 0 {
			from++
		}
		for end > from && row[end-1] == 0 {
			end--
		}
		f.within[node] = [2]int{from, end}
	}
}

// meetSource sets the flux and the potential of a conductor beside the winding.
func (f *former) meetSource(src *source, w *winding, n int) {
	b := &f.bound
	planes := w.room.planes
	rings := len(src.radius)
	for node, r := range b.R {
		z := b.Z[node]
		nr, nz := b.Normal(node)
		for i, a := range src.radius {
			h := src.height[i]
			p, dr, dz := electrostatics.RingFieldUnchecked(a, r, z-h)
			if planes != nil {
				ip, ir, iz := planes.ImageField(a, h, r, z)
				p, dr, dz = p+ip, dr+ir, dz+iz
			}
			flux := -b.Drawn[node] * (nr*dr + nz*dz)
			for k, at := range src.index {
				weight := src.weight[k*rings+i]
				f.drawn[node*n+at] += weight * flux
				f.seen[node*n+at] += weight * p
			}
		}
	}
}
