package loss

import (
	"errors"
	"fmt"
	"math"

	"coilwright/physics/si"
)

// ErrInput is wrapped by every error about a size, a frequency or a material for
// which there is no answer.
var ErrInput = errors.New("loss: impossible input")

// SkinDepth returns the skin depth δ = √(ρ/(π f μ₀)) in m of a metal of the given
// conductivity 1/ρ in S/m at a frequency in Hz, both > 0. Copper at 1 MHz: 66 µm.
//
// Source: Smythe, Static and Dynamic Electricity, chapter 10.
func SkinDepth(frequency, conductivity float64) float64 {
	return 1 / math.Sqrt(math.Pi*frequency*si.Mu0*conductivity)
}

// SurfaceResistance returns R_s = √(π f μ₀ μ_r/σ) in Ω, the resistance of a square of
// thick metal: P = R_s |H_t|²/2 per area for crest values. It holds where the metal is
// several skin depths thick and curved much less than the skin depth. Steel has a
// permeability > 1; for others give 1.
//
// Source: Smythe, Static and Dynamic Electricity, chapter 10.
func SurfaceResistance(frequency, conductivity, permeability float64) float64 {
	return math.Sqrt(math.Pi * frequency * si.Mu0 * permeability / conductivity)
}

// Metal is what a conductor is made of.
type Metal struct {
	Conductivity float64 // S/m, > 0
	Permeability float64 // relative, 1 for all but iron; 0 stands for 1
}

// surface returns the surface resistance in Ω.
func (m Metal) surface(frequency float64) float64 {
	permeability := m.Permeability
	if permeability == 0 {
		permeability = 1
	}
	return SurfaceResistance(frequency, m.Conductivity, permeability)
}

// RoundWire is the impedance of a metre of lone straight round wire.
type RoundWire struct {
	ResistanceDC       float64 // Ω/m
	ResistanceAC       float64 // Ω/m
	InternalInductance float64 // H/m, of the field inside the metal; μ₀/8π at low frequency
}

// Ratio returns the resistance to alternating current over that to direct current.
func (w RoundWire) Ratio() float64 { return w.ResistanceAC / w.ResistanceDC }

// NewRoundWire returns the impedance per metre of a lone round wire of the given
// radius in m and conductivity in S/m at a frequency in Hz >= 0:
//
//	Z = R₀ (ka/2) J₀(ka)/J₁(ka),  R₀ = 1/(πa²σ),  ka = (1-i)a/δ.
//
// J₀/J₁ is taken as 2/ka - J₂/J₁, so that the ratio minus one and the inductance keep
// their digits in thin wires. The error is below 1e-12 at any thickness.
//
// Radius and conductivity must be positive and finite and the frequency not
// negative; otherwise the error wraps [ErrInput].
//
// Source: Kelvin's solution as in Smythe, Static and Dynamic Electricity, chapter 10;
// DLMF chapter 10.
func NewRoundWire(frequency, radius, conductivity float64) (RoundWire, error) {
	if !positive(radius) || !positive(conductivity) || !(frequency >= 0) || math.IsInf(frequency, 0) {
		return RoundWire{}, fmt.Errorf("%w: wire of radius %g m and conductivity %g S/m at %g Hz", ErrInput, radius, conductivity, frequency)
	}
	w := RoundWire{ResistanceDC: 1 / (math.Pi * radius * radius * conductivity)}
	if frequency == 0 {
		w.ResistanceAC, w.InternalInductance = w.ResistanceDC, internalDC
		return w, nil
	}
	more := skinExcess(radius / SkinDepth(frequency, conductivity))
	w.ResistanceAC = w.ResistanceDC * (1 + real(more))
	w.InternalInductance = w.ResistanceDC * imag(more) / (2 * math.Pi * frequency)
	return w, nil
}

// internalDC is the internal inductance of a round wire to direct current, H/m.
const internalDC = si.Mu0 / (8 * math.Pi)

// skinExcess returns Z/R₀ - 1 of a lone round wire, by its radius over the skin depth.
func skinExcess(radiusOverSkinDepth float64) complex128 {
	var ratios [3]complex128
	z := wireArgument(radiusOverSkinDepth)
	besselRatios(ratios[:], z)
	return -z * ratios[2] / 2
}

func positive(x float64) bool { return x > 0 && !math.IsInf(x, 0) }
