package plotting

import (
	"math"
	"math/cmplx"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"

	"coilwright/physics/measurement"
	"coilwright/physics/si"
)

// Figures of what an instrument saved, with the fit over it. Each shows a range
// of the horizontal axis, the whole file for the zero range, and shades what was
// not fitted.

// points of a fit drawn over the data.
const fitPoints = 400

// ReflectionFigure draws the magnitude of a reflection in dB against frequency.
//
// An error wraps [ErrNoCurve] or [ErrNotFinite].
func ReflectionFigure(r measurement.Reflection, fit measurement.Circle, shown measurement.Range, style Style) (*plot.Plot, error) {
	const least = 1e-6 // of a reflection, below which it is noise: −120 dB
	decibel := func(g complex128) float64 { return 20 * math.Log10(math.Max(cmplx.Abs(g), least)) }
	level := make([]float64, len(r.Frequency))
	for i, g := range r.Coefficient {
		level[i] = decibel(g)
	}
	at := func(f float64) (float64, bool) {
		g, ok := fit.At(f)
		return decibel(g), ok
	}
	return sweepFigure(style.say("Reflection and the fit"), style.say("reflection")+" (dB)", r.Frequency, level, at, fit.Fit, fit.Fitted, shown, style)
}

// SweepFigure draws an amplitude against frequency.
//
// An error wraps [ErrNoCurve] or [ErrNotFinite].
func SweepFigure(r measurement.Response, fit measurement.Peak, shown measurement.Range, style Style) (*plot.Plot, error) {
	unit := r.Unit
	switch {
	case r.Decibel:
		unit = "dB"
	case unit == "":
		unit = style.say("as read")
	}
	return sweepFigure(style.say("Amplitude and the fit"), style.say("amplitude")+" ("+unit+")", r.Frequency, r.Amplitude, fit.At, fit.Fit, fit.Fitted, shown, style)
}

// sweepFigure draws values against frequency as dots, the fit as a curve.
func sweepFigure(title, yTitle string, frequency, value []float64, at func(float64) (float64, bool), fit measurement.Fit, fitted, shown measurement.Range, style Style) (*plot.Plot, error) {
	if err := checkCurve(title, frequency, value); err != nil {
		return nil, err
	}
	if shown == (measurement.Range{}) {
		shown = measurement.Range{From: frequency[0], To: frequency[len(frequency)-1]}
	}
	var x, y []float64
	for i, f := range frequency {
		if f >= shown.From && f <= shown.To {
			x, y = append(x, f), append(y, value[i])
		}
	}
	if len(x) < 2 {
		return emptyFigure(style, title, style.say("no points in this range")), nil
	}
	unit := frequencyUnit(x[0])
	yTicks := ticks{count: usualTicks}
	p := newPlot(style, title, axis(style.say("frequency"), unit), yTitle, ticks{unit: unit, count: usualTicks}, yTicks)
	p.X.Min, p.X.Max = shown.From, shown.To
	low, high := extremes(y)
	p.Y.Min, p.Y.Max = yTicks.outward(padded(low, high))
	f := &figure{style: style}
	f.unfitted(fitted, shown)
	f.points(x, y)
	var fx, fy []float64
	for i := range fitPoints + 1 {
		g := fitted.From + (fitted.To-fitted.From)*float64(i)/fitPoints
		if v, ok := at(g); ok && g >= shown.From && g <= shown.To {
			fx, fy = append(fx, g), append(fy, v)
		}
	}
	if len(fx) > 1 {
		f.curves = append(f.curves, style.mainCurve(fx, fy, false, style.say("fit")))
	}
	f.markFit(fit, p)
	p.Add(f)
	return p, nil
}

// CircleFigure draws the resonance circle of a reflection in its plane, for a
// frame of the given width over height, so that a circle is one.
//
// An error wraps [ErrNoCurve] or [ErrNotFinite].
func CircleFigure(r measurement.Reflection, fit measurement.Circle, aspect float64, style Style) (*plot.Plot, error) {
	title := style.say("Resonance circle")
	var x, y []float64
	for i, f := range r.Frequency {
		if fit.Fitted == (measurement.Range{}) || f >= fit.Fitted.From && f <= fit.Fitted.To {
			x, y = append(x, real(r.Coefficient[i])), append(y, imag(r.Coefficient[i]))
		}
	}
	if len(x) < 2 {
		return emptyFigure(style, title, style.say("no points")), nil
	}
	for i := range x {
		if err := checkNumber(title, x[i]+y[i]); err != nil {
			return nil, err
		}
	}
	ticked := ticks{count: usualTicks}
	p := newPlot(style, title, style.say("reflection, real part"), style.say("imaginary part"), ticked, ticked)
	left, right := padded(extremes(x))
	bottom, top := padded(extremes(y))
	if !(aspect > 0) {
		aspect = 1
	}
	half := math.Max((right-left)/2/aspect, (top-bottom)/2)
	p.X.Min, p.X.Max = (left+right)/2-half*aspect, (left+right)/2+half*aspect
	p.Y.Min, p.Y.Max = (top+bottom)/2-half, (top+bottom)/2+half
	f := &figure{style: style}
	f.points(x, y)
	var fx, fy []float64
	for i := range fitPoints + 1 {
		// Evenly in the angle on the circle rather than in frequency.
		g := fitted(fit, float64(i)/fitPoints)
		if v, ok := fit.At(g); ok {
			fx, fy = append(fx, real(v)), append(fy, imag(v))
		}
	}
	if len(fx) > 1 {
		k := style.mainCurve(fx, fy, false, style.say("fit"))
		k.alone = true
		f.curves = append(f.curves, k)
		if v, ok := fit.At(fit.Frequency.Value); ok {
			f.dots = append(f.dots, dot{x: real(v), y: imag(v), radius: style.DotRadius, color: style.Wire, halo: true})
			f.notes = append(f.notes, note{
				texts: []string{si.FormatPrefixed(fit.Frequency.Value, si.Hertz, 5)}, font: sans(style.LabelSize), color: style.Ink,
				places: about(real(v), imag(v), style.DotRadius),
			})
		}
	}
	p.Add(f)
	return p, nil
}

// fitted returns the frequency in Hz at a part of the fitted stretch, denser
// about the resonance.
func fitted(fit measurement.Circle, part float64) float64 {
	from, to := fit.Fitted.From, fit.Fitted.To
	if fit.Frequency == nil || fit.LoadedQualityFactor == nil {
		return from + (to-from)*part
	}
	f0, width := fit.Frequency.Value, fit.Frequency.Value/fit.LoadedQualityFactor.Value/2
	a, b := math.Atan((from-f0)/width), math.Atan((to-f0)/width)
	return f0 + width*math.Tan(a+(b-a)*part)
}

// RingDownFigure draws a trace against time, its fit while single swings can be
// told and the envelope of the fit, dashed.
//
// An error wraps [ErrNoCurve] or [ErrNotFinite].
func RingDownFigure(r measurement.Record, fit measurement.RingDown, shown measurement.Range, style Style) (*plot.Plot, error) {
	const (
		stretches = 1200 // more than pixels across
		mostSeen  = 60   // swings that can be told from each other
		perSwing  = 24   // points
	)
	title := style.say("Ring-down and the fit")
	if len(r.Channels) == 0 {
		return nil, ErrNoCurve
	}
	span := r.Span()
	if shown == (measurement.Range{}) {
		shown = span
	}
	o := r.Outline(fit.Channel, shown, stretches)
	if len(o.Time) < 2 {
		return emptyFigure(style, title, style.say("no samples in this range")), nil
	}
	low, _ := extremes(o.Low)
	_, high := extremes(o.High)
	if err := checkNumber("trace", low+high); err != nil {
		return nil, err
	}
	unit := timeUnit(math.Max(math.Abs(shown.From), math.Abs(shown.To)))
	yTitle := r.Channels[fit.Channel].Name
	if u := r.Channels[fit.Channel].Unit; u != "" {
		yTitle += " (" + u + ")"
	}
	yTicks := ticks{count: usualTicks}
	p := newPlot(style, title, axis(style.say("time"), unit), yTitle, ticks{unit: unit, count: usualTicks}, yTicks)
	p.X.Min, p.X.Max = shown.From, shown.To
	p.Y.Min, p.Y.Max = yTicks.outward(padded(low, high))
	f := &figure{style: style}
	f.unfitted(fit.Fitted, shown)
	trace := curve{width: 0.6 * style.CurveWidth, color: style.Spare, alone: true}
	for i, t := range o.Time {
		trace.x, trace.y = append(trace.x, t), append(trace.y, o.Low[i])
		if !o.Whole {
			trace.x, trace.y = append(trace.x, t), append(trace.y, o.High[i])
		}
	}
	f.curves = append(f.curves, trace)
	from, to := math.Max(shown.From, fit.Fitted.From), math.Min(shown.To, fit.Fitted.To)
	if fit.Frequency != nil && to > from {
		if swings := (to - from) * fit.Frequency.Value; swings <= mostSeen {
			var x, y []float64
			n := int(math.Ceil(swings*perSwing)) + 1
			for i := range n + 1 {
				t := from + (to-from)*float64(i)/float64(n)
				if v, ok := fit.At(t); ok {
					x, y = append(x, t), append(y, v)
				}
			}
			if len(x) > 1 {
				f.curves = append(f.curves, style.mainCurve(x, y, false, style.say("fit")))
			}
		}
		var x, above, below []float64
		for i := range fitPoints + 1 {
			t := from + (to-from)*float64(i)/fitPoints
			if l, h, ok := fit.Envelope(t); ok {
				x, above, below = append(x, t), append(above, h), append(below, l)
			}
		}
		if len(x) > 1 {
			upper := curve{x: x, y: above, width: style.CurveWidth, color: style.Second, dash: style.secondDash(), names: []string{style.say("envelope of the fit"), style.say("envelope")}}
			lower := upper
			lower.y, lower.names = below, nil
			f.curves = append(f.curves, upper, lower)
		}
	}
	p.Add(f)
	return p, nil
}

// points draws data as small dots.
func (f *figure) points(x, y []float64) {
	const part = 0.42 // of a mark's radius
	for i := range x {
		f.dots = append(f.dots, dot{x: x[i], y: y[i], radius: part * f.style.DotRadius, color: f.style.Spare})
	}
}

// unfitted shades what of the shown range was not fitted.
func (f *figure) unfitted(fitted, shown measurement.Range) {
	if fitted == (measurement.Range{}) {
		return
	}
	if fitted.From > shown.From {
		f.areas = append(f.areas, area{shown.From, math.Min(fitted.From, shown.To), f.style.Shade})
	}
	if fitted.To < shown.To {
		f.areas = append(f.areas, area{math.Max(fitted.To, shown.From), shown.To, f.style.Shade})
	}
}

// markFit draws the fitted frequency.
func (f *figure) markFit(fit measurement.Fit, p *plot.Plot) {
	if fit.Frequency == nil || fit.Frequency.Value < p.X.Min || fit.Frequency.Value > p.X.Max {
		return
	}
	at := fit.Frequency.Value
	f.guides = append(f.guides, guide{at, p.Y.Min, at, p.Y.Max, f.style.GuideWidth, f.style.Target, f.style.targetDash()})
	text := si.FormatPrefixed(at, si.Hertz, 5)
	full := text
	if fit.QualityFactor != nil {
		full += " · Q " + si.FormatNumber(fit.QualityFactor.Value, 3)
	}
	f.notes = append(f.notes, note{
		texts: []string{full, text}, font: sans(f.style.LabelSize), color: f.style.Ink,
		places: func(text block, page pageMap) []place {
			return beside([]vg.Point{page.at(at, p.Y.Min), page.at(at, p.Y.Max)}, 0.1, nearby)(text, page)
		},
	})
}

// padded widens a range a little so that nothing lies on the frame.
func padded(low, high float64) (float64, float64) {
	const part = 0.06
	by := part * (high - low)
	if by == 0 {
		by = math.Max(part*math.Abs(high), 1e-12)
	}
	return low - by, high + by
}

// MarkStretch shows on a figure which stretch of its horizontal axis is being
// picked.
func MarkStretch(p *plot.Plot, from, to float64, style Style) {
	f := &figure{style: style}
	for _, x := range []float64{from, to} {
		f.guides = append(f.guides, guide{x, p.Y.Min, x, p.Y.Max, style.GuideWidth, style.Wire, nil})
	}
	f.guides = append(f.guides, guide{from, p.Y.Max, to, p.Y.Max, 3 * style.GuideWidth, style.Wire, nil})
	p.Add(f)
}
