package inductance

import (
	"fmt"
	"math"

	"coilwright/physics/si"
)

// CurrentSheet returns the inductance in H of a cylindrical current sheet of
// so many turns, of diameter D and length l, both in m:
//
//	L = μ₀ N² π D² / (4 l) · K,
//
// with K the [Nagaoka] coefficient of D/l. It is exact for a sheet; a winding
// of round wire differs by [RoundWireCorrection].
//
// All must be positive and finite, and D/l not so far from one that its square
// leaves the range of a float64; otherwise the error wraps [ErrGeometry].
//
// Source: Nagaoka, Journal of the College of Science, Tokyo 27 (1909); Lorenz
// (1879) for the closed form (both from memory).
func CurrentSheet(turns, diameter, length float64) (float64, error) {
	value := math.NaN()
	if turns > 0 && diameter > 0 && length > 0 {
		value = si.Mu0 * turns * turns * math.Pi * diameter * diameter / (4 * length) * Nagaoka(diameter/length)
	}
	if !(value > 0) || math.IsInf(value, 0) {
		return 0, fmt.Errorf("%w: a sheet of %g turns, %g m across and %g m long", ErrGeometry, turns, diameter, length)
	}
	return value, nil
}

// Nagaoka returns the coefficient by which a finite current sheet falls short
// of an endless one, 0 to 1, for a sheet of diameter over length x > 0. With
// k² = x²/(1+x²) and k'² = 1/(1+x²),
//
//	K(x) = 4/(3πk') · [k'² (K-E)/k² + E - k].
//
// The bracket loses digits as the coil gets short: 1e-14 at x = 10, 1e-11 at
// x = 300. Where x² leaves the range of a float64 the result is not a number.
//
// Source: as [CurrentSheet]; the elliptic integrals by the mean, DLMF 19.8.5
// and 19.8.6.
func Nagaoka(x float64) float64 {
	complement := 1 / math.Sqrt(1+x*x) // k'
	k := x * complement
	// a and g run to their mean; cₙ is half their difference, c₀ = k.
	a, g, weight, sum := 1.0, complement, 1.0, 0.0
	c := k * k / (2 * (1 + complement)) // (1-k')/2 without subtracting
	const rounding = 1e-17
	for term := 1.0; term > rounding; weight *= 2 {
		term = weight * c * c
		sum += term
		a, g = (a+g)/2, math.Sqrt(a*g)
		c = c * c / (2 * (a + g))
	}
	first := math.Pi / (a + g)          // K
	overM := first * (0.5 + sum/(k*k))  // (K-E)/k²
	second := first * (1 - k*k/2 - sum) // E
	bracket := complement*complement*overM + second - k
	return 4 / (3 * math.Pi * complement) * bracket
}

// RoundWireCorrection returns what has to be taken off the [CurrentSheet], in
// H, when the winding is of round wire with uniform current:
//
//	ΔL = μ₀ (D/2) N (ks + km), ks = 5/4 - ln(2p/d),
//	km = (2/N) Σ (N-m) (ln m - ln gₘ), m = 1 .. N-1,
//
// with p the pitch, d the bare wire diameter and gₘ the geometric mean distance
// of two straight sheets of one pitch, m pitches apart. km goes to 0.3379 for
// many turns. The correction may be negative at wide pitch.
//
// It holds for thin wire against the diameter and, as Rosa derived it, for
// straight sheets in place of curved ones; at 20 turns and more the whole is
// within 0.1 % of the ring sum. Arguments as in [CurrentSheet].
//
// Source: Rosa, Bulletin of the Bureau of Standards 2 (1906) (from memory);
// the table of km in Grover, Inductance Calculations (1946), p. 150.
func RoundWireCorrection(turns, diameter, pitch, wire float64) float64 {
	return si.Mu0 * diameter / 2 * turns * (spacingTerm(pitch, wire) + countTerm(turns))
}

// spacingTerm is Rosa's ks.
func spacingTerm(pitch, wire float64) float64 { return 5./4 - math.Log(2*pitch/wire) }

// countTerm is Rosa's km. Fractional turns are allowed; below one it is zero.
func countTerm(turns float64) float64 {
	var sum float64
	for m := 1.0; m < turns; m++ {
		sum += (turns - m) * meanDistanceDeficit(m)
	}
	return 2 / turns * sum
}

// meanDistanceDeficit returns ln m - ln gₘ for whole m >= 1. From m = 8 on it
// is summed as Σ 1/(k(2k+1)(2k+2)) m^(-2k), since the closed form subtracts
// numbers of the size of m² ln m.
func meanDistanceDeficit(m float64) float64 {
	const seriesFrom = 8 // the sixth term, left out, is 1e-11 of the first there
	if m < seriesFrom {
		log := func(x float64) float64 { return x * x * math.Log(max(x, 1)) } // 0 at x = 0
		mean := log(m+1)/2 - log(m) + log(m-1)/2 - 3./2
		return math.Log(m) - mean
	}
	square := 1 / (m * m)
	return square * (1./12 + square*(1./60+square*(1./168+square*(1./360+square/660))))
}
