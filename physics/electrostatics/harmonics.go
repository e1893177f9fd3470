package electrostatics

import "math"

// MaxHarmonic is the highest order [RingHarmonics] and [RingHarmonicsLog] give.
const MaxHarmonic = 40

// Coefficients of the three-term recurrence of the toroidal functions,
// f_(j+1) = up1[j] χ f_j - up2[j] f_(j-1) and back, f_(j-1) = down1[j] χ f_j -
// down2[j] f_(j+1), DLMF 14.10.3.
var up1, up2, down1, down2 = func() (u1, u2, d1, d2 [MaxHarmonic + millerMost + 1]float64) {
	for i := range u1 {
		j := float64(i)
		u1[i], u2[i] = 4*j/(2*j+1), (2*j-1)/(2*j+1)
		d1[i], d2[i] = 4*j/(2*j-1), (2*j+1)/(2*j-1)
	}
	return u1, u2, d1, d2
}()

const (
	// Upward the recurrence lets rounding grow as exp(jη) with cosh η = χ,
	// and η² <= 2(χ-1): below χ = 1 + upwardReach/j² it stays under 1e-10 of
	// the leading harmonic. It is not used beyond 1 + upwardMost, where going
	// down takes few steps.
	upwardReach = 72
	upwardMost  = 0.5

	// Downward it forgets its arbitrary start by exp(-2η) a step; this many
	// steps bring that to 1e-10 for every order.
	millerMost = 40

	// Above this each harmonic follows from the last by the leading term of
	// its series, with an error of 1/χ².
	farLimit = 1e6
)

// RingHarmonics sets dst[j] to the potential in V/C of a ring of radius a that
// carries the charge density cos(jθ)/2π per radian and coulomb, at a point r
// from its axis and z above its plane, all in m, in the direction θ = 0; in
// another direction it is cos(jθ) times that. dst[0] is [RingPotential].
//
//	φ_j = Q_(j-1/2)(χ) / (4π²ε₀ √(ar)),  χ = (a² + r² + z²)/(2ar),
//
// with the Legendre function of the second kind. The first two come from the
// arithmetic-geometric mean, Q_(1/2)/Q_(-1/2) = 2D/K - 1; the others upward by
// recurrence near the ring and downward (Miller) away from it. The error is
// below 1e-9 of dst[0].
//
// a > 0, r >= 0, the point off the ring, and at most MaxHarmonic+1 values;
// nothing is checked.
//
// Source: DLMF 14.5.28, 14.10.3, 14.19.
func RingHarmonics(dst []float64, a, r, z float64) {
	z2 := z * z
	s, d := a+r, a-r
	p2, q2, c0 := s*s+z2, d*d+z2, 4*a*r
	mean, rest := meanWithRest(math.Sqrt(p2), math.Sqrt(q2), c0)
	dst[0] = Coulomb / mean
	if len(dst) == 1 {
		return
	}
	last := len(dst) - 1
	limit := 1 + math.Min(upwardMost, upwardReach/float64(last*last))
	switch sum := p2 + q2; {
	case sum < limit*c0:
		chi := sum / c0
		f, g := dst[0], 2*rest*dst[0]
		dst[1] = g
		for j := 1; j < last; j++ {
			f, g = g, up1[j]*chi*g-up2[j]*f
			dst[j+1] = g
		}
	case sum < farLimit*c0:
		chi := sum / c0
		start := last + millerSteps(chi)
		above, here := 0.0, 1e-300
		for j := start; j > last; j-- {
			above, here = here, down1[j]*chi*here-down2[j]*above
		}
		for j := last; j > 0; j-- {
			dst[j] = here
			above, here = here, down1[j]*chi*here-down2[j]*above
		}
		scale := dst[0] / here
		for j := 1; j <= last; j++ {
			dst[j] *= scale
		}
	default:
		inverse := c0 / sum
		for j := 1; j <= last; j++ {
			dst[j] = dst[j-1] * inverse * float64(2*j-1) / float64(4*j)
		}
	}
}

// millerSteps returns how far above the last order wanted the downward
// recurrence has to start to be good to 1e-10: ln(1e10)/2η, cosh η = χ.
func millerSteps(chi float64) int {
	switch {
	case chi > 10:
		return 4
	case chi > 3:
		return 7
	case chi > 1+upwardMost:
		return 12
	}
	// Here η >= 0.96 √(2(χ-1)).
	return min(millerMost, int(11.5/(0.96*math.Sqrt(2*(chi-1))))+1)
}

// RingHarmonicsLog sets dst[j] to the factor in V/C of the logarithm in
// [RingHarmonics] where the point comes near the ring: with q the distance from
// it, φ_j = -dst[j] ln q² + a smooth function of the place,
//
//	dst[j] = P_(j-1/2)(χ) / (8π²ε₀ √(ar)).
//
// Arguments as for RingHarmonics, and r > 0.
//
// Source: DLMF 14.8.9 with 14.3.
func RingHarmonicsLog(dst []float64, a, r, z float64) {
	d := a - r
	chi := 1 + (d*d+z*z)/(2*a*r)
	eta := math.Log(chi + math.Sqrt((chi-1)*(chi+1)))
	scale := Coulomb / (2 * math.Pi * math.Sqrt(a*r))
	toroidalP(eta, func(p, next float64, k int) bool {
		dst[k] = scale * p
		return k+1 < len(dst)
	})
}

// RingHarmonicsSelf returns, for a ring of radius a and a point at the small
// distance b from it, both in m, the limit in V/C of φ_j + dst[j] ln(q²/b²) for
// q to 0, with φ_j of [RingHarmonics] and dst[j] of [RingHarmonicsLog]:
//
//	(ln(8a/b) - 2 Σ_(k=1..j) 1/(2k-1)) / (4π²ε₀ a).
//
// Source: DLMF 14.8.9.
func RingHarmonicsSelf(j int, a, b float64) float64 {
	sum := math.Log(8 * a / b)
	for k := 1; k <= j; k++ {
		sum -= 2 / float64(2*k-1)
	}
	return Coulomb / (math.Pi * a) * sum
}
