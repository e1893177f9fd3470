package plotting

import (
	"math"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"coilwright/physics/design"
)

// DrawWiring draws a coil in section with the ends of its windings named, and
// the sense in which all of them are wound as seen from above.
//
// The error is that of [DrawSection].
func DrawWiring(c draw.Canvas, g design.Geometry, units Units, style Style) error {
	frame, err := DrawSection(c, g, SectionOptions{Units: units}, style)
	if err != nil {
		return err
	}
	em := style.LabelSize
	at := func(r, z float64) vg.Point {
		x, y := frame.Place(r, z)
		return vg.Point{X: c.Min.X + x, Y: c.Max.Y - y}
	}
	// name joins a word on the right to an end by a line.
	name := func(r, z float64, word string, rise vg.Length) {
		end := at(r, z)
		c.SetColor(style.Second)
		c.Fill(circle(end, 0.28*em))
		text := newBlock(word, bold(em))
		corner := vg.Point{X: min(end.X+2.2*em, c.Max.X-text.size().X-0.3*em), Y: end.Y + rise - 0.4*em}
		strokeLine(c, []vg.Point{end, {X: corner.X - 0.3*em, Y: end.Y + rise}}, style.GuideWidth, style.Second, nil)
		c.SetColor(style.Background)
		c.Fill(vg.Rectangle{Min: corner.Sub(vg.Point{X: 0.2 * em, Y: 0.1 * em}), Max: corner.Add(text.size()).Add(vg.Point{X: 0.2 * em, Y: 0.1 * em})}.Path())
		c.SetColor(style.Second)
		text.draw(c, corner, 0)
	}
	w := g.Winding
	name(w.OuterRadius(), w.Top-w.Pitch/2, style.say("secondary END"), 0)
	name(w.OuterRadius(), w.Bottom+w.Pitch/2, style.say("secondary START"), -0.2*em)
	if p := g.Primary; len(p.Places) > 0 {
		first := p.Places[0]
		last := p.Places[int(math.Max(1, math.Min(math.Ceil(p.InUse), float64(len(p.Places)))))-1]
		name(first.R, first.Z, style.say("primary START"), -1.6*em)
		word := style.say("primary END")
		if int(math.Ceil(p.InUse)) < len(p.Places) {
			word = style.say("primary tap")
		}
		name(last.R, last.Z, word, 1.4*em)
	}
	// An arrow round the axis, seen from above, in the upper left corner.
	middle, radius := vg.Point{X: c.Min.X + 3.4*em, Y: c.Max.Y - 3.2*em}, 1.5*em
	const from, turn = -math.Pi / 3, 1.6 * math.Pi
	var arc vg.Path
	arc.Arc(middle, radius, from, turn)
	c.SetColor(style.Second)
	c.SetLineWidth(style.CurveWidth)
	c.SetLineDash(nil, 0)
	c.Stroke(arc)
	sin, cos := math.Sincos(from + turn)
	tip := vg.Point{X: middle.X + radius*vg.Length(cos), Y: middle.Y + radius*vg.Length(sin)}
	along, out := vg.Point{X: vg.Length(-sin), Y: vg.Length(cos)}, vg.Point{X: vg.Length(cos), Y: vg.Length(sin)}
	var head vg.Path
	head.Move(tip.Add(along.Scale(0.7 * em)))
	head.Line(tip.Add(out.Scale(0.4 * em)))
	head.Line(tip.Sub(out.Scale(0.4 * em)))
	head.Close()
	c.Fill(head)
	caption := newBlock(inLines(style.say("from above, all windings"), 2), sans(em*0.9))
	caption.draw(c, vg.Point{X: max(middle.X-caption.size().X/2, c.Min.X+0.3*em), Y: middle.Y - radius - caption.size().Y - 0.4*em}, 0.5)
	return nil
}
