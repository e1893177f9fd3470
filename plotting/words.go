package plotting

import (
	"strings"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// Sans returns the typeface of every drawing in a size.
func Sans(size vg.Length) font.Font { return sans(size) }

// Bold returns its bold form.
func Bold(size vg.Length) font.Font { return bold(size) }

// TextWidth returns how far a line of text advances.
func TextWidth(line string, f font.Font) vg.Length { return typesetter().width(line, f) }

// SetLine sets a line of text, its base line beginning at a point.
func SetLine(c vg.Canvas, line string, f font.Font, at vg.Point) {
	c.FillString(typesetter().Fonts.Lookup(f, f.Size), at, line)
}

// Folded breaks a text between words into lines no wider than width; a word that
// is wider is cut off.
func Folded(text string, f font.Font, width vg.Length) []string {
	// Not strings.Fields: it would part a number from its unit.
	words := strings.FieldsFunc(text, func(r rune) bool { return r == ' ' || r == '\n' })
	return wrapped(words, " ", f, width)
}

// Stacked returns plots one under the other, their frames in line on the left.
func Stacked(plots ...*plot.Plot) Drawing {
	return func(c draw.Canvas) error {
		stack(c, plots)
		return nil
	}
}
