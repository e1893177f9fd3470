package driver

import (
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"
	"unicode"
)

// ReadModel reads the model of a part as circuit simulators write it,
//
//	.model NAME NPN(IS=1e-14 BF=200
//	+ CJE=22p TF=0.4n)
//
// or only its parameters, and then the kind is that of fallback. Lines that begin
// with * are left out, as is what stands behind a semicolon. The error wraps
// [ErrPart] and names what could not be read.
func ReadModel(text string, fallback Type) (Part, error) {
	var clean strings.Builder
	for line := range strings.Lines(text) {
		line, _, _ = strings.Cut(line, ";")
		line = strings.TrimSpace(line)
		if strings.HasPrefix(line, "*") {
			continue
		}
		clean.WriteString(" " + strings.TrimPrefix(line, "+"))
	}
	separators := func(r rune) bool { return unicode.IsSpace(r) || strings.ContainsRune("(),", r) }
	words := strings.FieldsFunc(strings.ReplaceAll(clean.String(), "=", " = "), separators)
	kind := fallback
	if len(words) >= 3 && strings.EqualFold(words[0], ".model") {
		kind = Type(strings.ToLower(words[2]))
		words = words[3:]
	}
	switch kind {
	case NPN, NMOS, VDMOS, Diode:
	default:
		return Part{}, fmt.Errorf("%w: %q is no kind of model that works here (npn, nmos, vdmos, d)", ErrPart, kind)
	}
	model := map[string]float64{}
	for len(words) > 0 {
		if len(words) < 3 || words[1] != "=" {
			return Part{}, fmt.Errorf("%w: %q should be a parameter, an equals sign and a number", ErrPart, words[0])
		}
		if strings.IndexFunc(words[0], func(r rune) bool { return !(r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9') }) >= 0 {
			return Part{}, fmt.Errorf("%w: %q is no name of a parameter", ErrPart, words[0])
		}
		x, ok := spiceNumber(words[2])
		if !ok {
			return Part{}, fmt.Errorf("%w: %s = %q is no number", ErrPart, words[0], words[2])
		}
		model[strings.ToUpper(words[0])] = x
		words = words[3:]
	}
	if len(model) == 0 {
		return Part{}, fmt.Errorf("%w: there are no parameters", ErrPart)
	}
	p := Stated(kind, model)
	return p, p.checkModel()
}

// checkModel refuses parameters outside their ranges.
func (p Part) checkModel() (err error) {
	switch p.Type {
	case NPN:
		_, _, _, _, _, err = p.bipolar()
	case Diode:
		_, _, _, err = p.diode()
	default:
		_, err = p.mosfet(0)
	}
	return err
}

// spiceSuffixes are the scale factors of the plain circuit-simulator syntax, in
// which m is milli and meg is mega; letters after them are units.
var spiceSuffixes = []struct {
	word   string
	factor float64
}{{"meg", 1e6}, {"t", 1e12}, {"g", 1e9}, {"k", 1e3}, {"m", 1e-3}, {"u", 1e-6}, {"µ", 1e-6}, {"n", 1e-9}, {"p", 1e-12}, {"f", 1e-15}}

func spiceNumber(word string) (float64, bool) {
	if x, err := strconv.ParseFloat(word, 64); err == nil {
		return x, true
	}
	lower := strings.ToLower(word)
	digits := strings.IndexFunc(lower, func(r rune) bool { return unicode.IsLetter(r) && r != 'e' })
	if digits <= 0 {
		return 0, false
	}
	x, err := strconv.ParseFloat(lower[:digits], 64)
	if err != nil {
		return 0, false
	}
	for _, s := range spiceSuffixes {
		if strings.HasPrefix(lower[digits:], s.word) {
			return x * s.factor, true
		}
	}
	return x, true // a unit alone
}

// WriteModel returns a part's model as [ReadModel] reads it, one parameter a line.
func WriteModel(p Part) string {
	var b strings.Builder
	fmt.Fprintf(&b, ".model %s %s(\n", strings.ReplaceAll(strings.TrimSpace(p.Name), " ", "_"), strings.ToUpper(string(p.Type)))
	for _, name := range slices.Sorted(maps.Keys(p.Model)) {
		fmt.Fprintf(&b, "%s=%g\n", name, p.Model[name])
	}
	b.WriteString(")\n")
	return b.String()
}
