package si

import (
	"math/big"
	"strconv"
	"strings"
)

// maxExponent bounds powers of ten that are typed. It is beyond float64, and
// keeps the exact fraction from filling the memory.
const maxExponent = 400

// vulgar are the fractions that have a character of their own.
var vulgar = map[rune]*big.Rat{
	'½': ratio(1, 2), '⅓': ratio(1, 3), '⅔': ratio(2, 3), '¼': ratio(1, 4), '¾': ratio(3, 4),
	'⅛': ratio(1, 8), '⅜': ratio(3, 8), '⅝': ratio(5, 8), '⅞': ratio(7, 8),
}

// number reads an unsigned number: a decimal, a fraction, or a whole number
// and a fraction, with a power of ten.
func (p *parser) number() (*big.Rat, error) {
	if f, ok := p.vulgarFraction(); ok {
		return f, nil
	}
	token := p.decimalToken()
	n, err := p.decimal(token)
	if err != nil {
		return nil, err
	}
	whole := !strings.ContainsAny(token, ".,")
	if whole {
		if f, ok, err := p.fraction(n); ok || err != nil {
			return f, err
		}
	}
	return p.power(n)
}

// decimalToken takes digits and decimal marks, and spaces that group digits in
// threes.
func (p *parser) decimalToken() string {
	var b strings.Builder
	take := func() {
		for len(p.rest) > 0 && (digit(p.rest[0]) || p.rest[0] == '.' || p.rest[0] == ',') {
			b.WriteRune(p.rest[0])
			p.rest = p.rest[1:]
		}
	}
	take()
	if n := b.Len(); n == 0 || n > 3 || strings.ContainsAny(b.String(), ".,") {
		return b.String()
	}
	for p.grouped() {
		p.rest = p.rest[1:] // the space
		take()
		if strings.ContainsAny(b.String(), ".,") {
			break
		}
	}
	return b.String()
}

// grouped reports whether the rest is a space and exactly three digits of the
// same number.
func (p *parser) grouped() bool {
	const group = 3
	if len(p.rest) < 1+group || p.rest[0] != ' ' {
		return false
	}
	digits, behind := digitsOf(p.rest[1:])
	return len(digits) == group && (len(behind) == 0 || behind[0] != '/')
}

// decimal reads a token of digits and marks.
func (p *parser) decimal(token string) (*big.Rat, error) {
	points, commas := strings.Count(token, "."), strings.Count(token, ",")
	if points+commas == len(token) {
		return nil, p.noNumber()
	}
	if points+commas > 1 {
		return nil, refuse(ErrSyntax, "%s has more than one decimal mark: leave out what groups the digits", quote(token))
	}
	if before, after, found := strings.Cut(token, ","); found {
		if len(after) == 3 && 0 < len(before) && len(before) <= 3 && before[0] != '0' {
			return nil, refuse(ErrSyntax, "%s could be %s.%s or %s%s: type one of them", quote(token), before, after, before, after)
		}
		token = before + "." + after
	}
	if token[0] == '.' {
		token = "0" + token
	}
	n, ok := new(big.Rat).SetString(strings.TrimSuffix(token, "."))
	if !ok {
		return nil, p.noNumber()
	}
	return n, nil
}

// vulgarFraction takes a fraction that is one character.
func (p *parser) vulgarFraction() (*big.Rat, bool) {
	if len(p.rest) == 0 {
		return nil, false
	}
	f, ok := vulgar[p.rest[0]]
	if !ok {
		return nil, false
	}
	p.rest = p.rest[1:]
	return new(big.Rat).Set(f), true
}

// fraction takes "/8" behind a whole number, or " 5/8" or "⅝".
func (p *parser) fraction(whole *big.Rat) (*big.Rat, bool, error) {
	rest := p.rest
	p.space()
	if f, ok := p.vulgarFraction(); ok {
		return f.Add(f, whole), true, nil
	}
	numerator := whole
	mixed := false
	if len(p.rest) < len(rest) { // there was a space
		if digits, behind := digitsOf(p.rest); digits != "" && len(behind) > 0 && behind[0] == '/' {
			numerator, _ = new(big.Rat).SetString(digits)
			p.rest = behind
			mixed = true
		}
	}
	if len(p.rest) == 0 || p.rest[0] != '/' {
		p.rest = rest
		return nil, false, nil
	}
	p.rest = p.rest[1:]
	p.space()
	digits, behind := digitsOf(p.rest)
	denominator, ok := new(big.Rat).SetString(digits)
	if !ok {
		return nil, false, refuse(ErrSyntax, "the fraction in %s has no whole number below the stroke", quote(p.text))
	}
	if denominator.Sign() == 0 {
		return nil, false, refuse(ErrRange, "%s divides by zero", quote(p.text))
	}
	p.rest = behind
	f := new(big.Rat).Quo(numerator, denominator)
	if mixed {
		f.Add(f, whole)
	}
	return f, true, nil
}

// superscripts are the digits of a printed exponent.
const superscripts = "⁰¹²³⁴⁵⁶⁷⁸⁹"

// power multiplies by "e-3", "×10⁻³" or "x10^-3" if that comes next.
func (p *parser) power(n *big.Rat) (*big.Rat, error) {
	rest := string(p.rest)
	var after string
	switch {
	case strings.HasPrefix(rest, "e"), strings.HasPrefix(rest, "E"):
		after = rest[1:]
	default:
		times := strings.TrimLeft(rest, " ")
		trimmed := strings.TrimLeft(times, "×x*·")
		if trimmed == times {
			return n, nil
		}
		trimmed = strings.TrimLeft(trimmed, " ")
		if !strings.HasPrefix(trimmed, "10") {
			return n, nil
		}
		after = plainDigits(strings.TrimPrefix(strings.TrimPrefix(trimmed, "10"), "^"))
	}
	runes := []rune(after)
	sign := ""
	if len(runes) > 0 && (runes[0] == '-' || runes[0] == '+') {
		sign, runes = string(runes[0]), runes[1:]
	}
	digits, behind := digitsOf(runes)
	if digits == "" {
		return n, nil // no power after all; what it is shows when the unit is read
	}
	exponent, err := strconv.Atoi(sign + digits)
	if err != nil || exponent > maxExponent || exponent < -maxExponent {
		return nil, refuse(ErrRange, "the power of ten in %s is out of reach", quote(p.text))
	}
	p.rest = behind
	return n.Mul(n, powerOfTen(exponent)), nil
}

// plainDigits turns the superscripts at the front of a text into plain digits.
func plainDigits(text string) string {
	var b strings.Builder
	raised := true
	for _, r := range text {
		switch i := strings.IndexRune(superscripts, r); {
		case raised && r == '⁻':
			b.WriteByte('-')
		case raised && i >= 0:
			b.WriteByte(byte('0' + len([]rune(superscripts[:i]))))
		default:
			raised = false
			b.WriteRune(r)
		}
	}
	return b.String()
}

// powerOfTen returns 10ⁿ exactly.
func powerOfTen(n int) *big.Rat {
	p := new(big.Int).Exp(big.NewInt(10), big.NewInt(int64(max(n, -n))), nil)
	r := new(big.Rat).SetInt(p)
	if n < 0 {
		r.Inv(r)
	}
	return r
}
