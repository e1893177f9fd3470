package plotting

import (
	"io"

	"gonum.org/v1/plot"
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
		c = s.Footer.draw(c, style, style.say("page %d of %d", i+1, len(pages)))
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
