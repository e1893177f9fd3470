package wire

import "math"

// Annealed copper.
//
// Source: IEC 60028 (the International Annealed Copper Standard), as stated in
// the data file of GNU units 2.22; the temperature coefficient of soft copper
// at 20 °C from the same standard. Copper from the shop has 58.0 to 58.9 MS/m
// soft and 56.3 cold worked.
const (
	Conductivity           = 58.0e6  // S/m at 20 °C
	TemperatureCoefficient = 0.00393 // 1/K at 20 °C
	Density                = 8890.0  // kg/m³ at 20 °C
	ReferenceTemperature   = 20.0    // °C
)

// Resistivity returns the resistivity of copper in Ωm at a temperature in
// degrees Celsius:
//
//	ρ = (1 + α(t − 20 °C))/σ.
//
// The law is linear and meant for temperatures a wire meets in a room or on a
// bench, about −50 to 200 °C.
//
// Source: IEC 60028.
func Resistivity(celsius float64) float64 {
	return (1 + TemperatureCoefficient*(celsius-ReferenceTemperature)) / Conductivity
}

// Area returns the cross-section in m² of a conductor of the given bare
// diameter in m.
func Area(diameter float64) float64 {
	return math.Pi / 4 * diameter * diameter
}

// ResistanceDC returns the resistance in Ω to direct current of a copper wire
// of the given length and bare diameter, in m, at a temperature in degrees
// Celsius.
func ResistanceDC(length, diameter, celsius float64) float64 {
	return Resistivity(celsius) * length / Area(diameter)
}

// Mass returns the mass in kg of the copper of a wire of the given length and
// bare diameter, in m. Insulation is left out.
func Mass(length, diameter float64) float64 {
	return Density * Area(diameter) * length
}

// HelixLength returns the length in m of the centreline of a helix,
//
//	l = N √((πD)² + p²),
//
// of N turns, fractions allowed, centreline diameter D and pitch p in m.
// Exact.
func HelixLength(turns, diameter, pitch float64) float64 {
	return turns * math.Hypot(math.Pi*diameter, pitch)
}
