package electrostatics

import (
	"errors"
	"fmt"
	"math"

	"coilwright/physics/si"

	"gonum.org/v1/gonum/mat"
)

// ErrSolve is wrapped when a system of boundary elements is singular.
var ErrSolve = errors.New("electrostatics: the boundary elements have no solution")

// System is a set of conductors cut into panels, with the factorised matrix of
// their potential coefficients. One System answers any voltages; it must not be
// used from two goroutines at once.
//
// The charge along the generating curve is a polynomial on each panel, given by
// its values on Gauss-Legendre nodes; the potential is required on the same
// nodes (Nyström). A panel far from a node is summed over its own nodes. A panel
// that is near or contains the node goes another way: it is cut where it is
// nearest, and each part is integrated on nodes that crowd toward the cut as
// u³, which takes away the logarithm and resolves a gap; the polynomials carry
// the charge there. An earthed plane is a mirror image that may be near; the
// further images of a room with floor and ceiling are smooth.
//
// Source: Kress, Linear Integral Equations, chapter 12, for the method.
type System struct {
	conductors int
	order      int
	panels     []panel
	mirrors    []mirror
	rest       func(a, zs, r, z float64) float64 // images that are never near, V/C; nil: none

	r, z  []float64 // m, of the nodes, panel by panel
	speed []float64 // m, length of the panel per unit of its parameter, at the nodes

	nodes, weights, bary []float64 // of a panel, on 0 to 1

	matrix    *mat.Dense // V/C
	lu        mat.LU
	condition float64

	graded, gradedWeights []float64 // on 0 to 1, crowding toward 0
	plain, plainWeights   []float64 // on 0 to 1
	density               []float64 // 1/weights: charge per unit of the parameter
	shape                 []float64
}

// mirror is an image of everything: at 2 height - z, with the given sign.
type mirror struct {
	height float64 // m
	sign   float64
}

// Solution is the charge on every node and how far to trust it.
type Solution struct {
	Charge    []float64 // C, one per node
	Total     []float64 // C, one per conductor
	Residual  float64   // ‖v - φ‖∞/‖v‖∞ at points between the nodes, two on every panel
	Condition float64   // condition number of the matrix, dimensionless
}

const (
	// gradedNodes on either side of the cut, crowding as the power gradedPower:
	// 2e-6 of the integral of ln at the worst distance from a panel, 1e-8 on it
	// (measured against 100 nodes).
	gradedNodes = 20
	gradedPower = 3

	// nearRatio calls a panel near when it is closer than its length times this:
	// ten nodes then integrate the kernel to 1e-8. Beyond moderate of that a
	// plain quadrature of plainNodes on either side of the nearest node does as
	// well: the singularity is 0.3 of the interval away, ρ = 2.2, ρ^(-2n) = 1e-8.
	nearRatio  = 1.0
	moderate   = 0.35
	plainNodes = 12
)

// NewSystem cuts the conductors into panels and factorises their potential
// coefficients. planes may be nil.
//
// Conductors that leave the half plane r >= 0 or cross a plane are refused
// ([ErrGeometry]); conductors that cut each other are not noticed.
func NewSystem(conductors []Conductor, planes *Planes, fine Refinement) (*System, error) {
	s := &System{conductors: len(conductors), order: fine.Order}
	if planes != nil {
		s.reflect(planes)
	}
	if err := s.build(conductors, fine); err != nil {
		return nil, err
	}
	for i := range s.r {
		if planes != nil && !planes.Contains(s.z[i]) {
			return nil, fmt.Errorf("%w: a conductor reaches the height %g m between planes at %g and %g m", ErrGeometry, s.z[i], planes.Floor(), planes.Ceiling())
		}
	}
	return s, s.factorize()
}

// reflect sets the mirrors and the rest of the images for the planes.
func (s *System) reflect(planes *Planes) {
	if planes.hasFloor() {
		s.mirrors = append(s.mirrors, mirror{planes.floor, -1})
	}
	if planes.hasCeiling() {
		s.mirrors = append(s.mirrors, mirror{planes.ceiling, -1})
	}
	if len(s.mirrors) == 2 {
		s.rest = func(a, zs, r, z float64) float64 {
			return planes.ImagePotential(a, zs, r, z) +
				RingPotentialUnchecked(a, r, z+zs-2*planes.floor) +
				RingPotentialUnchecked(a, r, z+zs-2*planes.ceiling)
		}
	}
}

// build places the nodes.
func (s *System) build(conductors []Conductor, fine Refinement) error {
	var err error
	if s.panels, err = divide(conductors, s.mirrors, fine); err != nil {
		return err
	}
	s.nodes, s.weights = legendre(s.order)
	s.bary = barycentric(s.nodes)
	s.graded, s.gradedWeights = legendre(gradedNodes)
	for i, u := range s.graded {
		s.graded[i] = math.Pow(u, gradedPower)
		s.gradedWeights[i] *= gradedPower * math.Pow(u, gradedPower-1)
	}
	s.plain, s.plainWeights = legendre(plainNodes)
	s.shape, s.density = make([]float64, s.order), make([]float64, s.order)
	for k, w := range s.weights {
		s.density[k] = 1 / w
	}
	for _, p := range s.panels {
		for _, u := range s.nodes {
			r, z, dr, dz := p.at(u)
			if !(r > 0) || math.IsInf(r, 0) || math.IsNaN(z) || math.IsInf(z, 0) {
				return fmt.Errorf("%w: a conductor's surface at r = %g m, z = %g m", ErrGeometry, r, z)
			}
			s.r, s.z = append(s.r, r), append(s.z, z)
			s.speed = append(s.speed, math.Hypot(dr, dz))
		}
	}
	if len(s.r) == 0 {
		return fmt.Errorf("%w: no conductor", ErrGeometry)
	}
	return nil
}

func (s *System) factorize() error {
	n := len(s.r)
	s.matrix = mat.NewDense(n, n, nil)
	for p := range s.panels {
		for k, u := range s.nodes {
			i := p*s.order + k
			s.row(s.matrix.RawRowView(i), s.r[i], s.z[i], p, u)
		}
	}
	s.lu.Factorize(s.matrix)
	s.condition = s.lu.Cond()
	if math.IsInf(s.condition, 1) || math.IsNaN(s.condition) {
		return fmt.Errorf("%w: condition number %g", ErrSolve, s.condition)
	}
	return nil
}

// row sets dst to the potential at (r, z) per coulomb on every node. own is the
// panel that the point lies on, at its parameter u; -1: none.
func (s *System) row(dst []float64, r, z float64, own int, u float64) {
	for p := range s.panels {
		part := dst[p*s.order : (p+1)*s.order]
		clear(part)
		if own == p {
			s.addCut(part, p, r, z, 1, u, s.graded, s.gradedWeights)
		} else {
			s.add(part, p, r, z, 1)
		}
		for _, m := range s.mirrors {
			// The image of the panel seen from the point is the panel seen
			// from the image of the point.
			s.add(part, p, r, 2*m.height-z, m.sign)
		}
		if s.rest != nil {
			for k := range part {
				j := p*s.order + k
				part[k] += s.rest(s.r[j], s.z[j], r, z)
			}
		}
	}
}

// add adds sign times the potential of panel p at a point off it.
func (s *System) add(part []float64, p int, r, z, sign float64) {
	nearest, distance2 := 0, math.Inf(1)
	for k := range s.order {
		j := p*s.order + k
		dr, dz := r-s.r[j], z-s.z[j]
		if d := dr*dr + dz*dz; d < distance2 {
			nearest, distance2 = k, d
		}
	}
	length := nearRatio * s.speed[p*s.order+nearest]
	if distance2 < length*length {
		if distance2 > moderate*moderate*length*length {
			s.addCut(part, p, r, z, sign, s.nodes[nearest], s.plain, s.plainWeights)
			return
		}
		s.addCut(part, p, r, z, sign, s.closest(p, nearest, r, z), s.graded, s.gradedWeights)
		return
	}
	for k := range part {
		j := p*s.order + k
		part[k] += sign * RingPotentialUnchecked(s.r[j], r, z-s.z[j])
	}
}

// closest returns the parameter where panel p is nearest to the point, by
// golden section about the nearest node. It only places the cut, so a
// hundredth of the panel is enough.
func (s *System) closest(p, node int, r, z float64) float64 {
	low, high := 0.0, 1.0
	if node > 0 {
		low = s.nodes[node-1]
	}
	if node+1 < s.order {
		high = s.nodes[node+1]
	}
	distance := func(u float64) float64 {
		x, y, _, _ := s.panels[p].at(u)
		return (x-r)*(x-r) + (y-z)*(y-z)
	}
	const golden, steps = 0.6180339887498949, 9
	a, b := high-golden*(high-low), low+golden*(high-low)
	fa, fb := distance(a), distance(b)
	for range steps {
		if fa < fb {
			high, b, fb = b, a, fa
			a = high - golden*(high-low)
			fa = distance(a)
		} else {
			low, a, fa = a, b, fb
			b = low + golden*(high-low)
			fb = distance(b)
		}
	}
	return (low + high) / 2
}

// addCut adds sign times the potential of panel p at a point that is nearest
// to its parameter cut, or lies there, by the given quadrature on either side.
func (s *System) addCut(part []float64, p int, r, z, sign, cut float64, places, weights []float64) {
	for _, side := range [2]float64{-cut, 1 - cut} {
		for i, g := range places {
			u := cut + side*g
			x, y, _, _ := s.panels[p].at(u)
			interpolate(s.shape, s.nodes, s.bary, u)
			value := sign * math.Abs(side) * weights[i] * RingPotentialUnchecked(x, r, z-y)
			for k, f := range s.shape {
				part[k] += value * f * s.density[k]
			}
		}
	}
}

// Panels returns how many panels the conductors were cut into.
func (s *System) Panels() int { return len(s.panels) }

// At returns the place in m on panel p at its parameter u from 0 to 1.
func (s *System) At(p int, u float64) (r, z float64) {
	r, z, _, _ = s.panels[p].at(u)
	return r, z
}

// Length returns the length of panel p along the generating curve, in m.
func (s *System) Length(p int) float64 {
	sum := 0.0
	for k, w := range s.weights {
		sum += w * s.speed[p*s.order+k]
	}
	return sum
}

// Density returns the charge in C per unit of the parameter u on panel p.
func (s *System) Density(charge []float64, p int, u float64) float64 {
	interpolate(s.shape, s.nodes, s.bary, u)
	sum := 0.0
	for k, f := range s.shape {
		sum += f * charge[p*s.order+k] * s.density[k]
	}
	return sum
}

// SolveMany overwrites every column of v, Nodes() × any, holding potentials in
// V on the nodes, by the charges in C that give them.
func (s *System) SolveMany(v *mat.Dense) error {
	if err := s.lu.SolveTo(v, false, v); err != nil {
		return fmt.Errorf("%w: %v", ErrSolve, err)
	}
	return nil
}

// Nodes returns how many nodes carry charge.
func (s *System) Nodes() int { return len(s.r) }

// Node returns where node i is, in m, and which conductor it is on.
func (s *System) Node(i int) (r, z float64, conductor int) {
	return s.r[i], s.z[i], s.panels[i/s.order].conductor
}

// Solve returns the charge for the given voltages in V, one per conductor.
func (s *System) Solve(volts []float64) (Solution, error) {
	if len(volts) != s.conductors {
		panic("electrostatics: one voltage per conductor is needed")
	}
	n := len(s.r)
	v := mat.NewVecDense(n, nil)
	for i := range n {
		v.SetVec(i, volts[s.panels[i/s.order].conductor])
	}
	q := mat.NewVecDense(n, nil)
	if err := s.lu.SolveVecTo(q, false, v); err != nil {
		return Solution{}, fmt.Errorf("%w: %v", ErrSolve, err)
	}
	sol := Solution{Charge: q.RawVector().Data, Total: make([]float64, s.conductors), Condition: s.condition}
	for i, c := range sol.Charge {
		sol.Total[s.panels[i/s.order].conductor] += c
	}
	sol.Residual = s.residual(sol.Charge, volts)
	return sol, nil
}

// residual compares with the voltages between the nodes: at the ends' side and
// in the middle of every panel.
func (s *System) residual(charge, volts []float64) float64 {
	row := make([]float64, len(s.r))
	worst, largest := 0.0, 0.0
	for _, v := range volts {
		largest = math.Max(largest, math.Abs(v))
	}
	for p := range s.panels {
		between := [2]float64{(s.nodes[0] + s.nodes[1]) / 2, (s.nodes[s.order/2-1] + s.nodes[s.order/2]) / 2}
		for _, u := range between {
			r, z, _, _ := s.panels[p].at(u)
			s.row(row, r, z, p, u)
			phi := -volts[s.panels[p].conductor]
			for i, g := range row {
				phi += g * charge[i]
			}
			worst = math.Max(worst, math.Abs(phi))
		}
	}
	if largest == 0 {
		return worst
	}
	return worst / largest
}

// Gradient returns the surface gradient in V/m, positive outward for positive
// charge, on panel p at its parameter u from 0 to 1. It is infinite at the edge
// of a [FlatDisc].
func (s *System) Gradient(charge []float64, p int, u float64) float64 {
	r, _, dr, dz := s.panels[p].at(u)
	return s.Density(charge, p, u) / (2 * math.Pi * r * math.Hypot(dr, dz) * si.Epsilon0)
}

// PeakGradient returns the largest surface gradient in V/m, and where it is.
func (s *System) PeakGradient(charge []float64) (gradient, r, z float64) {
	const perPanel = 8
	for p := range s.panels {
		for i := range perPanel + 1 {
			u := s.OffAxis(p, float64(i)/perPanel)
			if g := math.Abs(s.Gradient(charge, p, u)); g > gradient {
				gradient = g
				r, z, _, _ = s.panels[p].at(u)
			}
		}
	}
	return gradient, r, z
}

// OffAxis moves a parameter of panel p that lies on the axis to the node next to
// it: on the axis [System.Gradient] is a quotient of nothings.
func (s *System) OffAxis(p int, u float64) float64 {
	first, last := s.nodes[0], s.nodes[s.order-1]
	nearest, _, _, _ := s.panels[p].at(math.Min(math.Max(u, first), last))
	if r, _, _, _ := s.panels[p].at(u); r < nearest/2 && (u < first || u > last) {
		return math.Min(math.Max(u, first), last)
	}
	return u
}

// Potential returns the potential in V at (r, z), in m, off the surfaces.
func (s *System) Potential(charge []float64, r, z float64) float64 {
	row := make([]float64, len(s.r))
	s.row(row, r, z, -1, 0)
	sum := 0.0
	for i, g := range row {
		sum += g * charge[i]
	}
	return sum
}
