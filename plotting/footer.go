package plotting

import (
	"strings"
	"time"

	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// Footer is what stands under everything printed, so that a sheet found in a
// drawer tells what it is of.
type Footer struct {
	Name        string
	Date        time.Time
	Inputs      []string // the main ones, each with its unit: "310 turns", "AWG 32"
	Fingerprint string   // short, of the whole design
}

// footerType is the size of type of a footer in points.
const footerType = 9

// Footed returns a drawing with a footer under it.
func Footed(d Drawing, f Footer, style Style) Drawing {
	const margin = 5 // pt
	return func(c draw.Canvas) error {
		c.SetColor(style.Background)
		c.Fill(c.Rectangle.Path())
		above := f.draw(draw.Crop(c, margin, -margin, margin, 0), style, "")
		c.Min.Y = above.Min.Y
		return d(c)
	}
}

// draw sets the lines at the foot of c, with a word on the right, and returns
// the room above them.
func (f Footer) draw(c draw.Canvas, style Style, word string) draw.Canvas {
	const step = lineStep * footerType
	width := c.Max.X - c.Min.X
	lines := wrapped(f.Inputs, " · ", sans(footerType), width)

	number := newBlock(word, sans(footerType))
	facts := []string{f.Date.Format(time.DateOnly)}
	if f.Fingerprint != "" {
		facts = append(facts, style.say("design %s", f.Fingerprint))
	}
	right := newBlock(strings.Join(facts, " · "), sans(footerType))
	gap := vg.Length(2 * footerType)
	name := shortened(f.Name, bold(footerType), width-number.size().X-right.size().X-2*gap)

	c.SetColor(style.Ink)
	y := c.Min.Y + step*vg.Length(len(lines))
	name.draw(c, vg.Point{X: c.Min.X, Y: y}, 0)
	right.draw(c, vg.Point{X: c.Min.X + name.size().X + gap, Y: y}, 0)
	number.draw(c, vg.Point{X: c.Max.X - number.size().X, Y: y}, 0)
	for i, line := range lines {
		newBlock(line, sans(footerType)).draw(c, vg.Point{X: c.Min.X, Y: y - step*vg.Length(i+1)}, 0)
	}
	rule := y + 1.5*footerType
	strokeLine(c, []vg.Point{{X: c.Min.X, Y: rule}, {X: c.Max.X, Y: rule}}, style.ThinWidth, style.Axis, nil)
	c.Min.Y = rule + 8
	return c
}

// wrapped joins words by a separator into lines no wider than width.
func wrapped(words []string, separator string, f font.Font, width vg.Length) []string {
	var lines []string
	for _, word := range words {
		if n := len(lines); n > 0 {
			if longer := lines[n-1] + separator + word; typesetter().width(longer, f) <= width {
				lines[n-1] = longer
				continue
			}
		}
		lines = append(lines, strings.Join(shortened(word, f, width).lines, " "))
	}
	return lines
}

// shortened sets text on one line no wider than width, its end cut off if need
// be.
func shortened(text string, f font.Font, width vg.Length) block {
	text = strings.Join(strings.Fields(text), " ")
	if b := newBlock(text, f); b.size().X <= width {
		return b
	}
	letters := []rune(text)
	for len(letters) > 0 {
		letters = letters[:len(letters)-1]
		if b := newBlock(strings.TrimRight(string(letters), " ")+"…", f); b.size().X <= width {
			return b
		}
	}
	return newBlock("", f)
}
