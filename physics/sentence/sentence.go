// Package sentence holds what is said in words until it is known who reads it.
//
// A [Text] is an English format with the values that stand in it. Reports, files
// and commands print it as it is, in English and in millimetres. The window gives
// it a [Reader], who has a language and units of length. The English format is
// also the key under which a language has its own, so that it stands in one
// place: where the thing is said.
package sentence

import (
	"fmt"
	"strings"
	"unicode"
)

// Reader is who reads. The zero Reader reads English and millimetres.
type Reader struct {
	Language func(english string) string // returns the reader's own format; nil: English
	Inch     bool                        // inches in place of millimetres
}

// Text is words with values. The zero Text says nothing.
type Text struct {
	format string
	values []any
}

// wording is a value that is written differently for different readers.
type wording interface{ In(Reader) string }

// New returns the text of an English format of package fmt. Values may be texts
// and lengths, which are written for the reader, and whatever fmt takes. Without
// values the format stands as it is.
//
// The format must be a constant: the list of what a language has to translate is
// read from the source.
func New(format string, values ...any) Text { return Text{format, values} }

// Join returns texts one after the other; the separator is no words.
func Join(separator string, texts ...Text) Text {
	values := make([]any, len(texts))
	for i, t := range texts {
		values[i] = t
	}
	return Text{strings.TrimSuffix(strings.Repeat("%s"+separator, len(texts)), separator), values}
}

// Literal returns a text that is the same for every reader: a name, a number.
func Literal(text string) Text { return Text{"%s", []any{text}} }

// Empty says whether there is nothing to read.
func (t Text) Empty() bool { return t.format == "" }

// In returns the text for a reader.
func (t Text) In(r Reader) string {
	format := t.format
	if r.Language != nil && hasWords(format) {
		format = r.Language(format)
	}
	if len(t.values) == 0 {
		return format
	}
	values := make([]any, len(t.values))
	for i, v := range t.values {
		if w, ok := v.(wording); ok {
			v = w.In(r)
		}
		values[i] = v
	}
	return fmt.Sprintf(format, values...)
}

// String returns the text in English and in millimetres.
func (t Text) String() string { return t.In(Reader{}) }

// MarshalText implements [encoding.TextMarshaler]: files and reports are English.
func (t Text) MarshalText() ([]byte, error) { return []byte(t.String()), nil }

// hasWords says whether a format says anything apart from its values.
func hasWords(format string) bool {
	verb := false
	for _, r := range format {
		switch {
		case r == '%':
			verb = !verb
		case unicode.IsLetter(r):
			if !verb {
				return true
			}
			verb = false
		case r == ' ':
			verb = false
		}
	}
	return false
}
