package resonance

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/mathext"

	"coilwright/physics/si"
)

// row is what a wire of an endless plane row of equal parallel wires does to the
// field at its place. It knows nothing of the coil but the ratio of wire to
// pitch.
type row struct {
	section section
	ratio   float64 // radius of wire and insulation over pitch

	axial  float64 // polarisability along the row, in units of 2πε₀ pitch²
	radial float64 // polarisability across the row, in the same unit
	shift  float64 // what the crowding takes from the mean potential, in units of λ/2πε₀, <= 0

	factorial, lattice []float64 // logarithms: of m!, and of Σ_(j≠0) (b/jp)^m
}

const (
	// nearestTouching caps the ratio, which is 1/2 where wires touch: the axial
	// polarisability of a row in contact is infinite. Bare wires nearer than half
	// a percent of their diameter are treated as that near.
	nearestTouching = 0.4975

	// rowTolerance is where the multipoles of a row are cut off. They fall by
	// the place of the charges' common image inside the wire over its radius,
	// (1 - √(1-4x²))/2x at the ratio x.
	rowTolerance = 1e-8
)

// solve finds the constants of a row of wires.
//
// With ζ = x + iy, x along the row, the charges on every wire give the potential
// Re Σ a_n (ζ-jp)^(-n). About one wire the others add
// Σ_k (-1)^n C(n+k-1, k) S_(n+k) ζ^k a_n, with S_m = Σ_(j≠0) (jp)^-m = 2ζ(m)/p^m
// for even m and 0 for odd. Setting every harmonic on the surface to zero gives one
// linear system for a field along the row (odd n, real a), one for a field across it
// (odd n, imaginary a) and one for charged wires (even n, real a).
//
// An insulated wire answers each harmonic in part ([section.share]).
//
// Source: Rayleigh, Phil. Mag. 34 (1892) 481, for the method.
func (r *row) solve(of section) error {
	ratio := of.outer()
	r.section, r.ratio = of, ratio
	x := math.Min(ratio, nearestTouching)
	image := 2 * x / (1 + math.Sqrt(1-4*x*x))
	terms := max(3, int(math.Ceil(math.Log(rowTolerance)/(2*math.Log(image)))))
	// coupling is C(n+k-1, k) S_(n+k) b^(n+k), from logarithms: the binomials
	// overflow long before the product does.
	size := 4*terms + 3
	r.factorial, r.lattice = resize(r.factorial, size), resize(r.lattice, size)
	r.factorial[0] = 0
	for m := 1; m < size; m++ {
		r.factorial[m] = r.factorial[m-1] + math.Log(float64(m))
		if m%2 == 0 {
			r.lattice[m] = math.Log(2*mathext.Zeta(float64(m), 1)) + float64(m)*math.Log(x)
		}
	}
	coupling := func(n, k int) float64 {
		return math.Exp(r.factorial[n+k-1] - r.factorial[n-1] - r.factorial[k] + r.lattice[n+k])
	}
	// multipoles solves a + sign Σ coupling a = right for the orders first,
	// first+2 and so on.
	multipoles := func(first int, sign float64, right *mat.VecDense) (*mat.VecDense, error) {
		a := mat.NewDense(terms, terms, nil)
		for i := range terms {
			for j := range terms {
				a.Set(i, j, sign*coupling(first+2*j, first+2*i))
			}
			a.Set(i, i, a.At(i, i)+1/of.share(first+2*i))
		}
		var s mat.VecDense
		if err := s.SolveVec(a, right); err != nil {
			return nil, fmt.Errorf("%w: row of wires %g pitches thick: %w", ErrNotSolved, 2*ratio, err)
		}
		return &s, nil
	}
	field := mat.NewVecDense(terms, nil)
	field.SetVec(0, x)
	along, err := multipoles(1, -1, field)
	if err != nil {
		return err
	}
	across, err := multipoles(1, 1, field)
	if err != nil {
		return err
	}
	r.axial, r.radial = along.AtVec(0)*x, across.AtVec(0)*x

	lattice := func(n int) float64 { return math.Exp(r.lattice[n]) }
	charged := mat.NewVecDense(terms, nil)
	for i := range terms {
		charged.SetVec(i, -lattice(2*i+2)/float64(2*i+2))
	}
	even, err := multipoles(2, 1, charged)
	if err != nil {
		return err
	}
	r.shift = 0
	for i := range terms {
		r.shift += even.AtVec(i) * lattice(2*i+2)
	}
	return nil
}

// latticeSum is Σ_(j≠0) 1/j², by which the dipoles of the others act on one wire.
const latticeSum = math.Pi * math.Pi / 3

// stiffness returns the field per dipole moment, in V/m per C m, of one turn of
// radius a against its own dipole, along and across the row. The moments of the
// others are not in it: they are summed turn by turn, so that the ends of the
// winding lack them.
func (r *row) stiffness(radius, pitch float64) (axial, radial float64) {
	unit := 1 / (2 * math.Pi * si.Epsilon0 * pitch * pitch * 2 * math.Pi * radius)
	return unit * (1/r.axial + latticeSum), unit * (1/r.radial - latticeSum)
}
