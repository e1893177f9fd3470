package plotting

import (
	"image/color"
	"math"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg/draw"

	"coilwright/physics/design"
	"coilwright/physics/si"
)

// sizeWords returns the words of the size figure for a kind of top load; without a
// title there is no such figure.
func (s Style) sizeWords(kind string) (title, xTitle, curve string) {
	switch kind {
	case design.WireRing:
		return s.say("Capacitance against ring size"), s.say("ring, outside diameter"), ""
	case design.Torus:
		return s.say("Capacitance against torus size"), s.say("torus, outside diameter"), s.say("torus")
	case design.Sphere:
		return s.say("Capacitance against sphere size"), s.say("sphere, diameter"), s.say("sphere")
	case design.Disc:
		return s.say("Capacitance against disc size"), s.say("disc, diameter"), s.say("disc")
	}
	return "", "", ""
}

// SizeFigure draws the capacitance of the top load alone against its outside
// diameter: of a ring of wire beside the smooth ring of the same size, with the
// sizes that cannot be built shaded, or of a torus, sphere or disc. Without a
// top load the figure says so.
//
// An error wraps [ErrNoCurve] or [ErrNotFinite].
func SizeFigure(curve design.SizeCurve, units Units, style Style, kept ...Kept) (*plot.Plot, error) {
	title, xTitle, curveName := style.sizeWords(curve.Kind)
	if title == "" || curve.OuterDiameter == nil {
		return emptyFigure(style, style.say("Capacitance against size"), style.say("no top load")), nil
	}
	columns := [][]float64{curve.Capacitance}
	if curve.Smooth != nil {
		columns = append(columns, curve.Smooth)
	}
	if err := checkCurve("capacitance against size", curve.OuterDiameter, columns...); err != nil {
		return nil, err
	}
	for _, n := range []namedNumber{
		{"smallest size", curve.BuildableFrom}, {"largest size", curve.BuildableTo},
		{"present size", curve.PresentDiameter}, {"present capacitance", curve.Present},
		{"present smooth capacitance", curve.PresentSmooth},
	} {
		if err := checkNumber(n.name, n.value); err != nil {
			return nil, err
		}
	}
	f := &figure{style: style}
	x, c := with(curve.OuterDiameter, curve.Capacitance, curve.PresentDiameter, curve.Present)
	lowest, highest := extremes(c)
	if curve.Smooth != nil {
		name := style.say("%s of wire", style.turns(float64(curve.Turns)))
		sx, smooth := with(curve.OuterDiameter, curve.Smooth, curve.PresentDiameter, curve.PresentSmooth)
		f.curves = append(f.curves, style.mainCurve(x, c, true, name, style.say("wire")), style.secondCurve(sx, smooth, style.say("smooth ring"), style.say("smooth")))
		lo, hi := extremes(smooth)
		lowest, highest = math.Min(lowest, lo), math.Max(highest, hi)
	} else {
		f.curves = append(f.curves, style.onlyCurve(x, c, curveName))
	}

	y := ticks{unit: si.Picofarad, count: usualTicks}
	p := newPlot(style, title, axis(xTitle, units.small()), axis(style.say("capacitance"), si.Picofarad),
		ticks{unit: units.small(), count: usualTicks}, y)
	p.X.Min, p.X.Max = x[0], x[len(x)-1]
	p.Y.Min, p.Y.Max = y.outward(reaching(lowest, highest, kept, p.X.Min, p.X.Max))

	f.present(curve.PresentDiameter, curve.Present, p.Y.Min,
		si.Format(curve.PresentDiameter, units.small(), 3)+" · "+si.Format(curve.Present, si.Picofarad, 3),
		si.Format(curve.PresentDiameter, units.small(), 3)+"\n"+si.Format(curve.Present, si.Picofarad, 3),
		si.Format(curve.Present, si.Picofarad, 3))
	f.shade(curve, p)
	if err := f.keep(kept); err != nil {
		return nil, err
	}
	p.Add(f)
	return p, nil
}

// shade marks the sizes that cannot be built.
func (f *figure) shade(curve design.SizeCurve, p *plot.Plot) {
	reasons := [2][]string{
		folds(f.style.say("turns do not fit"), 3),
		folds(f.style.say("too large"), 2),
	}
	// How many turns fit is the hub's affair alone: a bound within a sweep of
	// the former is that of the wire's bend.
	if curve.Kind == design.WireRing && curve.Vary == design.VaryFormer && curve.BuildableFrom < p.X.Max {
		reasons[0] = folds(f.style.say("former too thin"), 3)
	}
	var areas [2]area
	if curve.BuildableFrom > p.X.Min {
		areas[0] = area{from: p.X.Min, to: math.Min(curve.BuildableFrom, p.X.Max), color: f.style.Shade}
	}
	if curve.BuildableTo > 0 && curve.BuildableTo < p.X.Max {
		areas[1] = area{from: math.Max(curve.BuildableTo, p.X.Min), to: p.X.Max, color: f.style.Shade}
	}
	for i, a := range areas {
		if a.to <= a.from {
			continue
		}
		f.areas = append(f.areas, a)
		edge := a.to
		if i == 1 {
			edge = a.from
		}
		if edge > p.X.Min && edge < p.X.Max { // the edge shows where a grey copy loses the shade
			f.guides = append(f.guides, guide{
				x0: edge, y0: p.Y.Min, x1: edge, y1: p.Y.Max,
				width: f.style.ThinWidth, color: f.style.Warning, dash: f.style.limitDash(),
			})
		}
		f.notes = append(f.notes, note{
			texts: reasons[i], font: sans(f.style.LabelSize), color: f.style.Warning, must: true,
			places: inside(a), elsewhere: alongUpright(edge, p.Y.Min, p.Y.Max), of: ofArea(a),
		})
	}
}

// EmptyFigure is a figure that says why there is nothing in it.
func EmptyFigure(title, reason string, style Style) *plot.Plot {
	return emptyFigure(style, title, reason)
}

// emptyFigure says in the middle of an empty frame why there is nothing to
// draw.
func emptyFigure(style Style, title, reason string) *plot.Plot {
	p := newPlot(style, title, "", "", ticks{}, ticks{})
	p.HideAxes()
	p.X.Min, p.X.Max, p.Y.Min, p.Y.Max = 0, 1, 0, 1
	p.Add(notice{newBlock(reason, sans(style.LabelSize)), style.Muted})
	return p
}

// notice is text in the middle of the frame.
type notice struct {
	text  block
	color color.Color
}

// Plot implements [plot.Plotter].
func (s notice) Plot(c draw.Canvas, _ *plot.Plot) {
	c.SetColor(s.color)
	s.text.draw(c, centred(c.Center(), s.text.size()).Min, 0.5)
}

func extremes(values []float64) (lowest, highest float64) {
	lowest, highest = values[0], values[0]
	for _, v := range values[1:] {
		lowest, highest = math.Min(lowest, v), math.Max(highest, v)
	}
	return lowest, highest
}
