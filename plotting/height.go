package plotting

import (
	"image/color"
	"math"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"coilwright/physics/design"
	"coilwright/physics/si"
)

// heightWords returns the words of the height figure for a kind of top load; without
// a title there is no such figure.
func (s Style) heightWords(kind string) (title, xTitle string) {
	switch kind {
	case design.WireRing:
		return s.say("Frequency against height of the ring"), s.say("ring, height over the winding")
	case design.Torus:
		return s.say("Frequency against height of the torus"), s.say("torus, height over the winding")
	case design.Sphere:
		return s.say("Frequency against height of the sphere"), s.say("sphere, height over the winding")
	case design.Disc:
		return s.say("Frequency against height of the disc"), s.say("disc, height over the winding")
	}
	return "", ""
}

// HeightFigure draws the frequency of the coil against the height of its top
// load over the winding and, dashed, what share of the capacitance that the top
// load has alone it adds to the coil, by the scale on the right. It marks the
// present design on both. Without a top load the figure says so.
//
// An error wraps [ErrNoCurve] or [ErrNotFinite].
func HeightFigure(curve design.HeightCurve, units Units, style Style) (*plot.Plot, error) {
	title, xTitle := style.heightWords(curve.Kind)
	if title == "" || curve.Height == nil {
		return emptyFigure(style, style.say("Frequency against height"), style.say("no top load")), nil
	}
	if err := checkCurve("frequency against height", curve.Height, curve.Frequency, curve.Shading); err != nil {
		return nil, err
	}
	for _, n := range []namedNumber{
		{"present height", curve.PresentHeight}, {"present frequency", curve.Present}, {"present shading", curve.PresentShading},
	} {
		if err := checkNumber(n.name, n.value); err != nil {
			return nil, err
		}
	}
	unit := si.Megahertz
	if curve.Present < 1e6 {
		unit = si.Kilohertz
	}
	x, frequency := with(curve.Height, curve.Frequency, curve.PresentHeight, curve.Present)
	_, share := with(curve.Height, curve.Shading, curve.PresentHeight, curve.PresentShading)
	y := ticks{unit: unit, count: usualTicks}
	p := newPlot(style, title, axis(xTitle, units.small()), axis(style.say("frequency"), unit),
		ticks{unit: units.small(), count: usualTicks}, y)
	p.X.Min, p.X.Max = x[0], x[len(x)-1]
	p.Y.Min, p.Y.Max = y.outward(extremes(frequency))

	scale := newShareScale(share, style)
	raised := make([]float64, len(share))
	for i, s := range share {
		raised[i] = scale.onto(p, s)
	}
	f := &figure{style: style}
	f.curves = append(f.curves,
		style.mainCurve(x, frequency, false, style.say("frequency")),
		style.secondCurve(x, raised, style.say("share of its capacitance added"), style.say("share added"), style.say("share")))
	height := si.Format(curve.PresentHeight, units.small(), 3)
	f.present(curve.PresentHeight, curve.Present, p.Y.Min,
		height+" · "+si.Format(curve.Present, unit, 4),
		height+"\n"+si.Format(curve.Present, unit, 4),
		si.Format(curve.Present, unit, 4))
	f.presentShare(curve.PresentHeight, scale.onto(p, curve.PresentShading), curve.PresentShading)
	p.Add(f, scale)
	return p, nil
}

// presentShare marks the present design on the dashed curve.
func (f *figure) presentShare(x, y, share float64) {
	s := f.style
	f.dots = append(f.dots, dot{x: x, y: y, radius: 0.75 * s.DotRadius, color: s.Second, halo: true})
	text := si.Format(share, si.Percent, 2)
	around := about(x, y, 0.75*s.DotRadius)
	f.notes = append(f.notes, note{
		texts: []string{s.say("%s added", text), text}, font: sans(s.LabelSize), color: s.Second,
		places: func(text block, page pageMap) []place {
			if page.Size().Y < roomyFrame*s.TickSize {
				return nil // the names of the curves need the room; the scale tells the share
			}
			return around(text, page)
		},
	})
}

// roomyFrame is the height of a frame, in type sizes, from which on the share
// has room for five labels on its scale and one at its mark.
const roomyFrame = 9

// shareScale is a scale of shares on the right of the frame, in the colour of
// its curve.
type shareScale struct {
	style Style
	top   float64 // share at the top of the frame; 0 is at the bottom
}

// newShareScale returns a scale that has room for the shares: to 100 % unless
// one is above, as a body on a plane's image may be.
func newShareScale(shares []float64, style Style) shareScale {
	_, most := extremes(shares)
	return shareScale{style, math.Max(1, niceAbove(most))}
}

// onto returns the height in the frame, as data of the plot, of a share.
func (s shareScale) onto(p *plot.Plot, share float64) float64 {
	return p.Y.Min + (p.Y.Max-p.Y.Min)*share/s.top
}

// gap is the room between the frame and the labels.
func (s shareScale) gap() vg.Length { return 0.5 * s.style.TickSize }

// label is the text at a part of the scale.
func (s shareScale) label(part float64) block {
	return newBlock(si.Format(math.Round(1e4*part*s.top)/1e4, si.Percent, si.Shortest), sans(s.style.TickSize))
}

// Plot implements [plot.Plotter].
func (s shareScale) Plot(c draw.Canvas, _ *plot.Plot) {
	const (
		quarters = 4
		halves   = 2
	)
	parts := halves
	if c.Max.Y-c.Min.Y > roomyFrame*s.style.TickSize {
		parts = quarters
	}
	for i := range parts + 1 {
		part := float64(i) / float64(parts)
		y := c.Min.Y + (c.Max.Y-c.Min.Y)*vg.Length(part)
		strokeLine(c, []vg.Point{{X: c.Max.X, Y: y}, {X: c.Max.X + 0.6*s.gap(), Y: y}}, s.style.ThinWidth, s.color(), nil)
		text := s.label(part)
		c.SetColor(s.color())
		text.draw(c, vg.Point{X: c.Max.X + s.gap(), Y: y - text.size().Y/2}, 0)
	}
}

func (s shareScale) color() color.Color { return s.style.Second }

// GlyphBoxes implements [plot.GlyphBoxer]: the frame leaves room for the labels.
func (s shareScale) GlyphBoxes(*plot.Plot) []plot.GlyphBox {
	size := s.label(1).size()
	return []plot.GlyphBox{{
		X: 1, Y: 0.5,
		Rectangle: vg.Rectangle{Min: vg.Point{X: s.gap(), Y: -size.Y / 2}, Max: vg.Point{X: s.gap() + size.X, Y: size.Y / 2}},
	}}
}

// HeightTable returns the numbers of [HeightFigure]; without a top load it has
// no rows.
func HeightTable(curve design.HeightCurve) Table {
	return Table{
		Header:  []string{"height over the winding (m)", "frequency (Hz)", "added over isolated capacitance"},
		Columns: [][]float64{curve.Height, curve.Frequency, curve.Shading},
	}
}
