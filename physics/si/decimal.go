package si

import (
	"math/big"
	"strconv"
	"strings"
	"sync"
)

// A number whose first digit stands beyond these powers of ten is printed with
// a power of ten of its own.
const (
	plainFrom = -6
	plainTo   = 14
)

// maxDigits name any float64 exactly enough to get it back.
const maxDigits = 17

// decimal is a number as it is printed.
type decimal struct {
	negative bool
	digits   string // at least one, the first not 0 unless the number is
	exponent int    // power of ten of the first digit
}

// decimalOf returns a finite SI value as a number of a unit, rounded to some
// significant digits or [Shortest].
func decimalOf(v float64, unit Unit, digits int) decimal {
	count := min(max(digits, 1), maxDigits)
	if digits == Shortest {
		count = Shortest
	}
	scale := scales()[unit]
	if !scale.decimal {
		return inexactDecimal(v, unit, count)
	}
	// Another power of ten moves the point and leaves the digits alone.
	format := count - 1
	if count == Shortest {
		format = -1
	}
	d := cutDecimal(strconv.FormatFloat(v, 'e', format, 64))
	d.exponent -= scale.power
	return d
}

// scale says of a unit whether it is a power of ten of its SI unit, which
// inches and degrees Celsius are not, and which.
type scale struct {
	decimal bool
	power   int
}

var scales = sync.OnceValue(func() (list [unitCount]scale) {
	for u := range unitCount {
		d := definitions[u]
		const least, most = -12, 9 // pico, giga
		for power := least; power <= most && d.offset == nil; power++ {
			if d.factor.Cmp(powerOfTen(power)) == 0 {
				list[u] = scale{true, power}
			}
		}
	}
	return list
})

// inexactDecimal is decimalOf for a unit that is no power of ten.
func inexactDecimal(v float64, unit Unit, count int) decimal {
	n := unit.exactOf(new(big.Rat).SetFloat64(v))
	if count != Shortest {
		return roundDecimal(n, count)
	}
	// A decimal of 15 digits survives a float64 (IEEE 754), so what was typed
	// with no more is found again; 17 always do.
	for count := 15; ; count++ {
		d := roundDecimal(n, count)
		if count == maxDigits || float(unit.exactSI(d.exact())) == v {
			d.digits = d.digits[:1] + strings.TrimRight(d.digits[1:], "0")
			return d
		}
	}
}

// roundDecimal rounds a fraction.
func roundDecimal(n *big.Rat, count int) decimal {
	// 256 bits hold 17 digits with so much to spare that rounding twice cannot
	// go wrong for any number that a float64 times a factor can give.
	const bits = 256
	return cutDecimal(new(big.Float).SetPrec(bits).SetRat(n).Text('e', count-1))
}

// cutDecimal reads what the standard library prints with an exponent.
func cutDecimal(text string) decimal {
	text, negative := strings.CutPrefix(text, "-")
	mantissa, power, _ := strings.Cut(text, "e")
	exponent, _ := strconv.Atoi(power)
	d := decimal{negative, strings.Replace(mantissa, ".", "", 1), exponent}
	if strings.Trim(d.digits, "0") == "" {
		return decimal{digits: "0"}
	}
	return d
}

// exact returns the number as a fraction.
func (d decimal) exact() *big.Rat {
	n, _ := new(big.Rat).SetString(d.digits)
	n.Mul(n, powerOfTen(d.exponent-len(d.digits)+1))
	if d.negative {
		n.Neg(n)
	}
	return n
}

// String writes the number; 0 has neither sign nor decimals.
func (d decimal) String() string {
	if d.digits == "0" {
		return "0"
	}
	var b strings.Builder
	if d.negative {
		b.WriteString(minus)
	}
	switch {
	case d.exponent < plainFrom || d.exponent > plainTo:
		b.WriteString(d.digits[:1])
		if len(d.digits) > 1 {
			b.WriteString("." + d.digits[1:])
		}
		b.WriteString("×10" + superscript(d.exponent))
	case d.exponent < 0:
		b.WriteString("0." + strings.Repeat("0", -d.exponent-1) + d.digits)
	case len(d.digits) <= d.exponent+1:
		b.WriteString(d.digits + strings.Repeat("0", d.exponent+1-len(d.digits)))
	default:
		b.WriteString(d.digits[:d.exponent+1] + "." + d.digits[d.exponent+1:])
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
