package view

import (
	"math"
	"strconv"

	"fyne.io/fyne/v2/lang"

	"coilwright/physics/si"
)

// measure is how one kind of quantity is typed, shown and stepped. Values are
// those of the design: metres, degrees Celsius, degrees of angle.
type measure interface {
	parse(text string, units Units) (float64, error)
	format(value float64, units Units) (text, unit string)
	step(units Units) float64 // smallest sensible step
}

// lengthMeasure is a length in millimetres or inches.
type lengthMeasure struct {
	millimetre, inch lengthSteps
}

// lengthSteps is how a length is stepped and shown in one unit.
type lengthSteps struct {
	step           float64 // of the unit
	decimals, most int     // as a rule, and where the value needs them
}

var (
	// bodyLength suits tubes, heights and rings.
	bodyLength = lengthMeasure{lengthSteps{0.1, 1, 3}, lengthSteps{0.005, 3, 4}}
	// pitchLength suits distances of a wire's thickness.
	pitchLength = lengthMeasure{lengthSteps{0.01, 2, 4}, lengthSteps{0.0005, 4, 5}}
	// roomLength suits tables and ceilings.
	roomLength = lengthMeasure{lengthSteps{10, 0, 1}, lengthSteps{0.5, 1, 2}}
)

func (m lengthMeasure) in(units Units) (lengthSteps, si.Unit) {
	if units == Inches {
		return m.inch, si.Inch
	}
	return m.millimetre, si.Millimetre
}

func (m lengthMeasure) parse(text string, units Units) (float64, error) {
	_, unit := m.in(units)
	return si.ParseIn(text, unit)
}

func (m lengthMeasure) format(value float64, units Units) (string, string) {
	steps, unit := m.in(units)
	return decimal(unit.Of(value), steps.decimals, steps.most), unit.Symbol()
}

func (m lengthMeasure) step(units Units) float64 {
	steps, unit := m.in(units)
	return unit.SI(steps.step)
}

// turnsMeasure is a number of turns, fractions allowed.
type turnsMeasure struct{}

func (turnsMeasure) parse(text string, _ Units) (float64, error) {
	return si.ParseIn(text, si.Plain)
}

func (turnsMeasure) format(value float64, _ Units) (string, string) {
	return decimal(value, 0, 3), ""
}

func (turnsMeasure) step(Units) float64 { return 1 }

// fewTurnsMeasure is a number of turns of which quarters matter.
type fewTurnsMeasure struct{ turnsMeasure }

func (fewTurnsMeasure) step(Units) float64 { return 0.25 }

// wholeTurnsMeasure is a number of turns that closes on itself.
type wholeTurnsMeasure struct{ turnsMeasure }

func (m wholeTurnsMeasure) parse(text string, units Units) (float64, error) {
	value, err := m.turnsMeasure.parse(text, units)
	if err != nil {
		return 0, err
	}
	if value != math.Trunc(value) {
		return 0, refusal(lang.L("refused.whole"))
	}
	return value, nil
}

// celsiusMeasure is a temperature in degrees Celsius, as designs keep it.
type celsiusMeasure struct{}

func (celsiusMeasure) parse(text string, _ Units) (float64, error) {
	return si.ParseNumber(text, si.Celsius)
}

func (celsiusMeasure) format(value float64, _ Units) (string, string) {
	return decimal(value, 0, 1), si.Celsius.Symbol()
}

func (celsiusMeasure) step(Units) float64 { return 1 }

// picofaradMeasure is a small capacitance.
type picofaradMeasure struct{}

func (picofaradMeasure) parse(text string, _ Units) (float64, error) {
	return si.ParseIn(text, si.Picofarad)
}

func (picofaradMeasure) format(value float64, _ Units) (string, string) {
	return decimal(si.Picofarad.Of(value), 1, 3), si.Picofarad.Symbol()
}

func (picofaradMeasure) step(Units) float64 { return si.Picofarad.SI(0.1) }

// degreeMeasure is an angle in degrees, as designs keep it.
type degreeMeasure struct{}

func (degreeMeasure) parse(text string, _ Units) (float64, error) {
	return si.ParseNumber(text, si.Degree)
}

func (degreeMeasure) format(value float64, _ Units) (string, string) {
	return decimal(value, 0, 1), si.Degree.Symbol()
}

func (degreeMeasure) step(Units) float64 { return 1 }

// decimal writes a number with the usual number of decimals, and with more, up
// to most, where the number has them.
func decimal(value float64, usual, most int) string {
	// What is left over beyond the decimals shown, in units of the last one,
	// before more are shown: far above the rounding of a float64.
	const slack = 1e-6
	for decimals := usual; decimals < most; decimals++ {
		scaled := value * math.Pow10(decimals)
		if math.Abs(scaled-math.Round(scaled)) < slack {
			return strconv.FormatFloat(value, 'f', decimals, 64)
		}
	}
	return strconv.FormatFloat(value, 'f', most, 64)
}
