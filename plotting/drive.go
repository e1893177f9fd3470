package plotting

import (
	"fmt"
	"math"

	"gonum.org/v1/plot"

	"coilwright/physics/design"
	"coilwright/physics/driver"
	"coilwright/physics/si"
)

// WaveformFigure draws the collector's voltage and, dashed, by the scale on the
// right, the base's over two periods of an exciter's settled state. mosfet
// names drain and gate instead.
//
// An error wraps [ErrNoCurve] or [ErrNotFinite].
func WaveformFigure(wave []driver.Sample, mosfet bool, style Style) (*plot.Plot, error) {
	collector, base := style.say("collector"), style.say("base")
	if mosfet {
		collector, base = style.say("drain"), style.say("gate")
	}
	t, high, low := make([]float64, len(wave)), make([]float64, len(wave)), make([]float64, len(wave))
	for i, s := range wave {
		t[i], high[i], low[i] = s.Time, s.Collector, s.Base
	}
	title := style.say("Voltages at %s and %s", collector, base)
	if err := checkCurve(title, t, high, low); err != nil {
		return nil, err
	}
	if lowest, highest := extremes(high); highest-lowest < leastSwing {
		return emptyFigure(style, title, style.say("it does not swing: the %s rests at %s", collector, si.Format(highest, si.Volt, 3))), nil
	}
	y := ticks{unit: si.Volt, count: usualTicks}
	p := newPlot(style, title, axis(style.say("time"), timeUnit(t[len(t)-1])), axis(collector, si.Volt),
		ticks{unit: timeUnit(t[len(t)-1]), count: usualTicks}, y)
	p.X.Min, p.X.Max = t[0], t[len(t)-1]
	p.Y.Min, p.Y.Max = y.outward(extremes(high))
	scale := newSideScale(p, low, si.Volt, style)
	f := &figure{style: style}
	f.curves = append(f.curves,
		style.mainCurve(t, high, false, collector),
		style.secondCurve(t, scale.all(low), style.say("%s, right scale", base), base))
	p.Add(f, scale)
	return p, nil
}

// leastSwing is the swing in V at the collector under which there is nothing to draw.
const leastSwing = 1e-3

// StartUpFigure draws how the crest of the top grows from the supply's rise until
// it is settled.
//
// An error wraps [ErrNoCurve] or [ErrNotFinite].
func StartUpFigure(r driver.Running, style Style) (*plot.Plot, error) {
	var t, top []float64
	for _, c := range r.Envelope {
		if len(t) > 0 && c.Time <= t[len(t)-1] {
			continue
		}
		t, top = append(t, c.Time), append(top, c.Top)
	}
	if err := checkCurve("start-up", t, top); err != nil {
		return nil, err
	}
	if err := checkNumber("settling time", r.SettlingTime); err != nil {
		return nil, err
	}
	_, most := extremes(top)
	unit := voltUnit(most)
	y := ticks{unit: unit, count: usualTicks}
	p := newPlot(style, style.say("Start-up"), axis(style.say("time after switching on"), timeUnit(t[len(t)-1])), axis(style.say("crest of the top"), unit),
		ticks{unit: timeUnit(t[len(t)-1]), count: usualTicks}, y)
	p.X.Min, p.X.Max = 0, t[len(t)-1]
	p.Y.Min, p.Y.Max = y.outward(0, math.Max(most, 1e-3))
	f := &figure{style: style}
	f.curves = append(f.curves, style.onlyCurve(t, top))
	if r.State != driver.StateNone && r.SettlingTime > 0 && r.SettlingTime < p.X.Max {
		text := si.Format(r.SettlingTime, timeUnit(r.SettlingTime), 2)
		f.guides = append(f.guides, guide{x0: r.SettlingTime, y0: p.Y.Min, x1: r.SettlingTime, y1: p.Y.Max,
			width: style.GuideWidth, color: style.Target, dash: style.targetDash()})
		f.notes = append(f.notes, note{texts: append(folds(style.say("settled after %s", text), 3), text), font: sans(style.LabelSize), color: style.Target,
			places: alongUpright(r.SettlingTime, p.Y.Min, p.Y.Max), must: true, of: ofLine(r.SettlingTime, p.Y.Min, r.SettlingTime, p.Y.Max)})
	}
	p.Add(f)
	return p, nil
}

// driveWords returns the words of an exciter's curve; without a title there is no
// such curve.
func (s Style) driveWords(against design.DriveVariation) (title, xTitle string) {
	switch against {
	case design.AgainstSupply:
		return s.say("Top voltage against supply"), axis(s.say("supply"), si.Volt)
	case design.AgainstCoupling:
		return s.say("Top voltage against coupling"), s.say("coupling coefficient")
	case design.AgainstBaseResistor:
		return s.say("Top voltage against base resistor"), axis(s.say("base resistor"), si.Ohm)
	case design.AgainstPrimaryTurns:
		return s.say("Top voltage against turns of the primary"), s.say("turns of the primary")
	}
	return "", ""
}

// DriveFigure draws the settled top voltage of an exciter against what it was
// swept over, shades where it does not come to full output and marks the
// present design.
//
// An error wraps [ErrNoCurve] or [ErrNotFinite].
func DriveFigure(curve design.DriveCurve, style Style) (*plot.Plot, error) {
	title, xTitle := style.driveWords(curve.Against)
	if title == "" {
		return nil, fmt.Errorf("%w: nothing is drawn against %d", ErrNoCurve, curve.Against)
	}
	x, top := make([]float64, len(curve.Points)), make([]float64, len(curve.Points))
	for i, point := range curve.Points {
		x[i], top[i] = point.X, point.Top
	}
	if err := checkCurve(title, x, top); err != nil {
		return nil, err
	}
	for _, n := range []namedNumber{{"present value", curve.Present}, {"present top voltage", curve.PresentTop}} {
		if err := checkNumber(n.name, n.value); err != nil {
			return nil, err
		}
	}
	_, most := extremes(top)
	most = math.Max(most, 1) // where nothing starts, the axis goes to 1 V
	unit := voltUnit(most)
	y := ticks{unit: unit, count: usualTicks}
	p := newPlot(style, title, xTitle, axis(style.say("crest of the top"), unit),
		ticks{unit: si.Plain, count: usualTicks, whole: curve.Against == design.AgainstPrimaryTurns}, y)
	p.X.Min, p.X.Max = x[0], x[len(x)-1]
	p.Y.Min, p.Y.Max = y.outward(0, 1.08*most) // some air for the words
	if curve.Against == design.AgainstBaseResistor {
		p.X.Scale = plot.LogScale{}
		p.X.Tick.Marker = ohmDecades{}
	}
	f := &figure{style: style}
	f.silent(curve, p)
	f.curves = append(f.curves, style.onlyCurve(x, top))
	text := f.driveText(curve)
	volts := si.Format(curve.PresentTop, unit, 3)
	f.present(curve.Present, curve.PresentTop, p.Y.Min, text+" · "+volts, text+"\n"+volts, volts)
	p.Add(f)
	return p, nil
}

// silent shades the stretches in which an exciter stays short of full output;
// their edges lie half-way between two points, on the axis as it is drawn.
func (f *figure) silent(curve design.DriveCurve, p *plot.Plot) {
	points := curve.Points
	between := func(a, b float64) float64 {
		if curve.Against == design.AgainstBaseResistor {
			return math.Sqrt(a * b)
		}
		return (a + b) / 2
	}
	for i := 0; i < len(points); i++ {
		if points[i].State == driver.StateFull {
			continue
		}
		a := area{from: p.X.Min, to: p.X.Max, color: f.style.Shade}
		if i > 0 {
			a.from = between(points[i-1].X, points[i].X)
		}
		weak := false
		for i < len(points) && points[i].State != driver.StateFull {
			weak = weak || points[i].State == driver.StateWeak
			i++
		}
		if i < len(points) {
			a.to = between(points[i-1].X, points[i].X)
		}
		f.areas = append(f.areas, a)
		for _, edge := range []float64{a.from, a.to} {
			if edge > p.X.Min && edge < p.X.Max {
				f.guides = append(f.guides, guide{x0: edge, y0: p.Y.Min, x1: edge, y1: p.Y.Max,
					width: f.style.ThinWidth, color: f.style.Warning, dash: f.style.limitDash()})
			}
		}
		texts := folds(f.style.say("does not start"), 3)
		if weak {
			texts = append(folds(f.style.say("weak or does not start"), 2), f.style.say("weak"))
		}
		f.notes = append(f.notes, note{texts: texts, font: sans(f.style.LabelSize), color: f.style.Warning,
			places: inside(a), elsewhere: alongUpright(math.Min(a.to, p.X.Max), p.Y.Min, p.Y.Max), of: ofArea(a)})
	}
}

// driveText words the present value of what is swept.
func (f *figure) driveText(curve design.DriveCurve) string {
	switch curve.Against {
	case design.AgainstSupply:
		return si.Format(curve.Present, si.Volt, 3)
	case design.AgainstCoupling:
		return "k " + si.FormatNumber(curve.Present, 3)
	case design.AgainstBaseResistor:
		return si.Format(curve.Present, ohmUnit(curve.Present), 3)
	}
	return f.style.turns(curve.Present)
}

// BridgeFigure draws the top voltage that a half bridge reaches and, dashed, by
// the scale on the right, the crest of its current against frequency, and marks
// where it works. source is the crest of the source's fundamental in V.
//
// An error wraps [ErrNoCurve] or [ErrNotFinite].
func BridgeFigure(sweep []driver.Response, present driver.Driven, source float64, style Style) (*plot.Plot, error) {
	x, top, current := make([]float64, len(sweep)), make([]float64, len(sweep)), make([]float64, len(sweep))
	for i, r := range sweep {
		x[i], top[i], current[i] = r.Frequency, r.Gain()*source, math.Hypot(real(r.Input), imag(r.Input))*source
	}
	if err := checkCurve("top voltage against frequency", x, top, current); err != nil {
		return nil, err
	}
	for _, n := range []namedNumber{{"present frequency", present.Frequency}, {"present top voltage", present.TopCrest}} {
		if err := checkNumber(n.name, n.value); err != nil {
			return nil, err
		}
	}
	for _, h := range present.Humps { // sharp ones may lie between two points
		x, top, current = peaked(x, top, current, h, source)
	}
	_, most := extremes(top)
	unit := voltUnit(most)
	y := ticks{unit: unit, count: usualTicks}
	hertz := frequencyUnit(x[0])
	p := newPlot(style, style.say("Top voltage and current against frequency"), axis(style.say("frequency"), hertz), axis(style.say("crest of the top"), unit),
		ticks{unit: hertz, count: usualTicks}, y)
	p.X.Min, p.X.Max = x[0], x[len(x)-1]
	p.Y.Min, p.Y.Max = y.outward(0, 1.08*most)
	scale := newSideScale(p, append([]float64{0}, current...), ampereUnit(current), style)
	f := &figure{style: style}
	f.curves = append(f.curves,
		style.mainCurve(x, top, false, style.say("top")),
		style.secondCurve(x, scale.all(current), style.say("%s, right scale", style.say("current")), style.say("current")))
	if present.Frequency >= p.X.Min && present.Frequency <= p.X.Max {
		text, volts := si.Format(present.Frequency, hertz, 4), si.Format(present.TopCrest, unit, 3)
		f.present(present.Frequency, present.TopCrest, p.Y.Min, text+" · "+volts, text+"\n"+volts, volts)
	}
	p.Add(f, scale)
	return p, nil
}

// peaked puts a maximum into the columns of a sweep; its current is that of the
// line between its neighbours.
func peaked(x, top, current []float64, h driver.Hump, source float64) (xs, tops, currents []float64) {
	for i := 1; i < len(x); i++ {
		if x[i-1] < h.Frequency && h.Frequency < x[i] {
			share := (h.Frequency - x[i-1]) / (x[i] - x[i-1])
			return insert(x, i, h.Frequency), insert(top, i, h.Gain*source), insert(current, i, current[i-1]+share*(current[i]-current[i-1]))
		}
	}
	return x, top, current
}

// EnergyFigure draws how the energy of a charged tank passes to the coil and back
// after its gap has fired: the share that is in the tank and the primary and,
// dashed, that in the coil, until the peak is well past.
//
// An error wraps [ErrNoCurve] or [ErrNotFinite].
func EnergyFigure(d driver.Discharge, style Style) (*plot.Plot, error) {
	var t, tank, coil []float64
	for i, s := range d.Samples {
		t = append(t, float64(i)*d.SamplePeriod)
		tank = append(tank, s.PrimaryEnergy/d.TankEnergy)
		coil = append(coil, s.CoilEnergy/d.TankEnergy)
	}
	if err := checkCurve("energy", t, tank, coil); err != nil {
		return nil, err
	}
	for _, n := range []namedNumber{{"time of the peak", d.PeakTime}, {"share of energy", d.EnergyShare}} {
		if err := checkNumber(n.name, n.value); err != nil {
			return nil, err
		}
	}
	unit := timeUnit(t[len(t)-1])
	y := ticks{unit: si.Percent, count: usualTicks}
	p := newPlot(style, style.say("Energy after the spark"), axis(style.say("time"), unit), axis(style.say("share of the tank's energy"), si.Percent),
		ticks{unit: unit, count: usualTicks}, y)
	p.X.Min, p.X.Max = t[0], t[len(t)-1]
	p.Y.Min, p.Y.Max = 0, 1.2 // some air for the words
	f := &figure{style: style}
	f.curves = append(f.curves,
		style.mainCurve(t, tank, false, style.say("tank and primary"), style.say("tank")),
		style.secondCurve(t, coil, style.say("coil")))
	share := si.Format(d.EnergyShare, si.Percent, 3)
	f.present(d.PeakTime, d.EnergyShare, 0, style.say("%s at the peak", share), share)
	p.Add(f)
	return p, nil
}

// Units of axes by the size of what is on them.
func timeUnit(most float64) si.Unit {
	switch {
	case most < 2e-6:
		return si.Nanosecond
	case most < 2e-3:
		return si.Microsecond
	}
	return si.Millisecond
}

func voltUnit(most float64) si.Unit {
	if most < 2e3 {
		return si.Volt
	}
	return si.Kilovolt
}

func ampereUnit(currents []float64) si.Unit {
	if _, most := extremes(currents); most < 1 {
		return si.Milliampere
	}
	return si.Ampere
}

func ohmUnit(ohms float64) si.Unit {
	switch {
	case ohms < 1e3:
		return si.Ohm
	case ohms < 1e6:
		return si.Kiloohm
	}
	return si.Megaohm
}

// ohmDecades places ticks at the powers of ten of a resistance or, where the axis
// is shorter than that, at round resistances.
type ohmDecades struct{}

// Ticks implements [plot.Ticker].
func (ohmDecades) Ticks(lo, hi float64) (out []plot.Tick) {
	const (
		slack  = 1e-9
		decade = 10
	)
	if hi < decade*decade*lo {
		list := ticks{unit: ohmUnit(lo), count: usualTicks}.Ticks(lo, hi)
		if hi > decade/2*lo {
			list = decades{ohmUnit(lo)}.Ticks(lo, hi)
		}
		for i := range list {
			list[i].Label += ohmPrefix(lo)
		}
		return list
	}
	for e := math.Ceil(math.Log10(lo) - slack); e <= math.Log10(hi)+slack; e++ {
		ohms := math.Pow(10, e)
		out = append(out, plot.Tick{Value: ohms, Label: number(ohms/ohmUnit(ohms).Factor(), 0) + ohmPrefix(ohms)})
	}
	return out
}

// ohmPrefix is what stands behind a number of the unit of a resistance.
func ohmPrefix(ohms float64) string {
	return map[si.Unit]string{si.Kiloohm: "k", si.Megaohm: "M"}[ohmUnit(ohms)]
}
