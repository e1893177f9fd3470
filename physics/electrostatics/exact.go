package electrostatics

import (
	"fmt"
	"math"

	"coilwright/physics/si"
)

// seriesEnd ends a sum of positive terms: what is left out lies below
// rounding.
const seriesEnd = 1e-17

// SphereCapacitance returns the capacitance in F of an isolated sphere of the
// given radius in m, 4πε₀a. The radius must be positive and finite; otherwise
// the error wraps [ErrGeometry].
func SphereCapacitance(radius float64) (float64, error) {
	if !positive(radius) {
		return 0, fmt.Errorf("%w: sphere of radius %g m", ErrGeometry, radius)
	}
	return 4 * math.Pi * si.Epsilon0 * radius, nil
}

// DiscCapacitance returns the capacitance in F of an isolated disc without
// thickness, 8ε₀a, of the given radius in m. The radius must be positive and
// finite; otherwise the error wraps [ErrGeometry].
//
// Source: Smythe, Static and Dynamic Electricity, section 5.03.
func DiscCapacitance(radius float64) (float64, error) {
	if !positive(radius) {
		return 0, fmt.Errorf("%w: disc of radius %g m", ErrGeometry, radius)
	}
	return 8 * si.Epsilon0 * radius, nil
}

// SpheroidCapacitance returns the capacitance in F of an isolated spheroid with
// the half-axis along in the direction of its axis of symmetry and across at
// right angles to it, both in m. With the eccentricity e,
//
//	C = 4πε₀ along e/artanh e   (prolate, along > across)
//	C = 4πε₀ across e/arcsin e  (oblate).
//
// Along may be 0: a disc. Otherwise both must be positive and finite, or the
// error wraps [ErrGeometry].
//
// Source: Smythe, Static and Dynamic Electricity, section 5.02.
func SpheroidCapacitance(along, across float64) (float64, error) {
	if !positive(across) || !(along >= 0) || math.IsInf(along, 0) {
		return 0, fmt.Errorf("%w: spheroid of half-axes %g m and %g m", ErrGeometry, along, across)
	}
	// With f the half distance of the foci, artanh e = ln((along+f)/across) and
	// arcsin e = arctan(f/along): e itself loses digits when it is near 1.
	f := math.Sqrt((along + across) * math.Abs(along-across))
	size := across
	switch {
	case f == 0:
	case along > across:
		size = f / math.Log1p((along-across+f)/across)
	default:
		size = f / math.Atan2(f, along)
	}
	return 4 * math.Pi * si.Epsilon0 * size, nil
}

// SphereOverPlaneCapacitance returns the capacitance in F between a sphere and
// an earthed plane, the sphere's centre at the given height over the plane,
// both in m. With cosh η = height/radius,
//
//	C = 4πε₀ a sinh η Σ_(n>=1) 1/sinh nη.
//
// The height must exceed the radius; otherwise the error wraps [ErrGeometry].
//
// Source: Smythe, Static and Dynamic Electricity, section 5.08. For small η,
// where the series is long, its Mellin transform gives
// Σ = (ln(2/η) + γ)/η + η/72 - ..., the next term being below 1e-13 of the sum.
func SphereOverPlaneCapacitance(radius, height float64) (float64, error) {
	if !positive(radius) || !(height > radius) || math.IsInf(height, 0) {
		return 0, fmt.Errorf("%w: sphere of radius %g m, centre %g m over a plane", ErrGeometry, radius, height)
	}
	const (
		short      = 0.01
		eulerGamma = 0.57721566490153286061
	)
	eta, sinh := bispherical(radius, height)
	sum := 0.0
	if eta < short {
		sum = (math.Log(2/eta)+eulerGamma)/eta + eta/72
	} else {
		for n := 1.0; ; n++ {
			term := 1 / math.Sinh(n*eta)
			sum += term
			if term < seriesEnd*sum {
				break
			}
		}
	}
	return 4 * math.Pi * si.Epsilon0 * radius * sinh * sum, nil
}

// TwoSpheresCapacitance returns the capacitance in F of two equal spheres of
// the given radius joined by a thin wire, their centres the given distance
// apart, both in m. With cosh η = distance/(2 radius),
//
//	C = 8πε₀ a sinh η Σ_(n>=1) (-1)^(n-1)/sinh nη,
//
// which tends to 8πε₀ a ln 2 as they touch. The distance must be at least twice
// the radius; otherwise the error wraps [ErrGeometry].
//
// Source: Smythe, Static and Dynamic Electricity, section 5.08.
func TwoSpheresCapacitance(radius, distance float64) (float64, error) {
	if !positive(radius) || !(distance >= 2*radius) || math.IsInf(distance, 0) {
		return 0, fmt.Errorf("%w: spheres of radius %g m, centres %g m apart", ErrGeometry, radius, distance)
	}
	// Below this the sum, even in η, is carried on from the touching limit by
	// its square; the error is of the fourth power.
	const short = 1e-3
	sum := func(eta, sinh float64) float64 {
		s := 0.0
		for n := 1.0; ; n += 2 {
			term := 1 / math.Sinh(n*eta)
			// The difference of neighbours from their product form: no cancellation.
			pair := term - 1/math.Sinh((n+1)*eta)
			s += pair
			if term < seriesEnd*s {
				return sinh * s
			}
		}
	}
	eta, sinh := bispherical(radius, distance/2)
	shape := 0.0
	if eta < short {
		step := sum(short, math.Sinh(short)) - math.Ln2
		shape = math.Ln2 + step*(eta/short)*(eta/short)
	} else {
		shape = sum(eta, sinh)
	}
	return 8 * math.Pi * si.Epsilon0 * radius * shape, nil
}

// bispherical returns η with cosh η = height/radius, and sinh η, without losing
// digits when the sphere almost touches the plane of symmetry.
func bispherical(radius, height float64) (eta, sinh float64) {
	excess := (height - radius) / radius // cosh η - 1
	sinh = math.Sqrt(excess * (excess + 2))
	return math.Log1p(excess + sinh), sinh
}

func positive(x float64) bool { return x > 0 && !math.IsInf(x, 0) }
