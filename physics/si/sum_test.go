package si

import (
	"errors"
	"math"
	"testing"

	"gonum.org/v1/gonum/floats/scalar"
)

// TestCalculations: the expected values are the same sums done by hand, with
// the inch of 25.4 mm exactly (international yard and pound agreement of 1959).
func TestCalculations(t *testing.T) {
	for _, test := range []struct {
		text string
		unit Unit
		want float64 // SI
	}{
		{"5/8 in + 2*1.29mm", Millimetre, 15.875e-3 + 2.58e-3},
		{"1 5/8 in - 1/8 in", Millimetre, 38.1e-3},
		{"16 + 2 mm", Millimetre, 18e-3},
		{"2 mm + 1/2 in", Inch, 14.7e-3},
		{"(16 + 0.5) / 2", Millimetre, 8.25e-3},
		{"25.4 mm / 2", Millimetre, 12.7e-3},
		{"25.4mm/2 + 1", Millimetre, 13.7e-3},
		{"3.5/2", Millimetre, 1.75e-3},
		{"2 × 3 mm", Millimetre, 6e-3},
		{"-(1 - 3)", Plain, 2},
		{"2*-3 + 8", Plain, 2},
		{"10/4*2", Plain, 5},
		{"1e-3 + 1e-3", Metre, 2e-3},
		{"310*2", Plain, 620},
		{"2k2 + 2*1k", Ohm, 4200},
		{"70 mm / 10 mm", Plain, math.NaN()}, // a length is no number of turns
		{"10−4", Millimetre, 6e-3},
		{"20 + 5", Celsius, 298.15},
	} {
		got, err := ParseIn(test.text, test.unit)
		if math.IsNaN(test.want) {
			if err == nil {
				t.Errorf("ParseIn(%q) = %g, want it refused", test.text, got)
			}
			continue
		}
		if err != nil || !scalar.EqualWithinRel(got, test.want, 1e-12) {
			t.Errorf("ParseIn(%q) = %g, error %v, want %g", test.text, got, err, test.want)
		}
	}
}

func TestRefusedCalculations(t *testing.T) {
	for _, test := range []struct {
		text string
		unit Unit
		want error
	}{
		{"2 mm * 3 mm", Millimetre, ErrUnit},
		{"2 / 3 mm", Millimetre, nil}, // two thirds of a millimetre
		{"(2 + 3", Millimetre, ErrSyntax},
		{"2 + 3)", Millimetre, ErrSyntax},
		{"2 +", Millimetre, ErrSyntax},
		{"* 2", Millimetre, ErrSyntax},
		{"5 / (1 - 1)", Millimetre, ErrRange},
		{"2 mm + 3 pF", Millimetre, ErrUnit},
		{"20 °C + 5", Celsius, ErrUnit},
		{"((((((((((((((((((((((2))))))))))))))))))))))", Plain, ErrSyntax},
	} {
		if got, err := ParseIn(test.text, test.unit); !errors.Is(err, test.want) || test.want == nil && err != nil {
			t.Errorf("ParseIn(%q) = %g, error %v, want %v", test.text, got, err, test.want)
		}
	}
}
