package si

import (
	"fmt"
	"math/big"
	"slices"
	"strings"
	"unicode"
)

// prefixPowers are the prefixes of the SI that units here may carry, with their
// power of ten.
var prefixPowers = map[rune]int{'p': -12, 'n': -9, 'µ': -6, 'm': -3, 'c': -2, 'd': -1, 'h': 2, 'k': 3, 'M': 6, 'G': 9}

var prefixNames = map[rune]string{'m': "milli", 'M': "mega"}

// prefixPower returns the power of ten of a prefix. Only m and M are told
// apart by case; people write K for k, and U for µ.
func prefixPower(r rune) (int, bool) {
	switch r {
	case 'K':
		r = 'k'
	case 'u', 'U':
		r = 'µ'
	case 'P', 'N', 'C', 'D', 'H':
		r = unicode.ToLower(r)
	case 'g':
		r = 'G'
	}
	n, ok := prefixPowers[r]
	return n, ok
}

// measure is a unit with its prefix.
type measure struct {
	unit  Unit
	power int // of ten, of the prefix
}

// si returns the exact SI value of a number of the measure.
func (m measure) si(n *big.Rat) *big.Rat {
	v := m.unit.exactSI(n)
	return v.Mul(v, powerOfTen(m.power))
}

// measure finds what was typed behind a number: letter stood inside the number
// (2k2), symbol behind it. Both may be missing.
func (p *parser) measure(letter rune, symbol string) (measure, error) {
	asked := p.unit.Dimension()
	if letter == 0 && symbol == "" {
		return measure{unit: p.unit}, nil
	}
	switch {
	case letter == 0:
	case letter != 'R' && letter != 'r':
		symbol = string(letter) + symbol
	case symbol == "": // 4R7: the unit itself stands for the mark
		symbol = "R"
	}
	m, slip := find(symbol, asked)
	if slip != "" {
		return measure{}, refuse(ErrUnit, "%s", slip)
	}
	if m != nil {
		return *m, nil
	}
	for u := range unitCount { // in order, so that the message is always the same
		d := u.Dimension()
		if d == asked || d == number {
			continue
		}
		if other, _ := find(symbol, d); other != nil && !lonePrefix(symbol) {
			return measure{}, refuse(ErrUnit, "“%s” is a unit of %s; here %s is asked for, for example %s",
				shorten(symbol), bare(d), domains[asked].noun, domains[asked].example)
		}
	}
	if domains[asked].base == Plain {
		return measure{}, refuse(ErrUnit, "“%s” is out of place: here a plain number is asked for", shorten(symbol))
	}
	return measure{}, refuse(ErrUnit, "“%s” is no unit of %s: type for example %s",
		shorten(symbol), bare(asked), domains[asked].example)
}

// lonePrefix reports whether a text can be a prefix without a unit, which
// names no dimension.
func lonePrefix(symbol string) bool {
	r := []rune(symbol)
	_, ok := prefixPowers[r[0]]
	return len(r) == 1 && (ok && symbol != "m" || symbol == "K") // m is the metre; K more often kilo than kelvin
}

// bare is the noun of a dimension without its article.
func bare(d Dimension) string {
	_, noun, _ := strings.Cut(d.noun(), " ")
	return noun
}

// shorten keeps a symbol in a message to one short line.
func shorten(symbol string) string {
	return strings.Trim(quote(symbol), "“”")
}

// find looks a symbol up among the units of a dimension. A symbol whose m or M
// is the wrong way round is no unit; slip then says so.
func find(symbol string, d Dimension) (m *measure, slip string) {
	for u := range unitCount {
		if u.Dimension() == d && (u.Symbol() == symbol || isAlias(symbol, u)) {
			return &measure{unit: u}, ""
		}
	}
	if m, slip := findPrefixed(symbol, domains[d]); m != nil || slip != "" {
		return m, slip
	}
	return findFolded(symbol, d)
}

// findPrefixed looks for a prefix before the base unit, or alone.
func findPrefixed(symbol string, kind domain) (m *measure, slip string) {
	base := kind.base.Symbol()
	runes := []rune(symbol)
	first, rest := runes[0], string(runes[1:])
	power, ok := prefixPower(first)
	lone := rest == "" && kind.lone && !strings.EqualFold(symbol, base)
	before := rest != "" && (strings.EqualFold(rest, base) || isAlias(rest, kind.base))
	if !ok || !lone && !before {
		return nil, ""
	}
	for _, sensible := range kind.prefixes {
		if prefixPowers[sensible] == power {
			return &measure{unit: kind.base, power: power}, ""
		}
	}
	if other, ok := swapCase(first); ok && strings.ContainsRune(kind.prefixes, other) {
		return nil, fmt.Sprintf("“%s” has the %c of %s: for %s write “%c%s”",
			shorten(symbol), first, prefixNames[first], prefixNames[other], other, base)
	}
	return nil, ""
}

// findFolded looks for a symbol that differs in case only, where that is not
// the case of m and M.
func findFolded(symbol string, d Dimension) (m *measure, slip string) {
	typed := []rune(symbol)[0]
	for u := range unitCount {
		if u.Dimension() != d || u == Plain || !strings.EqualFold(u.Symbol(), symbol) {
			continue
		}
		if right := []rune(u.Symbol())[0]; right != typed && unicode.ToLower(right) == 'm' {
			return nil, fmt.Sprintf("“%s” has the %c of %s: write “%s”", shorten(symbol), typed, prefixNames[typed], u.Symbol())
		}
		return &measure{unit: u}, ""
	}
	return nil, ""
}

// isAlias reports whether a text is a further spelling of a unit.
func isAlias(text string, u Unit) bool {
	return slices.ContainsFunc(definitions[u].aliases, func(alias string) bool { return strings.EqualFold(alias, text) })
}

// swapCase returns the other of m and M.
func swapCase(r rune) (rune, bool) {
	switch r {
	case 'm':
		return 'M', true
	case 'M':
		return 'm', true
	}
	return 0, false
}
