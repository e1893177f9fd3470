package loss

import (
	"fmt"
	"math"
)

// DielectricLoss returns the power in W that a dielectric loses which holds the given
// electric energy in J at the crest of the voltage:
//
//	P = ω W tan δ.
//
// frequency is in Hz; the loss tangent is that of the material at that frequency, >= 0.
// The energy is of the field inside the material, ½∫ε|E|².
//
// Source: definition of the loss tangent, IEC 60050-212 (number of the part from memory).
func DielectricLoss(frequency, energy, lossTangent float64) (float64, error) {
	if !positive(frequency) || !(energy >= 0) || math.IsInf(energy, 0) || !(lossTangent >= 0) || math.IsInf(lossTangent, 0) {
		return 0, fmt.Errorf("%w: %g J in a dielectric of loss tangent %g at %g Hz", ErrInput, energy, lossTangent, frequency)
	}
	return 2 * math.Pi * frequency * energy * lossTangent, nil
}

// Parts are all losses of a coil that rings by itself, in W.
type Parts struct {
	Winding float64 // copper of the winding, by [Solver.Winding]
	Ring    float64 // wire of a ring on top, by [RingChargingLoss] and [RingEddyLoss]
	Shorted float64 // unbroken body or hub, by [ShellLoss] or [LoopLoss]
	Plane   float64 // metal plane, by [PlaneLoss]
	Former  float64 // dielectric of the former, by [DielectricLoss]
	Coat    float64 // varnish and enamel, by [DielectricLoss]
}

// Copper returns the loss in W of winding and ring, which the resistance to alternating
// current at the foot stands for.
func (p Parts) Copper() float64 { return p.Winding + p.Ring }

// Total returns the sum in W.
func (p Parts) Total() float64 {
	return p.Winding + p.Ring + p.Shorted + p.Plane + p.Former + p.Coat
}

// Resistance returns R in Ω in P = R I²/2 for the copper of winding and ring and the foot
// current I in A, crest.
func (p Parts) Resistance(footCurrent float64) float64 {
	return 2 * p.Copper() / (footCurrent * footCurrent)
}

// Quality is the unloaded quality factor and that of each part if it were alone; what
// loses nothing has none, +Inf. 1/Total is the sum of 1 over the others.
type Quality struct {
	Total                                       float64
	Winding, Ring, Shorted, Plane, Former, Coat float64
}

// QualityFactor returns Q = ω W/P for a coil ringing at a frequency in Hz with the energy
// W in J: at the crest of the voltage all of it is electric. It is the most that a
// built coil can have: a damp former, solder, the bench and people are not in the parts.
//
// A negative part, or no loss at all, is an error that wraps [ErrInput].
//
// Source: IEC 60050-151, quality factor (number of the part from memory).
func QualityFactor(frequency, energy float64, p Parts) (Quality, error) {
	if !positive(frequency) || !positive(energy) {
		return Quality{}, fmt.Errorf("%w: %g J ringing at %g Hz", ErrInput, energy, frequency)
	}
	for _, w := range []float64{p.Winding, p.Ring, p.Shorted, p.Plane, p.Former, p.Coat} {
		if !(w >= 0) || math.IsInf(w, 0) {
			return Quality{}, fmt.Errorf("%w: a loss of %g W", ErrInput, w)
		}
	}
	if !(p.Total() > 0) {
		return Quality{}, fmt.Errorf("%w: nothing loses power", ErrInput)
	}
	reactive := 2 * math.Pi * frequency * energy
	return Quality{
		Total:   reactive / p.Total(),
		Winding: reactive / p.Winding, Ring: reactive / p.Ring, Shorted: reactive / p.Shorted,
		Plane: reactive / p.Plane, Former: reactive / p.Former, Coat: reactive / p.Coat,
	}, nil
}
