package plotting

import (
	"image/color"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"coilwright/physics/si"
)

// sideScale is a scale on the right of the frame for the second curve, in its
// colour, with few labels. It moves with the upright axis when a part of that is
// shown.
type sideScale struct {
	style     Style
	unit      si.Unit
	from, to  float64
	foot, top float64 // where from and to stand, as data of the plot
}

// newSideScale returns a scale that holds all values beside the whole upright
// axis of a plot.
func newSideScale(p *plot.Plot, values []float64, unit si.Unit, style Style) sideScale {
	lo, hi := extremes(values)
	if hi-lo < 1e-9 {
		lo, hi = lo-1e-3, hi+1e-3
	}
	const labels = 4
	lo, hi = ticks{unit: unit, count: labels}.outward(lo, hi)
	return sideScale{style, unit, lo, hi, p.Y.Min, p.Y.Max}
}

// onto returns the height in the frame of a value, as data of the plot.
func (s sideScale) onto(v float64) float64 {
	return s.foot + (s.top-s.foot)*(v-s.from)/(s.to-s.from)
}

// all is onto for a whole curve.
func (s sideScale) all(values []float64) []float64 {
	raised := make([]float64, len(values))
	for i, v := range values {
		raised[i] = s.onto(v)
	}
	return raised
}

func (s sideScale) gap() vg.Length { return 0.5 * s.style.TickSize }

// labels are the ticks beside a part of the upright axis, with their unit on the
// last.
func (s sideScale) labels(axis plot.Axis, count int) []plot.Tick {
	value := func(y float64) float64 { return s.from + (s.to-s.from)*(y-s.foot)/(s.top-s.foot) }
	list := ticks{unit: s.unit, count: count}.Ticks(value(axis.Min), value(axis.Max))
	if len(list) > 0 {
		list[len(list)-1].Label += " " + s.unit.Symbol()
	}
	return list
}

// How many labels a low frame and a roomy one have, at most.
const (
	lowLabels   = 2
	roomyLabels = 5
)

// roomyFrame is the height of a frame, in type sizes, from which on a scale on its
// right has room for more than a label at either end.
const roomyFrame = 9

// Plot implements [plot.Plotter].
func (s sideScale) Plot(c draw.Canvas, p *plot.Plot) {
	count := lowLabels
	if c.Max.Y-c.Min.Y > roomyFrame*s.style.TickSize {
		count = roomyLabels
	}
	_, height := p.Transforms(&c)
	for _, tick := range s.labels(p.Y, count) {
		y := height(s.onto(tick.Value))
		strokeLine(c, []vg.Point{{X: c.Max.X, Y: y}, {X: c.Max.X + 0.6*s.gap(), Y: y}}, s.style.ThinWidth, s.color(), nil)
		text := newBlock(tick.Label, sans(s.style.TickSize))
		c.SetColor(s.color())
		text.draw(c, vg.Point{X: c.Max.X + s.gap(), Y: y - text.size().Y/2}, 0)
	}
}

func (s sideScale) color() color.Color { return s.style.Second }

// GlyphBoxes implements [plot.GlyphBoxer]: the frame leaves room for the labels. At
// half its height: a box at the foot would part the frame from its axis.
func (s sideScale) GlyphBoxes(p *plot.Plot) []plot.GlyphBox {
	var size vg.Point
	for _, count := range []int{lowLabels, roomyLabels} {
		for _, tick := range s.labels(p.Y, count) {
			own := newBlock(tick.Label, sans(s.style.TickSize)).size()
			size.X, size.Y = max(size.X, own.X), max(size.Y, own.Y)
		}
	}
	box := vg.Rectangle{Min: vg.Point{X: s.gap(), Y: -size.Y / 2}, Max: vg.Point{X: s.gap() + size.X, Y: size.Y / 2}}
	return []plot.GlyphBox{{X: 1, Y: 0.5, Rectangle: box}}
}
