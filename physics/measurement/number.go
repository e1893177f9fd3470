package measurement

import "strconv"

// Bounds within which mantissa × 10^exponent is rounded once, so that the
// quick path of parseDecimal is exact: a mantissa of 53 bits and powers of ten
// that a float64 holds.
const (
	exactMantissa = 1 << 53
	exactPower    = 22
)

var powersOfTen = [exactPower + 1]float64{1, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11,
	1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19, 1e20, 1e21, 1e22}

// parseDecimal returns the number that text is, whole, with mark as its
// decimal mark; false if it is none. Infinities, NaN and numbers beyond a
// float64 are none. The exponent's letter is E or, as Fortran writes it, D.
//
// It is here because files have tens of millions of numbers, some with decimal
// commas: it takes half the time of strconv.ParseFloat (BenchmarkParseDecimal,
// BenchmarkParseFloat).
func parseDecimal(text []byte, mark byte) (float64, bool) {
	const maxDigits = 18 // of a uint64, never overflowing
	i, n := 0, len(text)
	negative := false
	if i < n && (text[i] == '-' || text[i] == '+') {
		negative = text[i] == '-'
		i++
	}
	var mantissa uint64
	digits, power := 0, 0
	seen, fraction := false, false
	for ; i < n; i++ {
		c := text[i]
		switch {
		case c >= '0' && c <= '9':
			seen = true
			if mantissa > 0 || c != '0' {
				digits++
			}
			if digits > maxDigits {
				return parseLong(text, mark)
			}
			mantissa = mantissa*10 + uint64(c-'0')
			if fraction {
				power--
			}
			continue
		case c == mark && !fraction:
			fraction = true
			continue
		}
		break
	}
	if !seen {
		return 0, false
	}
	if i < n {
		exponent, ok := parseExponent(text[i:])
		if !ok {
			return 0, false
		}
		power += exponent
	}
	if mantissa >= exactMantissa || power < -exactPower || power > exactPower {
		return parseLong(text, mark)
	}
	v := float64(mantissa)
	if power < 0 {
		v /= powersOfTen[-power]
	} else {
		v *= powersOfTen[power]
	}
	if negative {
		v = -v
	}
	return v, true
}

// parseExponent reads "E-06".
func parseExponent(text []byte) (int, bool) {
	if c := text[0] | 0x20; c != 'e' && c != 'd' {
		return 0, false
	}
	i := 1
	negative := false
	if i < len(text) && (text[i] == '-' || text[i] == '+') {
		negative = text[i] == '-'
		i++
	}
	if i == len(text) || len(text)-i > 4 {
		return 0, false
	}
	e := 0
	for ; i < len(text); i++ {
		if text[i] < '0' || text[i] > '9' {
			return 0, false
		}
		e = e*10 + int(text[i]-'0')
	}
	if negative {
		e = -e
	}
	return e, true
}

// parseLong is parseDecimal for numbers of many digits or far powers.
func parseLong(text []byte, mark byte) (float64, bool) {
	plain := make([]byte, len(text))
	for i, c := range text {
		switch {
		case c == mark:
			c = '.'
		case c|0x20 == 'd':
			c = 'e'
		case c|0x20 != 'e' && c != '+' && c != '-' && (c < '0' || c > '9'):
			return 0, false
		}
		plain[i] = c
	}
	v, err := strconv.ParseFloat(string(plain), 64)
	if err != nil {
		return 0, false
	}
	return v, true
}
