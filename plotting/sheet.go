package plotting

import (
	"fmt"
	"io"
	"strings"
	"time"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"coilwright/physics/design"
	"coilwright/plotting/pdf"
)

// Paper is a size of sheet, upright.
type Paper struct{ Width, Height vg.Length }

// Papers in use.
var (
	A4     = Paper{210 * vg.Millimeter, 297 * vg.Millimeter} // ISO 216
	Letter = Paper{8.5 * vg.Inch, 11 * vg.Inch}              // ANSI/ASME Y14.1
)

// Footer is what stands under every page, so that a sheet found in a drawer
// tells what it is of.
type Footer struct {
	Name        string
	Date        time.Time
	Inputs      []string // the main ones, each with its unit: "310 turns", "AWG 32"
	Fingerprint string   // short, of the whole design
}

// Sheet is what is printed of a design: its figures on the first page and the
// coil in section on the second, in the style for print.
type Sheet struct {
	Title    string
	Curves   design.Curves
	Geometry design.Geometry
	Units    Units
	Paper    Paper // zero: A4
	Footer   Footer
}

// Margins and distances of a sheet.
const (
	sheetMargin = 15 * vg.Millimeter
	sheetTitle  = 16 // pt, size of type
	sheetSmall  = 9  // pt, size of type of the footer
)

// WriteSheet writes the sheet as a PDF file; the same sheet gives the same
// bytes.
//
// An error wraps [ErrNoCurve] or [ErrNotFinite].
func WriteSheet(w io.Writer, s Sheet) error {
	style := Print()
	if s.Paper == (Paper{}) {
		s.Paper = A4
	}
	figures, err := s.figures(style)
	if err != nil {
		return err
	}
	doc := pdf.New(s.Paper.Width, s.Paper.Height, s.Title, s.Footer.Date)
	pages := []func(draw.Canvas) error{
		func(c draw.Canvas) error {
			stack(c, figures)
			return nil
		},
		Section(s.Geometry, SectionOptions{Units: s.Units}, style),
	}
	for i, page := range pages {
		c := draw.New(doc.AddPage())
		c = draw.Crop(c, sheetMargin, -sheetMargin, sheetMargin, -sheetMargin)
		c = s.title(c, style)
		c = s.footer(c, style, i+1, len(pages))
		if err := page(c); err != nil {
			return err
		}
	}
	return doc.Write(w)
}

func (s Sheet) figures(style Style) ([]*plot.Plot, error) {
	turns, err := TurnsFigure(s.Curves.Turns, s.Units, style)
	if err != nil {
		return nil, err
	}
	size, err := SizeFigure(s.Curves.Size, s.Units, style)
	if err != nil {
		return nil, err
	}
	count, err := CountFigure(s.Curves.Count, s.Units, style)
	return []*plot.Plot{turns, size, count}, err
}

// stack draws plots one under the other, their frames in line on the left.
func stack(c draw.Canvas, plots []*plot.Plot) {
	height := (c.Max.Y - c.Min.Y) / vg.Length(len(plots))
	parts, lefts := make([]draw.Canvas, len(plots)), make([]vg.Length, len(plots))
	var left vg.Length
	for i, p := range plots {
		parts[i] = c
		parts[i].Max.Y = c.Max.Y - height*vg.Length(i)
		parts[i].Min.Y = parts[i].Max.Y - height
		q, _, inner := arrange(p, parts[i])
		lefts[i] = q.DataCanvas(inner).Min.X
		left = max(left, lefts[i])
	}
	for i, p := range plots {
		q := *p
		q.Y.Label.Padding += left - lefts[i]
		Draw(&q, parts[i])
	}
}

// title sets the heading and returns the room under it.
func (s Sheet) title(c draw.Canvas, style Style) draw.Canvas {
	text := shortened(s.Title, bold(sheetTitle), c.Max.X-c.Min.X)
	height := text.size().Y
	c.SetColor(style.Ink)
	text.draw(c, vg.Point{X: c.Min.X, Y: c.Max.Y - height}, 0)
	c.Max.Y -= height + 8
	return c
}

// footer sets the lines under the page and returns the room above them.
func (s Sheet) footer(c draw.Canvas, style Style, page, pages int) draw.Canvas {
	const step = lineStep * sheetSmall
	width := c.Max.X - c.Min.X
	lines := wrapped(s.Footer.Inputs, " · ", sans(sheetSmall), width)

	number := newBlock(fmt.Sprintf("page %d of %d", page, pages), sans(sheetSmall))
	facts := []string{s.Footer.Date.Format(time.DateOnly)}
	if s.Footer.Fingerprint != "" {
		facts = append(facts, "design "+s.Footer.Fingerprint)
	}
	right := newBlock(strings.Join(facts, " · "), sans(sheetSmall))
	gap := vg.Length(2 * sheetSmall)
	name := shortened(s.Footer.Name, bold(sheetSmall), width-number.size().X-right.size().X-2*gap)

	c.SetColor(style.Ink)
	y := c.Min.Y + step*vg.Length(len(lines))
	name.draw(c, vg.Point{X: c.Min.X, Y: y}, 0)
	right.draw(c, vg.Point{X: c.Min.X + name.size().X + gap, Y: y}, 0)
	number.draw(c, vg.Point{X: c.Max.X - number.size().X, Y: y}, 0)
	for i, line := range lines {
		newBlock(line, sans(sheetSmall)).draw(c, vg.Point{X: c.Min.X, Y: y - step*vg.Length(i+1)}, 0)
	}
	rule := y + 1.5*sheetSmall
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
