package si

import (
	"errors"
	"math/big"
	"strings"
)

// term is a value within a calculation.
type term struct {
	value *big.Rat
	plain bool // a number without a unit; otherwise in SI
}

// calculation reads sums, products and quotients of quantities.
type calculation struct {
	text  string // as typed, for messages
	rest  []rune
	unit  Unit
	depth int
}

// maxDepth is how deep brackets may stand in one another.
const maxDepth = 20

// calculate returns the SI value of "5/8 in + 2*1.29 mm" and the like: + - * /
// and brackets, products before sums, from the left. A number without a unit
// counts as a factor in products and takes the assumed unit in sums.
func calculate(text string, unit Unit) (*big.Rat, error) {
	c := calculation{text: text, rest: normalize(text), unit: unit}
	if len(c.rest) > maxText {
		return nil, refuse(ErrSyntax, "too long to be a quantity")
	}
	t, err := c.sum()
	if err != nil {
		return nil, err
	}
	if len(c.rest) > 0 {
		return nil, refuse(ErrSyntax, "a bracket in %s closes nothing", quote(text))
	}
	return c.quantity(t)
}

// calculated says whether a text holds a sign of a calculation at all.
func calculated(text string) bool {
	runes := normalize(text)
	for i, r := range runes {
		if strings.ContainsRune("*×·()/", r) || i > 0 && signAt(runes, i) {
			return true
		}
	}
	return false
}

// signAt says whether the rune at i adds or subtracts; in "1e-3" it does not.
func signAt(runes []rune, i int) bool {
	if runes[i] != '+' && runes[i] != '-' {
		return false
	}
	exponent := i > 1 && (runes[i-1] == 'e' || runes[i-1] == 'E') && digit(runes[i-2])
	return !exponent
}

func (c *calculation) space() {
	for len(c.rest) > 0 && c.rest[0] == ' ' {
		c.rest = c.rest[1:]
	}
}

// take takes one of the signs if it comes next, 0 if none does.
func (c *calculation) take(signs string) rune {
	c.space()
	if len(c.rest) == 0 || !strings.ContainsRune(signs, c.rest[0]) {
		return 0
	}
	sign := c.rest[0]
	c.rest = c.rest[1:]
	return sign
}

func (c *calculation) sum() (term, error) {
	left, err := c.product()
	for err == nil {
		sign := c.take("+-")
		if sign == 0 {
			return left, nil
		}
		var right term
		if right, err = c.product(); err != nil {
			break
		}
		if left.plain != right.plain {
			if left.value, err = c.quantity(left); err != nil {
				break
			}
			if right.value, err = c.quantity(right); err != nil {
				break
			}
			left.plain = false
		}
		if sign == '-' {
			right.value = new(big.Rat).Neg(right.value)
		}
		left.value = new(big.Rat).Add(left.value, right.value)
	}
	return term{}, err
}

func (c *calculation) product() (term, error) {
	left, err := c.factor()
	for err == nil {
		sign := c.take("*×·/")
		if sign == 0 {
			return left, nil
		}
		var right term
		if right, err = c.factor(); err != nil {
			break
		}
		switch {
		case sign != '/' && !left.plain && !right.plain:
			err = refuse(ErrUnit, "%s multiplies two quantities", quote(c.text))
		case sign != '/':
			left = term{new(big.Rat).Mul(left.value, right.value), left.plain && right.plain}
		case left.plain && !right.plain:
			err = refuse(ErrUnit, "%s divides by a quantity", quote(c.text))
		case right.value.Sign() == 0:
			err = refuse(ErrRange, "%s divides by nothing", quote(c.text))
		default: // two quantities make a ratio
			left = term{new(big.Rat).Quo(left.value, right.value), left.plain || !right.plain}
		}
	}
	return term{}, err
}

// factor reads a bracket, a signed factor or one quantity.
func (c *calculation) factor() (term, error) {
	if c.depth++; c.depth > maxDepth {
		return term{}, refuse(ErrSyntax, "too many brackets in %s", quote(c.text))
	}
	defer func() { c.depth-- }()
	if sign := c.take("+-"); sign != 0 {
		if c.space(); len(c.rest) > 0 && strings.ContainsRune("+-", c.rest[0]) {
			return term{}, refuse(ErrSyntax, "two signs meet in %s: type a number between them", quote(c.text))
		}
		t, err := c.factor()
		if err == nil && sign == '-' {
			t.value = new(big.Rat).Neg(t.value)
		}
		return t, err
	}
	if c.take("(") != 0 {
		t, err := c.sum()
		if err == nil && c.take(")") == 0 {
			err = refuse(ErrSyntax, "a bracket in %s is not closed", quote(c.text))
		}
		return t, err
	}
	return c.operand()
}

// operand reads one quantity. A stroke between whole numbers belongs to it:
// "1 5/8 in" is no division.
func (c *calculation) operand() (term, error) {
	end, stroke := 0, -1
	for ; end < len(c.rest); end++ {
		if r := c.rest[end]; strings.ContainsRune("*×·()", r) || end > 0 && signAt(c.rest, end) {
			break
		}
		if c.rest[end] == '/' {
			if stroke >= 0 {
				break
			}
			stroke = end
		}
	}
	if stroke >= 0 {
		if t, err := c.single(string(c.rest[:end])); err == nil {
			c.rest = c.rest[end:]
			return t, nil
		}
		end = stroke
	}
	t, err := c.single(string(c.rest[:end]))
	c.rest = c.rest[end:]
	return t, err
}

func (c *calculation) single(text string) (term, error) {
	if strings.TrimSpace(text) == "" {
		return term{}, refuse(ErrSyntax, "a number is missing in %s", quote(c.text))
	}
	if v, err := parse(text, Plain); err == nil {
		return term{v, true}, nil
	}
	v, err := parse(text, c.unit)
	return term{v, false}, err
}

// quantity gives a number without a unit the one that is assumed.
func (c *calculation) quantity(t term) (*big.Rat, error) {
	zero, err := parse("0", c.unit)
	if err != nil {
		return nil, err
	}
	if !t.plain {
		if zero.Sign() != 0 {
			return nil, refuse(ErrUnit, "%s reckons with degrees: leave the unit away", quote(c.text))
		}
		return t.value, nil
	}
	one, err := parse("1", c.unit)
	if err != nil {
		return nil, err
	}
	v := new(big.Rat).Sub(one, zero)
	return v.Add(v.Mul(v, t.value), zero), nil
}

// typed is one quantity or, where the text holds more, a calculation.
func typed(text string, unit Unit) (*big.Rat, error) {
	v, err := parse(text, unit)
	if err == nil || errors.Is(err, ErrRange) || !calculated(text) {
		return v, err
	}
	result, wrong := calculate(text, unit)
	if wrong != nil && strings.ContainsAny(text, "+*×·()") {
		return nil, wrong
	}
	if wrong != nil {
		return nil, err // a stroke or a hyphen may be a slip of the finger
	}
	return result, nil
}
