package resonance

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/lapack/lapack64"

	"coilwright/physics/electrostatics"
	"coilwright/physics/si"
)

// crowd takes from the elastance what the charge gains by moving round the
// wires.
//
// Every turn carries a dipole along and one across the winding beside its net
// charge. With E the fields of the charges at the dipoles and D the stiffness of
// the dipoles, to themselves and to each other, the energy is least for moments
// D⁻¹E q, and the elastance becomes P - Eᵀ D⁻¹ E. Fields come from everything,
// near and far; the stiffness is that of a plane row of wires, without the turns
// that the winding's ends lack. What is finer than a dipole is in the constants of
// the row.
func (w *winding) crowd(m *matrices, sources []*source) error {
	n := m.stride
	k := w.kernels
	axial, radial := k.row.stiffness(k.winding.Radius, k.winding.Pitch)
	unit := 1 / (2 * math.Pi * si.Epsilon0 * k.winding.Pitch * k.winding.Pitch * 2 * math.Pi * k.winding.Radius)
	for d, kind := range []struct{ own, other float64 }{{axial, -unit}, {radial, unit}} {
		w.fields(m, d)
		stiff := w.stiffness(m, d, kind.own, kind.other)
		if w.last.present && !m.soften(stiff.Data, m.size, m.size, w.last.fraction) {
			return fmt.Errorf("%w: crowding of charge on a fractional turn", ErrNotSolved)
		}
		lower, ok := lapack64.Potrf(stiff)
		if !ok {
			return fmt.Errorf("%w: crowding of charge at pitch %g m, wire %g m", ErrNotSolved, k.winding.Pitch, 2*k.winding.WireRadius)
		}
		e := blas64.General{Rows: m.size, Cols: n, Stride: n, Data: m.field[d]}
		blas64.Trsm(blas.Left, blas.Trans, 1, lower, e)
		blas64.Syrk(blas.Trans, -1, e, 1, blas64.Symmetric{Uplo: blas.Upper, N: n, Stride: n, Data: m.elastance})
	}
	if w.last.present && !m.soften(m.elastance, m.size, n, w.last.fraction) {
		return fmt.Errorf("%w: charge of a fractional turn", ErrNotSolved)
	}
	return nil
}

// fields adds the winding's own columns to the fields of direction d.
func (w *winding) fields(m *matrices, d int) {
	n, knots := m.stride, w.grid.unknowns()
	own := w.field[d]
	for t, sample := range w.grid.samples {
		upper := sample.weight * sample.place
		row := blas64.Vector{N: knots, Inc: 1, Data: own[t*knots:]}
		blas64.Axpy(sample.weight-upper, row, blas64.Vector{N: knots, Inc: 1, Data: m.field[d][sample.element*n:]})
		if upper != 0 {
			blas64.Axpy(upper, row, blas64.Vector{N: knots, Inc: 1, Data: m.field[d][(sample.element+1)*n:]})
		}
	}
	if !w.last.present {
		return
	}
	// The fractional turn sees the others and they see it.
	last := w.last.index
	k := w.kernels
	for _, sample := range w.grid.samples {
		upper := sample.weight * sample.place
		lower := sample.weight - upper
		z := k.winding.Base + float64(sample.turn)*k.winding.Pitch
		there := k.fieldBetween(z, w.last.height)[d] // at the fractional turn
		here := k.fieldBetween(w.last.height, z)[d]
		f := m.field[d]
		f[last*n+sample.element] += lower * there
		f[sample.element*n+last] += lower * here
		if upper != 0 {
			f[last*n+sample.element+1] += upper * there
			f[(sample.element+1)*n+last] += upper * here
		}
	}
	m.field[d][last*n+last] = w.last.ownField[d]
}

// fieldBetween returns the fields in V/(C m), along and across, that a turn at
// height from causes, with its images, at another one at height to.
func (k *kernels) fieldBetween(from, to float64) [2]float64 {
	a := k.winding.Radius
	dr, dz := electrostatics.RingGradientUnchecked(a, a, to-from)
	if k.room.planes != nil {
		ir, iz := k.room.planes.ImageGradient(a, from, a, to)
		dr, dz = dr+ir, dz+iz
	}
	return [2]float64{-dz, -dr}
}

// stiffness returns the matrix of the dipoles of direction d; own is that of one
// turn, other/m² that between turns m apart.
func (w *winding) stiffness(m *matrices, d int, own, other float64) blas64.Symmetric {
	knots, turns := w.grid.unknowns(), w.turns
	m.table.reset(2*turns - 1)
	m.table.value[turns-1] = own
	for i := 1; i < turns; i++ {
		v := other / float64(i*i)
		m.table.value[turns-1-i], m.table.value[turns-1+i] = v, v
	}
	m.table.prepare()
	m.stiff[d] = resize(m.stiff[d], m.size*m.size)
	stiff := m.stiff[d]
	w.assemble(w.scratch(knots), &m.table, nil)
	for i := range knots {
		copy(stiff[i*m.size:i*m.size+knots], w.scratch(knots)[i*knots:(i+1)*knots])
	}
	if w.last.present {
		at := w.last.index
		for i := range knots {
			stiff[i*m.size+at] = 0
		}
		for _, sample := range w.grid.samples {
			distance := float64(turns - sample.turn)
			v := other / (distance * distance)
			upper := sample.weight * sample.place
			stiff[sample.element*m.size+at] += (sample.weight - upper) * v
			if upper != 0 {
				stiff[(sample.element+1)*m.size+at] += upper * v
			}
		}
		stiff[at*m.size+at] = own
	}
	return blas64.Symmetric{Uplo: blas.Upper, N: m.size, Stride: m.size, Data: stiff}
}
