package design

import (
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"coilwright/physics/sentence"
)

// value is how one value of a design file is read into the design, checked
// there and written from it. The types that implement it stand below;
// schema.go says which key has which.
type value interface {
	// read puts the node into the design, or reports what is wrong with it.
	read(r *reader, path string, n *node)
	// check reports what read would refuse in the design as it is.
	check(r *reader, path string)
	// write appends the JSON text of the value, which was checked.
	write(to []byte) []byte
	// unset reports whether the value is the one an absent key stands for;
	// a spare key is then not written.
	unset() bool
}

// maxProblems is how many problems are listed before a reader gives up.
const maxProblems = 100

// reader collects the problems of a file or a design.
type reader struct {
	problems Problems
}

func (r *reader) refuse(code, path string, text sentence.Text) {
	switch {
	case len(r.problems) < maxProblems:
		r.problems = append(r.problems, Problem{Code: code, Key: path, Text: text})
	case len(r.problems) == maxProblems:
		r.problems = append(r.problems, Problem{Code: CodeTooMany, Text: sentence.New("and more problems after these")})
	}
}

// is reports whether n is of the kind wanted, and refuses it otherwise.
func (r *reader) is(want kind, path string, n *node) bool {
	if n.kind == want {
		return true
	}
	r.refuse(CodeWrongType, path, sentence.New("must be %s, not %s", want, n.kind))
	return false
}

// limits are the least and the largest value a number may have.
type limits struct {
	min, max float64
	unit     string // "m", or "" for a pure number
	orZero   bool   // 0 is allowed although it lies below min: "not set"
}

func (l limits) hold(x float64) bool {
	return x >= l.min && x <= l.max || x == 0 && l.orZero
}

// In words the limits for messages.
func (l limits) In(r sentence.Reader) string {
	text := sentence.New("from %s to %s", plain(l.min), plain(l.max))
	if l.min == l.max {
		text = sentence.Literal(plain(l.min))
	}
	if l.unit != "" {
		text = sentence.Join(" ", text, sentence.Literal(l.unit))
	}
	if l.orZero && l.min > 0 {
		text = sentence.New("0 or %s", text)
	}
	return text.In(r)
}

// plain writes a number for a message.
func plain(x float64) string { return strconv.FormatFloat(x, 'g', -1, 64) }

// number returns the number in n if it is finite and lies within the limits.
func (r *reader) number(path string, n *node, l limits) (float64, bool) {
	if !r.is(kindNumber, path, n) {
		return 0, false
	}
	x, err := strconv.ParseFloat(n.text, 64)
	if err != nil {
		r.refuse(CodeOutOfRange, path, sentence.New("%s is not a finite number", shortened(n.text)))
		return 0, false
	}
	return x + 0, r.within(path, x, l) // + 0 turns -0 into 0
}

// within reports whether x is finite and lies within the limits, and refuses
// it otherwise.
func (r *reader) within(path string, x float64, l limits) bool {
	switch {
	case math.IsNaN(x) || math.IsInf(x, 0):
		r.refuse(CodeOutOfRange, path, sentence.New("%g is not a finite number", x))
	case !l.hold(x):
		r.refuse(CodeOutOfRange, path, sentence.New("must be %s, not %s", l, plain(x)))
	default:
		return true
	}
	return false
}

// appendNumber appends a finite number the way encoding/json does.
func appendNumber(to []byte, x float64) []byte {
	text, _ := json.Marshal(x) // a finite number is always written
	return append(to, text...)
}

// quantity is a number with limits.
type quantity struct {
	at *float64
	limits
}

func (q quantity) read(r *reader, path string, n *node) {
	if x, ok := r.number(path, n, q.limits); ok {
		*q.at = x
	}
}
func (q quantity) check(r *reader, path string) { r.within(path, *q.at, q.limits) }
func (q quantity) write(to []byte) []byte       { return appendNumber(to, *q.at) }
func (q quantity) unset() bool                  { return *q.at == 0 }

// optional is a number that may be null.
type optional struct {
	at **float64
	limits
}

func (o optional) read(r *reader, path string, n *node) {
	if n.kind == kindNull {
		*o.at = nil
		return
	}
	if x, ok := r.number(path, n, o.limits); ok {
		*o.at = &x
	}
}

func (o optional) check(r *reader, path string) {
	if *o.at != nil {
		r.within(path, **o.at, o.limits)
	}
}

func (o optional) write(to []byte) []byte {
	if *o.at == nil {
		return append(to, "null"...)
	}
	return appendNumber(to, **o.at)
}
func (o optional) unset() bool { return *o.at == nil }

// whole is a whole number with limits.
type whole struct {
	at *int
	limits
}

func (i whole) read(r *reader, path string, n *node) {
	x, ok := r.number(path, n, i.limits)
	if !ok {
		return
	}
	if x != math.Trunc(x) {
		r.refuse(CodeWrongType, path, sentence.New("must be a whole number, not %s", shortened(n.text)))
		return
	}
	*i.at = int(x)
}
func (i whole) check(r *reader, path string) { r.within(path, float64(*i.at), i.limits) }
func (i whole) write(to []byte) []byte       { return strconv.AppendInt(to, int64(*i.at), 10) }
func (i whole) unset() bool                  { return *i.at == 0 }

// zero is a number that must be 0, because the present kind has no use for it.
type zero struct {
	why sentence.Text
}

func (z zero) read(r *reader, path string, n *node) {
	if x, ok := r.number(path, n, anyNumber); ok && x != 0 {
		r.refuse(CodeWrongKind, path, sentence.New("must be 0, not %s: %s", shortened(n.text), z.why))
	}
}
func (z zero) check(*reader, string)  {}
func (z zero) write(to []byte) []byte { return append(to, '0') }
func (z zero) unset() bool            { return true }

// truth is true or false.
type truth struct {
	at *bool
}

func (b truth) read(r *reader, path string, n *node) {
	if r.is(kindBool, path, n) {
		*b.at = n.truth
	}
}
func (b truth) check(*reader, string)  {}
func (b truth) write(to []byte) []byte { return strconv.AppendBool(to, *b.at) }
func (b truth) unset() bool            { return false }

// word is a text that must satisfy valid, which otherwise says what is wrong
// with it.
type word struct {
	at    *string
	valid func(string) error
}

func (w word) read(r *reader, path string, n *node) {
	if r.is(kindText, path, n) {
		*w.at = n.text
		w.check(r, path)
	}
}

func (w word) check(r *reader, path string) {
	if err := w.valid(*w.at); err != nil {
		r.refuse(CodeUnknownValue, path, sentence.Of(err))
	}
}
func (w word) write(to []byte) []byte { return appendQuoted(to, *w.at) }
func (w word) unset() bool            { return *w.at == "" }

// text is free text of at most so many characters.
type text struct {
	at   *string
	most int
}

func (t text) read(r *reader, path string, n *node) {
	if r.is(kindText, path, n) {
		*t.at = n.text
		t.check(r, path)
	}
}

func (t text) check(r *reader, path string) {
	if !utf8.ValidString(*t.at) {
		r.refuse(CodeOutOfRange, path, sentence.New("is not UTF-8 text"))
	} else if length := utf8.RuneCountInString(*t.at); length > t.most {
		r.refuse(CodeOutOfRange, path, sentence.New("has %d characters, at most %d are allowed", length, t.most))
	}
}
func (t text) write(to []byte) []byte { return appendQuoted(to, *t.at) }
func (t text) unset() bool            { return *t.at == "" }

// oneOf returns what a word must be to be one of the given.
func oneOf(words ...string) func(string) error {
	return func(got string) error {
		if slices.Contains(words, got) {
			return nil
		}
		if len(words) == 1 {
			return fmt.Errorf("must be %q, not %q", words[0], shortened(got))
		}
		return fmt.Errorf("there is no %q: must be one of %s", shortened(got), strings.Join(quoted(words), ", "))
	}
}

// list is a list of at most so many values.
type list[T any] struct {
	at      *[]T
	most    int
	fresh   func() T // a T with the defaults of absent keys
	element func(*T) value
}

func (l list[T]) read(r *reader, path string, n *node) {
	if !r.is(kindList, path, n) {
		return
	}
	if len(n.items) > l.most {
		r.refuse(CodeOutOfRange, path, sentence.New("holds %d entries, at most %d are allowed", len(n.items), l.most))
		return
	}
	*l.at = nil
	for i, inner := range n.items {
		element := l.fresh()
		l.element(&element).read(r, item(path, i), inner)
		*l.at = append(*l.at, element)
	}
}

func (l list[T]) check(r *reader, path string) {
	if len(*l.at) > l.most {
		r.refuse(CodeOutOfRange, path, sentence.New("holds %d entries, at most %d are allowed", len(*l.at), l.most))
		return
	}
	for i := range *l.at {
		l.element(&(*l.at)[i]).check(r, item(path, i))
	}
}

func (l list[T]) write(to []byte) []byte {
	to = append(to, '[')
	for i := range *l.at {
		if i > 0 {
			to = append(to, ',')
		}
		to = l.element(&(*l.at)[i]).write(to)
	}
	return append(to, ']')
}
func (l list[T]) unset() bool { return false }

// appendQuoted appends the text as a JSON string, with <, > and & as they are.
func appendQuoted(to []byte, text string) []byte {
	var quoted strings.Builder
	encoder := json.NewEncoder(&quoted)
	encoder.SetEscapeHTML(false)
	_ = encoder.Encode(text) // a string is always written
	return append(to, strings.TrimSuffix(quoted.String(), "\n")...)
}
