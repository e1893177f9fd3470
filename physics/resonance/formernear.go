package resonance

import (
	"math"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"

	"coilwright/physics/electrostatics"
)

// images sets what the images of the turns in the outer surface do to the turns, at
// unit strength, and what the sheet's charge laid upon the surface does, less what its
// image would.
func (f *former) images(w *winding) {
	k := w.kernels
	knots, n := w.grid.unknowns(), w.turns
	a, pitch := k.winding.Radius, k.winding.Pitch
	var values [3][]float64
	for i := range values {
		values[i] = make([]float64, n)
	}
	for m := range n {
		z := float64(m) * pitch
		values[0][m] = electrostatics.RingPotentialUnchecked(a-2*f.gap, a, z)
		dr, dz := electrostatics.RingGradientUnchecked(a-2*f.gap, a, z)
		values[1][m], values[2][m] = -dz, -dr
	}
	for i := range f.tables {
		w.toeplitz(&f.tables[i], values[i], i == 1)
	}
	f.image = resize(f.image, knots*knots)
	w.assemble(f.image, &f.tables[0], nil)
	f.row = resize(f.row, knots)
	for d := range f.imageField {
		f.imageField[d] = resize(f.imageField[d], knots*knots)
		clear(f.imageField[d])
		for _, sample := range w.grid.samples {
			w.atTurn(f.row, sample.turn, &f.tables[1+d], nil)
			up := sample.place
			for j, v := range f.row {
				v *= sample.weight
				f.imageField[d][sample.element*knots+j] += (1 - up) * v
				if up > 0 {
					f.imageField[d][(sample.element+1)*knots+j] += up * v
				}
			}
		}
	}
	b := &f.bound
	f.flux = resize(f.flux, b.OnSheet*knots)
	half := blas64.General{Rows: b.OnSheet, Cols: knots, Stride: knots, Data: f.flux}
	for i, v := range [][]float64{b.Laid, b.LaidAxial, b.LaidRadial} {
		to := f.image
		if i > 0 {
			to = f.imageField[i-1]
		}
		f.byKnots(f.flux, v, knots)
		blas64.Gemm(blas.Trans, blas.NoTrans, 1, f.spreads(knots), half, 1, blas64.General{Rows: knots, Cols: knots, Stride: knots, Data: to})
	}
	for i := range knots {
		for j := range i {
			v := (f.image[i*knots+j] + f.image[j*knots+i]) / 2
			f.image[i*knots+j], f.image[j*knots+i] = v, v
		}
	}
}

// deepImage is an image of the turns in the inner surface of the wall.
type deepImage struct {
	order     int
	elastance []float64 // knots×knots, V/C, of an image of unit charge less that of the sheet
}

// strength returns the image's charge over that of the turn.
func (d *deepImage) strength(kappa float64) float64 {
	return kappa * (1 - kappa*kappa) * math.Pow(kappa, 2*float64(d.order-1))
}

// deepestImage is the distance in pitches beyond which a row of images is no
// other than a sheet: exp(-4π) = 3e-6 of its field is left.
const deepestImage = 2

// slabImages sets the images of the turns in the inner surface. In a slab of the
// thickness b they lie at the distances 2y + 2jb and have the strengths
// κ(1-κ²)κ^(2j-2), j = 1, 2, ...; what the sheet gives and finds evenly over the pitch, a
// mean over a triangle two pitches wide, is taken off.
//
// Source: Smythe, Static and Dynamic Electricity, images in a plane slab, from memory.
func (f *former) slabImages(w *winding) {
	knots, n := w.grid.unknowns(), w.turns
	pitch := w.kernels.winding.Pitch
	f.deep = f.deep[:0]
	if f.bound.Inner == 0 {
		return
	}
	wall := f.bound.R[0] - f.bound.R[f.bound.Outer]
	values := make([]float64, n)
	for j := 1; ; j++ {
		d := 2*f.gap + 2*float64(j)*wall
		if d > deepestImage*pitch {
			return
		}
		for m := range values {
			values[m] = -w.lineUnit() * overSheet(float64(m)*pitch, d, pitch)
		}
		w.toeplitz(&f.tables[0], values, false)
		deep := deepImage{order: j, elastance: make([]float64, knots*knots)}
		w.assemble(deep.elastance, &f.tables[0], nil)
		f.deep = append(f.deep, deep)
	}
}

// overSheet returns ln √(x²+d²) less its mean over a triangle from x-p to x+p.
func overSheet(x, d, p float64) float64 {
	// twice is a second antiderivative of ln √(x²+d²).
	twice := func(x float64) float64 {
		return (x*x-d*d)/4*math.Log(x*x+d*d) + d*x*math.Atan2(x, d) - 0.75*x*x
	}
	return math.Log(x*x+d*d)/2 - (twice(x+p)-2*twice(x)+twice(x-p))/(p*p)
}
