package plotting

import (
	"math"
	"strconv"
	"strings"
	"unicode/utf8"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"coilwright/physics/sentence"
	"coilwright/physics/si"
	"coilwright/physics/spectrum"
)

// say returns an English format with its values in the language of the drawing;
// see [sentence.New].
func (s Style) say(format string, values ...any) string {
	return sentence.New(format, values...).In(sentence.Reader{Language: s.Language})
}

// turns says how many turns, with the digits that were entered.
func (s Style) turns(n float64) string {
	if n = math.Round(n*100) / 100; n == 1 {
		return s.say("1 turn")
	}
	return s.say("%s turns", strconv.FormatFloat(n, 'f', -1, 64))
}

// axis names what an axis shows, in the language of the drawing, and its unit.
func axis(quantity string, unit si.Unit) string {
	symbol := unit.Symbol()
	if symbol == "" {
		return quantity
	}
	return quantity + " (" + symbol + ")"
}

// folds returns words in one line, in two and so on up to most, each time as
// narrow as can be.
func folds(words string, most int) []string {
	parts := strings.Split(words, " ")
	var all []string
	for n := 1; n <= min(most, len(parts)); n++ {
		lines, _ := folded(parts, n)
		all = append(all, strings.Join(lines, "\n"))
	}
	return all
}

// inLines returns words in n lines, or fewer if they are fewer.
func inLines(words string, n int) string {
	all := folds(words, n)
	return all[len(all)-1]
}

// service names a service of the radio spectrum.
func (s Style) service(service spectrum.Service) string {
	return service.Words().In(sentence.Reader{Language: s.Language})
}

// folded parts words into n lines and returns them with the letters of the longest.
func folded(words []string, n int) (lines []string, longest int) {
	if n == 1 {
		line := strings.Join(words, " ")
		return []string{line}, utf8.RuneCountInString(line)
	}
	longest = math.MaxInt
	for first := 1; first <= len(words)-n+1; first++ {
		head := strings.Join(words[:first], " ")
		rest, width := folded(words[first:], n-1)
		if width = max(width, utf8.RuneCountInString(head)); width < longest {
			lines, longest = append([]string{head}, rest...), width
		}
	}
	return lines, longest
}

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
