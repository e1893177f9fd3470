package inductance

import (
	"errors"
	"fmt"
	"math"

	"coilwright/physics/si"
)

// ErrGeometry is wrapped by every error about sizes for which there is no
// answer: a radius that is not positive, filaments that coincide, a wire
// thicker than its loop.
var ErrGeometry = errors.New("inductance: impossible geometry")

// MutualLoops returns the mutual inductance in H of two coaxial circular
// filaments of radii a and b, in m, whose planes lie d apart, in m.
//
// With p and q the largest and the least distance between points of the two
// filaments, p² = (a+b)² + d² and q² = (a-b)² + d²,
//
//	M = (π μ₀/2) Σ 2ⁿ⁻¹ cₙ² / agm(p, q), n = 1, 2, ...,
//
// where cₙ is half the difference of the two numbers at step n of the
// arithmetic-geometric mean, c₁ = 2ab/(p+q), cₙ₊₁ = cₙ²/(4aₙ₊₁). This is
// Maxwell's μ₀√(ab)·[(2/k - k)K - (2/k)E] with E replaced by its series in cₙ;
// the terms that cancel in Maxwell's form when the loops are far apart have
// cancelled on paper, and nothing is subtracted. Good to a few units of
// rounding everywhere.
//
// Radii must be positive and finite, and the filaments must not coincide;
// otherwise, and where the squares of the sizes leave the range of a float64,
// the error wraps [ErrGeometry].
//
// Source: Maxwell, A Treatise on Electricity and Magnetism, vol. 2, art. 701
// (article from memory); E by the mean: DLMF 19.8.6.
func MutualLoops(a, b, d float64) (float64, error) {
	value := math.NaN()
	if a > 0 && b > 0 && !math.IsInf(d, 0) {
		value = MutualLoopsUnchecked(a, b, d)
	}
	if !(value > 0) || math.IsInf(value, 0) {
		return 0, fmt.Errorf("%w: loops of radius %g m and %g m, %g m apart", ErrGeometry, a, b, d)
	}
	return value, nil
}

// MutualLoopsUnchecked is [MutualLoops] for inner loops: it checks nothing and
// returns +Inf for filaments that coincide.
func MutualLoopsUnchecked(a, b, d float64) float64 {
	// The terms fall quadratically: below this ratio the next one and all after
	// it are under 1e-17 of the sum.
	const lastTerm = 2e-9
	// From filaments 1e-150 apart the mean needs 10 steps.
	const maxSteps = 12
	d2 := d * d
	sum, difference := a+b, a-b
	p := math.Sqrt(sum*sum + d2)
	q := math.Sqrt(difference*difference + d2)
	if q == 0 {
		return math.Inf(1)
	}
	mean, geometric := (p+q)/2, math.Sqrt(p*q)
	c := a * b / mean
	total, weight := c*c, 1.0
	for range maxSteps {
		next := (mean + geometric) / 2
		c = c * c / (4 * next)
		weight *= 2
		term := weight * c * c
		total += term
		geometric = math.Sqrt(mean * geometric)
		mean = next
		if term < lastTerm*total {
			break
		}
	}
	// One more half step costs no root and makes the mean good to rounding.
	return math.Pi / 2 * si.Mu0 * total / ((mean + geometric) / 2)
}

// Current says how the current lies in the section of a round wire.
type Current int

const (
	Uniform Current = iota // direct current: spread over the section
	Surface                // radio frequency: on the surface of the wire
)

// selfTerm is what a loop's self-inductance subtracts from ln(8r/b).
func (c Current) selfTerm() float64 {
	if c == Surface {
		return 2
	}
	return 7. / 4
}

// SelfLoop returns the inductance in H of one loop of radius r and wire radius
// b, both in m:
//
//	L = μ₀ r (ln(8r/b) - 7/4) with the current spread evenly over the section,
//	L = μ₀ r (ln(8r/b) - 2)   with the current on the surface.
//
// Terms of the order (b/r)² are left out: 0.1 % at b/r = 0.05. Requires
// 0 < b < r; otherwise the error wraps [ErrGeometry].
//
// Source: Rosa and Grover, Bulletin of the Bureau of Standards 8 (1912),
// formulas for the circle of round wire (number from memory).
func SelfLoop(r, b float64, current Current) (float64, error) {
	if !(b > 0 && b < r) || math.IsInf(r, 0) {
		return 0, fmt.Errorf("%w: a loop of radius %g m of wire of radius %g m", ErrGeometry, r, b)
	}
	return SelfLoopUnchecked(r, b, current), nil
}

// SelfLoopUnchecked is [SelfLoop] for inner loops: it checks nothing.
func SelfLoopUnchecked(r, b float64, current Current) float64 {
	return si.Mu0 * r * (math.Log(8*r/b) - current.selfTerm())
}
