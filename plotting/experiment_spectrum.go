package plotting

import (
	"image/color"
	"math"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"coilwright/physics/experiment"
	"coilwright/physics/si"
	"coilwright/physics/spectrum"
)

// spectrumFigure draws where a frequency lies among those who work by radio, one
// lane for each kind of them. A guess is the distance to the nearest industrial band
// over the frequency; nil: there is none.
//
// An error wraps [ErrNotFinite].
func spectrumFigure(o *experiment.SpectrumOutcome, guess *float64, answered bool, style Style) (*plot.Plot, error) {
	if err := checkNumber("frequency", o.Frequency); err != nil {
		return nil, err
	}
	p := newPlot(style, style.say("Who else works there"), axis(style.say("frequency"), si.Megahertz), "", ticks{}, ticks{})
	p.X.Tick.Marker = decades{si.Megahertz}
	p.X.Scale = plot.LogScale{}
	p.X.Min, p.X.Max = o.Low, o.High
	p.Y.Min, p.Y.Max = 0, 1
	p.Y.Tick.Marker = plot.ConstantTicks(nil)
	p.Y.Padding = style.TickSize // for half a number under the left edge
	p.Add(&lanes{o, guess, answered, style})
	return p, nil
}

// lane is a kind of services under one name.
type lane struct {
	kind spectrum.Kind
	name string
}

// lanesFor are the kinds of services from the top lane down, the most serious first.
func lanesFor(s Style) []lane {
	return []lane{
		{spectrum.Safety, s.say("distress, safety")},
		{spectrum.Aeronautical, s.say("aircraft")},
		{spectrum.Navigation, s.say("navigation")},
		{spectrum.Time, s.say("time signals")},
		{spectrum.Broadcasting, s.say("broadcasting")},
		{spectrum.Amateur, s.say("amateurs")},
		{spectrum.Cards, s.say("contactless cards")},
		{spectrum.ISM, s.say("industrial (ISM)")},
	}
}

// lanes are the services by kind.
type lanes struct {
	outcome  *experiment.SpectrumOutcome
	guess    *float64
	answered bool
	style    Style
}

// Plot implements [plot.Plotter].
func (l *lanes) Plot(c draw.Canvas, p *plot.Plot) {
	x, _ := p.Transforms(&c)
	names := lanesFor(l.style)
	lane := c.Size().Y / vg.Length(len(names)+1)
	em := min(l.style.LabelSize, 0.5*lane)
	for i, name := range names {
		middle := c.Max.Y - lane*(vg.Length(i)+1)
		strokeLine(c, []vg.Point{{X: c.Min.X, Y: middle}, {X: c.Max.X, Y: middle}}, l.style.ThinWidth, l.style.Grid, nil)
		c.SetColor(l.style.Muted)
		newBlock(name.name, sans(em)).draw(c, vg.Point{X: c.Min.X + 0.4*em, Y: middle + 0.12*lane}, 0)
		ink := l.style.Second
		if name.kind == spectrum.ISM {
			ink = l.style.Target
		}
		c.SetColor(ink)
		for _, s := range l.outcome.Around {
			if s.Kind != name.kind {
				continue
			}
			from, to := x(math.Max(s.Low, l.outcome.Low)), x(math.Min(s.High, l.outcome.High))
			if to-from < 2*l.style.ThinWidth { // a single frequency
				from, to = from-l.style.ThinWidth, from+l.style.ThinWidth
			}
			c.Fill(vg.Rectangle{Min: vg.Point{X: from, Y: middle - 0.16*lane}, Max: vg.Point{X: to, Y: middle + 0.02*lane}}.Path())
		}
	}
	l.upright(c, x(l.outcome.Frequency), l.style.Wire, nil, l.style.say("the coil"), em)
	if l.guess == nil {
		return
	}
	if at := l.outcome.Toward(*l.guess); at >= l.outcome.Low && at <= l.outcome.High {
		l.upright(c, x(at), l.style.Ink, l.style.targetDash(), l.style.say("guess"), em)
	}
}

func (l *lanes) upright(c draw.Canvas, x vg.Length, ink color.Color, dash []vg.Length, word string, em vg.Length) {
	strokeLine(c, []vg.Point{{X: x, Y: c.Min.Y}, {X: x, Y: c.Max.Y}}, l.style.CurveWidth, ink, dash)
	text := newBlock(word, bold(em))
	corner := vg.Point{X: x + 0.3*em, Y: c.Min.Y + 0.2*em}
	if corner.X+text.size().X > c.Max.X {
		corner.X = x - 0.3*em - text.size().X
	}
	c.SetColor(faded(l.style.Background, 0.85))
	c.Fill(vg.Rectangle{Min: corner, Max: corner.Add(text.size())}.Path())
	c.SetColor(ink)
	text.draw(c, corner, 0)
}
