package topload

import (
	"math"

	"coilwright/physics/electrostatics"
)

// Body is a conductor standing on the coil's axis, reduced to what the rest of
// the coil can see of it: a few modes of charge, each with an amplitude, and
// for every mode the coaxial rings of charge that stand for it at a distance.
// What is finer than that (the charge round each wire of a wire ring, say) has
// been eliminated: it follows from the modes and costs the coil no unknowns.
//
// With amplitudes a, the body at potential V in the axially symmetric
// potential φ of everything else (turns, primary, images of those) obeys
//
//	Σ_j (Elastance_ij + image_ij) a_j + Σ_s Weight_is φ(Radius_s, h + Height_s) = V Charge_i
//
// and carries Σ_i Charge_i a_i. The matrix of the whole coil is therefore
// symmetric: mode i meets a turn's charge at (r, z) with
// Σ_s Weight_is RingPotential(Radius_s, r, z - h - Height_s), see
// [Body.Potential], and meets mode j in the earthed planes with
// [Body.AddImages]. h is the height of the body's centre plane.
//
// Amplitudes are charges in C. Mode 0 is the charge of the isolated body, 1 C
// in all, so that 1/Elastance_00 is its capacitance alone. Every other mode is
// a displacement of charge without net charge, orthogonal in energy to mode 0
// and to the other modes: the elastance is diagonal. The modes answer external
// potentials up to a degree in the radius and height; a test holds how well.
type Body struct {
	Elastance []float64 // V/C, n×n, symmetric, row by row, in free space
	Charge    []float64 // total charge of each mode per unit amplitude, n: 1, 0, 0...

	Radius []float64 // m, of the rings that stand for the body, m of them
	Height []float64 // m, of those rings over the centre plane
	Weight []float64 // charge on each ring per unit amplitude, n×m, row by row

	// Points of the surface where the gradient may be highest, k of them.
	PointRadius   []float64 // m, from the axis
	PointHeight   []float64 // m, over the centre plane
	PointGradient []float64 // outward field in V/m per C of amplitude, n×k, row by row

	Curvature float64 // m, the radius that decides corona: of the wire, the tube, the sphere, the rim
	Top       float64 // m, from the centre plane to the highest point
	Outer     float64 // m, largest distance from the axis

	Residual  float64 // largest error of the potential on the surface, of 1 V
	Condition float64 // condition number of the matrix that was solved
}

// Modes returns the number n of modes.
func (b *Body) Modes() int { return len(b.Charge) }

// resize makes room for n modes, m rings and k points, using slices again.
func (b *Body) resize(n, m, k int) {
	b.Elastance, b.Charge = grow(b.Elastance, n*n), grow(b.Charge, n)
	b.Radius, b.Height, b.Weight = grow(b.Radius, m), grow(b.Height, m), grow(b.Weight, n*m)
	b.PointRadius, b.PointHeight, b.PointGradient = grow(b.PointRadius, k), grow(b.PointHeight, k), grow(b.PointGradient, n*k)
	clear(b.Elastance)
}

// grow returns a slice of n values, s itself if it is long enough.
func grow(s []float64, n int) []float64 {
	if cap(s) < n {
		return make([]float64, n)
	}
	return s[:n]
}

// Capacitance returns the capacitance in F of the isolated body.
func (b *Body) Capacitance() float64 { return 1 / b.Elastance[0] }

// Potential sets dst[i] to the potential in V at radius r and height z over the
// centre plane, in m, per coulomb of amplitude of mode i, without images. dst
// has room for every mode.
func (b *Body) Potential(dst []float64, r, z float64) {
	n, m := b.Modes(), len(b.Radius)
	clear(dst[:n])
	for s := range m {
		g := electrostatics.RingPotentialUnchecked(b.Radius[s], r, z-b.Height[s])
		for i := range n {
			dst[i] += b.Weight[i*m+s] * g
		}
	}
}

// ImagePotential adds to dst[i] what the images of mode i in the planes give
// at radius r and height z, in m over the same zero as the planes, for a body
// with its centre plane at height h.
func (b *Body) ImagePotential(dst []float64, planes *electrostatics.Planes, h, r, z float64) {
	n, m := b.Modes(), len(b.Radius)
	for s := range m {
		g := planes.ImagePotential(b.Radius[s], h+b.Height[s], r, z)
		for i := range n {
			dst[i] += b.Weight[i*m+s] * g
		}
	}
}

// AddImages adds to dst, n×n, the elastance in V/C that the images of the body
// in the planes contribute when its centre plane stands at height h, in m.
func (b *Body) AddImages(dst []float64, planes *electrostatics.Planes, h float64) {
	n, m := b.Modes(), len(b.Radius)
	field := make([]float64, n)
	for t := range m {
		clear(field)
		b.ImagePotential(field, planes, h, b.Radius[t], h+b.Height[t])
		for i := range n {
			for j := range n {
				dst[i*n+j] += b.Weight[i*m+t] * field[j]
			}
		}
	}
}

// Moments sets dst[i] to Σ_s Weight_is φ_s, the work in V that the potentials
// phi at the body's rings do on a unit amplitude of mode i.
func (b *Body) Moments(dst, phi []float64) {
	n, m := b.Modes(), len(b.Radius)
	if len(phi) != m {
		panic("topload: one potential per ring of the body is needed")
	}
	for i := range n {
		sum := 0.0
		for s, w := range b.Weight[i*m : (i+1)*m] {
			sum += w * phi[s]
		}
		dst[i] = sum
	}
}

// PeakGradient returns the largest surface gradient in V/m for the given
// amplitudes in C, and which of the body's points has it.
func (b *Body) PeakGradient(amplitude []float64) (gradient float64, point int) {
	k := len(b.PointRadius)
	for p := range k {
		sum := 0.0
		for i, a := range amplitude {
			sum += a * b.PointGradient[i*k+p]
		}
		if math.Abs(sum) > gradient {
			gradient, point = math.Abs(sum), p
		}
	}
	return gradient, point
}
