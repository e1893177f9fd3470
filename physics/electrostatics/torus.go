package electrostatics

import (
	"fmt"
	"math"

	"coilwright/physics/si"
)

// Torus is a smooth ring with a round tube.
type Torus struct {
	Radius float64 // m, from the axis to the centre of the tube, >= Tube
	Tube   float64 // m, radius of the tube, > 0
}

func (t Torus) check() error {
	if !positive(t.Tube) || !(t.Radius >= t.Tube) || math.IsInf(t.Radius, 0) {
		return fmt.Errorf("%w: torus of radius %g m and tube radius %g m", ErrGeometry, t.Radius, t.Tube)
	}
	return nil
}

// shortEta is the toroidal coordinate below which a torus is treated as nearly
// a horn torus (no hole): the series, of some 40/η terms, is summed at shortEta
// and twice of it, and the result, even in η, is carried on to smaller η by its
// square. What is neglected is of the fourth power, 1e-12.
const shortEta = 1e-3

// Capacitance returns the capacitance in F of the isolated torus. With
// cosh η = R/a, focal radius c = √(R²-a²) and the toroidal functions
// P_(k-1/2), Q_(k-1/2) of cosh η,
//
//	C = 8ε₀c (Q_(-1/2)/P_(-1/2) + 2 Σ_(n>=1) Q_(n-1/2)/P_(n-1/2))
//	  = 16ε₀c Σ_(k>=0) 1/(P_(k-1/2) P_(k+1/2)).
//
// The second form follows from the first with the Casoratian
// P_(k+1/2) Q_(k-1/2) - P_(k-1/2) Q_(k+1/2) = 1/(k+1/2); it has only positive
// terms and needs no Q, whose recurrence is unstable. The error is rounding
// for every torus, from a thin ring to the horn torus R = a.
//
// R must be at least a, which must be positive; otherwise the error wraps
// [ErrGeometry].
//
// Source: first form Snow, Formulas for Computing Capacitance and Inductance
// (NBS Circular 544), from memory, and Smythe; Casoratian DLMF 14.2.
func (t Torus) Capacitance() (float64, error) {
	if err := t.check(); err != nil {
		return 0, err
	}
	return 16 * si.Epsilon0 * t.Tube * nearHorn(t.eta(), func(eta float64) float64 {
		sum := 0.0
		toroidalP(eta, func(p, next float64, _ int) bool {
			term := 1 / (p * next)
			sum += term
			return term > seriesEnd*sum
		})
		return math.Sinh(eta) * sum // c = a sinh η
	}), nil
}

// PeakGradient returns the largest surface gradient in 1/m per volt of the
// isolated torus; it lies on the outer equator. See [Torus.Gradient].
func (t Torus) PeakGradient() (float64, error) { return t.Gradient(0) }

// Gradient returns the surface gradient in V/m per volt of the isolated torus
// at the angle psi, in rad, round the tube, 0 on the outer equator and π on the
// inner one. With the toroidal angle θ of that point,
//
//	E = √2 (cosh η - cos θ)^(3/2) / (π c sinh η) · Σ_n ε_n cos nθ / P_(n-1/2)(cosh η),
//
// ε₀ = 1, ε_n = 2. Errors as for [Torus.Capacitance]. At the outer equator the
// terms are all positive. Elsewhere they alternate, so that the error is
// rounding of the largest gradient rather than of the local one.
//
// Source: derivative of the potential of the torus, Smythe, Static and Dynamic
// Electricity, section 5, with the Wronskian of P and Q (DLMF 14.2.10).
func (t Torus) Gradient(psi float64) (float64, error) {
	if err := t.check(); err != nil {
		return 0, err
	}
	return nearHorn(t.eta(), func(eta float64) float64 {
		sinh := math.Sinh(eta)
		half := math.Sinh(eta / 2)
		excess := 2 * half * half // cosh η - 1
		// On the surface cosh η - cos θ = sinh² η/(cosh η + cos ψ).
		depth := sinh * sinh / (1 + excess + math.Cos(psi))
		theta := 2 * math.Asin(math.Min(1, math.Sqrt(math.Max(0, depth-excess)/2)))
		sum := 0.0
		toroidalP(eta, func(p, _ float64, n int) bool {
			weight := 2.0
			if n == 0 {
				weight = 1
			}
			sum += weight * math.Cos(float64(n)*theta) / p
			return 1/p > seriesEnd
		})
		return math.Sqrt2 * depth * math.Sqrt(depth) / (math.Pi * sinh * sinh) * sum
	}) / t.Tube, nil
}

// eta returns the toroidal coordinate arcosh(R/a) of the surface.
func (t Torus) eta() float64 {
	excess := (t.Radius - t.Tube) / t.Tube
	return math.Log1p(excess + math.Sqrt(excess*(excess+2)))
}

// nearHorn returns f(eta), carried on as described at [shortEta].
func nearHorn(eta float64, f func(eta float64) float64) float64 {
	if eta >= shortEta {
		return f(eta)
	}
	one, two := f(shortEta), f(2*shortEta)
	slope := (two - one) / (3 * shortEta * shortEta)
	return one + slope*(eta*eta-shortEta*shortEta)
}

// toroidalP gives the toroidal functions P_(k-1/2)(cosh η) and their successors
// for k = 0, 1, 2... to term until that returns false. With the
// arithmetic-geometric mean and the elliptic integrals of m = 1 - exp(-2η),
//
//	P_(-1/2) = 1/agm(exp(η/2), exp(-η/2)),  P_(1/2) = exp(η) (E/K) P_(-1/2).
//
// The recurrence upward (2k+1) P_(k+1/2) = 4k cosh η P_(k-1/2) - (2k-1) P_(k-3/2)
// is the stable direction for P, but loses k² roundings where cosh η is near 1;
// so it is run on the steps S_k = P_(k+1/2) - P_(k-1/2),
//
//	(2k+1) S_k = 4k (cosh η - 1) P_(k-1/2) + (2k-1) S_(k-1),
//
// which adds positive terms only. Source: DLMF 14.5.25, 14.5.26, 14.10.3.
func toroidalP(eta float64, term func(p, next float64, k int) bool) {
	mean, rest := meanWithRest(1, math.Exp(-eta), -math.Expm1(-2*eta))
	p := math.Exp(-eta/2) / mean
	// exp(η) E/K - 1, with E/K = 1 - m D/K.
	step := (math.Expm1(eta) - math.Sinh(eta)*(1+2*rest)) * p
	half := math.Sinh(eta / 2)
	excess := 2 * half * half // cosh η - 1
	for k := 0; term(p, p+step, k); k++ {
		p += step
		j := float64(k + 1)
		step = (4*j*excess*p + (2*j-1)*step) / (2*j + 1)
	}
}
