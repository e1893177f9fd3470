package plotting

import (
	"math"

	"gonum.org/v1/plot/vg"

	"coilwright/physics/design"
)

const (
	// finestTurns is the pitch on the page, in points, under which turns are no
	// longer drawn one by one: they would beat against the pixels.
	finestTurns = 3.4
	// textureStep is the distance of the lines that then stand for them, whole
	// pixels at every usual scale of a screen so that they cannot beat either.
	textureStep = 4

	// closeWound is the pitch over the wire's diameter up to which a winding
	// hides its former.
	closeWound = 1.35
	// closeFill is the part of a pitch that the drawn wire takes in a close
	// winding, the rest being the shadow between turns.
	closeFill = 0.62

	// roundFrom is the width on the page from which the wire's ends show as
	// round.
	roundFrom = 3
)

// winding draws the turns of the secondary as seen from the side: each rises by
// half a pitch across the front. Turns too fine for the page become an even
// texture whose lines stand for several turns each.
func (s *section) winding() {
	w := s.geometry.Winding
	outer := w.OuterRadius()
	pitch := s.length(w.Pitch)
	dark := blend(s.style.Wire, s.style.Background, 0.42)

	if w.Pitch <= closeWound*w.OverallDiameter || pitch < finestTurns {
		s.SetColor(dark)
		s.Fill(s.rect(-outer, w.Bottom, outer, w.Top).Path())
	}
	step, width := w.Pitch, s.length(w.OverallDiameter)
	if w.Pitch <= closeWound*w.OverallDiameter {
		width = pitch * closeFill
	}
	if pitch < finestTurns {
		step = float64(textureStep / s.frame.Scale)
		width = textureStep * closeFill
	}
	width = max(width, s.style.ThinWidth)

	reach := outer // of a line's ends
	var ends, lines vg.Path
	round := width >= roundFrom
	if round {
		reach -= float64(width/2) / float64(s.frame.Scale)
	}
	for z := w.Bottom + step/2; z < w.Top; z += step {
		// The last turn of a fractional number goes only part of the way.
		from, to := s.at(-reach, z-step/4), s.at(reach, z+step/4)
		if rest := (w.Top - (z - step/2)) / step; rest < 1 {
			if pitch < finestTurns {
				break // a last line that does not stand for a whole number of turns
			}
			to = from.Add(to.Sub(from).Scale(vg.Length(rest)))
		}
		lines.Move(from)
		lines.Line(to)
		if round {
			ends = append(ends, circle(from, width/2)...)
			ends = append(ends, circle(to, width/2)...)
		}
	}
	s.stroke(lines, width, s.style.Wire)
	s.SetColor(s.style.Wire)
	s.Fill(ends)
}

// topLoad draws the body on top and the wire that leads to it.
func (s *section) topLoad() {
	t := s.geometry.TopLoad
	if t.Kind == design.NoTopLoad {
		return
	}
	w := s.geometry.Winding
	foot := t.Bottom()
	if t.Kind == design.WireRing {
		foot = t.Centre
	}
	if lead := s.geometry.Lead; lead.Top > lead.Bottom {
		s.bar(lead)
	} else if foot > w.Top {
		rise := foot - w.Top
		var lead vg.Path
		lead.Move(s.at(w.Radius, w.Top))
		lead.CubeTo(s.at(w.Radius, w.Top+0.6*rise), s.at(0, w.Top+0.4*rise), s.at(0, foot))
		s.stroke(lead, s.style.GuideWidth, s.style.Wire)
	}
	if rod := s.geometry.Rod; rod.Top > rod.Bottom {
		s.bar(rod)
	}
	if t.Kind == design.WireRing {
		s.wireRing(t)
		return
	}
	s.body(t)
}

// bar draws a straight piece of wire or rod, its ends round.
func (s *section) bar(b design.Bar) {
	width := max(s.length(2*b.Radius), s.style.GuideWidth)
	low, high := s.at(b.At, b.Bottom), s.at(b.At, b.Top)
	strokeLine(s, []vg.Point{low, {X: high.X, Y: high.Y - width/2}}, width, s.style.Wire, nil)
	s.SetColor(s.style.Wire)
	s.Fill(circle(vg.Point{X: high.X, Y: high.Y - width/2}, width/2))
}

// body draws a torus, sphere or disc: cut where the section goes through it,
// and for a torus what is seen of it behind.
func (s *section) body(t design.Body) {
	metal := blend(s.style.Wire, s.style.Background, 0.55)
	behind := blend(s.style.Wire, s.style.Background, 0.8)
	width := s.style.GuideWidth
	if t.Kind == design.Torus {
		back := s.rect(-t.Outer, t.Bottom(), t.Outer, t.Top()).Path()
		s.SetColor(behind)
		s.Fill(back)
		for _, z := range []float64{t.Bottom(), t.Top()} {
			strokeLine(s, []vg.Point{s.at(-t.Outer, z), s.at(t.Outer, z)}, width, s.style.Wire, nil)
		}
		for _, side := range []float64{-1, 1} {
			cut := circle(s.at(side*t.Outer, t.Centre), s.length(t.TubeRadius))
			s.SetColor(metal)
			s.Fill(cut)
			s.stroke(cut, width, s.style.Wire)
		}
		return
	}
	// Half a round at either end of a straight stretch; a sphere has none.
	var outline vg.Path
	radius := max(s.length(t.TubeRadius), s.style.ThinWidth)
	right, left := s.at(t.Outer, t.Centre), s.at(-t.Outer, t.Centre)
	outline.Move(vg.Point{X: right.X, Y: right.Y - radius})
	outline.Arc(right, radius, -math.Pi/2, math.Pi)
	outline.Arc(left, radius, math.Pi/2, math.Pi)
	outline.Close()
	s.SetColor(metal)
	s.Fill(outline)
	s.stroke(outline, width, s.style.Wire)
}

// hubHalfHeight is half the height of a hub, which no design states: about that
// of a nut of its width.
func hubHalfHeight(t design.Body) float64 {
	return math.Min(0.5*t.HubRadius, 0.8*t.TurnRadius)
}

// wireRing draws the turns behind the section as the ellipses they are seen as,
// the hub, and the turn at either side face on.
func (s *section) wireRing(t design.Body) {
	wire := max(s.length(t.WireDiameter), s.style.ThinWidth)
	turn := s.length(t.TurnRadius)
	// Evenly over the half ring behind the section; with an odd number the two
	// sides cannot both be cut through a turn, and it is half a turn out.
	behind := int(math.Max(0, math.Round(float64(t.Turns-2)/2)))
	var paths vg.Path
	for i := range behind {
		angle := math.Pi * float64(i+1) / float64(behind+1)
		centre := s.at(t.Outer*math.Cos(angle), t.Centre)
		paths = append(paths, ellipse(centre, turn*vg.Length(math.Abs(math.Cos(angle))), turn)...)
	}
	s.stroke(paths, wire, blend(s.style.Wire, s.style.Background, 0.5))

	half := hubHalfHeight(t)
	hub := s.rect(-t.HubRadius, t.Centre-half, t.HubRadius, t.Centre+half).Path()
	s.SetColor(s.style.Brass)
	s.Fill(hub)
	s.stroke(hub, s.style.ThinWidth, blend(s.style.Brass, s.style.Ink, 0.4))

	var cuts vg.Path
	cuts = append(cuts, circle(s.at(t.Outer, t.Centre), turn)...)
	if t.Turns > 1 {
		cuts = append(cuts, circle(s.at(-t.Outer, t.Centre), turn)...)
	}
	s.stroke(cuts, wire, s.style.Wire)
}

// ellipse returns an upright ellipse as four cubics, each within a few parts in
// ten thousand of it.
func ellipse(centre vg.Point, a, b vg.Length) vg.Path {
	const k = 0.5522847498307936 // 4/3 (√2 − 1): the cubic meets the circle halfway
	at := func(x, y vg.Length) vg.Point { return vg.Point{X: centre.X + a*x, Y: centre.Y + b*y} }
	var p vg.Path
	p.Move(at(1, 0))
	p.CubeTo(at(1, k), at(k, 1), at(0, 1))
	p.CubeTo(at(-k, 1), at(-1, k), at(-1, 0))
	p.CubeTo(at(-1, -k), at(-k, -1), at(0, -1))
	p.CubeTo(at(k, -1), at(1, -k), at(1, 0))
	p.Close()
	return p
}
