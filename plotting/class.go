package plotting

import (
	"math"

	"gonum.org/v1/plot"

	"coilwright/physics/si"
)

// ClassPoint is what a class measured of one coil.
type ClassPoint struct {
	Value       float64 // of what the set varies, SI
	Frequency   float64 // Hz
	Uncertainty float64 // Hz, one sigma; NaN: not stated
}

// ClassFigure draws what a class measured, with bars of two sigma, on the curve of
// what was predicted for the coils of its set. title names what the set varies.
//
// An error wraps [ErrNoCurve] or [ErrNotFinite].
func ClassFigure(value, predicted []float64, points []ClassPoint, title string, unit si.Unit, style Style) (*plot.Plot, error) {
	if err := checkCurve("frequency against "+title, value, predicted); err != nil {
		return nil, err
	}
	least, most := extremes(predicted)
	reach := func(p ClassPoint) float64 {
		if math.IsNaN(p.Uncertainty) {
			return 0
		}
		return 2 * p.Uncertainty
	}
	for _, p := range points {
		if err := checkNumber("measured frequency", p.Frequency+p.Value); err != nil {
			return nil, err
		}
		least, most = math.Min(least, p.Frequency-reach(p)), math.Max(most, p.Frequency+reach(p))
	}
	u := frequencyUnit(least)
	y := ticks{unit: u, count: usualTicks}
	p := newPlot(style, style.say("Measured by the class"), axis(title, unit), axis(style.say("frequency"), u), ticks{unit: unit, count: usualTicks}, y)
	p.X.Min, p.X.Max = value[0], value[len(value)-1]
	p.Y.Min, p.Y.Max = y.outward(least, most)
	f := &figure{style: style}
	f.curves = append(f.curves, style.mainCurve(value, predicted, false, style.say("predicted")))
	for _, m := range points {
		if bar := reach(m); bar > 0 {
			f.guides = append(f.guides, guide{x0: m.Value, y0: m.Frequency - bar, x1: m.Value, y1: m.Frequency + bar, width: style.GuideWidth, color: style.Second})
		}
		f.dots = append(f.dots, dot{x: m.Value, y: m.Frequency, radius: style.DotRadius, color: style.Second, halo: true})
	}
	p.Add(f)
	return p, nil
}
