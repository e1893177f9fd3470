package plotting

import (
	"image/color"
	"math"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"coilwright/physics/design"
	"coilwright/physics/si"
	"coilwright/physics/winding"
)

// WoundPart is a part of a coil that is wound.
type WoundPart int

// Parts that are wound.
const (
	RingPart WoundPart = iota
	SecondaryPart
	PrimaryWound
)

// Work is a part under way.
type Work struct {
	Part     WoundPart
	Kind     winding.Kind // of the step
	Turns    float64      // so far
	Spare    int          // of the ring
	Marks    []float64    // turns that carry a mark
	Geometry design.Geometry
	Units    Units
}

// DrawWork draws a part under way to scale: its former with the turns so far
// and, of a ring, beside it the ring seen from above as far as the turns will
// close it.
func DrawWork(c draw.Canvas, work Work, style Style) {
	c.SetColor(style.Background)
	c.Fill(c.Rectangle.Path())
	w := &worker{Canvas: c, work: work, style: style}
	switch {
	case work.Part == RingPart:
		w.ring()
	case work.Part == SecondaryPart:
		g := work.Geometry
		s := g.Winding
		w.onFormer(w.inside(), bench{
			diameter: 2 * g.Former.Outer, length: g.Former.Top - g.Former.Bottom, start: s.Bottom - g.Former.Bottom,
			pitch: s.Pitch, wire: s.OverallDiameter, total: s.Turns, turns: math.Min(work.Turns, s.Turns), former: true,
		})
	default:
		w.primary()
	}
}

// worker is a drawing of work under way.
type worker struct {
	draw.Canvas
	work  Work
	style Style
}

// bench is a former on its side.
type bench struct {
	diameter, length float64 // m, of the former
	start            float64 // m, where the first turn begins
	pitch, wire      float64 // m
	turns, total     float64
	spare            float64 // of the turns, wound beyond the total
	former           bool    // it is still in the coil
}

// inside is the page without an edge.
func (w *worker) inside() vg.Rectangle {
	edge := w.style.LabelSize
	return vg.Rectangle{
		Min: vg.Point{X: w.Min.X + edge, Y: w.Min.Y + 2.2*edge}, // a length stands under it
		Max: vg.Point{X: w.Max.X - edge, Y: w.Max.Y - edge},
	}
}

// ring draws the former on the left and the closing ring on the right, or one of
// them once the coil is closed.
func (w *worker) ring() {
	t := w.work.Geometry.TopLoad
	all := w.inside()
	closed := false
	switch w.work.Kind {
	case winding.Close, winding.Space, winding.Bind, winding.Solder, winding.Cool, winding.Straighten, winding.Check:
		closed = true
	}
	outer := 2 * t.OuterRadius()
	turns := float64(t.Turns)
	b := bench{
		diameter: 2*t.TurnRadius - t.WireDiameter, pitch: t.WireDiameter, wire: t.WireDiameter,
		total: turns, turns: math.Min(w.work.Turns, turns), spare: math.Max(0, w.work.Turns-turns),
	}
	coil := (turns + float64(w.work.Spare)) * t.WireDiameter
	b.start = 0.6 * b.diameter
	b.length = coil + 2*b.start
	switch w.work.Kind {
	case winding.Slide, winding.Open, winding.Drop:
	default:
		b.former = true
	}
	if closed {
		w.fromAbove(all, outer)
		return
	}
	left, right := all, all
	split := all.Min.X + vg.Length(b.length/(b.length+1.15*outer))*(all.Max.X-all.Min.X)
	left.Max.X, right.Min.X = split-w.style.LabelSize/2, split+w.style.LabelSize/2
	// One scale for both.
	scale := math.Min(w.fit(left, b.length, b.diameter*1.5), w.fit(right, outer, outer))
	w.scaled(left, b, scale)
	w.above(right, scale)
}

// fit returns the points to a metre at which a length and a height fit.
func (w *worker) fit(r vg.Rectangle, length, height float64) float64 {
	size := r.Size()
	return math.Min(float64(size.X)/length, float64(size.Y)/height)
}

// onFormer draws a former as large as it fits.
func (w *worker) onFormer(r vg.Rectangle, b bench) {
	w.scaled(r, b, w.fit(r, b.length, b.diameter*1.5+2*b.wire))
}

// scaled draws a former in the middle of a rectangle, turns from the left.
func (w *worker) scaled(r vg.Rectangle, b bench, scale float64) {
	size := r.Size()
	x0 := r.Min.X + (size.X-vg.Length(b.length*scale))/2
	y := r.Min.Y + size.Y/2
	at := func(along, across float64) vg.Point {
		return vg.Point{X: x0 + vg.Length(along*scale), Y: y + vg.Length(across*scale)}
	}
	half := b.diameter / 2
	if b.former {
		tube := vg.Rectangle{Min: at(0, -half), Max: at(b.length, half)}.Path()
		w.SetColor(w.style.Former)
		w.Fill(tube)
		w.outline(tube, w.style.ThinWidth, blend(w.style.Former, w.style.Muted, 0.35))
	}
	end := b.start + b.total*b.pitch
	var limits vg.Path // where the winding begins and ends
	for _, along := range []float64{b.start, end} {
		limits.Move(at(along, -half-b.wire))
		limits.Line(at(along, half+b.wire))
	}
	w.SetColor(w.style.Target)
	w.SetLineWidth(w.style.ThinWidth)
	w.SetLineDash(w.style.dropDash(), 0)
	w.Stroke(limits)
	w.turns(at, scale, b, 0, b.turns, w.style.Wire)
	w.turns(at, scale, b, b.total, b.total+b.spare, w.style.Spare)
	w.marks(at, b)
	if b.turns > 0 {
		w.length(at(b.start, -half-b.wire), at(b.start+(b.turns+b.spare)*b.pitch, -half-b.wire), (b.turns+b.spare)*b.pitch)
	}
}

// turns draws turns of a coil on its side. Turns too fine for the page are
// drawn as lines that stand for several.
func (w *worker) turns(at func(along, across float64) vg.Point, scale float64, b bench, from, to float64, ink color.NRGBA) {
	if to <= from {
		return
	}
	half := (b.diameter + b.wire) / 2
	step, width := b.pitch, vg.Length(b.wire*scale)
	if vg.Length(b.pitch*scale) < finestTurns {
		body := vg.Rectangle{Min: at(b.start+from*b.pitch, -half-b.wire/2), Max: at(b.start+to*b.pitch, half+b.wire/2)}
		w.SetColor(blend(ink, w.style.Background, 0.42))
		w.Fill(body.Path())
		step = textureStep / scale
		width = textureStep * closeFill
	} else if b.pitch < closeWound*b.wire {
		width = vg.Length(b.pitch*scale) * 0.8
	}
	var lines, ends vg.Path
	for along := b.start + from*b.pitch; along < b.start+to*b.pitch-step/8; along += step {
		part := math.Min(1, (b.start+to*b.pitch-along)/step)
		low, high := at(along+step/4, -half), at(along+(0.25+0.5*part)*step, half*(2*part-1))
		lines.Move(low)
		lines.Line(high)
		ends = append(ends, circle(low, width/2)...)
		ends = append(ends, circle(high, width/2)...)
	}
	w.SetColor(ink)
	w.SetLineWidth(max(width, w.style.ThinWidth))
	w.SetLineDash(nil, 0)
	w.Stroke(lines)
	if width >= roundFrom {
		w.Fill(ends)
	}
}

// marks draws a dot over every turn that carries one, hollow while it is still
// to come.
func (w *worker) marks(at func(along, across float64) vg.Point, b bench) {
	radius := max(1.5, w.style.LabelSize/5)
	for _, mark := range w.work.Marks {
		if mark > b.total {
			continue
		}
		place := at(b.start+mark*b.pitch, b.diameter/2+b.wire)
		place.Y += 2 * radius
		dot := circle(place, radius)
		if mark <= b.turns {
			w.SetColor(w.style.Warning)
			w.Fill(dot)
		}
		w.outline(dot, w.style.ThinWidth, w.style.Warning)
	}
}

// length draws a dimension line under the winding.
func (w *worker) length(from, to vg.Point, metres float64) {
	em := w.style.LabelSize
	y := from.Y - 0.6*em
	var lines vg.Path
	lines.Move(vg.Point{X: from.X, Y: y})
	lines.Line(vg.Point{X: to.X, Y: y})
	for _, x := range []vg.Length{from.X, to.X} {
		lines.Move(vg.Point{X: x, Y: y - 0.3*em})
		lines.Line(vg.Point{X: x, Y: y + 0.3*em})
	}
	w.outline(lines, w.style.ThinWidth, w.style.Muted)
	b := newBlock(si.Format(metres, w.work.Units.small(), 3), sans(em))
	x := min(max(w.Min.X, (from.X+to.X)/2-b.size().X/2), w.Max.X-b.size().X)
	w.SetColor(w.style.Muted)
	b.draw(w, vg.Point{X: x, Y: max(w.Min.Y, y-1.45*em)}, 0)
}

// fromAbove draws the ring as large as it fits.
func (w *worker) fromAbove(r vg.Rectangle, outer float64) { w.above(r, w.fit(r, outer, outer)) }

// above draws the ring from above in the middle of a rectangle: turns that are
// wound full, those to come pale, the hub, and what the step adds.
func (w *worker) above(r vg.Rectangle, scale float64) {
	t := w.work.Geometry.TopLoad
	middle := vg.Point{X: (r.Min.X + r.Max.X) / 2, Y: (r.Min.Y + r.Max.Y) / 2}
	d := t.WireDiameter
	inner, rim := t.HubRadius+d/2, t.OuterRadius()-d/2
	width := max(vg.Length(d*scale), w.style.ThinWidth)
	place := func(radius, angle float64) vg.Point {
		sin, cos := math.Sincos(angle)
		return vg.Point{X: middle.X + vg.Length(radius*scale*sin), Y: middle.Y + vg.Length(radius*scale*cos)}
	}
	hub := circle(middle, vg.Length(t.HubRadius*scale))
	w.SetColor(w.style.Brass)
	w.Fill(hub)
	reach := 2 * math.Pi
	if w.work.Kind == winding.Close {
		reach *= 0.92 // on its way
	}
	draw := func(turn int, ink color.NRGBA) {
		angle := reach * float64(turn) / float64(t.Turns)
		var path vg.Path
		from, to := place(inner, angle), place(rim, angle)
		path.Move(from)
		path.Line(to)
		w.outline(path, width, ink)
		if width >= roundFrom {
			w.SetColor(ink)
			w.Fill(circle(from, width/2))
			w.Fill(circle(to, width/2))
		}
	}
	wound := int(math.Min(w.work.Turns, float64(t.Turns)))
	for turn := wound; turn < t.Turns; turn++ {
		draw(turn, blend(w.style.Wire, w.style.Background, 0.8))
	}
	for turn := range wound {
		draw(turn, w.style.Wire)
	}
	switch w.work.Kind {
	case winding.Bind:
		for i := range 3 {
			angle := 2 * math.Pi * (float64(i) + 0.15) / 3
			var tie vg.Path
			tie.Move(place(t.HubRadius*0.4, angle))
			tie.Line(place((inner+rim)/2, angle))
			w.outline(tie, w.style.CurveWidth, w.style.Second)
		}
	case winding.Solder, winding.Cool, winding.Straighten, winding.Check:
		w.SetColor(w.style.Second)
		for turn := range t.Turns {
			w.Fill(circle(place(t.HubRadius, 2*math.Pi*float64(turn)/float64(t.Turns)), max(1.2, width/3)))
		}
	}
}

// primary draws a flat spiral from above and any other primary from the side.
func (w *worker) primary() {
	p := w.work.Geometry.Primary
	if len(p.Places) == 0 {
		return
	}
	r := w.inside()
	first, last := p.Places[0], p.Places[len(p.Places)-1]
	rise, radius := last.Z-first.Z, math.Max(first.R, last.R)+p.WireDiameter/2
	middle := vg.Point{X: (r.Min.X + r.Max.X) / 2, Y: (r.Min.Y + r.Max.Y) / 2}
	if len(p.Places) > 1 && rise < (last.R-first.R)*1e-6 {
		w.spiral(middle, w.fit(r, 2*radius, 2*radius))
		return
	}
	pitch := p.WireDiameter
	if n := len(p.Places); n > 1 {
		pitch = rise / float64(n-1)
	}
	scale := w.fit(r, 2.2*radius, rise+4*pitch)
	width := max(vg.Length(p.WireDiameter*scale), w.style.GuideWidth)
	at := func(r, z float64) vg.Point {
		return vg.Point{X: middle.X + vg.Length(r*scale), Y: middle.Y + vg.Length((z-first.Z-rise/2)*scale)}
	}
	// What the turns lie on, a tube or ribs, half a turn longer at both ends.
	inside := func(spot design.Spot) float64 { return math.Max(0, spot.R-p.WireDiameter/2) }
	var body vg.Path
	for i, corner := range []vg.Point{
		at(-inside(first), first.Z-1.5*pitch), at(inside(first), first.Z-1.5*pitch), at(inside(last), last.Z+1.5*pitch), at(-inside(last), last.Z+1.5*pitch),
	} {
		if i == 0 {
			body.Move(corner)
		} else {
			body.Line(corner)
		}
	}
	body.Close()
	w.SetColor(w.style.Former)
	w.Fill(body)
	w.outline(body, w.style.ThinWidth, blend(w.style.Former, w.style.Muted, 0.35))
	for i, spot := range p.Places {
		ink := w.style.Wire
		if float64(i) >= w.work.Turns {
			ink = blend(w.style.Wire, w.style.Former, 0.75)
		}
		low, high := at(-spot.R, spot.Z-pitch/4), at(spot.R, spot.Z+pitch/4)
		var turn vg.Path
		turn.Move(low)
		turn.Line(high)
		w.outline(turn, width, ink)
		if width >= roundFrom {
			w.SetColor(ink)
			w.Fill(circle(low, width/2))
			w.Fill(circle(high, width/2))
		}
	}
}

// spiral draws a flat spiral, the turns so far full.
func (w *worker) spiral(middle vg.Point, scale float64) {
	p := w.work.Geometry.Primary
	pitch := p.Places[1].R - p.Places[0].R
	width := max(vg.Length(p.WireDiameter*scale), w.style.GuideWidth)
	arc := func(from, to float64, ink color.NRGBA) {
		if to <= from {
			return
		}
		const steps = 90 // to the turn
		var path vg.Path
		n := int(math.Ceil((to - from) * steps))
		for i := 0; i <= n; i++ {
			turn := from + (to-from)*float64(i)/float64(n)
			radius := (p.Places[0].R + (turn-0.5)*pitch) * scale
			sin, cos := math.Sincos(2 * math.Pi * turn)
			at := vg.Point{X: middle.X + vg.Length(radius*cos), Y: middle.Y + vg.Length(radius*sin)}
			if i == 0 {
				path.Move(at)
			} else {
				path.Line(at)
			}
		}
		w.outline(path, width, ink)
	}
	total := float64(len(p.Places))
	arc(math.Min(w.work.Turns, total), total, blend(w.style.Wire, w.style.Background, 0.8))
	arc(0, math.Min(w.work.Turns, total), w.style.Wire)
}

// outline strokes a path.
func (w *worker) outline(path vg.Path, width vg.Length, ink color.Color) {
	w.SetColor(ink)
	w.SetLineWidth(width)
	w.SetLineDash(nil, 0)
	w.Stroke(path)
}
