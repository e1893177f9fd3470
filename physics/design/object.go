package design

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"coilwright/physics/sentence"
)

// field is one key of an object.
type field struct {
	key      string
	value    value
	need     need
	kinds    []string // kinds of the object that have the key; nil: every kind
	selector bool     // its value is the kind of the object
}

// need says what becomes of a key that is not there.
type need int

const (
	defaulted need = iota // stands for its default; always written
	required              // refused when missing
	spare                 // stands for "not set", and is not written then
)

// object is a value with keys. fields is asked again once the kind is read, as
// the limits of some keys depend on it.
type object struct {
	fields func() []field
	kind   *string // what the selector is read into; nil: an object of one kind

	absent func() bool // whether it stands for an absent key; nil: never
}

// belongs reports whether the field is a key of the present kind of o.
func (o object) belongs(f field) bool {
	return f.kinds == nil || slices.Contains(f.kinds, *o.kind)
}

func (o object) read(r *reader, path string, n *node) {
	if !r.is(kindObject, path, n) {
		return
	}
	for _, f := range o.fields() {
		if !f.selector {
			continue
		}
		inner := n.find(f.key)
		if inner == nil && f.need == required {
			r.refuse(CodeMissing, join(path, f.key), sentence.New("is missing"))
			return
		}
		if inner == nil {
			break
		}
		before := len(r.problems)
		f.value.read(r, join(path, f.key), inner)
		if len(r.problems) > before {
			return // without a kind nobody can say which keys are right
		}
	}
	fields := o.fields()
	for _, m := range n.members {
		o.readMember(r, fields, join(path, shortened(m.key)), m)
	}
	for _, f := range fields {
		if f.need == required && o.belongs(f) && n.find(f.key) == nil {
			r.refuse(CodeMissing, join(path, f.key), sentence.New("is missing"))
		}
	}
}

func (o object) readMember(r *reader, fields []field, path string, m member) {
	var others []string // kinds the key would belong to
	for _, f := range fields {
		if f.key != m.key {
			continue
		}
		if o.belongs(f) {
			if !f.selector {
				f.value.read(r, path, m.value)
			}
			return
		}
		others = append(others, f.kinds...)
	}
	if others != nil {
		r.refuse(CodeWrongKind, path, sentence.New("is a key of %s, not of %q", strings.Join(quoted(others), " and "), *o.kind))
		return
	}
	r.refuse(CodeUnknown, path, sentence.New("there is no such key"))
}

func (o object) check(r *reader, path string) {
	if o.unset() {
		return
	}
	for _, f := range o.fields() {
		// A key of another kind may hold anything: it is not written.
		if f.selector || o.belongs(f) {
			f.value.check(r, join(path, f.key))
		}
	}
}

func (o object) write(to []byte) []byte {
	to = append(to, '{')
	first := true
	for _, f := range o.fields() {
		if !o.belongs(f) || f.need == spare && f.value.unset() {
			continue
		}
		if !first {
			to = append(to, ',')
		}
		first = false
		to = append(to, '"')
		to = append(to, f.key...)
		to = append(to, '"', ':')
		to = f.value.write(to)
	}
	return append(to, '}')
}

func (o object) unset() bool { return o.absent != nil && o.absent() }

// quoted returns the words in quotation marks.
func quoted(words []string) []string {
	out := make([]string, len(words))
	for i, w := range words {
		out[i] = fmt.Sprintf("%q", w)
	}
	return out
}

// device is a part by name, by its model parameters, or null.
type device struct {
	at    *Part
	types []string
	orNil bool // null, no part at all, is allowed
}

// maxParameters bounds the model of a part; the largest bipolar model of SPICE
// has about sixty.
const maxParameters = 200

func (p device) read(r *reader, path string, n *node) {
	switch n.kind {
	case kindNull:
		*p.at = Part{}
		p.check(r, path)
	case kindText:
		*p.at = Part{Name: n.text}
		p.check(r, path)
	case kindObject:
		p.readModel(r, path, n)
	default:
		r.refuse(CodeWrongType, path, sentence.New("must be the name of a part or its model, not %s", n.kind))
	}
}

func (p device) readModel(r *reader, path string, n *node) {
	part := Part{}
	before := len(r.problems)
	for _, m := range n.members {
		inner := join(path, shortened(m.key))
		if m.key == "type" {
			if r.is(kindText, inner, m.value) {
				part.Type = m.value.text
			}
			continue
		}
		if x, ok := r.number(inner, m.value, anyNumber); ok {
			if part.Model == nil {
				part.Model = map[string]float64{}
			}
			part.Model[m.key] = x
		}
	}
	if n.find("type") == nil {
		r.refuse(CodeMissing, join(path, "type"), sentence.New("is missing"))
	}
	if len(r.problems) == before {
		*p.at = part
		p.check(r, path)
	}
}

func (p device) check(r *reader, path string) {
	switch {
	case p.at.Type != "":
		word{&p.at.Type, oneOf(p.types...)}.check(r, join(path, "type"))
		if len(p.at.Model) > maxParameters {
			r.refuse(CodeOutOfRange, path, sentence.New("has %d parameters, at most %d are allowed", len(p.at.Model), maxParameters))
			return
		}
		for _, name := range slices.Sorted(maps.Keys(p.at.Model)) {
			inner := join(path, shortened(name))
			if !isParameter(name) {
				r.refuse(CodeUnknown, inner, sentence.New("is not the name of a SPICE parameter"))
			}
			r.within(inner, p.at.Model[name], anyNumber)
		}
	case p.at.Name != "":
		text{&p.at.Name, maxWord}.check(r, path)
	case !p.orNil:
		r.refuse(CodeWrongType, path, sentence.New("must be the name of a part or its model"))
	}
}

func (p device) write(to []byte) []byte {
	switch {
	case p.at.Type != "":
		to = append(to, `{"type":`...)
		to = appendQuoted(to, p.at.Type)
		for _, name := range slices.Sorted(maps.Keys(p.at.Model)) {
			to = append(to, ',')
			to = appendQuoted(to, name)
			to = append(to, ':')
			to = appendNumber(to, p.at.Model[name])
		}
		return append(to, '}')
	case p.at.Name != "":
		return appendQuoted(to, p.at.Name)
	default:
		return append(to, "null"...)
	}
}

func (p device) unset() bool { return p.at.Type == "" && p.at.Name == "" }

// isParameter reports whether a key can be the name of a SPICE parameter: a
// letter, then letters, digits and underlines, at most 32 in all. "type" is
// the kind of the part.
func isParameter(key string) bool {
	for i, c := range []byte(key) {
		letter := c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z'
		if !letter && (i == 0 || c != '_' && (c < '0' || c > '9')) {
			return false
		}
	}
	return key != "" && key != "type" && len(key) <= 32
}
