package plotting

import (
	"gonum.org/v1/plot/vg"

	"coilwright/physics/breakdown"
	"coilwright/physics/si"
)

// tubeLine is where the field is as strong as one at which a fluorescent tube is said to
// glow.
type tubeLine struct {
	field float64 // V/m, crest
	words string  // with its field, in the language of the drawing
	whole bool    // not dashed
}

// tubeLines returns both lines; their fields are common practice without a source, which
// the key of the map says.
func (s Style) tubeLines() []tubeLine {
	field := func(v float64) string { return si.FormatPrefixed(v, si.VoltPerMetre, 1) }
	return []tubeLine{
		{breakdown.TubeFieldHigh, s.say("a fluorescent tube glows: %s", field(breakdown.TubeFieldHigh)), true},
		{breakdown.TubeFieldLow, s.say("it may glow: %s", field(breakdown.TubeFieldLow)), false},
	}
}

// tubes draws where a fluorescent tube is said to glow, on both sides, and returns the
// lines for the key. Between the places of the grid the strength is taken as straight. No
// tube fits into the winding or the metal, so that no line is drawn there.
func (s *section) tubes(g *fieldGrid) []tubeLine {
	lines := s.style.tubeLines()
	w := s.geometry.Winding
	for k := range lines {
		l := &lines[k]
		var path vg.Path
		g.contour(g.strength, l.field, func(cell int, r0, z0, r1, z1 float64) {
			if r0 < w.Radius && z0 > w.Bottom && z0 < w.Top {
				return
			}
			for _, side := range []float64{1, -1} {
				p, q := s.at(side*r0, z0), s.at(side*r1, z1)
				if !s.Contains(p) || !s.Contains(q) || s.frame.Part(p.X-s.Min.X, s.Max.Y-p.Y) == TopLoadPart {
					continue
				}
				// From cell to cell the line crosses an edge, so that every other one is a dash.
				if l.whole || cell%2 == 0 {
					path.Move(p)
					path.Line(q)
				}
			}
		})
		if len(path) == 0 {
			if g.strength[len(g.r)-1] >= l.field || g.strength[len(g.strength)-1] >= l.field {
				l.words = s.style.say("%s, outside", l.words)
			} else {
				l.words = s.style.say("%s, nowhere", l.words)
			}
		}
		s.stroke(path, s.style.GuideWidth, s.style.Target)
	}
	return lines
}

// tubeRows is how many lines of text tubeKey sets.
const tubeRows = 3

// tubeSource is what the fields of both lines rest on.
func (s Style) tubeSource() string { return s.say("common practice, no source") }

// Of a line of the key, in type sizes.
const (
	tubeRow    = 1.15 // its height
	tubeSample = 2.4  // from its left to its words
	tubeType   = 0.8  // the size of its words
)

// tubeKeyWidth returns how wide tubeKey comes out.
func (s *section) tubeKeyWidth(lines []tubeLine) vg.Length {
	em := s.style.LabelSize
	widest := newBlock(s.style.tubeSource(), sans(tubeType*em)).size().X
	for _, l := range lines {
		widest = max(widest, newBlock(l.words, sans(tubeType*em)).size().X)
	}
	return widest + tubeSample*em
}

// tubeKey explains the lines, below a point at the left.
func (s *section) tubeKey(lines []tubeLine, at vg.Point) {
	em := s.style.LabelSize
	row := tubeRow * em
	words := func(i int, text string) {
		s.words(text, sans(tubeType*em), s.style.Muted, vg.Point{X: at.X + tubeSample*em, Y: at.Y - row*vg.Length(i)}, 0, 1)
	}
	for i, l := range lines {
		y := at.Y - row*vg.Length(i)
		var dash []vg.Length
		if !l.whole {
			dash = []vg.Length{0.4 * em, 0.4 * em}
		}
		strokeLine(s, []vg.Point{{X: at.X, Y: y - 0.4*em}, {X: at.X + 2*em, Y: y - 0.4*em}}, s.style.GuideWidth, s.style.Target, dash)
		words(i, l.words)
	}
	words(len(lines), s.style.tubeSource())
}
