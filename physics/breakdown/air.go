package breakdown

import (
	"errors"
	"fmt"
	"math"
)

// ErrRange is wrapped by every error about sizes, pressures or voltages for
// which there is no answer: zero, negative, infinite, not a number.
var ErrRange = errors.New("breakdown: out of range")

// Status says how far a constant can be traced.
type Status string

// Status of constants, formulas and tables.
const (
	Seen       Status = "source seen"
	Excerpt    Status = "source seen in an excerpt"
	FromMemory Status = "from memory"
	Practice   Status = "common practice, no source"
	Estimate   Status = "estimate"
)

const (
	centimetre          = 0.01    // m
	kilovolt            = 1e3     // V
	kilovoltPerCm       = 1e5     // V/m
	centimetreOfMercury = 1333.22 // Pa

	// zeroCelsius is as Peek rounds it, in K.
	zeroCelsius = 273
)

// RelativeDensity returns the density of air over that at 25 °C and 760 mmHg,
//
//	δ = 3.92 b/(273 + t),
//
// for the pressure b in cm of mercury, here in Pa, and the temperature t, both
// in degrees Celsius. It must be above -273 °C, the pressure positive and
// finite; otherwise the error wraps [ErrRange].
//
// Source: Peek 1929, read in quotations.
func RelativeDensity(celsius, pressure float64) (float64, error) {
	if !(celsius > -zeroCelsius) || math.IsInf(celsius, 0) || !positive(pressure) {
		return 0, fmt.Errorf("%w: air at %g °C and %g Pa", ErrRange, celsius, pressure)
	}
	return 3.92 * pressure / centimetreOfMercury / (zeroCelsius + celsius), nil
}

func positive(x float64) bool { return x > 0 && !math.IsInf(x, 0) }
