package plotting

import (
	"math"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"

	"coilwright/physics/design"
	"coilwright/physics/si"
)

// TurnsFigure draws the frequency of the coil against the turns of its
// secondary, with and without its top load, and marks the present design. A
// frequency far above it at the fewest turns is left out of the frame.
//
// An error wraps [ErrNoCurve] or [ErrNotFinite].
func TurnsFigure(curve design.TurnsCurve, _ Units, style Style, kept ...Kept) (*plot.Plot, error) {
	columns := [][]float64{curve.Bare}
	if curve.WithTopLoad != nil {
		columns = append(columns, curve.WithTopLoad)
	}
	if err := checkCurve("frequency against turns", curve.Turns, columns...); err != nil {
		return nil, err
	}
	for _, n := range []namedNumber{
		{"present turns", curve.PresentTurns}, {"present frequency", curve.Present},
		{"present frequency without top load", curve.PresentBare}, {"target frequency", curve.Target},
		{"low end of the band", curve.Low}, {"high end of the band", curve.High},
	} {
		if err := checkNumber(n.name, n.value); err != nil {
			return nil, err
		}
	}
	f := &figure{style: style}
	bareTurns, bare := with(curve.Turns, curve.Bare, curve.PresentTurns, curve.PresentBare)
	if curve.WithTopLoad != nil {
		turns, loaded := with(curve.Turns, curve.WithTopLoad, curve.PresentTurns, curve.Present)
		f.curves = append(f.curves,
			style.mainCurve(turns, loaded, true, style.say("with top load"), style.say("with load")),
			style.secondCurve(bareTurns, bare, style.say("without top load"), style.say("without")))
	} else {
		f.curves = append(f.curves, style.onlyCurve(bareTurns, bare, style.say("without top load")))
	}

	f.band(curve)
	top := frequencyTop(curve)
	unit := si.Megahertz
	if curve.Present < 1e6 {
		unit = si.Kilohertz
	}
	y := ticks{unit: unit, count: usualTicks}
	p := newPlot(style, style.say("Frequency against turns"), style.say("turns of the secondary"), axis(style.say("frequency"), unit),
		ticks{unit: si.Plain, count: usualTicks, whole: true}, y)
	p.X.Min, p.X.Max = bareTurns[0], bareTurns[len(bareTurns)-1]
	p.Y.Min, p.Y.Max = y.outward(0, top)

	if curve.Target > 0 {
		f.guides = append(f.guides, guide{
			x0: p.X.Min, y0: curve.Target, x1: p.X.Max, y1: curve.Target,
			width: style.GuideWidth, color: style.Target, dash: style.targetDash(),
		})
	}
	f.present(curve.PresentTurns, curve.Present, p.Y.Min,
		style.turns(curve.PresentTurns)+" · "+si.Format(curve.Present, unit, 4),
		style.turns(curve.PresentTurns)+"\n"+si.Format(curve.Present, unit, 4),
		si.Format(curve.Present, unit, 4))
	if curve.Target > 0 {
		target := si.Format(curve.Target, unit, 3)
		f.notes = append(f.notes, note{
			texts: []string{style.say("target %s", target), style.say("target")}, font: sans(style.LabelSize), color: style.Target,
			places: alongLevel(p.X.Min, p.X.Max, curve.Target), must: true, late: true,
			of: ofLine(p.X.Min, curve.Target, p.X.Max, curve.Target),
		})
	}
	if err := f.keep(kept); err != nil {
		return nil, err
	}
	p.Add(f)
	return p, nil
}

// bandAlpha is how much of the curve's colour its band has, of 255.
const bandAlpha = 0x38

// band shades how far the frequency is uncertain. It is computed at the present turns;
// the curve beside them has the same share of its own frequency.
func (f *figure) band(curve design.TurnsCurve) {
	if !(curve.Low > 0) || !(curve.High > curve.Low) || !(curve.Present > 0) {
		return
	}
	y := curve.WithTopLoad
	if y == nil {
		y = curve.Bare
	}
	x, y := with(curve.Turns, y, curve.PresentTurns, curve.Present)
	b := band{x: x, low: make([]float64, len(x)), high: make([]float64, len(x)), color: f.style.Wire}
	b.color.A = bandAlpha
	for i, v := range y {
		b.low[i], b.high[i] = v*curve.Low/curve.Present, v*curve.High/curve.Present
	}
	f.bands = append(f.bands, b)
}

// namedNumber is a number of a curve with the name an error gives it.
type namedNumber struct {
	name  string
	value float64
}

// frequencyTop is where the frequency axis ends: above everything if that keeps
// the present design in the middle third or so, else above what matters of it.
func frequencyTop(curve design.TurnsCurve) float64 {
	highest := 0.0
	for i := range curve.Turns {
		highest = math.Max(highest, curve.Bare[i])
		if curve.WithTopLoad != nil {
			highest = math.Max(highest, curve.WithTopLoad[i])
		}
	}
	// Twice the present leaves room for the label and shows the bend; the bare
	// coil at the present turns and the target must be on the page.
	matters := math.Max(2*curve.Present, 1.15*math.Max(curve.PresentBare, curve.Target))
	return math.Max(math.Min(highest, matters), 1.05*math.Max(curve.Present, curve.Target))
}

// present marks the present design: a dot, a line dropped to the axis and its
// numbers.
func (f *figure) present(x, y, axis float64, texts ...string) {
	s := f.style
	f.guides = append(f.guides, guide{x0: x, y0: axis, x1: x, y1: y, width: s.GuideWidth, color: s.Wire, dash: s.dropDash()})
	f.dots = append(f.dots, dot{x: x, y: y, radius: s.DotRadius, color: s.Wire, halo: true})
	f.notes = append(f.notes, note{
		texts: texts, font: bold(s.LabelSize), color: s.Ink,
		places: about(x, y, s.DotRadius), must: true, of: ofPoint(x, y),
	})
}

// mainCurve is the design's own curve.
func (s Style) mainCurve(x, y []float64, lower bool, names ...string) curve {
	return curve{x: x, y: y, width: s.CurveWidth, color: s.Wire, lower: lower, names: names}
}

// onlyCurve is the design's own curve where there is no other.
func (s Style) onlyCurve(x, y []float64, names ...string) curve {
	k := s.mainCurve(x, y, false, names...)
	k.alone = true
	return k
}

// secondCurve is the one it is compared with, which runs above it.
func (s Style) secondCurve(x, y []float64, names ...string) curve {
	return curve{x: x, y: y, width: s.CurveWidth, color: s.Second, dash: s.secondDash(), names: names}
}

// alongLevel returns places over and under a level line, best at its ends.
func alongLevel(x0, x1, y float64) func(block, pageMap) []place {
	return func(text block, page pageMap) []place {
		line := []vg.Point{page.at(x0, y), page.at(x1, y)}
		places := append(beside(line, 0, nearby)(text, page), beside(line, 1, nearby)(text, page)...)
		return places
	}
}

// alongUpright returns places left and right of an upright line, best at its
// top.
func alongUpright(x, y0, y1 float64) func(block, pageMap) []place {
	return func(text block, page pageMap) []place {
		return beside([]vg.Point{page.at(x, y0), page.at(x, y1)}, 1, farther)(text, page)
	}
}
