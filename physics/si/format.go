package si

import (
	"math"
	"slices"
)

// Shortest, as a number of digits, asks for as few digits as name the value
// exactly when they are read again: what an entry field shows.
const Shortest = -1

// Characters of printed quantities.
const (
	minus    = "\u2212" // the minus sign, as wide as a plus
	gap      = "\u202f" // narrow no-break space between number and unit
	noNumber = "–"      // what is printed for NaN and infinities
)

// Format returns an SI value in a fixed unit, "16.00 mm": digits significant
// digits, zeros at the end included, or [Shortest]. The decimal mark is a
// point, the minus sign U+2212, and a narrow no-break space, U+202F, stands
// before the unit. NaN and infinities give a dash.
//
// [ParseIn] reads the text back: the value itself if printed with [Shortest]
// (in degrees Celsius or Fahrenheit to 10⁻¹³ K), else what it was rounded
// to.
func Format(v float64, unit Unit, digits int) string {
	return formatNumber(v, unit, digits) + unitSuffix(unit, "", v)
}

// FormatPrefixed is [Format] with the SI prefix that leaves one to three digits
// before the point, "4.713 MHz". Only prefixes in use for the quantity are
// taken. Base is the unit that takes them: hertz, metre, farad; with any other
// unit it does what [Format] does.
func FormatPrefixed(v float64, base Unit, digits int) string {
	kind := domains[base.Dimension()]
	if v == 0 || math.IsNaN(v) || math.IsInf(v, 0) || kind.base != base {
		return Format(v, base, digits)
	}
	d := decimalOf(v, base, digits)
	prefix, power := prefixFor(kind.prefixes, d.exponent)
	d.exponent -= power
	return d.String() + unitSuffix(base, prefix, v)
}

// prefixFor returns the prefix for a number whose first digit stands for
// 10^exponent, and the prefix's own power.
func prefixFor(sensible string, exponent int) (prefix string, power int) {
	const step = 3
	type choice struct {
		prefix string
		power  int
	}
	choices := []choice{{"", 0}}
	for _, r := range sensible {
		if p := prefixPowers[r]; p%step == 0 { // not centi, hecto
			choices = append(choices, choice{string(r), p})
		}
	}
	slices.SortFunc(choices, func(a, b choice) int { return a.power - b.power })
	best := choices[0]
	for _, c := range choices {
		if c.power <= exponent {
			best = c
		}
	}
	return best.prefix, best.power
}

// FormatTurns writes a number of turns to the hundredth, which is as near as a hand
// places the end of a wire.
func FormatTurns(turns float64) string {
	const parts = 100
	return FormatNumber(math.Round(turns*parts)/parts, Shortest)
}

// FormatNumber returns a number without a unit, as [Format] does.
func FormatNumber(n float64, digits int) string {
	return formatNumber(n, Plain, digits)
}

// FormatOf returns a number that is already one of the unit, "30°": the
// counterpart of [ParseNumber].
func FormatOf(n float64, unit Unit, digits int) string {
	return formatNumber(n, Plain, digits) + unitSuffix(unit, "", n)
}

// unitSuffix returns the unit as it stands behind a number.
func unitSuffix(unit Unit, prefix string, v float64) string {
	symbol := prefix + unit.Symbol()
	if symbol == "" || math.IsNaN(v) || math.IsInf(v, 0) {
		return ""
	}
	if unit == Degree { // the SI Brochure's one exception, section 5.4.3
		return symbol
	}
	return gap + symbol
}

// formatNumber writes an SI value as a number of a unit.
func formatNumber(v float64, unit Unit, digits int) string {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return noNumber
	}
	return decimalOf(v, unit, digits).String()
}
