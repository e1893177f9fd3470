package plotting

import (
	"image/color"
	"math"

	"gonum.org/v1/plot/vg"

	"coilwright/physics/design"
	"coilwright/physics/si"
)

// dimensions draws the sizes that a maker measures: across the top load, along
// the winding and, where there is room, from the bench to the winding.
func (s *section) dimensions() {
	g := s.geometry
	em := s.style.LabelSize
	unit := s.options.Units.small()
	if t := g.TopLoad; t.Kind != design.NoTopLoad {
		y := s.at(0, t.Top()).Y + 1.1*em
		s.across(-t.OuterRadius(), t.OuterRadius(), y, si.Format(2*t.OuterRadius(), unit, 3))
	}

	x := s.at(-s.besideWinding(), 0).X - 1.6*em
	s.along(g.Winding.Bottom, g.Winding.Top, x, si.Format(g.Winding.Top-g.Winding.Bottom, unit, 3))
	// The design counts to the centre of the lowest turn. Beside a short foot
	// the text would run into its neighbours.
	base := g.Winding.Bottom + g.Winding.Pitch/2
	text := si.Format(base, unit, 3)
	if newBlock(text, sans(em)).size().X < 0.9*s.length(base) {
		if s.length(g.Winding.Pitch/2) > 1.5 {
			x -= 1.7 * em // the two lines overlap by half a pitch
		}
		if x > s.Min.X+1.6*em {
			s.along(0, base, x, text)
		}
	}
	if f := g.Former; s.length(f.Top-g.Winding.Top) > 0 && g.TopLoad.Kind == design.NoTopLoad {
		s.across(-f.Outer, f.Outer, s.at(0, f.Top).Y+1.1*em, si.Format(2*f.Outer, unit, 3))
	}
}

// besideWinding is the radius of everything that stands at the height of the
// winding.
func (s *section) besideWinding() float64 {
	g := s.geometry
	r := math.Max(g.Winding.OuterRadius(), g.Former.Outer)
	for _, at := range g.Primary.Places {
		r = math.Max(r, at.R+g.Primary.WireDiameter/2)
	}
	if t := g.TopLoad; t.Kind != design.NoTopLoad && t.Bottom() < g.Winding.Top {
		r = math.Max(r, t.OuterRadius())
	}
	return r
}

// across draws a dimension line from one radius to another.
func (s *section) across(r0, r1 float64, y vg.Length, text string) {
	em := s.style.LabelSize
	x0, x1 := s.at(r0, 0).X, s.at(r1, 0).X
	var lines vg.Path
	lines.Move(vg.Point{X: x0, Y: y})
	lines.Line(vg.Point{X: x1, Y: y})
	for _, x := range []vg.Length{x0, x1} {
		lines.Move(vg.Point{X: x, Y: y - 0.4*em})
		lines.Line(vg.Point{X: x, Y: y + 0.4*em})
	}
	s.stroke(lines, s.style.ThinWidth, s.style.Muted)
	s.words(text, sans(em), s.style.Muted, vg.Point{X: (x0 + x1) / 2, Y: y + 0.3*em}, 0.5, 0)
}

// along draws a dimension line from one height to another, its text running up
// on the left.
func (s *section) along(z0, z1 float64, x vg.Length, text string) {
	em := s.style.LabelSize
	y0, y1 := s.at(0, z0).Y, s.at(0, z1).Y
	var lines vg.Path
	lines.Move(vg.Point{X: x, Y: y0})
	lines.Line(vg.Point{X: x, Y: y1})
	for _, y := range []vg.Length{y0, y1} {
		lines.Move(vg.Point{X: x - 0.4*em, Y: y})
		lines.Line(vg.Point{X: x + 0.4*em, Y: y})
	}
	s.stroke(lines, s.style.ThinWidth, s.style.Muted)
	b := newBlock(text, sans(em))
	s.SetColor(s.style.Muted)
	s.turned(b, vg.Point{X: x - 0.5*em, Y: (y0+y1)/2 - b.size().X/2})
}

// run is what changes along the winding, and how it is drawn.
type run struct {
	words  string // "voltage along the winding"
	levels []Level
	top    string // labels the largest; empty: nothing
	ink    color.Color
	dash   []vg.Length
}

// runs returns what is to be drawn along the winding.
func (o SectionOptions) runs(style Style) []run {
	return []run{
		{style.say("voltage along the winding"), o.Voltage, o.VoltageTop, style.Second, nil},
		{style.say("current along the winding"), o.Current, "", style.Wire, style.secondDash()},
	}
}

// run draws how something changes along the winding, beside it.
func (s *section) run(r run) {
	if len(r.levels) < 2 {
		return
	}
	em := s.style.LabelSize
	zero := s.at(s.besideWinding(), 0).X + 1.4*em
	full := max(zero+2*em, s.Max.X-1.2*em)
	line := make([]vg.Point, len(r.levels))
	most := 0
	for i, l := range r.levels {
		line[i] = vg.Point{X: zero + (full-zero)*vg.Length(l.Fraction), Y: s.at(0, l.Height).Y}
		if l.Fraction > r.levels[most].Fraction {
			most = i
		}
	}
	first, last := line[0], line[len(line)-1]
	strokeLine(s, []vg.Point{{X: zero, Y: first.Y}, {X: zero, Y: last.Y}}, s.style.ThinWidth, s.style.Axis, nil)
	strokeLine(s, line, s.style.CurveWidth, r.ink, r.dash)
	if r.top != "" {
		b := newBlock(r.top, bold(em))
		x := min(line[most].X, s.Max.X-0.5*em-b.size().X/2)
		s.words(r.top, b.font, r.ink, vg.Point{X: x, Y: line[most].Y + 0.4*em}, 0.5, 0)
	}
	s.caption(r, line, zero, full)
}

// caption says what the curve is: right of its foot, where it is still close to
// its base line, or running up between the two, near the top or the foot.
func (s *section) caption(r run, line []vg.Point, zero, full vg.Length) {
	em := s.style.LabelSize
	first, last := line[0], line[len(line)-1]
	flat := newBlock(inLines(r.words, 2), sans(em))
	corner := vg.Point{X: s.Max.X - 0.6*em - flat.size().X, Y: first.Y + 0.04*(last.Y-first.Y)}
	at := func(y vg.Length) vg.Length { // of the curve
		for i := 1; i < len(line); i++ {
			if p, q := line[i-1], line[i]; p.Y <= y && y <= q.Y {
				return p.X + (q.X-p.X)*(y-p.Y)/max(q.Y-p.Y, 1e-9)
			}
		}
		return last.X
	}
	s.SetColor(r.ink)
	if corner.X > at(corner.Y+flat.size().Y)+0.4*em {
		flat.draw(s, corner, 1)
		return
	}
	upright := newBlock(r.words, sans(em))
	const margin = 0.06 // of the winding, from its ends
	x, long := zero+0.3*em+upright.size().Y, upright.size().X
	for _, y := range []vg.Length{last.Y - margin*(last.Y-first.Y) - long, first.Y + margin*(last.Y-first.Y)} {
		free := y >= first.Y && y+long <= last.Y && x <= full
		for _, p := range line {
			free = free && (p.Y < y || p.Y > y+long || p.X >= x+0.3*em)
		}
		if free && min(at(y), at(y+long)) >= x+0.3*em {
			s.turned(upright, vg.Point{X: x, Y: y})
			return
		}
	}
}

// turned sets text running upwards, its lower right corner at a point.
func (s *section) turned(b block, corner vg.Point) {
	s.Push()
	s.Translate(corner)
	s.Rotate(math.Pi / 2)
	b.draw(s, vg.Point{}, 0)
	s.Pop()
}

// scaleBar draws a length that reads well, in the lower left corner.
func (s *section) scaleBar() {
	em := s.style.LabelSize
	length := s.niceLength(float64(2.8 * em / s.frame.Scale)) // at most 7 em: a switch stands beside it on the screen
	bar := s.length(length)
	x, y := s.Min.X+em, s.Min.Y+0.9*em
	var lines vg.Path
	lines.Move(vg.Point{X: x, Y: y})
	lines.Line(vg.Point{X: x + bar, Y: y})
	for _, end := range []vg.Length{x, x + bar} {
		lines.Move(vg.Point{X: end, Y: y})
		lines.Line(vg.Point{X: end, Y: y + 0.4*em})
	}
	s.stroke(lines, s.style.GuideWidth, s.style.Ink)
	s.words(si.Format(length, s.options.Units.small(), si.Shortest), sans(em), s.style.Ink, vg.Point{X: x + bar/2, Y: y + 0.35*em}, 0.5, 0)
}
