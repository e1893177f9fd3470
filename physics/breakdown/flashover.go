package breakdown

import (
	"fmt"
	"math"
)

// Flashover returns the voltage in V, crest, at which a gap between two conductors of a
// coil may break down: the gap in m through open air of the given relative density.
// Insulation is not counted, which radio frequency soon punctures or creeps along.
//
// Low is the gap between needles at [RadioFrequencyLow], though not less than the
// minimum of Paschen's law, high that of a uniform field without derating; a gap
// between round wires lies between the two, the middle is their geometric mean: an
// estimate. Gap and density must be positive and finite; otherwise the error wraps
// [ErrRange].
func Flashover(gap, density float64) (Band, error) {
	needles, err := NeedleGap(gap, density)
	if err != nil {
		return Band{}, err
	}
	flat, err := UniformGap(gap, density)
	if err != nil {
		return Band{}, err
	}
	low := math.Min(flat.Crest, math.Max(leastBreakdown, RadioFrequencyLow*needles.Crest))
	return Band{Low: low, Middle: math.Sqrt(low * flat.Crest), High: flat.Crest}, nil
}

// leastBreakdown is the least voltage in V at which air breaks down in any gap: the
// minimum of Paschen's law as measured, read.
const leastBreakdown = 327

// Tracking returns the voltage in V at which streamers may run along a surface on which
// the mean gradient is the one given in 1/m per volt: where it reaches what streamers
// need in the air, [StreamerLow] and [StreamerHigh] at relative density 1; dirt and damp
// are worse. The gradient must be positive and finite; otherwise the error wraps
// [ErrRange].
func Tracking(gradientPerVolt, density float64) (Band, error) {
	if !positive(gradientPerVolt) || !positive(density) {
		return Band{}, fmt.Errorf("%w: gradient %g 1/m along a surface in air of relative density %g", ErrRange, gradientPerVolt, density)
	}
	low, high := density*StreamerLow/gradientPerVolt, density*StreamerHigh/gradientPerVolt
	return Band{Low: low, Middle: math.Sqrt(low * high), High: high}, nil
}
