package plotting

import (
	"math"
	"strconv"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"

	"coilwright/physics/design"
	"coilwright/physics/si"
)

// manyTurns is from how many turns on a dot each would run into a line and a
// line is drawn.
const manyTurns = 120

// CountFigure draws the wire used against the turns wound: of the ring a dot
// for every turn, a bigger one with its number at every mark, hollow ones for
// the spare turns that are dropped again, a line where the ring closes and one
// at the most that the hub holds. Without a ring it draws the secondary's own
// count as a line with marks; a kept design is always a line.
//
// An error wraps [ErrNoCurve] or [ErrNotFinite].
func CountFigure(curve design.CountCurve, units Units, style Style, kept ...Kept) (*plot.Plot, error) {
	columns := [][]float64{curve.WireUsed}
	if curve.Fill != nil {
		columns = append(columns, curve.Fill)
	}
	if err := checkCurve("wire used against turns", curve.Turn, columns...); err != nil {
		return nil, err
	}
	for _, n := range []namedNumber{
		{"closing turn", curve.Closing}, {"turns between marks", curve.MarkEvery}, {"turns the hub holds", curve.HubLimit},
	} {
		if err := checkNumber(n.name, n.value); err != nil {
			return nil, err
		}
	}
	title, xTitle := style.say("Winding count of the secondary"), style.say("turns of the secondary")
	if curve.OfRing {
		title, xTitle = style.say("Winding count of the ring"), style.say("turns on the former")
	}
	last := curve.Turn[len(curve.Turn)-1]
	y := ticks{unit: units.long(), count: usualTicks}
	p := newPlot(style, title, xTitle, axis(style.say("wire used"), units.long()),
		ticks{unit: si.Plain, count: usualTicks, whole: true}, y)
	p.X.Min, p.X.Max = 0, 1.04*last
	if curve.HubLimit > 0 && curve.HubLimit < farHub*last {
		p.X.Max = math.Max(p.X.Max, 1.04*curve.HubLimit)
	}
	_, most := extremes(curve.WireUsed)
	p.Y.Min, p.Y.Max = y.outward(reaching(0, 1.08*most, kept, p.X.Min, p.X.Max))

	f := &figure{style: style}
	f.turns(curve)
	f.closing(curve, p, units)
	f.marks(curve)
	f.hub(curve, p)
	if curve.OfRing && curve.Fill != nil {
		f.filling(curve, p)
	}
	if err := f.keep(kept); err != nil {
		return nil, err
	}
	p.Add(f)
	return p, nil
}

// farHub is how many times the turns wound a hub's limit may be and still stand
// on the axis rather than beyond its end.
const farHub = 1.5

// turns draws a dot for every turn, or a line if there are many.
func (f *figure) turns(curve design.CountCurve) {
	s := f.style
	if !curve.OfRing || len(curve.Turn) > manyTurns {
		f.curves = append(f.curves, s.onlyCurve(curve.Turn, curve.WireUsed))
	}
	for i, t := range curve.Turn {
		d := dot{x: t, y: curve.WireUsed[i], radius: 0.45 * s.DotRadius, color: s.Wire}
		spare := curve.OfRing && t > curve.Closing
		if spare {
			d.color, d.hollow, d.radius = s.Spare, true, 0.55*s.DotRadius
		}
		if marked(t, curve.MarkEvery) {
			d.radius = 0.85 * s.DotRadius
		} else if !curve.OfRing || len(curve.Turn) > manyTurns {
			continue
		}
		f.dots = append(f.dots, d)
	}
}

// marked says whether a turn carries a mark.
func marked(turn, every float64) bool {
	const slack = 1e-6
	return every > 0 && turn > slack && math.Abs(turn-every*math.Round(turn/every)) < slack
}

// mostNumbers is how many marks are numbered; of more, every second, fifth and
// so on is.
const mostNumbers = 10

// marks numbers the turns with a mark.
func (f *figure) marks(curve design.CountCurve) {
	if curve.MarkEvery <= 0 {
		return
	}
	every := curve.MarkEvery
	if n := curve.Turn[len(curve.Turn)-1] / every; n > mostNumbers {
		every *= niceAbove(n / mostNumbers)
	}
	for i, t := range curve.Turn {
		if !marked(t, every) || t == curve.Closing { // which has words of its own
			continue
		}
		color := f.style.Ink
		if curve.OfRing && t > curve.Closing {
			color = f.style.Spare
		}
		f.notes = append(f.notes, note{
			texts: []string{strconv.FormatFloat(t, 'f', -1, 64)}, font: sans(f.style.TickSize), color: color,
			places: aboveDot(t, curve.WireUsed[i], 0.85*f.style.DotRadius),
		})
	}
}

// closing marks the turn that closes the ring, or ends the secondary.
func (f *figure) closing(curve design.CountCurve, p *plot.Plot, units Units) {
	wire, ok := at(curve.Turn, curve.WireUsed, curve.Closing)
	if !ok {
		return
	}
	s := f.style
	length := si.Format(wire, units.long(), 3)
	if !curve.OfRing {
		f.present(curve.Closing, wire, p.Y.Min, s.turns(curve.Closing)+" · "+length, s.turns(curve.Closing)+"\n"+length, length)
		return
	}
	f.guides = append(f.guides, guide{
		x0: curve.Closing, y0: p.Y.Min, x1: curve.Closing, y1: p.Y.Max,
		width: s.GuideWidth, color: s.Wire, dash: s.dropDash(),
	})
	f.dots = append(f.dots, dot{x: curve.Closing, y: wire, radius: s.DotRadius, color: s.Wire, halo: true})
	n := strconv.FormatFloat(curve.Closing, 'f', -1, 64)
	closes := folds(s.say("%s close the ring", n), 2)
	f.notes = append(f.notes, note{
		texts: append([]string{closes[0] + " · " + length, closes[0] + "\n" + length}, append(closes[1:], n)...),
		font:  bold(s.LabelSize), color: s.Ink, must: true,
		places: leftOf(curve.Closing, p.Y.Min, p.Y.Max), of: ofLine(curve.Closing, p.Y.Min, curve.Closing, p.Y.Max),
	})
	if curve.Spare > 0 {
		end := len(curve.Turn) - 1
		f.notes = append(f.notes, note{
			texts: []string{s.say("%d spare", curve.Spare)}, font: sans(s.LabelSize), color: s.Spare,
			places: about(curve.Turn[end], curve.WireUsed[end], 0.55*s.DotRadius),
		})
	}
}

// hub marks the most turns that fit round the hub.
func (f *figure) hub(curve design.CountCurve, p *plot.Plot) {
	if curve.HubLimit <= 0 {
		return
	}
	s := f.style
	n := strconv.FormatFloat(math.Floor(curve.HubLimit), 'f', -1, 64)
	at := math.Min(curve.HubLimit, p.X.Max)
	hub := note{font: sans(s.LabelSize), color: s.Warning, must: true, of: ofLine(at, p.Y.Min, at, p.Y.Max)}
	if curve.HubLimit > p.X.Max {
		hub.texts = []string{s.say("hub holds %s", n) + " →"}
		hub.places = leftOf(p.X.Max, p.Y.Min, p.Y.Max)
		f.notes = append(f.notes, hub)
		return
	}
	f.guides = append(f.guides, guide{
		x0: curve.HubLimit, y0: p.Y.Min, x1: curve.HubLimit, y1: p.Y.Max,
		width: s.GuideWidth, color: s.Warning, dash: s.limitDash(),
	})
	hub.texts = append(folds(s.say("hub holds %s", n), 2), inLines(s.say("hub %s", n), 2))
	hub.places = alongUpright(curve.HubLimit, p.Y.Max, p.Y.Min) // best at the foot
	f.notes = append(f.notes, hub)
}

// leftOf returns places beside an upright line, best at its top and left of it.
func leftOf(x, y0, y1 float64) func(block, pageMap) []place {
	return func(text block, page pageMap) []place {
		places := alongUpright(x, y0, y1)(text, page)
		for i := range places {
			if places[i].centre.X > page.x(x) {
				places[i].cost += 0.3
			}
		}
		return places
	}
}

// filling marks along the axis how much of the ring the turns fill.
func (f *figure) filling(curve design.CountCurve, p *plot.Plot) {
	for _, q := range []struct {
		part float64
		text string
	}{{0.25, f.style.say("¼ filled")}, {0.5, f.style.say("½ filled")}, {0.75, f.style.say("¾ filled")}} {
		turn, ok := at(curve.Fill, curve.Turn, q.part*2*math.Pi)
		if !ok {
			continue
		}
		stub := 0.5 * f.style.TickSize
		f.notes = append(f.notes, note{
			texts: []string{q.text}, font: sans(f.style.TickSize), color: f.style.Muted, group: fillingGroup,
			places: func(text block, page pageMap) []place {
				foot := page.at(turn, p.Y.Min)
				foot.Y += stub
				return []place{{centre: leaning(foot, vg.Point{Y: 1}, text)}}
			},
			leader: func(page pageMap) []vg.Point {
				foot := page.at(turn, p.Y.Min)
				return []vg.Point{foot, {X: foot.X, Y: foot.Y + stub}}
			},
		})
	}
}

// fillingGroup keeps the marks of filling together.
const fillingGroup = 1

// at returns the value of a column at x by straight lines between the points,
// and whether x lies among them.
func at(x, y []float64, v float64) (float64, bool) {
	for i := range x {
		if x[i] == v {
			return y[i], true
		}
		if i > 0 && x[i-1] < v && v < x[i] {
			return y[i-1] + (y[i]-y[i-1])*(v-x[i-1])/(x[i]-x[i-1]), true
		}
	}
	return 0, false
}
