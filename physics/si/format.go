package si

import (
	"math"
	"math/big"
	"slices"
	"strconv"
	"strings"
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

// A number whose first digit stands beyond these powers of ten is printed with
// a power of ten of its own.
const (
	plainFrom = -6
	plainTo   = 14
)

// maxDigits name any float64 exactly enough to get it back.
const maxDigits = 17

// Format returns an SI value in a fixed unit, "16.00 mm": digits significant
// digits, zeros at the end included, or [Shortest]. The decimal mark is a
// point, the minus sign U+2212, and a narrow no-break space, U+202F, stands
// before the unit. NaN and infinities give a dash.
//
// [ParseIn] reads the text back: the value itself if printed with [Shortest]
// (in degrees Celsius or Fahrenheit to 10⁻¹³ K), else what it was rounded
// to.
func Format(v float64, unit Unit, digits int) string {
	return formatExact(v, unit, 0, digits) + unitSuffix(unit, "", v)
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
	_, exponent := decompose(base.exactOf(new(big.Rat).SetFloat64(v)), significant(digits))
	prefix, power := prefixFor(kind.prefixes, exponent)
	return formatExact(v, base, power, digits) + unitSuffix(base, prefix, v)
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

// FormatNumber returns a number without a unit, as [Format] does.
func FormatNumber(n float64, digits int) string {
	return formatExact(n, Plain, 0, digits)
}

// FormatOf returns a number that is already one of the unit, "30°": the
// counterpart of [ParseNumber].
func FormatOf(n float64, unit Unit, digits int) string {
	return formatExact(n, Plain, 0, digits) + unitSuffix(unit, "", n)
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

// significant returns the number of digits to round to.
func significant(digits int) int {
	if digits == Shortest {
		return maxDigits
	}
	return min(max(digits, 1), maxDigits)
}

// formatExact returns an SI value as a number of 10^power units.
func formatExact(v float64, unit Unit, power, digits int) string {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return noNumber
	}
	m := measure{unit, power}
	n := unit.exactOf(new(big.Rat).SetFloat64(v))
	n.Quo(n, powerOfTen(power))
	if digits != Shortest {
		mantissa, exponent := decompose(n, significant(digits))
		return spell(n.Sign(), mantissa, exponent)
	}
	// A decimal of 15 digits survives a float64 (IEEE 754), so what was typed
	// with no more is found again; 17 always do.
	for count := 15; ; count++ {
		mantissa, exponent := decompose(n, count)
		rounded, _ := new(big.Rat).SetString(mantissa)
		rounded.Mul(rounded, powerOfTen(exponent-len(mantissa)+1))
		if n.Sign() < 0 {
			rounded.Neg(rounded)
		}
		if count == maxDigits || float(m.si(rounded)) == v {
			mantissa = strings.TrimRight(mantissa, "0")
			return spell(n.Sign(), mantissa, exponent)
		}
	}
}

// decompose rounds the magnitude of n to count significant digits and returns
// them and the power of ten of the first.
func decompose(n *big.Rat, count int) (digits string, exponent int) {
	if n.Sign() == 0 {
		return "0", 0
	}
	// 256 bits hold 17 digits with so much to spare that rounding twice cannot
	// go wrong for any n that a float64 times a factor can give.
	const bits = 256
	text := new(big.Float).SetPrec(bits).SetRat(new(big.Rat).Abs(n)).Text('e', count-1)
	mantissa, power, _ := strings.Cut(text, "e")
	exponent, _ = strconv.Atoi(power)
	return strings.Replace(mantissa, ".", "", 1), exponent
}

// spell writes digits, of which the first stands for 10^exponent.
func spell(sign int, digits string, exponent int) string {
	if sign == 0 {
		return "0"
	}
	var b strings.Builder
	if sign < 0 {
		b.WriteString(minus)
	}
	switch {
	case exponent < plainFrom || exponent > plainTo:
		b.WriteString(digits[:1])
		if len(digits) > 1 {
			b.WriteString("." + digits[1:])
		}
		b.WriteString("×10" + superscript(exponent))
	case exponent < 0:
		b.WriteString("0." + strings.Repeat("0", -exponent-1) + digits)
	case len(digits) <= exponent+1:
		b.WriteString(digits + strings.Repeat("0", exponent+1-len(digits)))
	default:
		b.WriteString(digits[:exponent+1] + "." + digits[exponent+1:])
	}
	return b.String()
}

// superscript returns an exponent as raised digits.
func superscript(n int) string {
	raised := []rune(superscripts)
	var b strings.Builder
	for _, r := range strconv.Itoa(n) {
		if r == '-' {
			b.WriteRune('⁻')
			continue
		}
		b.WriteRune(raised[r-'0'])
	}
	return b.String()
}
