package sentence

import (
	"fmt"
	"math"

	"coilwright/physics/si"
)

// Length is a length in m that a text states with four digits.
type Length float64

// In returns the length for a reader.
func (l Length) In(r Reader) string {
	if r.Inch {
		const digits = 4
		return si.Format(float64(l), si.Inch, digits)
	}
	return fmt.Sprintf("%.4g mm", float64(l)*1e3)
}

// AtLeast is a least length in m, rounded up to a hundredth of a millimetre or a
// thousandth of an inch, so that what is said is enough.
type AtLeast float64

// In returns the length for a reader.
func (l AtLeast) In(r Reader) string {
	const slack = 1e-6 // of a step, so that a whole number of steps stays one
	up := func(of, step float64) float64 { return math.Ceil(of/step-slack) * step }
	if r.Inch {
		const step = 0.001
		return fmt.Sprintf("%.3f\u202fin", up(si.Inch.Of(float64(l)), step))
	}
	const step = 0.01
	return fmt.Sprintf("%.2f mm", up(float64(l)*1e3, step))
}
