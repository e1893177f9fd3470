package breakdown

import (
	"errors"
	"fmt"
	"math"

	"coilwright/physics/si"

	"gonum.org/v1/gonum/mat"
)

// ErrSolve is wrapped when a row of wires has no solution: wires that cut.
var ErrSolve = errors.New("breakdown: the row of wires has no solution")

// Row is a plane row of equal parallel wires with given charges in a given
// field, multipole by multipole: what the turns near the end of a winding are to
// each other. It keeps its factored matrices while wires and pitch stay the same and
// is not for concurrent use; the zero Row is ready.
type Row struct {
	ratio         float64 // wire radius over pitch; 0: nothing factored
	wires         int
	start         []int // first multipole of every wire, and their number at the end
	along, across mat.Cholesky
	right         *mat.VecDense
	x, y          *mat.VecDense // multipoles even and odd about the row, wire by wire, V
}

const (
	// nearestTouching caps wire radius over pitch, 1/2 where wires touch.
	nearestTouching = 0.4975

	// rowTolerance is where the multipoles are cut off. They fall as the
	// powers of the place of the charges' common image inside a wire over its radius,
	// (1 - √(1-4x²))/2x at the ratio x. The limit mostOrders is reached where
	// wires are 2 % of their diameter apart.
	rowTolerance = 1e-4
	mostOrders   = 24

	// resolved wires at the end of the row have all multipoles, the others farOrders:
	// their own fields are not asked for.
	resolved  = 6
	farOrders = 2

	roundWire = 180 // points at which the gradient is looked at
)

// Solve finds the charge round wires of the given radius and pitch, in m, one
// for every entry of line, their charges in C/m. along and across are the fields in
// V/m at every wire that the rest of the world gives: along the row from the first to
// the last, and at right angles to it. [Row.Gradient] then has the answer.
//
// The multipole k of wire i vanishes on its surface when, with x the radius and
// w the distance of two wires in units of the pitch,
//
//	k a_ik ± Σ_jn (n+k-1)!/((n-1)!(k-1)!) (-1)ⁿ (x/w)^(n+k) a_jn = right side,
//
// plus for those even about the row, minus for those odd. Wires must not cut each
// other, or the error wraps [ErrRange].
//
// Source: Rayleigh, Phil. Mag. 34 (1892) 481, for the method.
func (r *Row) Solve(radius, pitch float64, line, along, across []float64) error {
	n := len(line)
	if len(along) != n || len(across) != n {
		panic("breakdown: one charge and one field per wire are needed")
	}
	if n == 0 || !positive(radius) || !positive(pitch) || radius > pitch*(0.5+1e-9) {
		return fmt.Errorf("%w: row of %d wires of radius %g m at pitch %g m", ErrRange, n, radius, pitch)
	}
	if err := r.factor(radius/pitch, n); err != nil {
		return err
	}
	x := math.Min(r.ratio, nearestTouching)
	r.right.Zero()
	for i := range n {
		for j := range n {
			if j == i {
				continue
			}
			w, p := x/float64(j-i), 1.0
			for at := r.start[i]; at < r.start[i+1]; at++ {
				p *= w
				r.right.SetVec(at, r.right.AtVec(at)-line[j]*lineField*p)
			}
		}
		first := r.start[i]
		r.right.SetVec(first, r.right.AtVec(first)+along[i]*radius)
	}
	if err := r.along.SolveVecTo(r.x, r.right); err != nil {
		return fmt.Errorf("%w: %w", ErrSolve, err)
	}
	r.right.Zero()
	for i := range n {
		r.right.SetVec(r.start[i], across[i]*radius)
	}
	if err := r.across.SolveVecTo(r.y, r.right); err != nil {
		return fmt.Errorf("%w: %w", ErrSolve, err)
	}
	return nil
}

// lineField is 1/2πε₀ in V m/C.
const lineField = 1 / (2 * math.Pi * si.Epsilon0)

// factor sets up the two matrices.
func (r *Row) factor(ratio float64, wires int) error {
	if ratio == r.ratio && wires == r.wires {
		return nil
	}
	r.ratio = 0
	x := math.Min(ratio, nearestTouching)
	image := 2 * x / (1 + math.Sqrt(1-4*x*x))
	orders := min(mostOrders, max(3, int(math.Ceil(math.Log(rowTolerance)/math.Log(image)))))
	r.start = append(r.start[:0], 0)
	for i := range wires {
		n := orders
		if i < wires-resolved {
			n = farOrders
		}
		r.start = append(r.start, r.start[i]+n)
	}
	size := r.start[wires]
	even, odd := mat.NewSymDense(size, nil), mat.NewSymDense(size, nil)
	for i := range wires {
		for k := 1; k <= r.start[i+1]-r.start[i]; k++ {
			row := r.start[i] + k - 1
			even.SetSym(row, row, float64(k))
			odd.SetSym(row, row, float64(k))
			for j := i + 1; j < wires; j++ {
				w := x / float64(j-i)
				// -k w^(k+1) for n = 1, then each from the last.
				term := -float64(k) * math.Pow(w, float64(k+1))
				for n := 1; n <= r.start[j+1]-r.start[j]; n++ {
					even.SetSym(row, r.start[j]+n-1, term)
					odd.SetSym(row, r.start[j]+n-1, -term)
					term *= -w * float64(n+k) / float64(n)
				}
			}
		}
	}
	if !r.along.Factorize(even) || !r.across.Factorize(odd) {
		return fmt.Errorf("%w: wires of %g of the pitch", ErrSolve, 2*ratio)
	}
	r.right, r.x, r.y = mat.NewVecDense(size, nil), mat.NewVecDense(size, nil), mat.NewVecDense(size, nil)
	r.ratio, r.wires = ratio, wires
	return nil
}

// narrowGap is the wire's radius over the pitch from which the faces of neighbouring
// wires are left out: gaps narrower than a radius. What they bear is no matter of
// glow but of Paschen's law, and in a close winding the gap is full of enamel.
const (
	narrowGap = 1.0 / 3
	facing    = 0.5 // cosine of the angle from the row up to which a face faces the next wire
)

// Gradient returns the largest surface gradient in V/m on the last wire of the row
// solved last, for its radius in m and charge in C/m, faces in narrow gaps left out.
func (r *Row) Gradient(radius, line float64) float64 {
	return r.GradientOf(r.wires-1, radius, line)
}

// GradientOf is [Row.Gradient] of any wire, counted from 0; only the last six have all
// their multipoles.
func (r *Row) GradientOf(wire int, radius, line float64) float64 {
	first := r.start[wire]
	most := 0.0
	for p := range roundWire {
		sin, cos := math.Sincos(2 * math.Pi * float64(p) / roundWire)
		if r.ratio > narrowGap && (wire > 0 && cos < -facing || wire < r.wires-1 && cos > facing) {
			continue
		}
		sum := line * lineField
		c, s := 1.0, 0.0
		for at := first; at < r.start[wire+1]; at++ {
			c, s = c*cos-s*sin, s*cos+c*sin
			sum += 2 * float64(at-first+1) * (r.x.AtVec(at)*c + r.y.AtVec(at)*s)
		}
		most = math.Max(most, math.Abs(sum))
	}
	return most / radius
}
