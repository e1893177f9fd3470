package plotting

import (
	"fmt"
	"image/color"
	"math"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"

	"coilwright/physics/experiment"
	"coilwright/physics/si"
)

// ExperimentFigure draws the figure of an experiment. A guess, in the unit of the
// experiment's question, is drawn beside the answer; nil: there is none, and neither
// is the answer shown until it is asked for.
//
// An error wraps [ErrNoCurve] or [ErrNotFinite].
func ExperimentFigure(o experiment.Outcome, guess *float64, answered bool, units Units, style Style) (*plot.Plot, error) {
	if o, ok := o.(*experiment.SpectrumOutcome); ok {
		return spectrumFigure(o, guess, answered, style)
	}
	s, err := sweepOf(o, units, style)
	if err != nil {
		return nil, err
	}
	return s.figure(o, guess, answered, style)
}

// sweep is what the figures of the experiments have in common: curves over one axis,
// a present place, and a number that was guessed.
type sweep struct {
	title          string
	xTitle, yTitle string
	xUnit, yUnit   si.Unit
	curves         []sweepCurve
	xMin, xMax     float64
	yMin, yMax     float64
	logarithmic    bool // in x

	x, y    float64 // the present place; NaN in x: none
	present string

	// place takes a guess or the answer to where it is drawn: NaN for one of the two
	// is a line right across.
	place func(value float64) (x, y float64)
	word  func(value float64) string
}

// sweepCurve is one curve of a sweep, solid if it is the first.
type sweepCurve struct {
	x, y  []float64
	names []string
}

// sweepOf returns the sweep of an outcome.
func sweepOf(o experiment.Outcome, units Units, style Style) (sweep, error) {
	switch o := o.(type) {
	case *experiment.RingOutcome:
		return ringSweep(o, style), nil
	case *experiment.WaveOutcome:
		return waveSweep(o, units, style), nil
	case *experiment.BeatOutcome:
		return beatSweep(o, style), nil
	case *experiment.HumpsOutcome:
		return humpsSweep(o, style), nil
	case *experiment.ApproachOutcome:
		return approachSweep(o, units, style), nil
	case *experiment.WireOutcome:
		return wireSweep(o, style), nil
	case *experiment.ShortedOutcome:
		return shortedSweep(o, units, style), nil
	case *experiment.StartOutcome:
		return startSweep(o, style), nil
	}
	return sweep{}, fmt.Errorf("%w: no figure for %T", ErrNoCurve, o)
}

func (s *sweep) figure(o experiment.Outcome, guess *float64, answered bool, style Style) (*plot.Plot, error) {
	for _, k := range s.curves {
		if err := checkCurve(s.title, k.x, k.y); err != nil {
			return nil, err
		}
	}
	y := ticks{unit: s.yUnit, count: usualTicks}
	p := newPlot(style, s.title, s.xTitle, s.yTitle, ticks{unit: s.xUnit, count: usualTicks}, y)
	p.X.Min, p.X.Max = s.xMin, s.xMax
	p.Y.Min, p.Y.Max = y.outward(s.yMin, s.yMax)
	if s.logarithmic {
		p.X.Scale = plot.LogScale{}
		p.X.Tick.Marker = decades{s.xUnit}
	}
	f := &figure{style: style}
	if answered {
		for i, k := range s.curves {
			switch i {
			case 0:
				f.curves = append(f.curves, style.mainCurve(k.x, k.y, false, k.names...))
			case 1:
				f.curves = append(f.curves, style.secondCurve(k.x, k.y, k.names...))
			default:
				f.curves = append(f.curves, curve{x: k.x, y: k.y, width: style.GuideWidth, color: style.Muted, dash: style.limitDash(), names: k.names})
			}
		}
		if !math.IsNaN(s.x) {
			f.present(s.x, s.y, p.Y.Min, s.present)
		}
	}
	if guess != nil {
		f.guess(s, p, *guess, style.say("guess %s", s.word(*guess)), style.Target, style.targetDash())
	}
	if a := o.Answer(); answered && !math.IsNaN(a) {
		f.guess(s, p, a, style.say("answer %s", s.word(a)), style.Wire, style.dropDash())
	}
	p.Add(f)
	return p, nil
}

// guess marks a guess or an answer.
func (f *figure) guess(s *sweep, p *plot.Plot, value float64, word string, ink color.Color, dash []vg.Length) {
	x, y := s.place(value)
	n := note{texts: []string{word}, font: bold(f.style.LabelSize), color: ink, must: true, late: true}
	g := guide{x0: x, y0: p.Y.Min, x1: x, y1: p.Y.Max, width: f.style.CurveWidth, color: ink, dash: dash}
	switch {
	case math.IsNaN(x):
		y = math.Max(p.Y.Min, math.Min(p.Y.Max, y))
		g.x0, g.x1, g.y0, g.y1 = p.X.Min, p.X.Max, y, y
		n.places = alongLevel(p.X.Min, p.X.Max, y)
	case math.IsNaN(y):
		x = math.Max(p.X.Min, math.Min(p.X.Max, x))
		g.x0, g.x1 = x, x
		n.places = alongUpright(x, p.Y.Min, p.Y.Max)
	default:
		f.dots = append(f.dots, dot{x: x, y: y, radius: 1.3 * f.style.DotRadius, color: ink, hollow: true, halo: true})
		n.places = about(x, y, 1.3*f.style.DotRadius)
		f.notes = append(f.notes, n)
		return
	}
	f.guides = append(f.guides, g)
	f.notes = append(f.notes, n)
}

// whole is the y axis of shares.
const whole = 1.0

func percent(v float64) string { return si.Format(v, si.Percent, 3) }

func ringSweep(o *experiment.RingOutcome, style Style) sweep {
	_, most := extremes(o.Gradient)
	n := len(o.Turns) - 1
	return sweep{
		title: style.say("A ring of wires beside the smooth ring"), xTitle: style.say("turns of wire"), yTitle: axis(style.say("over that of the smooth ring"), si.Percent),
		xUnit: si.Plain, yUnit: si.Percent,
		curves: []sweepCurve{
			{o.Turns, o.Capacitance, []string{style.say("capacitance")}},
			{o.Turns, o.Gradient, []string{style.say("field at the surface"), style.say("field")}},
		},
		xMin: o.Turns[0], xMax: o.Turns[n], yMin: 0, yMax: math.Max(whole, most),
		x: float64(o.Present.Turns), y: o.Answer(), present: style.turns(float64(o.Present.Turns)),
		place: func(v float64) (float64, float64) { return math.NaN(), v }, word: percent,
	}
}

func waveSweep(o *experiment.WaveOutcome, units Units, style Style) sweep {
	h := o.Wave.Height
	current, voltage := o.Wave.Current, o.Wave.Voltage
	least, most := extremes(append(append([]float64{0, whole}, voltage...), current...))
	s := sweep{
		title:  style.say("Mode %d along the winding", o.Mode),
		xTitle: axis(style.say("height"), units.small()), yTitle: axis(style.say("of the largest"), si.Percent),
		xUnit: units.small(), yUnit: si.Percent,
		curves: []sweepCurve{{h, voltage, []string{style.say("voltage")}}, {h, current, []string{style.say("current")}}},
		xMin:   h[0], xMax: h[len(h)-1], yMin: least, yMax: most, x: math.NaN(),
		place: func(v float64) (float64, float64) { return o.Middle(), v }, word: percent,
	}
	if o.Other != nil {
		names := []string{style.say("voltage without top load"), style.say("without top load")}
		if !o.TopLoad {
			names = []string{style.say("voltage with top load"), style.say("with top load")}
		}
		// Its winding is the same; only the voltage along it is another.
		s.curves = append(s.curves, sweepCurve{o.Other.Height, o.Other.Voltage, names})
	}
	return s
}

func beatSweep(o *experiment.BeatOutcome, style Style) sweep {
	shown := len(o.Time)
	// What both share in the field between them counts with a sign of its own, so that
	// one of them may hold more than all there is.
	_, most := extremes(append(append([]float64{whole}, o.Tank...), o.Coil...))
	return sweep{
		title: style.say("Energy in tank and coil"), xTitle: axis(style.say("time"), si.Microsecond), yTitle: axis(style.say("of all the energy"), si.Percent),
		xUnit: si.Microsecond, yUnit: si.Percent,
		curves: []sweepCurve{{o.Time, o.Coil, []string{style.say("coil")}}, {o.Time, o.Tank, []string{style.say("tank")}}},
		xMin:   0, xMax: o.Time[shown-1], yMin: 0, yMax: most, x: math.NaN(),
		place: func(v float64) (float64, float64) { return o.TimeAfter(v), math.NaN() }, word: style.swings,
	}
}

func (s Style) swings(v float64) string {
	decimals := 0
	if v < 10 {
		decimals = 1
	}
	return s.say("%s swings", number(v, decimals))
}

func humpsSweep(o *experiment.HumpsOutcome, style Style) sweep {
	unit := frequencyUnit(o.Circuit.Coil.Frequency())
	return sweep{
		title: style.say("How high the top swings"), xTitle: axis(style.say("frequency"), unit), yTitle: axis(style.say("of the highest"), si.Percent),
		xUnit: unit, yUnit: si.Percent,
		curves: []sweepCurve{{o.Frequency, o.Gain, []string{style.say("top voltage")}}},
		xMin:   o.Frequency[0], xMax: o.Frequency[len(o.Frequency)-1], yMin: 0, yMax: whole, x: math.NaN(),
		place: func(v float64) (float64, float64) { return o.Upper(v), math.NaN() }, word: percent,
	}
}

func frequencyUnit(f float64) si.Unit {
	if f < 1e6 {
		return si.Kilohertz
	}
	return si.Megahertz
}

func approachSweep(o *experiment.ApproachOutcome, units Units, style Style) sweep {
	free, present := o.FreeFrequency(), o.PresentFrequency()
	unit := frequencyUnit(free)
	least, _ := extremes(o.Frequency)
	x, y := with(o.Distance, o.Frequency, o.PresentDistance, present)
	return sweep{
		title: style.say("Frequency as a plate comes near"), xTitle: axis(style.say("from the top to the plate"), units.small()),
		yTitle: axis(style.say("frequency"), unit), xUnit: units.small(), yUnit: unit,
		curves: []sweepCurve{
			{x, y, []string{style.say("with the plate")}},
			{[]float64{x[0], x[len(x)-1]}, []float64{free, free}, []string{style.say("without")}},
		},
		xMin: x[0], xMax: x[len(x)-1], yMin: least, yMax: free, logarithmic: true,
		x: o.PresentDistance, y: present,
		present: si.Format(o.PresentDistance, units.small(), 3) + " · " + si.Format(present, unit, 4),
		place:   func(v float64) (float64, float64) { return math.NaN(), o.Fallen(v) }, word: percent,
	}
}

// roomOverBest is how far over the least resistance the frame reaches: the thinnest
// wires have a hundred times as much.
const roomOverBest = 4

func wireSweep(o *experiment.WireOutcome, style Style) sweep {
	x, y := with(o.Share, o.Neighbours, o.Present, o.PresentValue)
	return sweep{
		title: style.say("Resistance against thickness of the wire"), xTitle: axis(style.say("wire, share of the pitch"), si.Percent), yTitle: axis(style.say("resistance at the foot"), si.Ohm),
		xUnit: si.Percent, yUnit: si.Ohm,
		curves: []sweepCurve{
			{x, y, []string{style.say("as wound")}},
			{o.Share, o.Alone, []string{style.say("each turn alone"), style.say("alone")}},
			{o.Share, o.Steady, []string{style.say("current spread evenly"), style.say("even")}},
		},
		xMin: x[0], xMax: whole, yMin: 0, yMax: math.Max(roomOverBest*o.BestValue, 1.1*math.Min(o.PresentValue, 3*roomOverBest*o.BestValue)),
		x: o.Present, y: o.PresentValue, present: percent(o.Present) + " · " + si.Format(o.PresentValue, si.Ohm, 3),
		place: func(v float64) (float64, float64) { return v, math.NaN() }, word: percent,
	}
}

func shortedSweep(o *experiment.ShortedOutcome, units Units, style Style) sweep {
	unit := frequencyUnit(o.PresentSlotted)
	least, _ := extremes(o.Slotted)
	_, most := extremes(o.Unbroken)
	x, unbroken := with(o.Height, o.Unbroken, o.PresentHeight, o.PresentUnbroken)
	sx, slotted := with(o.Height, o.Slotted, o.PresentHeight, o.PresentSlotted)
	if o.OfWire > 0 {
		least, most = math.Min(least, o.OfWire), math.Max(most, o.OfWire)
	}
	return sweep{
		title: style.say("A closed ring against a slotted one"), xTitle: axis(style.say("height over the winding"), units.small()),
		yTitle: axis(style.say("frequency"), unit), xUnit: units.small(), yUnit: unit,
		curves: []sweepCurve{{x, unbroken, []string{style.say("closed")}}, {sx, slotted, []string{style.say("slotted")}}},
		xMin:   x[0], xMax: x[len(x)-1], yMin: least, yMax: most,
		x: o.PresentHeight, y: o.PresentUnbroken, present: si.Format(o.PresentUnbroken, unit, 4),
		place: func(v float64) (float64, float64) { return math.NaN(), o.Risen(v) }, word: percent,
	}
}

func startSweep(o *experiment.StartOutcome, style Style) sweep {
	var times, tops []float64
	for _, c := range o.Running.Envelope {
		times, tops = append(times, c.Time), append(tops, c.Top)
	}
	_, most := extremes(tops)
	return sweep{
		title: style.say("The top from the moment of switching on"), xTitle: axis(style.say("time"), si.Microsecond), yTitle: axis(style.say("top, crest"), si.Volt),
		xUnit: si.Microsecond, yUnit: si.Volt,
		curves: []sweepCurve{{times, tops, []string{style.say("top voltage")}}},
		xMin:   0, xMax: times[len(times)-1], yMin: 0, yMax: math.Max(most, o.FullFrom()), x: math.NaN(),
		place: func(v float64) (float64, float64) { return o.TimeAfter(v), math.NaN() }, word: style.swings,
	}
}

// decades are ticks at 1, 2 and 5 times the powers of ten of a unit.
type decades struct{ unit si.Unit }

// Ticks implements [plot.Ticker].
func (d decades) Ticks(lo, hi float64) []plot.Tick {
	var out []plot.Tick
	factor := d.unit.Factor()
	for power := math.Pow(10, math.Floor(math.Log10(lo/factor))); power*factor <= hi; power *= 10 {
		for _, m := range []float64{1, 2, 5} {
			if v := m * power * factor; v >= lo*(1-1e-9) && v <= hi*(1+1e-9) {
				out = append(out, plot.Tick{Value: v, Label: number(m*power, max(0, -exponent(power)))})
			}
		}
	}
	return out
}

var _ plot.Ticker = decades{}
