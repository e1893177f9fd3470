package si

import (
	"math"
	"testing"
)

func TestFormat(t *testing.T) {
	for _, test := range []struct {
		v      float64
		unit   Unit
		digits int
		want   string
	}{
		{0.016, Millimetre, 4, "16.00\u202fmm"},
		{0.016, Millimetre, Shortest, "16\u202fmm"},
		{0.0254, Millimetre, Shortest, "25.4\u202fmm"},
		{0.015875, Inch, Shortest, "0.625\u202fin"},
		{-0.003, Millimetre, 2, "\u22123.0\u202fmm"},
		{0, Millimetre, 3, "0\u202fmm"},
		{math.Copysign(0, -1), Millimetre, 3, "0\u202fmm"},
		{4712345.6, Kilohertz, 4, "4712\u202fkHz"},
		{4712345.6, Hertz, 4, "4712000\u202fHz"},
		{9.9996, Metre, 4, "10.00\u202fm"},
		{293.15, Celsius, 3, "20.0\u202f°C"},
		{101325, Hectopascal, Shortest, "1013.25\u202fhPa"},
		{math.Pi / 6, Degree, 4, "30.00°"},
		{2.5, Plain, 3, "2.50"},
		{0.05, Percent, Shortest, "5\u202f%"},
		{1.5e-12, Metre, 2, "1.5×10⁻¹²\u202fm"},
		{2e20, Plain, 1, "2×10²⁰"},
		{0.00012, Plain, 2, "0.00012"},
		{math.NaN(), Hertz, 3, "–"},
		{math.Inf(1), Hertz, 3, "–"},
		{1, Plain, 0, "1"},
	} {
		if got := Format(test.v, test.unit, test.digits); got != test.want {
			t.Errorf("Format(%g, %v, %d) = %q, want %q", test.v, test.unit, test.digits, got, test.want)
		}
	}
}

func TestFormatPrefixed(t *testing.T) {
	for _, test := range []struct {
		v      float64
		base   Unit
		digits int
		want   string
	}{
		{4.7128e6, Hertz, 4, "4.713\u202fMHz"},
		{999.96e3, Hertz, 4, "1.000\u202fMHz"},
		{999.94e3, Hertz, 4, "999.9\u202fkHz"},
		{0.5, Hertz, 2, "0.50\u202fHz"},
		{2e12, Hertz, 2, "2000\u202fGHz"},
		{2.05e-12, Farad, 3, "2.05\u202fpF"},
		{4e-15, Farad, 1, "0.004\u202fpF"},
		{9.65e-4, Henry, 3, "965\u202fµH"},
		{-0.2, Ampere, 2, "\u2212200\u202fmA"},
		{2200, Ohm, Shortest, "2.2\u202fkΩ"},
		{0.0441, Metre, 3, "44.1\u202fmm"},
		{101325, Pascal, 4, "101.3\u202fkPa"},
		{0.0013, Kilogram, 2, "0.0013\u202fkg"},
		{0.0013, Gram, 2, "1.3\u202fg"},
		{0, Farad, 3, "0\u202fF"},
		{0.0254, Inch, 3, "1.00\u202fin"},
		{math.NaN(), Hertz, 3, "–"},
	} {
		if got := FormatPrefixed(test.v, test.base, test.digits); got != test.want {
			t.Errorf("FormatPrefixed(%g, %v, %d) = %q, want %q", test.v, test.base, test.digits, got, test.want)
		}
	}
}

func TestFormatNumber(t *testing.T) {
	if got, want := FormatNumber(-310, Shortest), "\u2212310"; got != want {
		t.Errorf("FormatNumber(-310) = %q, want %q", got, want)
	}
	if got, want := FormatOf(21.3, Celsius, Shortest), "21.3\u202f°C"; got != want {
		t.Errorf("FormatOf(21.3) = %q, want %q", got, want)
	}
}

func BenchmarkFormatPrefixed(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		FormatPrefixed(4.7128e6, Hertz, 4)
	}
}

func BenchmarkFormatInch(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		Format(0.0254, Inch, 4)
	}
}

func BenchmarkFormatShortest(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		Format(0.0254, Millimetre, Shortest)
	}
}

// FuzzFormat checks that whatever is printed is read again as the number it was
// rounded to, in every unit and with every number of digits.
func FuzzFormat(f *testing.F) {
	for _, v := range []float64{0, 0.016, 4.7e6, 2.05e-12, -273.15, 1e300, 3e-308, 999.96} {
		f.Add(v, uint8(Millimetre), int8(4))
		f.Add(v, uint8(Farad), int8(-1))
		f.Add(v, uint8(Celsius), int8(17))
	}
	f.Fuzz(func(t *testing.T, v float64, index uint8, digits int8) {
		unit := Unit(index) % unitCount
		const tiny = 1e-300 // well above smallestNormal, so that rounding down stays above it
		if math.IsNaN(v) || math.IsInf(v, 0) || v != 0 && math.Abs(v) < tiny {
			return
		}
		count := min(max(int(digits), 1), maxDigits)
		for _, text := range []string{Format(v, unit, int(digits)), FormatPrefixed(v, unit, int(digits))} {
			back, err := ParseIn(text, unit)
			if err != nil {
				// Rounding the largest numbers up leaves float64.
				if math.Abs(unit.Of(v)) > 1e300 || math.Abs(v) > 1e300 {
					return
				}
				t.Fatalf("ParseIn(%q, %v) fails: %v, printed from %g", text, unit, err, v)
			}
			if digits == Shortest && definitions[unit].offset == nil {
				if back != v {
					t.Errorf("ParseIn(%q, %v) = %.17g, want %.17g", text, unit, back, v)
				}
				continue
			}
			// Half a unit of the last digit, of the printed number, which for a
			// temperature is not the kelvin's; and float64's own rounding.
			reach := (math.Abs(unit.Of(v))*unit.Factor()*0.5*math.Pow10(1-count) + math.Abs(v)*0x1p-52)
			if math.Abs(back-v) > reach*(1+1e-9) {
				t.Errorf("ParseIn(%q, %v) = %.17g, want %.17g within %g", text, unit, back, v, reach)
			}
		}
	})
}

// TestTurnsHaveNoMoreDigitsThanAHandCanWind: whole numbers stand as they are.
func TestTurnsHaveNoMoreDigitsThanAHandCanWind(t *testing.T) {
	for _, test := range []struct {
		turns float64
		want  string
	}{
		{310, "310"}, {55.5, "55.5"}, {66.94934094333094, "66.95"}, {66.998, "67"}, {0.004, "0"}, {1250.25, "1250.25"},
	} {
		if got := FormatTurns(test.turns); got != test.want {
			t.Errorf("FormatTurns(%v) = %q, want %q", test.turns, got, test.want)
		}
	}
}
