package resonance

import (
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/mathext"

	"coilwright/physics/si"
)

// row is what a wire of an endless plane row of equal parallel wires does to the
// field at its place. It knows nothing of the coil but the ratio of wire to
// pitch.
type row struct {
	ratio float64 // wire radius over pitch

	axial  float64 // polarisability along the row, in units of 2πε₀ pitch²
	radial float64 // polarisability across the row, in the same unit
	shift  float64 // what the crowding takes from the mean potential, in units of λ/2πε₀, <= 0
}

const (
	// touching is the ratio at which wires of a row touch.
	touching = 0.5

	// nearestTouching caps the ratio: the axial polarisability of a row of
	// touching wires is infinite, and bare wires in contact are one conductor.
	nearestTouching = 0.4975

	// rowTolerance is where the multipoles of a row are cut off.
	rowTolerance = 1e-5
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
// Source: Rayleigh, Phil. Mag. 34 (1892) 481, for the method.
func (r *row) solve(ratio float64) {
	if ratio > nearestTouching {
		ratio = nearestTouching
	}
	r.ratio = ratio
	x := ratio
	terms := int(math.Ceil(math.Log(rowTolerance) / (2 * math.Log(x/touching))))
	terms = max(3, terms)
	// coupling is C(n+k-1, k) S_(n+k) b^(n+k), from logarithms: the binomials
	// overflow long before the product does.
	coupling := func(n, k int) float64 {
		m := float64(n + k)
		lm, _ := math.Lgamma(m)
		ln, _ := math.Lgamma(float64(n))
		lk, _ := math.Lgamma(float64(k) + 1)
		return 2 * mathext.Zeta(m, 1) * math.Exp(lm-ln-lk+m*math.Log(x))
	}
	field := func(sign float64) float64 {
		a := mat.NewDense(terms, terms, nil)
		for i := range terms {
			for j := range terms {
				a.Set(i, j, sign*coupling(2*j+1, 2*i+1))
			}
			a.Set(i, i, a.At(i, i)+1)
		}
		right := mat.NewVecDense(terms, nil)
		right.SetVec(0, x)
		var s mat.VecDense
		if err := s.SolveVec(a, right); err != nil {
			return x * x
		}
		return s.AtVec(0) * x
	}
	r.axial, r.radial = field(-1), field(1)

	a := mat.NewDense(terms, terms, nil)
	right := mat.NewVecDense(terms, nil)
	for i := range terms {
		k := 2*i + 2
		for j := range terms {
			a.Set(i, j, coupling(2*j+2, k))
		}
		a.Set(i, i, a.At(i, i)+1)
		right.SetVec(i, -2*mathext.Zeta(float64(k), 1)*math.Pow(x, float64(k))/float64(k))
	}
	var s mat.VecDense
	r.shift = 0
	if err := s.SolveVec(a, right); err == nil {
		for i := range terms {
			n := float64(2*i + 2)
			r.shift += s.AtVec(i) * 2 * mathext.Zeta(n, 1) * math.Pow(x, n)
		}
	}
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
