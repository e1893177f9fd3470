package breakdown

import (
	"fmt"
	"math"
)

// Field at which a fluorescent tube held in the air begins to glow, in V/m crest:
// common practice, no source. Length, gas, age and the hand that holds it make a wide
// band.
const (
	TubeFieldLow  = 500.0
	TubeFieldHigh = 5000.0
)

// ReferenceLevel is a field that a guideline names for people, as information: local
// rules decide, and staying below it is no promise.
type ReferenceLevel struct {
	Name   string
	Field  float64 // V/m, root mean square
	Source string
	Status Status
}

// CrestOf returns the crest of a field of one frequency from its root mean square.
func CrestOf(rms float64) float64 { return rms * math.Sqrt2 }

// Limits of frequency in Hz between which the guideline's formula was read.
const (
	leastExposure = 0.1e6
	mostExposure  = 30e6
	mostNerve     = 10e6
)

// ReferenceLevels returns the levels of electric field for the general public that
// guidelines of the International Commission on Non-Ionizing Radiation Protection
// (ICNIRP) name at a frequency in Hz, from 0.1 to 30 MHz; outside it returns
// none. The frequency must be positive and finite; otherwise the error wraps
// [ErrRange].
//
// With f in MHz: local, over 6 minutes, 671/f^0.7 V/m; whole body, over 30 minutes,
// 300/f^0.7 V/m; nerve stimulation, to 10 MHz, 83 V/m. People near a coil of
// centimetres are exposed unevenly, which the levels are not made for.
func ReferenceLevels(frequency float64) ([]ReferenceLevel, error) {
	if !positive(frequency) {
		return nil, fmt.Errorf("%w: exposure at %g Hz", ErrRange, frequency)
	}
	if frequency < leastExposure || frequency > mostExposure {
		return nil, nil
	}
	fall := math.Pow(frequency/1e6, -0.7)
	levels := []ReferenceLevel{
		{"local, 6 minutes", 671 * fall, "ICNIRP 2020, general public, in a textbook", Seen},
		{"whole body, 30 minutes", 300 * fall, "ICNIRP 2020, general public", FromMemory},
	}
	if frequency <= mostNerve {
		levels = append(levels, ReferenceLevel{"nerves, at any moment", 83, "ICNIRP 2010, general public", Seen})
	}
	return levels, nil
}
