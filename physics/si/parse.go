package si

import (
	"errors"
	"fmt"
	"math"
	"math/big"
	"strings"
	"unicode"
)

// Why a text was refused; the error's own text is a plain phrase for the user.
var (
	ErrSyntax = errors.New("not a quantity")
	ErrUnit   = errors.New("not the unit asked for")
	ErrRange  = errors.New("not a finite number within reach")
)

// maxText is the longest text that is read, in characters. The longest thing
// anyone types is a sum of a few lengths.
const maxText = 100

// smallestNormal is the smallest float64 with all its digits.
const smallestNormal = 0x1p-1022

// refusal is an error worded to stand beside an entry field.
type refusal struct {
	reason error
	text   string
}

func (r *refusal) Error() string { return r.text }
func (r *refusal) Unwrap() error { return r.reason }

func refuse(reason error, format string, args ...any) error {
	return &refusal{reason, fmt.Sprintf(format, args...)}
}

// ParseIn returns what a person typed, in SI. The unit fixes the dimension and
// is assumed where none is typed: "16" in millimetres is 0.016.
//
// It reads "16 mm", "1.8MHz", "5/8 in", "1 5/8″", "2k2", "4n7", "3.3 uF",
// "1.5e-3" and whatever [Format] prints. Point and comma are both decimal
// marks; "1,800", which is 1.8 to one reader and 1800 to another, is refused.
// Digits may be grouped in threes by spaces. Quantities may be reckoned with:
// "5/8 in + 2*1.29 mm", "(16 + 0.5) / 2".
//
// A refusal wraps [ErrSyntax], [ErrUnit] or [ErrRange], and its text is a
// phrase for the user.
func ParseIn(text string, unit Unit) (float64, error) {
	v, err := typed(text, unit)
	if err != nil {
		return 0, err
	}
	return finite(text, v)
}

// ParseNumber is [ParseIn] but for the result, which is a number of the unit:
// "20", "20 °C" and "68 °F" in degrees Celsius are all 20. It is for the few
// quantities that are kept in such a unit, degrees and degrees Celsius, and
// spares them the rounding of the way to SI and back.
func ParseNumber(text string, unit Unit) (float64, error) {
	v, err := typed(text, unit)
	if err != nil {
		return 0, err
	}
	return finite(text, unit.exactOf(v))
}

// finite rounds to a float64 and refuses what it cannot hold.
func finite(text string, v *big.Rat) (float64, error) {
	f := float(v)
	if math.IsInf(f, 0) {
		return 0, refuse(ErrRange, "%s is too large", quote(text))
	}
	if math.Abs(f) < smallestNormal && v.Sign() != 0 {
		return 0, refuse(ErrRange, "%s is too small", quote(text))
	}
	return f, nil
}

// parse returns the exact SI value.
func parse(text string, unit Unit) (*big.Rat, error) {
	p := parser{text: text, rest: normalize(text), unit: unit}
	if len(p.rest) > maxText {
		return nil, refuse(ErrSyntax, "too long to be a quantity")
	}
	return p.quantity()
}

// normalize brings the many characters for one thing to one.
func normalize(text string) []rune {
	runes := make([]rune, 0, len(text))
	for _, r := range text {
		switch r {
		case '\u200b', '\u2060', '\ufeff': // no width
			continue
		case '−', '–': // U+2212, and the dash that word processors make of "-"
			r = '-'
		case 'μ': // U+03BC
			r = 'µ'
		case '\u2126': // ohm sign
			r = 'Ω'
		case '⁄', '∕': // U+2044, U+2215
			r = '/'
		}
		if unicode.IsSpace(r) {
			r = ' '
		}
		runes = append(runes, r)
	}
	return []rune(strings.TrimSpace(string(runes)))
}

// quote shows what was typed, kept to one short line.
func quote(text string) string {
	const most = 24
	runes := []rune(strings.TrimSpace(text))
	for i, r := range runes {
		if !unicode.IsPrint(r) {
			runes[i] = ' '
		}
	}
	if len(runes) > most {
		runes = append(runes[:most], '…')
	}
	return "“" + string(runes) + "”"
}

// parser reads one quantity from the front of rest.
type parser struct {
	text string // as typed, for messages
	rest []rune
	unit Unit // assumed, and its dimension asked for
}

// quantity reads a signed number and its unit and returns its SI value.
func (p *parser) quantity() (*big.Rat, error) {
	kind := domains[p.unit.Dimension()]
	if len(p.rest) == 0 {
		return nil, refuse(ErrSyntax, "type %s, for example %s", kind.noun, kind.example)
	}
	negative := false
	if p.rest[0] == '-' || p.rest[0] == '+' {
		negative = p.rest[0] == '-'
		p.rest = p.rest[1:]
		p.space()
	}
	if p.notFinite() {
		return nil, refuse(ErrRange, "%s is not a finite number", quote(p.text))
	}
	n, err := p.number()
	if err != nil {
		return nil, err
	}
	letter, n, err := p.inlay(n)
	if err != nil {
		return nil, err
	}
	if negative {
		n.Neg(n)
	}
	p.space()
	symbol := strings.TrimSpace(string(p.rest))
	m, err := p.measure(letter, symbol)
	if err != nil {
		return nil, err
	}
	return m.si(n), nil
}

// space skips spaces.
func (p *parser) space() {
	for len(p.rest) > 0 && p.rest[0] == ' ' {
		p.rest = p.rest[1:]
	}
}

// notFinite reports whether the rest spells infinity or not-a-number.
func (p *parser) notFinite() bool {
	rest := strings.ToLower(string(p.rest))
	return strings.HasPrefix(rest, "nan") || strings.HasPrefix(rest, "∞") ||
		rest == "inf" || strings.HasPrefix(rest, "inf ") || strings.HasPrefix(rest, "infinit")
}

// inlay reads a prefix or an R that stands for the decimal mark, as on parts
// and circuit diagrams: 2k2, 4n7, 4R7 (IEC 60062). It returns the letter, 0 if
// there is none, and the number with the digits behind the letter.
func (p *parser) inlay(n *big.Rat) (rune, *big.Rat, error) {
	if len(p.rest) < 2 || !digit(p.rest[1]) || !unicode.IsLetter(p.rest[0]) {
		return 0, n, nil
	}
	letter := p.rest[0]
	_, prefix := prefixPower(letter)
	if !prefix && letter != 'R' && letter != 'r' {
		return 0, n, nil
	}
	if !n.IsInt() {
		return 0, nil, refuse(ErrSyntax, "%s has two decimal marks", quote(p.text))
	}
	digits, _ := digitsOf(p.rest[1:])
	behind, ok := new(big.Rat).SetString("0." + digits)
	if !ok {
		return 0, nil, p.noNumber()
	}
	p.rest = p.rest[1+len(digits):]
	return letter, n.Add(n, behind), nil
}

// digitsOf returns the digits at the front of some runes and what follows.
func digitsOf(runes []rune) (string, []rune) {
	i := 0
	for i < len(runes) && digit(runes[i]) {
		i++
	}
	return string(runes[:i]), runes[i:]
}

func digit(r rune) bool { return '0' <= r && r <= '9' }

func (p *parser) noNumber() error {
	kind := domains[p.unit.Dimension()]
	return refuse(ErrSyntax, "%s does not read as a number: type %s, for example %s", quote(p.text), kind.noun, kind.example)
}
