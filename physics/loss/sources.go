package loss

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/interp"
	"gonum.org/v1/gonum/mathext"

	"coilwright/physics/si"
)

// RingCurrent is a circular filament on the axis that carries a current: a turn, or
// several by their weight.
type RingCurrent struct {
	Radius  float64 // m, > 0
	Height  float64 // m
	Current float64 // A, crest, times the number of turns it stands for
}

// checkSources refuses what has no answer.
func checkSources(sources []RingCurrent) error {
	for i, s := range sources {
		if !positive(s.Radius) || math.IsNaN(s.Height+s.Current) || math.IsInf(s.Height+s.Current, 0) {
			return fmt.Errorf("%w: current %d: %g A round a radius of %g m at height %g m", ErrInput, i+1, s.Current, s.Radius, s.Height)
		}
	}
	return nil
}

// PerTurn returns the current of every turn, for a profile that knows only some:
// turn[i] counts the turns from the foot to the middle of one that carries current[i],
// 0.5 for the first, ascending, the first and the last turn among them. The last one may
// be part of a turn and is then at the middle of its part.
//
// Between the samples it follows Akima's interpolation. dst is used again if it is long
// enough. Samples out of order, or without the first turn, are an error that wraps
// [ErrInput].
func PerTurn(dst, turn, current []float64) ([]float64, error) {
	count := len(turn)
	if count == 0 || count != len(current) {
		return nil, fmt.Errorf("%w: %d turns with %d currents", ErrInput, count, len(current))
	}
	turns := int(math.Ceil(turn[count-1]))
	if int(turn[0]) != 0 {
		return nil, fmt.Errorf("%w: the profile starts at turn %g", ErrInput, turn[0])
	}
	place := make([]float64, count)
	for i, t := range turn {
		place[i] = math.Floor(t)
		if i > 0 && !(place[i] > place[i-1]) {
			return nil, fmt.Errorf("%w: turn %g of the profile follows turn %g", ErrInput, t, turn[i-1])
		}
	}
	dst = resize(dst, turns)
	if count == 1 {
		dst[0] = current[0]
		return dst, nil
	}
	var curve interp.AkimaSpline
	if err := curve.Fit(place, current); err != nil {
		return nil, fmt.Errorf("%w: profile of the current: %w", ErrInput, err)
	}
	for i := range dst {
		dst[i] = curve.Predict(float64(i))
	}
	return dst, nil
}

// fieldOf returns the magnetic field in A/m of the sources at radius r > 0 and height z,
// in m, outward and upward:
//
//	H_r = I z/(2π r p) (-K + (a² + r² + z²)/q² E),
//	H_z = I/(2π p) (K + (a² - r² - z²)/q² E),  p² = (a+r)² + z², q² = (a-r)² + z²,
//
// with K and E of m = 4ar/p². mirror is the height of a metal plane, nil for none.
//
// Source: Smythe, Static and Dynamic Electricity, section 7.10 (number from memory).
func fieldOf(sources []RingCurrent, mirror *float64, r, z float64) (hr, hz float64) {
	add := func(a, d, current float64) {
		far, near := (a+r)*(a+r)+d*d, (a-r)*(a-r)+d*d
		m := 4 * a * r / far
		k, e := mathext.CompleteK(m), mathext.CompleteE(m)
		p := math.Sqrt(far)
		hr += current * d / (2 * math.Pi * r * p) * (-k + (a*a+r*r+d*d)/near*e)
		hz += current / (2 * math.Pi * p) * (k + (a*a-r*r-d*d)/near*e)
	}
	for _, s := range sources {
		add(s.Radius, z-s.Height, s.Current)
		if mirror != nil {
			add(s.Radius, z+s.Height-2**mirror, -s.Current)
		}
	}
	return hr, hz
}

// PlaneLoss returns the power in W that currents round an axis lose in a thick metal
// plane at the given height, in m, below them, in first order: the currents on the plane
// are those of a perfect conductor, H_t = 2 H_r, and
//
//	P = (R_s/2) ∫ |H_t|² dA = (R_s/μ₀) Σ_ij I_i I_j (-dM/dd)(R_i, R_j, z_i + z_j),
//
// exactly: with H_r as an integral over Bessel functions the integral over the plane closes,
// and the loss is what the mirrored inductance changes when the plane moves by half a skin
// depth, Wheeler's rule. frequency is in Hz. Sources on or below the plane are an error that
// wraps [ErrInput].
//
// Source: Wheeler, Proceedings of the IRE 30 (1942) 412, for the rule.
func PlaneLoss(sources []RingCurrent, height, frequency float64, metal Metal) (float64, error) {
	if err := checkSources(sources); err != nil {
		return 0, err
	}
	for _, s := range sources {
		if !(s.Height > height) {
			return 0, fmt.Errorf("%w: current at height %g m, metal plane at %g m", ErrInput, s.Height, height)
		}
	}
	surface, err := metal.checked(frequency)
	if err != nil {
		return 0, err
	}
	sum := 0.0
	for i, a := range sources {
		sum += a.Current * a.Current * mutualSlope(a.Radius, a.Radius, 2*(a.Height-height))
		for _, b := range sources[:i] {
			sum += 2 * a.Current * b.Current * mutualSlope(a.Radius, b.Radius, a.Height+b.Height-2*height)
		}
	}
	return surface / si.Mu0 * sum, nil
}
