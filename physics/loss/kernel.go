package loss

import (
	"math"

	"gonum.org/v1/gonum/mathext"

	"coilwright/physics/si"
)

// equalLoops returns the mutual inductance m in H of two coaxial filaments of radius r
// whose planes lie d > 0 apart, in m, with dm/dd in H/m and d²m/dd² in H/m²:
//
//	m  = μ₀ r ((2/k - k) K - (2/k) E),  k² = 4r²/(4r² + d²),
//	m' = -μ₀ (d k/4r) (h E - 2K),       h = 1 + 1/k'²,
//	m″ = -(μ₀/4r) (k (h E - 2K) - k (d²k²/4r²) (E (2h + 2k²/k'⁴ - 2/k'²) - h K)).
//
// Beyond some hundred radii m loses digits, when it no longer matters.
//
// Source: Maxwell, A Treatise on Electricity and Magnetism, vol. 2, art. 701 (article from
// memory); derivatives of K and E: DLMF 19.4.1 and 19.4.2.
func equalLoops(r, d float64) (m, first, second float64) {
	square := d * d / (4 * r * r)
	k2 := 1 / (1 + square)
	rest := square * k2 // k'²
	k := math.Sqrt(k2)
	bigK, bigE := mathext.CompleteK(k2), mathext.CompleteE(k2)
	h := 1 + 1/rest
	force := h*bigE - 2*bigK
	m = si.Mu0 * r * ((2/k-k)*bigK - 2/k*bigE)
	first = -si.Mu0 * d * k / (4 * r) * force
	slope := bigE*(2*h+2*k2/(rest*rest)-2/rest) - h*bigK
	second = -si.Mu0 / (4 * r) * k * (force - square*k2*slope)
	return m, first, second
}

// mutualSlope returns minus the derivative by distance, in H/m and > 0, of the mutual
// inductance of two coaxial filaments of radii a and b, d > 0 apart, all in m:
//
//	-dM/dd = μ₀ d k/(4 √(ab)) (h E - 2K),  k² = 4ab/((a+b)² + d²).
//
// Source: as for equalLoops.
func mutualSlope(a, b, d float64) float64 {
	far, near := (a+b)*(a+b)+d*d, (a-b)*(a-b)+d*d
	k2 := 4 * a * b / far
	rest := near / far
	return si.Mu0 * d * math.Sqrt(k2) / (4 * math.Sqrt(a*b)) * ((1+1/rest)*mathext.CompleteE(k2) - 2*mathext.CompleteK(k2))
}

// rowKernels are what a turn carrying one ampere does to another of the same winding, by
// how many turns n > 0 they lie apart, as the coefficients of (r/a)ⁿ in units of μ₀/2π:
// current to the first harmonic along and across the row, and first harmonic to
// first harmonic.
//
// They are derivatives of the mutual inductance M(ρ, R, d) of the rings,
//
//	along  = -(a/μ₀R) M_d,   dipole along  = -(a²/μ₀R) M_dd,
//	across =  (a/μ₀R) M_ρ,   dipole across =  (a²/μ₀R) M_ρR,
//
// which for equal radii follow from m(d) alone, since M is homogeneous of the first degree
// and obeys M_ρρ - M_ρ/ρ + M_dd = 0:
//
//	M_ρ = (m - d m')/2R,  M_ρR = m″ (1 + d²/2R²) - M_ρ/R,  M_dρ = M_dR = -d m″/2R.
//
// The last one, times a²/μ₀R, is what a first harmonic across does to one along and the
// other way round: a bent wire has it, a straight one has not. For straight wires the
// kernels are a/d, 0, -a²/d², a²/d² and 0.
type rowKernels struct {
	along, across, dipoleAlong, dipoleAcross, dipoleMixed []float64 // from 0, which is not used
}

// fill computes the kernels of turns of radius r, +Inf for straight wires, and wire
// radius a, at the given pitch, all in m.
func (k *rowKernels) fill(r, a, pitch float64, turns int) {
	for _, v := range []*[]float64{&k.along, &k.across, &k.dipoleAlong, &k.dipoleAcross, &k.dipoleMixed} {
		*v = resize(*v, turns)
	}
	for n := 1; n < turns; n++ {
		d := float64(n) * pitch
		if math.IsInf(r, 1) {
			w := a / d
			k.along[n], k.across[n], k.dipoleAlong[n], k.dipoleAcross[n], k.dipoleMixed[n] = w, 0, -w*w, w*w, 0
			continue
		}
		m, first, second := equalLoops(r, d)
		scale := a / (si.Mu0 * r)
		across := (m - d*first) / (2 * r)
		k.along[n] = -scale * first
		k.across[n] = scale * across
		k.dipoleAlong[n] = -scale * a * second
		k.dipoleMixed[n] = -scale * a * d * second / (2 * r)
		k.dipoleAcross[n] = scale * a * (second*(1+d*d/(2*r*r)) - across/r)
	}
}

// ownCurvature is what a turn bent to a ring sends into itself across the row, in the
// units of rowKernels: (a/2R) (ln(8R/a) - 1 - w), with w the vector potential that the
// current leaves on the surface against that of the electromotive force,
// J₀(ka)/(ka J₁(ka)) = i (Z/R₀) (δ/a)², 0 for a perfect wire; 0 for a straight one.
//
// It follows from u = A √(ρR), which to first order in a/R obeys the equations of a
// straight wire, inside and out, and from the field near a ring of current,
// (μ₀/2π) (L - 2 + x/2R) in terms of u, L = ln(8R/r), x outward.
func ownCurvature(r, a, thickness float64) complex128 {
	if math.IsInf(r, 1) {
		return 0
	}
	inside := complex(0, 1/(thickness*thickness)) * (1 + skinExcess(thickness))
	return complex(a/(2*r), 0) * (complex(math.Log(8*r/a)-1, 0) - inside)
}

// resize returns s with n elements, keeping its memory if that suffices. The
// contents are not kept.
func resize[T any](s []T, n int) []T {
	if cap(s) < n {
		return make([]T, n, n+n/4)
	}
	return s[:n]
}
