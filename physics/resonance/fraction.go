package resonance

import (
	"math"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/lapack/lapack64"

	"coilwright/physics/electrostatics"
	"coilwright/physics/inductance"
)

// partTurn is what is left of the winding above its whole turns. It is an arc of
// the next turn, at the height where that turn would be: over its whole length
// the wire below is one pitch away, however short it is. (A ring in the middle of its
// stretch comes within half a pitch of the last turn, which hides it until it is
// almost complete; the frequency then falls in steps, 0.6 % off at 40.5 turns.)
//
// The inductances of an arc are its fraction of a turn's. Its charge is its
// fraction of what a whole turn would carry at the same potentials of all others, see
// [matrices.soften]: the capacitance matrix runs in a straight line from one whole
// number of turns to the next, so that all results are continuous and close to even.
type partTurn struct {
	present  bool
	fraction float64 // 0 to 1
	index    int     // its unknown
	height   float64 // m

	elastance float64    // V/C, of a whole turn to itself, with images
	ownField  [2]float64 // V/(C m)
	flux      []float64  // by turn, H
	driven    []float64  // by turn, H: Σ over turns up to it (the last by half) of flux
	sum       float64    // H, Σ flux
	self      float64    // H, with the mirror
}

// leastFraction is the part of a turn below which it is left out.
const leastFraction = 1e-9

// split parts a number of turns into whole turns and the rest.
func split(turns float64) (whole int, rest float64) {
	whole = int(math.Floor(turns + leastFraction))
	return whole, math.Max(0, turns-float64(whole))
}

// prepare computes the terms of the fractional turn above n whole ones.
func (p *partTurn) prepare(k *kernels, n int, fraction float64, index int) {
	p.present = fraction > leastFraction
	p.fraction, p.index = fraction, index
	p.sum, p.self = 0, 0
	if !p.present {
		return
	}
	w := k.winding
	a := w.Radius
	p.height = w.Base + float64(n)*w.Pitch
	p.elastance = k.ownPotential
	p.ownField = [2]float64{0, k.ownRadial}
	if k.room.planes != nil {
		p.elastance += k.room.planes.ImagePotential(a, p.height, a, p.height)
		dr, dz := k.room.planes.ImageGradient(a, p.height, a, p.height)
		p.ownField[0] -= dz
		p.ownField[1] -= dr
	}
	p.self = fraction * k.ownMutual
	p.flux, p.driven = resize(p.flux, n), resize(p.driven, n)
	for i := range n {
		z := w.Base + float64(i)*w.Pitch
		m := inductance.MutualLoopsUnchecked(a, a, p.height-z)
		if k.room.metal {
			m -= inductance.MutualLoopsUnchecked(a, a, p.height+z-2*k.room.floor)
		}
		p.flux[i] = fraction * m
		p.driven[i] = p.sum + p.flux[i]/2
		p.sum += p.flux[i]
	}
	if k.room.metal {
		p.self -= fraction * fraction * inductance.MutualLoopsUnchecked(a, a, 2*(p.height-k.room.floor))
	}
}

// potentialAt returns the potential in V/C of the fractional turn at height z of
// the winding.
func (p *partTurn) potentialAt(k *kernels, z float64) float64 {
	a := k.winding.Radius
	v := electrostatics.RingPotentialUnchecked(a, a, p.height-z)
	if k.room.planes != nil {
		v += k.room.planes.ImagePotential(a, p.height, a, z)
	}
	return v
}

// soften adds to the last diagonal element of the leading size×size block of a
// positive matrix what makes its answer the given fraction of the whole: with r²
// the pivot that elimination of the others leaves there, the answer to a
// unit source is 1/r², and r² becomes r²/fraction.
func (m *matrices) soften(a []float64, size, stride int, fraction float64) bool {
	m.block = resize(m.block, size*size)
	for i := range size {
		copy(m.block[i*size:(i+1)*size], a[i*stride:i*stride+size])
	}
	_, ok := lapack64.Potrf(blas64.Symmetric{Uplo: blas.Upper, N: size, Stride: size, Data: m.block})
	last := m.block[size*size-1]
	a[(size-1)*stride+size-1] += last * last * (1/fraction - 1)
	return ok
}
