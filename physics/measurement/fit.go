package measurement

import (
	"math"

	"coilwright/physics/sentence"
	"coilwright/physics/si"
)

// Fit is what a measurement says. What it does not say is nil, and Message
// tells the reason.
type Fit struct {
	Frequency        *Estimate     // Hz, undamped resonant frequency
	QualityFactor    *Estimate     // dimensionless
	Coupling         *Estimate     // coupling coefficient β of a reflection, dimensionless; nil for the other kinds
	OtherFrequencies []float64     // Hz, ascending, of further resonances seen
	Points           int           // samples or frequencies that were read
	Message          sentence.Text // full sentences; empty if there is nothing to say
}

// Estimate is a number and one standard deviation of it.
type Estimate struct {
	Value float64
	Sigma float64
}

// Complete says whether frequency and quality factor were both found.
func (f Fit) Complete() bool { return f.Frequency != nil && f.QualityFactor != nil }

// say appends sentences to the message.
func (f *Fit) say(more sentence.Text) { f.Message = sentence.Paragraph(f.Message, more) }

// Bounds beyond which an estimate means nothing. Common practice, no source.
const (
	largestQualitySigma   = 0.25 // of the quality factor
	largestFrequencySigma = 0.01 // of the frequency
)

// hertz prints a frequency for a message.
func hertz(f float64) string { return si.FormatPrefixed(f, si.Hertz, 4) }

// seconds prints a time for a message.
func seconds(t float64) string { return si.FormatPrefixed(t, si.Second, 3) }

// known returns an estimate if it is a finite number with a finite sigma.
func known(value, sigma float64) *Estimate {
	if math.IsNaN(value) || math.IsInf(value, 0) || math.IsNaN(sigma) || math.IsInf(sigma, 0) {
		return nil
	}
	return &Estimate{value, sigma}
}
