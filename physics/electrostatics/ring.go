package electrostatics

import (
	"errors"
	"fmt"
	"math"

	"coilwright/physics/si"
)

// ErrGeometry is wrapped by every error about sizes or places for which there
// is no answer: a negative radius, a point on a filament, bodies that cut each
// other or a plane.
var ErrGeometry = errors.New("electrostatics: impossible geometry")

// Coulomb is 1/(4 pi epsilon0) in V m/C, the potential of a unit point charge
// at unit distance.
const Coulomb = 1 / (4 * math.Pi * si.Epsilon0)

// RingPotential returns the potential in V/C, against infinity, of a uniformly
// charged circular filament of radius a, in m, at a point r from its axis and
// z above its plane, in m, per coulomb on the whole ring.
//
// With p and q the largest and the least distance from the point to the ring,
// p² = (a+r)² + z² and q² = (a-r)² + z²,
//
//	φ = K(1 - q²/p²) / (2π²ε₀ p) = 1 / (4πε₀ agm(p, q)),
//
// where agm is the arithmetic-geometric mean. Neither form subtracts anything,
// so the result is good to rounding from the axis to the filament itself; K of
// m = 4ar/p² would lose all digits close to the ring.
//
// a and r must not be negative, all must be finite, and the point must not lie
// on the filament; otherwise the error wraps [ErrGeometry]. a = 0 is a point
// charge.
//
// Source: Gauss's K(m) = π/(2 agm(1, √(1-m))), DLMF 19.8.5; the potential of a
// ring in Smythe, Static and Dynamic Electricity, section 5.
func RingPotential(a, r, z float64) (float64, error) {
	if err := checkRing(a, r, z); err != nil {
		return 0, err
	}
	return RingPotentialUnchecked(a, r, z), nil
}

// RingPotentialUnchecked is [RingPotential] for inner loops: it checks nothing
// and returns +Inf on the filament.
func RingPotentialUnchecked(a, r, z float64) float64 {
	z2 := z * z
	s, d := a+r, a-r
	return Coulomb * inverseMean(s*s+z2, d*d+z2)
}

// inverseMean returns 1/agm(√x, √y) for x >= y >= 0.
//
// The mean is run on the squares, one root a step, and closed as soon as the
// two are near enough for the series of K: with A their arithmetic mean and c
// half their difference, 1/agm = (1 + m/4 + 9m²/64 + 25m³/256 + ...)/A,
// m = (c/A)², DLMF 19.5.1.
func inverseMean(x, y float64) float64 {
	// At m = 0.004 the first term left out, (231/1024)² m⁶, is 2e-16.
	const closeEnough = 0.004
	// From the smallest positive ratio of squares the mean needs 9 steps.
	const maxSteps = 12
	for range maxSteps {
		p := math.Sqrt(x * y)
		sum := x + y
		a4, c4 := sum+2*p, sum-2*p // 4A² and 4c²
		if c4 < closeEnough*a4 {
			m := c4 / a4
			return 2 * (1 + m*(1./4+m*(9./64+m*(25./256+m*(1225./16384+m*(3969./65536)))))) / math.Sqrt(a4)
		}
		x, y = a4/4, p
	}
	return math.Inf(1) // y = 0: on the filament
}

// RingGradient returns the derivatives of [RingPotential] with respect to r
// and z, in V/(C m). The field of the ring is their negative.
//
//	∂φ/∂z = -φ (E/K) z/q²
//	∂φ/∂r = -φ (2a (D/K)/p² - (a-r)(E/K)/q²),
//
// with E and D = (K-E)/m the complete elliptic integrals of m = 1 - q²/p². In
// this form nothing is divided by r, so that it holds on the axis. Arguments
// and errors as for RingPotential.
//
// Source: derivative of RingPotential with dK/dk and dE/dk, DLMF 19.4.
func RingGradient(a, r, z float64) (dr, dz float64, err error) {
	if err := checkRing(a, r, z); err != nil {
		return 0, 0, err
	}
	dr, dz = RingGradientUnchecked(a, r, z)
	return dr, dz, nil
}

// RingGradientUnchecked is [RingGradient] for inner loops: it checks nothing.
func RingGradientUnchecked(a, r, z float64) (dr, dz float64) {
	_, dr, dz = RingFieldUnchecked(a, r, z)
	return dr, dz
}

// RingFieldUnchecked returns [RingPotential] and [RingGradient] at once, at the
// price of the gradient, for inner loops: it checks nothing.
func RingFieldUnchecked(a, r, z float64) (phi, dr, dz float64) {
	phi, _, dr, dz = ringPair(a, r, z)
	return phi, dr, dz
}

// ringPair returns the potential of [RingPotential] and its derivatives with respect
// to a, r and z. It is the same with a and r exchanged.
func ringPair(a, r, z float64) (phi, da, dr, dz float64) {
	z2 := z * z
	s, d := a+r, a-r
	p2, q2 := s*s+z2, d*d+z2
	mean, rest := meanWithRest(math.Sqrt(p2), math.Sqrt(q2), 4*a*r)
	phi = Coulomb / mean
	dOverK := 0.5 + rest
	eOverK := 1 - dOverK*4*a*r/p2
	da = -phi * (2*r*dOverK/p2 + d*eOverK/q2)
	dr = -phi * (2*a*dOverK/p2 - d*eOverK/q2)
	return phi, da, dr, -phi * eOverK * z / q2
}

// meanWithRest returns agm(p, q) and D/K - 1/2, with K, E and D = (K-E)/m the
// complete elliptic integrals of m = 1 - q²/p². c0 is p² - q², which the caller
// knows without subtracting. E/K is 1 - (D/K) c0/p².
//
// With c_n the half differences of the mean, K - E = K Σ 2^(n-1) c_n²/p²; the
// first term is m/2, and the rest is kept as its ratio to c0, so that it loses
// nothing when m is small. Source: DLMF 19.8.6.
func meanWithRest(p, q, c0 float64) (mean, rest float64) {
	const maxSteps = 12 // as in inverseMean
	const closeEnough = 1e-17
	sum := p + q
	a, g := sum/2, math.Sqrt(p*q)
	t := c0 / (4 * sum * sum) // c_1²/c0
	c2 := t * c0              // c_1²
	weight := 1.0             // 2^(n-1)
	for range maxSteps {
		rest += weight * t
		if c2 < closeEnough*a*a {
			break
		}
		next := (a + g) / 2
		g = math.Sqrt(a * g)
		a = next
		shrink := c2 / (16 * a * a) // c_(n+1)²/c_n²
		c2 *= shrink
		t *= shrink
		weight *= 2
	}
	return a, rest
}

func checkRing(a, r, z float64) error {
	if !(a >= 0) || !(r >= 0) || math.IsNaN(z) || math.IsInf(a, 0) || math.IsInf(r, 0) || math.IsInf(z, 0) {
		return fmt.Errorf("%w: ring of radius %g m seen from r = %g m, z = %g m", ErrGeometry, a, r, z)
	}
	if d := a - r; d*d+z*z == 0 {
		return fmt.Errorf("%w: the point lies on the filament of radius %g m", ErrGeometry, a)
	}
	return nil
}
