package si

import (
	"math"
	"math/big"
)

// Unit is a unit of measurement in which a quantity is typed or printed. The
// zero Unit is [Plain].
type Unit int

// Units. The ones without a prefix are the SI units in which numbers pass
// through the program, [Gram], [Degree], [Celsius] and the customary ones
// excepted.
const (
	Plain   Unit = iota // a number: turns, a ratio
	Percent             // 0.01

	Metre
	Millimetre
	Centimetre
	Micrometre
	Inch
	Foot
	Mil // 0.001 inch

	Gram
	Kilogram

	Second
	Millisecond
	Microsecond
	Nanosecond

	Hertz
	Kilohertz
	Megahertz

	Farad
	Microfarad
	Nanofarad
	Picofarad

	Henry
	Millihenry
	Microhenry
	Nanohenry

	Ohm
	Kiloohm
	Megaohm

	Volt
	Kilovolt

	Ampere
	Milliampere

	Watt
	Milliwatt

	Joule

	Pascal
	Hectopascal
	Millibar

	VoltPerMetre
	KilovoltPerCentimetre

	Kelvin
	Celsius
	Fahrenheit

	Radian
	Degree

	unitCount
)

// definition is a row of the table of units: an SI value is
// (number + offset) · factor.
type definition struct {
	symbol    string
	factor    *big.Rat
	dimension Dimension
	offset    *big.Rat // nil: 0
	aliases   []string // further spellings that people type
}

// ratio returns an exact fraction.
func ratio(numerator, denominator int64) *big.Rat {
	return big.NewRat(numerator, denominator)
}

// perDegree is π/180, rounded to a float64 as every angle is.
var perDegree = new(big.Rat).SetFloat64(math.Pi / 180)

var definitions = [unitCount]definition{
	Plain:   {"", ratio(1, 1), number, nil, []string{"turns", "turn"}},
	Percent: {"%", ratio(1, 100), number, nil, []string{"percent"}},

	Metre:      {"m", ratio(1, 1), length, nil, []string{"metre", "metres", "meter", "meters"}},
	Millimetre: {"mm", ratio(1, 1e3), length, nil, []string{"millimetre", "millimetres", "millimeter", "millimeters"}},
	Centimetre: {"cm", ratio(1, 1e2), length, nil, []string{"centimetre", "centimetres", "centimeter", "centimeters"}},
	Micrometre: {"µm", ratio(1, 1e6), length, nil, []string{"micron", "microns"}},
	Inch:       {"in", ratio(254, 1e4), length, nil, []string{"inch", "inches", `"`, "″", "”", "''"}},
	Foot:       {"ft", ratio(3048, 1e4), length, nil, []string{"foot", "feet", "'", "′", "’"}},
	Mil:        {"mil", ratio(254, 1e7), length, nil, []string{"mil", "mils", "thou"}},

	Gram:     {"g", ratio(1, 1e3), mass, nil, []string{"gram", "grams"}},
	Kilogram: {"kg", ratio(1, 1), mass, nil, []string{"kilogram", "kilograms"}},

	Second:      {"s", ratio(1, 1), time, nil, []string{"sec", "second", "seconds"}},
	Millisecond: {"ms", ratio(1, 1e3), time, nil, nil},
	Microsecond: {"µs", ratio(1, 1e6), time, nil, nil},
	Nanosecond:  {"ns", ratio(1, 1e9), time, nil, nil},

	Hertz:     {"Hz", ratio(1, 1), frequency, nil, []string{"hertz"}},
	Kilohertz: {"kHz", ratio(1e3, 1), frequency, nil, []string{"kilohertz", "kc", "kc/s"}},
	Megahertz: {"MHz", ratio(1e6, 1), frequency, nil, []string{"megahertz", "Mc", "Mc/s"}},

	Farad:      {"F", ratio(1, 1), capacitance, nil, []string{"farad", "farads"}},
	Microfarad: {"µF", ratio(1, 1e6), capacitance, nil, []string{"microfarad", "microfarads"}},
	Nanofarad:  {"nF", ratio(1, 1e9), capacitance, nil, []string{"nanofarad", "nanofarads"}},
	Picofarad:  {"pF", ratio(1, 1e12), capacitance, nil, []string{"picofarad", "picofarads"}},

	Henry:      {"H", ratio(1, 1), inductance, nil, []string{"henry", "henries"}},
	Millihenry: {"mH", ratio(1, 1e3), inductance, nil, []string{"millihenry"}},
	Microhenry: {"µH", ratio(1, 1e6), inductance, nil, []string{"microhenry"}},
	Nanohenry:  {"nH", ratio(1, 1e9), inductance, nil, []string{"nanohenry"}},

	Ohm:     {"Ω", ratio(1, 1), resistance, nil, []string{"ohm", "ohms", "R"}},
	Kiloohm: {"kΩ", ratio(1e3, 1), resistance, nil, []string{"kilohm", "kilohms"}},
	Megaohm: {"MΩ", ratio(1e6, 1), resistance, nil, []string{"megohm", "megohms"}},

	Volt:     {"V", ratio(1, 1), voltage, nil, []string{"volt", "volts"}},
	Kilovolt: {"kV", ratio(1e3, 1), voltage, nil, []string{"kilovolt", "kilovolts"}},

	Ampere:      {"A", ratio(1, 1), current, nil, []string{"amp", "amps", "ampere", "amperes"}},
	Milliampere: {"mA", ratio(1, 1e3), current, nil, []string{"milliamp", "milliamps"}},

	Watt:      {"W", ratio(1, 1), power, nil, []string{"watt", "watts"}},
	Milliwatt: {"mW", ratio(1, 1e3), power, nil, nil},
	Joule:     {"J", ratio(1, 1), energy, nil, []string{"joule", "joules"}},

	Pascal:      {"Pa", ratio(1, 1), pressure, nil, []string{"pascal", "pascals"}},
	Hectopascal: {"hPa", ratio(1e2, 1), pressure, nil, nil},
	Millibar:    {"mbar", ratio(1e2, 1), pressure, nil, []string{"mb"}},

	VoltPerMetre:          {"V/m", ratio(1, 1), gradient, nil, nil},
	KilovoltPerCentimetre: {"kV/cm", ratio(1e5, 1), gradient, nil, nil},

	Kelvin:     {"K", ratio(1, 1), temperature, nil, []string{"kelvin"}},
	Celsius:    {"°C", ratio(1, 1), temperature, ratio(27315, 100), []string{"C", "degC", "celsius"}},
	Fahrenheit: {"°F", ratio(5, 9), temperature, ratio(45967, 100), []string{"F", "degF", "fahrenheit"}},

	Radian: {"rad", ratio(1, 1), angle, nil, []string{"radian", "radians"}},
	Degree: {"°", perDegree, angle, nil, []string{"deg", "degree", "degrees"}},
}

// Symbol returns the symbol as it is printed behind a number; it is empty for
// [Plain].
func (u Unit) Symbol() string { return definitions[u].symbol }

// Factor returns the size of the unit in SI; for a temperature, of one degree.
func (u Unit) Factor() float64 { return float(definitions[u].factor) }

// Dimension returns what kind of quantity the unit measures.
func (u Unit) Dimension() Dimension { return definitions[u].dimension }

// String returns the symbol.
func (u Unit) String() string { return u.Symbol() }

// SI returns the SI value of a number of the unit: Celsius.SI(20) is 293.15.
func (u Unit) SI(number float64) float64 {
	if math.IsNaN(number) || math.IsInf(number, 0) {
		return number
	}
	return float(u.exactSI(new(big.Rat).SetFloat64(number)))
}

// Of returns an SI value as a number of the unit: Celsius.Of(293.15) is 20.
func (u Unit) Of(value float64) float64 {
	if math.IsNaN(value) || math.IsInf(value, 0) {
		return value
	}
	return float(u.exactOf(new(big.Rat).SetFloat64(value)))
}

func (u Unit) exactSI(number *big.Rat) *big.Rat {
	d := definitions[u]
	v := new(big.Rat).Set(number)
	if d.offset != nil {
		v.Add(v, d.offset)
	}
	return v.Mul(v, d.factor)
}

func (u Unit) exactOf(value *big.Rat) *big.Rat {
	d := definitions[u]
	n := new(big.Rat).Quo(value, d.factor)
	if d.offset != nil {
		n.Sub(n, d.offset)
	}
	return n
}

// float rounds a fraction to the nearest float64.
func float(r *big.Rat) float64 {
	f, _ := r.Float64()
	return f
}
