package breakdown

import (
	"fmt"
	"math"
)

// Shape is a kind of surface with constants of its own in Peek's law.
type Shape struct {
	Gradient float64 // V/m, onset on a flat surface at relative density 1
	Root     float64 // √m, what curvature adds
	Name     string
	Source   string
	Status   Status
}

// Shapes that Peek's law knows.
//
// Texts give 30 to 32 kV/cm for parallel wires. The constants of a sphere hold up
// to a radius of some centimetres: beyond 4 cm they give less than those of a
// cylinder, and for a flat surface 27 kV/cm, which is less than a flat gap bears.
var (
	Cylinder = Shape{30 * kilovoltPerCm, 0.301 * rootCentimetre, "parallel wires", "Peek 1929 and Kuffel and Zaengl, in encyclopedias that quote them", Seen}
	Coaxial  = Shape{31 * kilovoltPerCm, 0.308 * rootCentimetre, "wire in a tube", "Peek 1929", FromMemory}
	Sphere   = Shape{27.2 * kilovoltPerCm, 0.54 * rootCentimetre, "sphere", "Peek 1929", FromMemory}
)

// rootCentimetre is the square root of a centimetre, in √m.
const rootCentimetre = 0.1

const (
	// Polished is the surface factor of clean polished metal. Rough or weathered
	// wire has 0.93 to 0.98, stranded cable 0.83 to 0.87: texts that quote Peek,
	// read.
	Polished = 1.0

	// WorkshopSurface stands for drawn wire that was bent and soldered by hand,
	// between rough wire and cable: an estimate.
	WorkshopSurface = 0.9

	// RadioFrequencyLow and RadioFrequencyHigh are the band of what air bears at
	// some megahertz over what it bears at mains frequency: estimates, from
	// memory. Peek's sphere gaps at 40 kHz, as quoted on a mailing list, lose 26 %
	// at 1 mm and 12 % at 1 cm.
	RadioFrequencyLow  = 0.75
	RadioFrequencyHigh = 0.85
)

// OnsetGradient returns the surface gradient in V/m, crest, at which a polished
// surface of the given radius of curvature in m begins to glow in air of the given
// relative density,
//
//	g = g₀ δ (1 + c/√(δr)).
//
// Small wire bears more than thick: the field must stay high over some distance.
// The law is fitted to radii of about 0.1 mm to a few centimetres; thinner than that
// it overstates. Radius and density must be positive and finite; otherwise the error
// wraps [ErrRange].
//
// Source: that of the shape.
func (s Shape) OnsetGradient(radius, density float64) (float64, error) {
	if !positive(radius) || !positive(density) {
		return 0, fmt.Errorf("%w: surface of radius %g m in air of relative density %g", ErrRange, radius, density)
	}
	return s.Gradient * density * (1 + s.Root/math.Sqrt(density*radius)), nil
}

// Band is a value and the limits it may lie between.
type Band struct {
	Low, Middle, High float64
}

// Onset returns the voltage in V, crest, at which a conductor begins to glow. Its
// largest surface gradient per volt is given in 1/m, its radius of curvature there in
// m, the density of the air relative to 25 °C and 760 mmHg.
//
// The middle is Peek's law for a polished cylinder without derating. Low has a
// surface made on a bench, [WorkshopSurface], and [RadioFrequencyLow]; high has the
// constants of a sphere where they are higher, which they are up to a radius of
// 4 cm.
//
// All must be positive and finite; otherwise the error wraps [ErrRange].
func Onset(gradientPerVolt, radius, density float64) (Band, error) {
	if !positive(gradientPerVolt) {
		return Band{}, fmt.Errorf("%w: surface gradient %g 1/m per volt", ErrRange, gradientPerVolt)
	}
	cylinder, err := Cylinder.OnsetGradient(radius, density)
	if err != nil {
		return Band{}, err
	}
	sphere, err := Sphere.OnsetGradient(radius, density)
	if err != nil {
		return Band{}, err
	}
	middle := cylinder / gradientPerVolt
	return Band{
		Low:    WorkshopSurface * RadioFrequencyLow * middle,
		Middle: Polished * middle,
		High:   math.Max(middle, sphere/gradientPerVolt),
	}, nil
}
