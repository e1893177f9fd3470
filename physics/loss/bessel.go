package loss

import "math/cmplx"

const (
	// farArgument is where the ratios go over from the continued fraction, which
	// takes about |z| steps, to Hankel's series, which is good to rounding there.
	farArgument = 400

	// spareSteps is how many orders above |z| the fraction starts: each of them
	// forgets the start by more than (|z|/2n)², 1e-17 and less together for
	// |z| <= farArgument; TestBesselRatios compares with Hankel's series there.
	spareSteps = 60
)

// besselRatios sets dst[n] to J_n(z)/J_(n-1)(z) for n from 1 to len(dst)-1; dst[0] is
// not used. z is on the ray of arguments -π/4, where a metal's lie, or z = 0.
//
// From
//
//	J_(n-1)/J_n = 2n/z - J_(n+1)/J_n
//
// downward, which is the continued fraction of the ratio; J is the solution that
// does not grow with n, so that the arbitrary start is forgotten. Beyond
// farArgument from Hankel's series upward, stable because n stays far below |z|.
// No function overflows: only ratios are formed. The error is below 1e-13.
//
// Source: DLMF 10.10.1 and 10.17.5.
func besselRatios(dst []complex128, z complex128) {
	size := cmplx.Abs(z)
	if size == 0 {
		clear(dst)
		return
	}
	if size > farArgument {
		dst[1] = hankelRatio(z)
		for n := 1; n+1 < len(dst); n++ {
			dst[n+1] = complex(2*float64(n), 0)/z - 1/dst[n]
		}
		return
	}
	start := int(size) + len(dst) + spareSteps
	ratio := z / complex(2*float64(start), 0)
	for n := start - 1; n >= 1; n-- {
		ratio = z / (complex(2*float64(n), 0) - z*ratio)
		if n < len(dst) {
			dst[n] = ratio
		}
	}
}

// hankelRatio returns J_1/J_0 for large |z| below the real axis, where J is half of
// the Hankel function of the first kind but for exp(2 Im z):
//
//	J_1/J_0 = -i Σ i^k a_k(1)/z^k / Σ i^k a_k(0)/z^k.
func hankelRatio(z complex128) complex128 {
	const terms = 6 // at |z| = 400 the next one is 1e-18
	sum := func(order float64) complex128 {
		total, term := complex(1, 0), complex(1, 0)
		for k := 1; k <= terms; k++ {
			odd := float64(2*k - 1)
			term *= complex(0, (4*order*order-odd*odd)/(8*float64(k))) / z
			total += term
		}
		return total
	}
	return complex(0, -1) * sum(1) / sum(0)
}

// wireArgument returns ka = (1-i) a/δ, the argument of the Bessel functions in a wire
// of radius a, for time going as exp(iωt).
func wireArgument(radiusOverSkinDepth float64) complex128 {
	return complex(radiusOverSkinDepth, -radiusOverSkinDepth)
}

// shielding sets dst[n], n from 1, to how much of an incoming harmonic of order n a
// round wire throws back: outside, (r/a)ⁿ becomes (r/a)ⁿ - χ_n (a/r)ⁿ with
//
//	χ_n = -J_(n+1)(ka)/J_(n-1)(ka),
//
// 0 for thin wires and 1 for perfect ones. Im χ_n >= 0 is what it costs. ratios has room
// for one order more than dst.
//
// It follows from A and its derivative being continuous at the surface, with
// DLMF 10.6.1 and 10.6.2.
func shielding(dst, ratios []complex128, radiusOverSkinDepth float64) {
	besselRatios(ratios, wireArgument(radiusOverSkinDepth))
	dst[0] = 0
	for n := 1; n < len(dst); n++ {
		dst[n] = -ratios[n] * ratios[n+1]
	}
}
