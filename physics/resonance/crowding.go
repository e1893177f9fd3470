package resonance

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/lapack/lapack64"

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
func (w *winding) crowd(m *matrices) {
	n := m.stride
	for d := range m.field {
		w.fields(m, d)
		e := blas64.General{Rows: m.size, Cols: n, Stride: n, Data: m.field[d]}
		blas64.Trsm(blas.Left, blas.Trans, 1, w.stiffFactor(d), e)
		blas64.Syrk(blas.Trans, -1, e, 1, blas64.Symmetric{Uplo: blas.Upper, N: n, Stride: n, Data: m.elastance})
	}
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
}

// stiffen factors the matrices of the dipoles, which depend on the winding alone.
func (w *winding) stiffen() error {
	k := w.kernels
	axial, radial := k.row.stiffness(k.winding.Radius, k.winding.Pitch)
	unit := 1 / (2 * math.Pi * si.Epsilon0 * k.winding.Pitch * k.winding.Pitch * 2 * math.Pi * k.winding.Radius)
	for d, kind := range []struct{ own, other float64 }{{axial, -unit}, {radial, unit}} {
		stiff := w.stiffness(d, kind.own, kind.other)
		if _, ok := lapack64.Potrf(stiff); !ok {
			return fmt.Errorf("%w: crowding of charge at pitch %g m, wire %g m", ErrNotSolved, k.winding.Pitch, 2*k.winding.WireRadius)
		}
	}
	return nil
}

// stiffFactor returns the upper Cholesky factor of the stiffness in direction d.
func (w *winding) stiffFactor(d int) blas64.Triangular {
	n := w.grid.unknowns()
	return blas64.Triangular{Uplo: blas.Upper, Diag: blas.NonUnit, N: n, Stride: n, Data: w.stiff[d]}
}

// stiffness returns the matrix of the dipoles of direction d; own is that of one
// turn, other/m² that between turns m apart.
func (w *winding) stiffness(d int, own, other float64) blas64.Symmetric {
	knots, turns := w.grid.unknowns(), w.turns
	t := &w.dipoles
	t.reset(2*turns - 1)
	// The image of a dipole in the former, h off, has -κ of its part along and κ of
	// that across: both take κ (m²-h²)/(m²+h²)² of the unit more.
	image := func(m float64) float64 {
		if w.under.kappa == 0 {
			return 0
		}
		m, h := m*m, w.under.distance*w.under.distance
		return math.Abs(other) * w.under.kappa * (m - h) / ((m + h) * (m + h))
	}
	t.value[turns-1] = own + image(0)
	for i := 1; i < turns; i++ {
		v := other/float64(i*i) + image(float64(i))
		t.value[turns-1-i], t.value[turns-1+i] = v, v
	}
	t.prepare()
	w.stiff[d] = resize(w.stiff[d], knots*knots)
	w.assemble(w.stiff[d], t, nil)
	return blas64.Symmetric{Uplo: blas.Upper, N: knots, Stride: knots, Data: w.stiff[d]}
}
