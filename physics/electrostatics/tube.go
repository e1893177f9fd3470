package electrostatics

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/lapack/lapack64"

	"coilwright/physics/si"
)

// Tube is a dielectric tube about the axis, or with Inner 0 a solid rod.
type Tube struct {
	Inner, Outer float64 // m, radii
	Bottom, Top  float64 // m, heights of its ends
}

// Thickness returns the thickness of the wall in m, that of a rod being its
// radius.
func (t Tube) Thickness() float64 { return t.Outer - t.Inner }

// check refuses a tube that has no inside.
func (t Tube) check() error {
	if !(t.Inner >= 0) || !(t.Outer > t.Inner) || math.IsInf(t.Outer, 0) || !(t.Top > t.Bottom) || math.IsInf(t.Top-t.Bottom, 0) {
		return fmt.Errorf("%w: tube of radii %g and %g m from %g to %g m", ErrGeometry, t.Inner, t.Outer, t.Bottom, t.Top)
	}
	return nil
}

// Sheet is where the charge lies that a [Bound] answers best: a cylinder round the
// tube, near it or upon it.
type Sheet struct {
	Radius      float64 // m, above the tube's outer radius
	Bottom, Top float64 // m, heights of its ends, within those of the tube
}

// Bound is the bound charge on the surface of a [Tube], by boundary elements: panels
// of Gauss's nodes as in [System]. With E the principal value of the field of all
// charges, n the outward normal, and κ = (ε-1)/(ε+1),
//
//	σ/2κ = ε₀ E·n.
//
// All lines of force that enter the body leave it, so that its charges add to
// nothing. The matrix is made to say so to rounding: however large the permittivity,
// the body goes to a conductor without net charge. An end face that lies on an earthed
// plane is left out, as the body goes on in the mirror.
//
// Charge on the sheet is a polynomial on every panel, as the bound charge is. The
// sheet may be as near as it likes: what it does at the nodes is integrated, and Bound
// solves for the charge τ that comes on top of -κ of the sheet's charge, laid upon
// the surface right behind it. What that part does to the sheet is integrated too.
//
// A Bound keeps its memory from tube to tube and is not for concurrent use; the zero
// Bound is ready.
//
// Sources: Kress, Linear Integral Equations, chapters 6 and 12; Johnston and
// Elliott, Int. J. Numer. Meth. Eng. 62 (2005) 564, for panels that are near, from
// memory.
type Bound struct {
	R, Z   []float64 // m, of the nodes
	Outer  int       // nodes on the outer surface; they come first, from the bottom up
	Inner  int       // nodes on the inner one, which come next; the rest is on the faces
	Drawn  []float64 // C m/V, by node: ε₀ times its area
	Closed bool      // no face is left out

	OnSheet int // nodes of the sheet

	// Nodes×OnSheet, per charge on a node of the sheet and on a node of the surface:
	// the potential in V/C of either at the other, the outward flux through the
	// area of the surface's node, and the field in V/(C m) along the axis and outward
	// that the sheet finds.
	Potential, Flux, Axial, Radial []float64

	// Nodes×OnSheet, the outward flux of the charge laid upon the surface, by its
	// principal value.
	LaidFlux []float64

	// OnSheet×OnSheet, what the sheet finds of a charge laid upon the surface less
	// what it would of an image as far behind it as the sheet is in front, that without
	// the images of the planes: potential, and field along the axis and outward.
	Laid, LaidAxial, LaidRadial []float64

	panels  []tubePanel
	sheet   []tubePanel
	breaks  []float64 // m, heights where panels of either surface end
	first   int       // break where the sheet begins
	mirrors []mirror
	planes  *Planes // with two of them: for the images that are never near

	flux   []float64 // nodes×nodes: ε₀ E·n times the area of the row's node, per charge
	matrix []float64
	pivots []int
	points []tubePoint
}

// tubePoint is a point of a quadrature over a panel.
type tubePoint struct {
	r, z  float64
	shape [tubeOrder]float64 // weights of the charges on the panel's nodes
}

// tubePanel is a straight stretch of the surface.
type tubePanel struct {
	r, z, dr, dz     float64 // m, where it begins and how far it goes
	length           float64 // m
	normalR, normalZ float64
}

const (
	// tubeOrder is the number of nodes on a panel.
	tubeOrder = 4

	// tubeNear is the distance of a point over the length of a panel below which
	// the panel is integrated on tubeNodes nodes on either side of where it is
	// nearest to the point, which crowd there.
	tubeNear  = 0.8
	tubeNodes = 6

	// tubeAfar is the distance over the length of a panel beyond which its image in
	// a plane is taken to be in one place: what that misses is 1/40 of a field that
	// is small by then.
	tubeAfar = 20

	// Lengths of the panels: at the ends of the wall and at those of the sheet over
	// the wall's thickness, tubeGrowth of the distance from there more, and at most
	// longestPanel outer radii; at the ends of the sheet and along it at most a part of
	// its length. TestBoundRefinement says what they cost.
	//
	// Both surfaces of the wall are divided alike. The charges on them are nearly
	// opposite, and what they leave is small as the wall is thin: panels that differ
	// would leave as much by their own error.
	cornerPanel  = 1.5
	sheetPanel   = 0.5
	tubeGrowth   = 1.0
	longestPanel = 3.75
	endPanels    = 20
	sheetPanels  = 4

	// The least and the largest thickness over the outer radius by which panels are
	// graded: the ends of a thinner wall hardly matter, and a rod is no wall.
	thinnestWall = 1.0 / 30
	thickestWall = 0.15
)

// The rules of a panel, on 0 to 1.
var (
	tubePlaces, tubeWeights = ascending(legendre(tubeOrder))
	tubeBary                = barycentric(tubePlaces)
	nearPlaces, nearWeights = legendre(tubeNodes)
)

// ascending returns the places of a symmetric rule from the lowest on.
func ascending(x, w []float64) ([]float64, []float64) {
	slices.Sort(x)
	return x, w
}

// tubeShape returns the polynomials that are 1 on one node of a panel, at u.
func tubeShape(u float64) (f [tubeOrder]float64) {
	a, b, c, d := u-tubePlaces[0], u-tubePlaces[1], u-tubePlaces[2], u-tubePlaces[3]
	ab, cd := a*b, c*d
	return [tubeOrder]float64{tubeBary[0] * b * cd, tubeBary[1] * a * cd, tubeBary[2] * ab * d, tubeBary[3] * ab * c}
}

// Build divides the surface of a tube and sets up what its charges do to each
// other, and the sheet and they to each other. fine scales the lengths of all panels, 1
// being the usual ones. planes may be nil.
func (b *Bound) Build(t Tube, sheet Sheet, planes *Planes, fine float64) error {
	if err := t.check(); err != nil {
		return err
	}
	from, to := sheet.Bottom, sheet.Top
	if !(from >= t.Bottom && to > from && t.Top >= to) || !(sheet.Radius > t.Outer) || !(fine > 0) {
		return fmt.Errorf("%w: charge of radius %g m from %g to %g m on a tube of radius %g m from %g to %g m", ErrGeometry, sheet.Radius, from, to, t.Outer, t.Bottom, t.Top)
	}
	bottom, top := true, true // faces
	b.mirrors, b.planes = b.mirrors[:0], nil
	if planes != nil {
		if t.Bottom < planes.floor || t.Top > planes.ceiling {
			return fmt.Errorf("%w: tube from %g to %g m between planes at %g and %g m", ErrGeometry, t.Bottom, t.Top, planes.floor, planes.ceiling)
		}
		bottom, top = t.Bottom > planes.floor, t.Top < planes.ceiling
		if planes.hasFloor() {
			b.mirrors = append(b.mirrors, mirror{planes.floor, -1})
		}
		if planes.hasCeiling() {
			b.mirrors = append(b.mirrors, mirror{planes.ceiling, -1})
		}
		if len(b.mirrors) == 2 {
			b.planes = planes
		}
	}
	b.Closed = bottom && top
	b.panels, b.R, b.Z, b.Drawn = b.panels[:0], b.R[:0], b.Z[:0], b.Drawn[:0]
	b.divide(t, from, to, fine)
	for i := range len(b.breaks) - 1 {
		b.add(t.Outer, b.breaks[i], t.Outer, b.breaks[i+1])
	}
	b.Outer, b.Inner = len(b.R), 0
	if t.Inner > 0 {
		for i := len(b.breaks) - 2; i >= 0; i-- {
			b.add(t.Inner, b.breaks[i+1], t.Inner, b.breaks[i])
		}
		b.Inner = len(b.R) - b.Outer
	}
	for _, face := range b.faces(t, fine) {
		if bottom {
			b.add(face[0], t.Bottom, face[1], t.Bottom)
		}
		if top {
			b.add(face[1], t.Top, face[0], t.Top)
		}
	}
	b.sheet = b.sheet[:0]
	for i := b.first; i < len(b.breaks)-1 && b.breaks[i] < to; i++ {
		b.sheet = append(b.sheet, newTubePanel(sheet.Radius, b.breaks[i], sheet.Radius, math.Min(b.breaks[i+1], to)))
	}
	b.OnSheet = len(b.sheet) * tubeOrder
	b.assemble()
	b.meetSheet()
	b.lay(t.Outer, 2*t.Outer-sheet.Radius)
	return nil
}

// divide sets breaks.
func (b *Bound) divide(t Tube, from, to, fine float64) {
	wall := math.Min(thickestWall*t.Outer, math.Max(thinnestWall*t.Outer, t.Thickness()))
	atEnd := math.Min(sheetPanel*wall, (to-from)/endPanels)
	longest := math.Min(longestPanel*t.Outer, (to-from)/sheetPanels)
	wanted := func(z float64) float64 {
		corner := math.Min(math.Abs(z-t.Bottom), math.Abs(z-t.Top))
		end := math.Min(math.Abs(z-from), math.Abs(z-to))
		length := math.Min(cornerPanel*wall+tubeGrowth*corner, atEnd+tubeGrowth*end)
		if z > from && z < to {
			length = math.Min(length, longest)
		}
		return fine * math.Min(length, longestPanel*t.Outer)
	}
	b.breaks = append(b.breaks[:0], t.Bottom)
	ends := [...]float64{t.Bottom, from, to, t.Top}
	for i := range len(ends) - 1 {
		low, high := ends[i], ends[i+1]
		if i == 1 {
			b.first = len(b.breaks) - 1
			b.breaks[b.first] = low
		}
		if i != 1 && high-low < shortestStretch*wall {
			continue // too short for a panel
		}
		const steps = 64 // that crowd toward both ends
		var place, count [steps + 1]float64
		place[0] = low
		for k := range steps {
			place[k+1] = low + (high-low)*(1-math.Cos(math.Pi*float64(k+1)/steps))/2
			count[k+1] = count[k] + (place[k+1]-place[k])/wanted((place[k]+place[k+1])/2)
		}
		panels := max(1, int(math.Ceil(count[steps]-0.3)))
		k := 0
		for j := 1; j < panels; j++ {
			at := count[steps] * float64(j) / float64(panels)
			for count[k+1] < at {
				k++
			}
			b.breaks = append(b.breaks, place[k]+(place[k+1]-place[k])*(at-count[k])/(count[k+1]-count[k]))
		}
		b.breaks = append(b.breaks, high)
	}
	b.breaks[0], b.breaks[len(b.breaks)-1] = t.Bottom, t.Top
}

// shortestStretch is the length over the wall's thickness below which what sticks
// out beyond the charge gets no panel of its own.
const shortestStretch = 0.02

// faces returns the radii between which the panels of an end face lie.
func (b *Bound) faces(t Tube, fine float64) [][2]float64 {
	wall := t.Thickness()
	var all [][2]float64
	if t.Inner > 0 {
		panels := max(1, int(math.Ceil(0.4/fine-0.3)))
		for i := range panels {
			low, high := float64(i)/float64(panels), float64(i+1)/float64(panels)
			all = append(all, [2]float64{t.Inner + low*wall, t.Inner + high*wall})
		}
		return all
	}
	// Toward the rim of a rod each panel is a third of what is left.
	edge := 0.0
	for left := 1.0; ; {
		next := left / 3
		if next < 0.375*fine {
			next = 0
		}
		all = append(all, [2]float64{edge, t.Outer * (1 - next)})
		edge = t.Outer * (1 - next)
		if next == 0 {
			return all
		}
		left = next
	}
}

// newTubePanel returns a panel, drawn with the body on its left.
func newTubePanel(r0, z0, r1, z1 float64) tubePanel {
	p := tubePanel{r: r0, z: z0, dr: r1 - r0, dz: z1 - z0}
	p.length = math.Abs(p.dr) + math.Abs(p.dz)
	p.normalR, p.normalZ = p.dz/p.length, -p.dr/p.length
	return p
}

// add appends a panel of the surface.
func (b *Bound) add(r0, z0, r1, z1 float64) { b.append(newTubePanel(r0, z0, r1, z1)) }

func (b *Bound) append(p tubePanel) {
	b.panels = append(b.panels, p)
	for k, u := range tubePlaces {
		r := p.r + u*p.dr
		b.R, b.Z = append(b.R, r), append(b.Z, p.z+u*p.dz)
		b.Drawn = append(b.Drawn, si.Epsilon0*2*math.Pi*r*p.length*tubeWeights[k])
	}
}

// Nodes returns how many nodes carry charge.
func (b *Bound) Nodes() int { return len(b.R) }

// Normal returns the direction of the outward normal on a node.
func (b *Bound) Normal(node int) (r, z float64) {
	p := &b.panels[node/tubeOrder]
	return p.normalR, p.normalZ
}

// Behind returns the node of the surface behind a node of the sheet.
func (b *Bound) Behind(node int) int { return b.first*tubeOrder + node }

// Conserve takes from the fluxes of outside charges, Nodes × columns with the given
// stride, what they fail to add to nothing.
func (b *Bound) Conserve(flux []float64, columns, stride int) {
	if !b.Closed {
		return
	}
	all := 0.0
	for _, area := range b.Drawn {
		all += area
	}
	for c := range columns {
		sum := 0.0
		for i := range b.R {
			sum += flux[i*stride+c]
		}
		for i, area := range b.Drawn {
			flux[i*stride+c] -= sum * area / all
		}
	}
}

// Factorize prepares for a relative permittivity above 1.
func (b *Bound) Factorize(permittivity float64) error {
	if !(permittivity > 1) || math.IsInf(permittivity, 0) {
		return fmt.Errorf("%w: relative permittivity %g of a tube", ErrGeometry, permittivity)
	}
	n := len(b.R)
	b.matrix = room(b.matrix, n*n)
	for i, v := range b.flux {
		b.matrix[i] = -v
	}
	own := (permittivity + 1) / (permittivity - 1) / 2
	for i := range n {
		b.matrix[i*n+i] += own
	}
	b.pivots = room(b.pivots, n)
	if !lapack64.Getrf(b.lower(), b.pivots) {
		return fmt.Errorf("%w: bound charge of a tube of permittivity %g", ErrSolve, permittivity)
	}
	return nil
}

func (b *Bound) lower() blas64.General {
	n := len(b.R)
	return blas64.General{Rows: n, Cols: n, Stride: n, Data: b.matrix}
}

// Solve overwrites fluxes, Nodes × columns with the given stride, by the bound
// charges in C that they draw.
func (b *Bound) Solve(flux []float64, columns, stride int) {
	lapack64.Getrs(blas.NoTrans, b.lower(), blas64.General{Rows: len(b.R), Cols: columns, Stride: stride, Data: flux}, b.pivots)
}

// Spread returns the first of the nodes of the sheet between which the height z in m
// lies, and their parts of a charge there.
func (b *Bound) Spread(z float64) (first int, parts [tubeOrder]float64) {
	low, high := 0, len(b.sheet)
	for high-low > 1 {
		if middle := (low + high) / 2; z < b.sheet[middle].z {
			high = middle
		} else {
			low = middle
		}
	}
	p := &b.sheet[low]
	return low * tubeOrder, tubeShape((z - p.z) / p.dz)
}

// room returns s with n elements, keeping its memory if that suffices.
func room[T any](s []T, n int) []T {
	if cap(s) < n {
		return make([]T, n, n+n/4)
	}
	return s[:n]
}
