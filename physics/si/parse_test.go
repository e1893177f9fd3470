package si

import (
	"errors"
	"math"
	"strings"
	"testing"
)

func TestParseIn(t *testing.T) {
	for _, test := range []struct {
		text   string
		unit   Unit
		want   float64 // SI
		source string
	}{
		{"16 mm", Millimetre, 0.016, "SI Brochure, prefixes"},
		{"16", Millimetre, 0.016, "the unit assumed"},
		{"16", Metre, 16, "the unit assumed"},
		{"0.3mm", Metre, 0.0003, "rounded once"},
		{"1.5 cm", Millimetre, 0.015, "SI Brochure, prefixes"},
		{"5 m", Millimetre, 5, "SI Brochure"},
		{"25 µm", Millimetre, 25e-6, "U+00B5"},
		{"25 μm", Millimetre, 25e-6, "U+03BC"},
		{"25um", Millimetre, 25e-6, "u for µ"},
		{"16 MILS", Millimetre, 16 * 0.0254e-3, "NIST SP 811, appendix B"},
		{"5/8 in", Millimetre, 0.015875, "NIST SP 811, appendix B: 25.4 mm"},
		{`5/8"`, Millimetre, 0.015875, "NIST SP 811, appendix B"},
		{"5 ⁄ 8″", Millimetre, 0.015875, "U+2044, U+2033"},
		{"⅝ in", Millimetre, 0.015875, "a character of its own"},
		{"1 5/8 in", Millimetre, 0.041275, "1.625 × 25.4 mm"},
		{"1⅝ IN", Millimetre, 0.041275, "1.625 × 25.4 mm"},
		{"1\u202f5/8 in", Millimetre, 0.041275, "narrow no-break space"},
		{"3/4", Inch, 0.01905, "the unit assumed"},
		{"2 ft", Metre, 0.6096, "NIST SP 811, appendix B: 0.3048 m"},
		{".5 in", Inch, 0.0127, "no digit before the mark"},
		{"5. mm", Millimetre, 0.005, "no digit behind the mark"},
		{"-3 mm", Millimetre, -0.003, "hyphen"},
		{"−3 mm", Millimetre, -0.003, "U+2212"},
		{"+3 mm", Millimetre, 0.003, "a plus"},

		{"1.8 MHz", Hertz, 1.8e6, "SI Brochure, prefixes"},
		{"1,8 MHz", Hertz, 1.8e6, "decimal comma, SI Brochure 5.4.4"},
		{"1.800 MHz", Hertz, 1.8e6, "a point is a decimal mark always"},
		{"0,250 MHz", Hertz, 0.25e6, "nothing groups behind a zero"},
		{"1 800 kHz", Hertz, 1.8e6, "groups of three by spaces, SI Brochure 5.4.4"},
		{"1\u2009800\u00a0000", Hertz, 1.8e6, "thin and no-break spaces"},
		{"1800khz", Megahertz, 1.8e6, "case does not matter here"},
		{"1.8M", Hertz, 1.8e6, "a lone prefix"},
		{"1.8", Megahertz, 1.8e6, "the unit assumed"},
		{"1e3", Kilohertz, 1e6, "a power of ten"},
		{"1.5×10⁻³ MHz", Hertz, 1500, "a power of ten as printed"},
		{"1.5*10^-3 MHz", Hertz, 1500, "a power of ten as typed"},

		{"2k2", Ohm, 2200, "IEC 60062"},
		{"2K2", Ohm, 2200, "K for k"},
		{"4R7", Ohm, 4.7, "IEC 60062"},
		{"0R47 Ω", Ohm, 0.47, "IEC 60062"},
		{"2k2 ohm", Ohm, 2200, "IEC 60062, with the unit"},
		{"1M", Ohm, 1e6, "a lone prefix"},
		{"10 mΩ", Ohm, 0.01, "m is milli"},
		{"10 M\u2126", Ohm, 1e7, "ohm sign"},
		{"47R", Ohm, 47, "R for ohm"},
		{"4n7", Farad, 4.7e-9, "IEC 60062"},
		{"4n7", Picofarad, 4.7e-9, "the prefix counts from the base unit"},
		{"100n", Picofarad, 1e-7, "a lone prefix"},
		{"3.3 µF", Farad, 3.3e-6, "U+00B5"},
		{"3.3 uF", Farad, 3.3e-6, "u for µ"},
		{"3.3 UF", Farad, 3.3e-6, "case does not matter here"},
		{"4.7 pf", Farad, 4.7e-12, "case does not matter here"},
		{"950 uH", Henry, 950e-6, "u for µ"},
		{"1 mH", Microhenry, 1e-3, "m is milli"},
		{"-2k2", Ohm, -2200, "a sign before an inlaid prefix"},

		{"20", Celsius, 293.15, "0 °C = 273.15 K, SI Brochure"},
		{"−40 °F", Celsius, 233.15, "−40 °F = −40 °C"},
		{"68F", Celsius, 293.15, "NIST SP 811, B.1.2"},
		{"300 K", Celsius, 300, "SI Brochure"},
		{"1013.25", Hectopascal, 101325, "standard atmosphere"},
		{"1000 mbar", Hectopascal, 1e5, "1 mbar = 1 hPa"},
		{"30 kV/cm", VoltPerMetre, 3e6, "100 cm to the metre"},
		{"180", Degree, math.Pi, "a half turn"},
		{"2 rad", Degree, 2, "SI"},
		{"5 %", Plain, 0.05, "SI Brochure 5.4.7"},
		{"310 turns", Plain, 310, "a counted noun"},
		{"2k2", Plain, 2200, "a prefix on a number"},
		{"200 mA", Ampere, 0.2, "m is milli"},
		{"12 kV", Volt, 12e3, "SI Brochure, prefixes"},
		{"25 g", Kilogram, 0.025, "SI Brochure: the kilogram"},
	} {
		got, err := ParseIn(test.text, test.unit)
		if err != nil || got != test.want {
			t.Errorf("ParseIn(%q, %v) = %.17g, %v, want %.17g (%s)", test.text, test.unit, got, err, test.want, test.source)
		}
	}
}

func TestParseInRefuses(t *testing.T) {
	for _, test := range []struct {
		text  string
		unit  Unit
		want  error
		plain string // a part of the text that the user needs
	}{
		{"", Millimetre, ErrSyntax, "16 mm"},
		{"   ", Hertz, ErrSyntax, "1.8 MHz"},
		{"abc", Millimetre, ErrSyntax, "does not read as a number"},
		{"mm", Millimetre, ErrSyntax, "number"},
		{"--3", Millimetre, ErrSyntax, "number"},
		{".", Millimetre, ErrSyntax, "number"},
		{"1.2.3", Millimetre, ErrSyntax, "more than one decimal mark"},
		{"1,234.5", Hertz, ErrSyntax, "more than one decimal mark"},
		{"1,800 MHz", Hertz, ErrSyntax, "1.800 or 1800"},
		{"2.2k2", Ohm, ErrSyntax, "two decimal marks"},
		{"5/", Inch, ErrSyntax, "below the stroke"},
		{"5/0 in", Inch, ErrRange, "divides by zero"},
		{strings.Repeat("1", 101), Plain, ErrSyntax, "too long"},

		{"1.8 MHz", Millimetre, ErrUnit, "a unit of frequency; here a length"},
		{"16 mm", Hertz, ErrUnit, "a unit of length; here a frequency"},
		{"5 H", Farad, ErrUnit, "a unit of inductance"},
		{"20 °C", Millimetre, ErrUnit, "a unit of temperature"},
		{"5 %", Millimetre, ErrUnit, "“%” is no unit of length"},
		{"16 xyz", Millimetre, ErrUnit, "“xyz” is no unit of length"},
		{"16 mm 3", Millimetre, ErrUnit, "“mm 3”"},
		{"16 mm", Plain, ErrUnit, "a plain number"},
		{"2k2", Millimetre, ErrUnit, "“k” is no unit of length"},
		{"1.8 mHz", Hertz, ErrUnit, "the m of milli: for mega write “MHz”"},
		{"1.8 mhz", Hertz, ErrUnit, "for mega write “MHz”"},
		{"1.8m", Hertz, ErrUnit, "for mega write “MHz”"},
		{"16 MM", Millimetre, ErrUnit, "for milli write “mm”"},
		{"5 M", Millimetre, ErrUnit, "write “m”"},
		{"1 MH", Henry, ErrUnit, "for milli write “mH”"},

		{"NaN", Millimetre, ErrRange, "finite"},
		{"inf", Millimetre, ErrRange, "finite"},
		{"-Infinity mm", Millimetre, ErrRange, "finite"},
		{"∞", Millimetre, ErrRange, "finite"},
		{"1e309", Metre, ErrRange, "too large"},
		{"1e-330", Metre, ErrRange, "too small"},
		{"1e999999999", Metre, ErrRange, "power of ten"},
		{"1e99999999999999999999", Metre, ErrRange, "power of ten"},
	} {
		got, err := ParseIn(test.text, test.unit)
		if !errors.Is(err, test.want) {
			t.Errorf("ParseIn(%q, %v) = %g, %v, want an error that is %q", test.text, test.unit, got, err, test.want)
			continue
		}
		if !strings.Contains(err.Error(), test.plain) {
			t.Errorf("ParseIn(%q, %v) says %q, want it to say %q", test.text, test.unit, err, test.plain)
		}
	}
}

func TestParseNumber(t *testing.T) {
	for _, test := range []struct {
		text string
		unit Unit
		want float64
	}{
		{"21.3", Celsius, 21.3}, // by way of 294.45 K it is 21.30000000000001
		{"68 °F", Celsius, 20},
		{"30°", Degree, 30},
		{"0.7 deg", Degree, 0.7},
	} {
		got, err := ParseNumber(test.text, test.unit)
		if err != nil || got != test.want {
			t.Errorf("ParseNumber(%q, %v) = %.17g, %v, want %g", test.text, test.unit, got, err, test.want)
		}
	}
}

func BenchmarkParseIn(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		if _, err := ParseIn("1 5/8 in", Millimetre); err != nil {
			b.Fatal(err)
		}
	}
}

func FuzzParseIn(f *testing.F) {
	for _, text := range []string{"5/8 in", "1 5/8″", "2k2", "4n7", "1,8 MHz", "1.5×10⁻³ MHz", "−40 °F", "1 800 kHz", "NaN", "1e400"} {
		f.Add(text, uint8(Millimetre))
		f.Add(text, uint8(Hertz))
		f.Add(text, uint8(Ohm))
	}
	f.Fuzz(func(t *testing.T, text string, index uint8) {
		unit := Unit(index) % unitCount
		v, err := ParseIn(text, unit)
		if err != nil {
			if err.Error() == "" || strings.ContainsAny(err.Error(), "\n\r") {
				t.Errorf("ParseIn(%q, %v) fails with %q, want one line", text, unit, err)
			}
			return
		}
		if math.IsNaN(v) || math.IsInf(v, 0) {
			t.Fatalf("ParseIn(%q, %v) = %g, want a finite number", text, unit, v)
		}
		back, err := ParseIn(Format(v, unit, Shortest), unit)
		if definitions[unit].offset != nil && math.Abs(back-v) <= 1e-14*max(math.Abs(v), 273.15) {
			return
		}
		if err != nil || back != v {
			t.Errorf("ParseIn(%q) = %.17g, %v, want %.17g, printed from %q", Format(v, unit, Shortest), back, err, v, text)
		}
	})
}
