package measurement

import (
	"math"
	"strconv"
	"testing"
)

func TestParseDecimal(t *testing.T) {
	for _, test := range []struct {
		text string
		mark byte
		want float64
		ok   bool
	}{
		{"0", '.', 0, true},
		{"-1.5", '.', -1.5, true},
		{"+2", '.', 2, true},
		{".5", '.', 0.5, true},
		{"5.", '.', 5, true},
		{"1.25E-06", '.', 1.25e-6, true},
		{"1.25d+3", '.', 1250, true},
		{"1,25", ',', 1.25, true},
		{"1,25", '.', 0, false},
		{"1.25", ',', 0, false},
		{"123456789012345678901234567890", '.', 1.2345678901234568e29, true},
		{"0.00000000000000000000000000012345678901234567890", '.', 1.234567890123456789e-28, true},
		{"1e-300", '.', 1e-300, true},
		{"9.91E+37", '.', 9.91e37, true},
		{"1e400", '.', 0, false},
		{"", '.', 0, false},
		{"-", '.', 0, false},
		{".", '.', 0, false},
		{"1e", '.', 0, false},
		{"1e+", '.', 0, false},
		{"1e5x", '.', 0, false},
		{"0x10", '.', 0, false},
		{"1_000", '.', 0, false},
		{"NaN", '.', 0, false},
		{"inf", '.', 0, false},
		{"1.2.3", '.', 0, false},
		{" 1", '.', 0, false},
	} {
		got, ok := parseDecimal([]byte(test.text), test.mark)
		if got != test.want || ok != test.ok {
			t.Errorf("parseDecimal(%q, %q) = %g, %t; want %g, %t", test.text, test.mark, got, ok, test.want, test.ok)
		}
	}
}

// What it takes for a number is the number that the standard library reads, to
// the last bit.
func FuzzParseDecimal(f *testing.F) {
	for _, seed := range []string{"1.25E-06", "-0.001", "123456789012345678", "9007199254740993", "1e22", "1e23", "4.9e-324"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		got, ok := parseDecimal([]byte(text), '.')
		if !ok {
			return
		}
		if math.IsNaN(got) || math.IsInf(got, 0) {
			t.Fatalf("parseDecimal(%q) = %g", text, got)
		}
		plain := []byte(text)
		for i, c := range plain {
			if c|0x20 == 'd' {
				plain[i] = 'e'
			}
		}
		want, err := strconv.ParseFloat(string(plain), 64)
		if err != nil || math.Float64bits(got) != math.Float64bits(want) {
			t.Fatalf("parseDecimal(%q) = %g, want %g, %v", text, got, want, err)
		}
	})
}
