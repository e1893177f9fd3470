package breakdown

import (
	"fmt"
	"math"
)

// nearSphere is the square of the eccentricity below which the closed forms lose
// digits and the series, with terms of its powers, is short: 12 of them leave 1e-16.
const nearSphere = 0.05

// Spheroid returns the field at the tip of a half spheroid that stands on a flat
// conductor, over the field of the flat conductor. Its length from base to
// tip and the radius of curvature of the tip are in m. With e² = 1 - radius/length,
//
//	E/E₀ = 1/n,  n = (1-e²)/e² (artanh e/e - 1):
//
// 3 for a half ball, length/radius over ln(4 length/radius) - 2 or so for a needle.
// A tip flatter than a ball has e² < 0 and artanh turns to arctan.
//
// It stands for the end of a wire or a spike of solder that is short against the
// curvature of the surface it stands on; on a rounder surface the field falls on
// the way up and the value is too high. Both lengths must be positive and finite;
// otherwise the error wraps [ErrRange].
//
// Source: depolarisation of an ellipsoid, Landau and Lifshitz, Electrodynamics of
// Continuous Media, section 4.
func Spheroid(length, tipRadius float64) (float64, error) {
	if !positive(length) || !positive(tipRadius) {
		return 0, fmt.Errorf("%w: tip of radius %g m, %g m long", ErrRange, tipRadius, length)
	}
	flat := tipRadius / length // 1 - e², the square of the ratio of axes
	square := 1 - flat
	switch {
	case math.Abs(square) < nearSphere:
		sum, power := 0.0, 1.0
		for k := 1; k <= 12; k++ {
			sum += power / float64(2*k+1)
			power *= square
		}
		return 1 / (flat * sum), nil
	case square > 0:
		e := math.Sqrt(square)
		// artanh e = ln((1+e)/√(1-e²)): 1 - e has no digits on a needle.
		return square / (flat * ((math.Log1p(e)-math.Log(flat)/2)/e - 1)), nil
	}
	f := math.Sqrt(-square)
	return -square / (flat * (1 - math.Atan(f)/f)), nil
}
