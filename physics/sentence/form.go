package sentence

import (
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"
)

// formed is a text whose writing follows from its place, in every language.
type formed struct {
	text Text
	form func(string) string
}

// In returns the text for a reader.
func (f formed) In(r Reader) string { return f.form(f.text.In(r)) }

// Capital returns a text that begins with a capital.
func Capital(t Text) Text { return New("%s", formed{t, capital}) }

// Whole returns a text that begins with a capital and ends with a full stop.
func Whole(t Text) Text {
	return New("%s", formed{t, func(s string) string { return strings.TrimSuffix(capital(s), ".") + "." }})
}

func capital(s string) string {
	first, size := utf8.DecodeRuneInString(s)
	if size == 0 {
		return s
	}
	return string(unicode.ToUpper(first)) + s[size:]
}

// Paragraph sets sentences one behind the other; one that says nothing is left out.
func Paragraph(all ...Text) Text { return Join(" ", slices.DeleteFunc(all, Text.Empty)...) }

// List returns "a, b and c".
func List(all ...Text) Text {
	if len(all) < 2 {
		return Join("", all...)
	}
	return New("%s and %s", Join(", ", all[:len(all)-1]...), all[len(all)-1])
}
