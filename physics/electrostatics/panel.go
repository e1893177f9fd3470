package electrostatics

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/integrate/quad"
)

// Arc is a piece of the curve that draws a conductor's surface when it turns
// about the axis: a straight line or a piece of a circle in the half plane of
// radius r and height z, in m.
type Arc struct {
	r0, z0, r1, z1 float64 // of a line: its ends; of a circle: centre and, in r1, radius
	from, to       float64 // rad, of a circle
	kind           arcKind
}

type arcKind int

const (
	line arcKind = iota
	circle
	flatDisc
)

// Line returns the straight piece from (r0, z0) to (r1, z1).
func Line(r0, z0, r1, z1 float64) Arc { return Arc{r0: r0, z0: z0, r1: r1, z1: z1, kind: line} }

// Circle returns the piece of a circle about (r, z) with the given radius,
// from one angle to another, in rad from the direction of growing r.
func Circle(r, z, radius, from, to float64) Arc {
	return Arc{r0: r, z0: z, r1: radius, from: from, to: to, kind: circle}
}

// FlatDisc returns a disc without thickness at the height z: both faces in
// one, run in the sine of the radius so that the charge, which is infinite at
// the edge, is smooth along it.
func FlatDisc(z, radius float64) Arc { return Arc{z0: z, r1: radius, kind: flatDisc} }

// at returns place and derivative for t from 0 to 1.
func (a Arc) at(t float64) (r, z, dr, dz float64) {
	switch a.kind {
	case circle:
		sin, cos := math.Sincos(a.from + t*(a.to-a.from))
		speed := a.r1 * (a.to - a.from)
		return a.r0 + a.r1*cos, a.z0 + a.r1*sin, -speed * sin, speed * cos
	case flatDisc:
		sin, cos := math.Sincos(t * math.Pi / 2)
		return a.r1 * sin, a.z0, a.r1 * math.Pi / 2 * cos, 0
	}
	return a.r0 + t*(a.r1-a.r0), a.z0 + t*(a.z1-a.z0), a.r1 - a.r0, a.z1 - a.z0
}

// Conductor is a closed surface about the axis, or one that the axis closes,
// drawn by arcs end to end.
type Conductor []Arc

// SphereConductor returns a sphere with its centre on the axis at the height z.
func SphereConductor(z, radius float64) Conductor {
	return Conductor{Circle(0, z, radius, -math.Pi/2, 0), Circle(0, z, radius, 0, math.Pi/2)}
}

// TorusConductor returns a torus with its centre plane at the height z.
func TorusConductor(z float64, t Torus) Conductor {
	return Conductor{Circle(t.Radius, z, t.Tube, -math.Pi, 0), Circle(t.Radius, z, t.Tube, 0, math.Pi)}
}

// DiscConductor returns a disc of the given radius over all and thickness with
// a half-round rim, its centre plane at the height z; without thickness it is
// [FlatDisc].
func DiscConductor(z, radius, thickness float64) Conductor {
	if thickness == 0 {
		return Conductor{FlatDisc(z, radius)}
	}
	h := thickness / 2
	flat := radius - h
	return Conductor{
		Line(0, z-h, flat, z-h),
		Circle(flat, z, h, -math.Pi/2, 0),
		Circle(flat, z, h, 0, math.Pi/2),
		Line(flat, z+h, 0, z+h),
	}
}

// panel is a stretch of an arc that carries one polynomial of charge.
type panel struct {
	arc       Arc
	from, to  float64 // of the arc's parameter
	conductor int
}

func (p panel) at(u float64) (r, z, dr, dz float64) {
	span := p.to - p.from
	r, z, dr, dz = p.arc.at(p.from + u*span)
	return r, z, dr * span, dz * span
}

// reach returns the panel's middle and half its length, as the chord shows it.
func (p panel) reach() (r, z, half float64) {
	r0, z0, _, _ := p.at(0)
	r, z, _, _ = p.at(0.5)
	r1, z1, _, _ := p.at(1)
	return r, z, (math.Hypot(r-r0, z-z0) + math.Hypot(r1-r, z1-z)) / 2
}

// Refinement says how finely boundary elements divide a conductor.
type Refinement struct {
	Order  int     // charges on a panel, 2 to 16
	Panels int     // on every arc, at least
	Gap    float64 // longest panel over its distance to another conductor or an image; also over twice its distance from the axis
}

// DefaultRefinement is good to 1e-6 of the capacitance of the shapes here.
var DefaultRefinement = Refinement{Order: 10, Panels: 3, Gap: 1.5}

const (
	minOrder, maxOrder = 2, 16

	// longestNeighbour bounds how much longer a panel may be than the one it
	// touches, so that panels shrink step by step toward a rim or a gap.
	longestNeighbour = 2.05

	// shortestAtAxis is the share of its arc below which a panel is not cut
	// further for lying close to the axis: what charge there is in a hole so
	// narrow does not count.
	shortestAtAxis = 0.1

	// maxPanels ends refinement of a gap too narrow to resolve.
	maxPanels = 400
)

// divide cuts the conductors into panels that are short against their distance
// from everything but their neighbours. Images are conductors mirrored in the
// planes' heights.
func divide(conductors []Conductor, mirrors []mirror, fine Refinement) ([]panel, error) {
	if fine.Order < minOrder || fine.Order > maxOrder || fine.Panels < 1 || !(fine.Gap > 0) {
		return nil, fmt.Errorf("%w: refinement %+v", ErrGeometry, fine)
	}
	var panels []panel
	for c, conductor := range conductors {
		for _, arc := range conductor {
			for i := range fine.Panels {
				panels = append(panels, panel{arc, float64(i) / float64(fine.Panels), float64(i+1) / float64(fine.Panels), c})
			}
		}
	}
	for {
		var next []panel
		for i, p := range panels {
			if tooLong(panels, i, mirrors, fine.Gap) {
				middle := (p.from + p.to) / 2
				left, right := p, p
				left.to, right.from = middle, middle
				next = append(next, left, right)
			} else {
				next = append(next, p)
			}
		}
		if len(next) == len(panels) {
			return panels, nil
		}
		panels = next
		if len(panels) > maxPanels {
			return nil, fmt.Errorf("%w: a gap too narrow for %d panels", ErrGeometry, maxPanels)
		}
	}
}

// tooLong reports whether panel i has to be halved.
func tooLong(panels []panel, i int, mirrors []mirror, gap float64) bool {
	p := panels[i]
	r, z, half := p.reach()
	if 2*half > 2*gap*r && p.to-p.from > shortestAtAxis {
		return true
	}
	r0, z0, _, _ := p.at(0)
	r1, z1, _, _ := p.at(1)
	for k, other := range panels {
		q, y, otherHalf := other.reach()
		if k != i && other.conductor == p.conductor {
			s0, y0, _, _ := other.at(0)
			s1, y1, _, _ := other.at(1)
			touching := (same(r0, z0, s1, y1) || same(r1, z1, s0, y0)) && half > longestNeighbour*otherHalf
			if touching {
				return true
			}
		}
		if other.conductor != p.conductor {
			if d := math.Hypot(r-q, z-y) - otherHalf; 2*half > gap*math.Max(d, half/4) {
				return true
			}
		}
		for _, m := range mirrors {
			if d := math.Hypot(r-q, z-(2*m.height-y)) - otherHalf; 2*half > gap*math.Max(d, half/4) {
				return true
			}
		}
	}
	return false
}

// same reports whether two ends of arcs are one point.
func same(r0, z0, r1, z1 float64) bool {
	const rounding = 1e-9
	return math.Hypot(r0-r1, z0-z1) <= rounding*(math.Abs(r0)+math.Abs(z0)+math.Abs(r1)+math.Abs(z1))
}

// legendre returns the nodes and weights of the Gauss quadrature on 0 to 1.
func legendre(n int) (x, w []float64) {
	x, w = make([]float64, n), make([]float64, n)
	quad.Legendre{}.FixedLocations(x, w, 0, 1)
	return x, w
}

// PanelQuadrature returns n Gauss-Legendre places on a panel, from 0 to 1, and
// their weights: the charges weight × [System.Density] there stand for the
// panel at a distance.
func PanelQuadrature(n int) (places, weights []float64) { return legendre(n) }

// barycentric returns the weights of Lagrange interpolation on the nodes.
func barycentric(x []float64) []float64 {
	w := make([]float64, len(x))
	for i := range x {
		w[i] = 1
		for k := range x {
			if k != i {
				w[i] /= x[i] - x[k]
			}
		}
	}
	return w
}

// interpolate sets dst to the values at u of the polynomials that are 1 on one
// node and 0 on the others.
func interpolate(dst, nodes, bary []float64, u float64) {
	sum := 0.0
	for i, x := range nodes {
		d := u - x
		if d == 0 {
			clear(dst)
			dst[i] = 1
			return
		}
		dst[i] = bary[i] / d
		sum += dst[i]
	}
	for i := range dst {
		dst[i] /= sum
	}
}
