package plotting

import (
	"fmt"
	"image/color"
	"math"

	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"coilwright/physics/design"
	"coilwright/physics/si"
)

// SectionOptions say what the drawing of a coil shows beside the coil.
type SectionOptions struct {
	Units Units

	// Voltage along the winding, by ascending height; nil: not shown.
	Voltage []Level
	// VoltageTop labels the largest of it, "4.1 kV"; empty: nothing.
	VoltageTop string
	// Current along the winding, by ascending height, dashed; nil: not shown.
	Current []Level

	// Held is where things were in an earlier drawing on the same page, to keep
	// its scale while a hand changes the coil; nil: the coil fills the page.
	Held *SectionFrame

	// Field is the electric field round the coil; nil: not shown.
	Field *FieldMap
}

// Level is the voltage or current at a height of the winding.
type Level struct {
	Height   float64 // m over z = 0
	Fraction float64 // of the largest, 0 to 1
}

// VoltageAlong returns the voltage of a profile for [SectionOptions].
func VoltageAlong(p design.ProfileCurve) []Level { return levels(p.Height, p.Voltage) }

// CurrentAlong returns the current of a profile for [SectionOptions].
func CurrentAlong(p design.ProfileCurve) []Level { return levels(p.Height, p.Current) }

// levels returns values at heights as shares of the largest of them.
func levels(heights, values []float64) []Level {
	if len(values) == 0 {
		return nil
	}
	_, most := extremes(values)
	all := make([]Level, len(heights))
	for i, height := range heights {
		all[i] = Level{Height: height, Fraction: values[i] / most}
	}
	return all
}

// Edges that the coil keeps from the edges of a section, in type sizes: room
// for the dimension lines, the bench and the scale.
const (
	sectionSide = 5.2
	sectionHead = 3.6
	sectionFoot = 4.4
)

// DrawSection draws a coil in section through its axis, to scale and as large as
// the canvas allows, and returns where things are. The winding is seen from
// outside; of a ring the two turns in the plane of the section are drawn full
// and those behind it paler.
//
// Voltages, currents and fields that are no numbers give an error that wraps
// [ErrNotFinite].
func DrawSection(c draw.Canvas, g design.Geometry, options SectionOptions, style Style) (SectionFrame, error) {
	for _, r := range options.runs(style) {
		for i, l := range r.levels {
			if err := checkNumber(fmt.Sprintf("%s, point %d", r.words, i), l.Height+l.Fraction); err != nil {
				return SectionFrame{}, err
			}
		}
	}
	page := c.Rectangle
	if options.Field != nil {
		page.Max.Y -= fieldHead * style.LabelSize
	}
	s := &section{Canvas: c, geometry: g, options: options, style: style, frame: frameSection(page, g, style).on(c.Rectangle)}
	if h := options.Held; h != nil && h.page == c.Rectangle {
		s.frame = *h
		s.frame.geometry = g
	}
	c.SetColor(style.Background)
	c.Fill(c.Rectangle.Path())
	var lines []tubeLine
	if options.Field == nil {
		s.grid()
	} else {
		var err error
		if lines, err = s.field(options.Field); err != nil {
			return SectionFrame{}, err
		}
	}
	s.room()
	s.former()
	s.winding()
	s.topLoad()
	s.primary()
	if options.Field == nil { // whose key and lines need the room
		s.dimensions()
	}
	for _, r := range options.runs(style) {
		s.run(r)
	}
	s.scaleBar()
	if options.Field != nil {
		s.marks(options.Field)
		s.fieldKey(options.Field, lines)
	}
	return s.frame, nil
}

// section is a drawing under way.
type section struct {
	draw.Canvas
	geometry design.Geometry
	options  SectionOptions
	style    Style
	frame    SectionFrame
}

// frameSection fits the coil into a rectangle.
func frameSection(page vg.Rectangle, g design.Geometry, style Style) SectionFrame {
	em := style.LabelSize
	widest, lowest, highest := bounds(g)
	size := page.Size()
	room := vg.Point{X: max(em, size.X-2*sectionSide*em), Y: max(em, size.Y-(sectionHead+sectionFoot)*em)}
	scale := math.Min(float64(room.X)/(2*widest), float64(room.Y)/(highest-lowest))
	// A wide coil stands on the lower part of the page, not in mid air.
	slack := room.Y - vg.Length(scale*(highest-lowest))
	ground := page.Min.Y + sectionFoot*em + slack*0.3 - vg.Length(scale*lowest)
	return SectionFrame{
		Scale: vg.Length(scale), AxisX: size.X / 2, GroundY: page.Max.Y - ground,
		page: page, geometry: g,
	}
}

// bounds returns the largest radius and the lowest and highest point of a coil.
// z = 0 belongs to it.
func bounds(g design.Geometry) (widest, lowest, highest float64) {
	widest = math.Max(g.Former.Outer, g.Winding.OuterRadius())
	highest = math.Max(g.Former.Top, g.Winding.Top)
	lowest = math.Min(0, g.Former.Bottom)
	if g.TopLoad.Kind != design.NoTopLoad {
		widest = math.Max(widest, g.TopLoad.OuterRadius())
		highest = math.Max(highest, math.Max(g.TopLoad.Top(), g.Rod.Top))
	}
	for _, at := range g.Primary.Places {
		widest = math.Max(widest, at.R+g.Primary.WireDiameter/2)
		highest = math.Max(highest, at.Z+g.Primary.WireDiameter/2)
		lowest = math.Min(lowest, at.Z-g.Primary.WireDiameter/2)
	}
	return math.Max(widest, g.Room.CircuitRadius), lowest, highest
}

// at returns where a radius, negative on the left, and a height stand.
func (s *section) at(r, z float64) vg.Point {
	x, y := s.frame.Place(r, z)
	return vg.Point{X: s.Min.X + x, Y: s.Max.Y - y}
}

// length returns how long a length is on the page.
func (s *section) length(l float64) vg.Length { return vg.Length(l) * s.frame.Scale }

// rect returns the rectangle from radius and height to others.
func (s *section) rect(r0, z0, r1, z1 float64) vg.Rectangle {
	return vg.Rectangle{Min: s.at(r0, z0), Max: s.at(r1, z1)}
}

// niceLength returns a length that reads well in the unit of the drawing and is
// no shorter than atLeast.
func (s *section) niceLength(atLeast float64) float64 {
	unit := s.options.Units.small()
	inUnit := atLeast / unit.Factor()
	if s.options.Units.Inch && inUnit < 1 {
		// Inches are halved.
		return math.Pow(2, math.Ceil(math.Log2(inUnit))) * unit.Factor()
	}
	return niceAbove(inUnit) * unit.Factor()
}

func (s *section) grid() {
	step := s.niceLength(float64(3.2 * s.style.LabelSize / s.frame.Scale))
	across := math.Ceil(float64((s.Max.X-s.Min.X)/s.frame.Scale) / step)
	var lines vg.Path
	for i := -across; i <= across; i++ {
		if x := s.at(i*step, 0).X; x > s.Min.X && x < s.Max.X {
			lines.Move(vg.Point{X: x, Y: s.Min.Y})
			lines.Line(vg.Point{X: x, Y: s.Max.Y})
		}
	}
	_, bottom := s.frame.At(0, s.Max.Y-s.Min.Y)
	_, top := s.frame.At(0, 0)
	for i := math.Ceil(bottom / step); i*step < top; i++ {
		y := s.at(0, i*step).Y
		lines.Move(vg.Point{X: s.Min.X, Y: y})
		lines.Line(vg.Point{X: s.Max.X, Y: y})
	}
	s.stroke(lines, s.style.ThinWidth, s.style.Grid)
}

// room draws the bench, the planes that are on the page and the board.
func (s *section) room() {
	em := s.style.LabelSize
	room := s.geometry.Room
	left, right := s.Min.X+em, s.Max.X-em
	level := s.at(0, 0).Y
	bench := 2.2 * s.style.ThinWidth
	line := []vg.Point{{X: left, Y: level - bench/2}, {X: right, Y: level - bench/2}}
	if room.Ground == design.Open {
		strokeLine(s, line, s.style.ThinWidth, s.style.Bench, s.style.dropDash())
	} else {
		strokeLine(s, line, bench, s.style.Bench, nil)
	}
	if room.Ground == design.MetalPlane {
		s.hatch(left, right, level-bench, -1)
	}
	below := level - bench - 0.25*em
	if room.Ground == design.MetalPlane {
		below -= 0.4 * em
	}
	s.words(s.style.groundText(room, s.options.Units), sans(em), s.style.Muted, vg.Point{X: right, Y: below}, 1, 1)

	if depth := s.at(0, -room.FloorDepth).Y; room.Ground == design.Floor && room.FloorDepth > 0 && depth > s.Min.Y+em {
		s.plane(left, right, depth, -1)
	}
	if height := s.at(0, room.Ceiling).Y; room.Ceiling > 0 && height < s.Max.Y-em {
		s.plane(left, right, height, 1)
	}
	if room.CircuitRadius > 0 {
		s.SetColor(s.style.Spare)
		board := s.rect(-room.CircuitRadius, 0, room.CircuitRadius, 0)
		board.Max.Y += 2 * s.style.ThinWidth
		s.Fill(board.Path())
	}
}

// groundText says what the coil stands on.
func (s Style) groundText(room design.Surroundings, units Units) string {
	switch {
	case room.Ground == design.MetalPlane:
		return s.say("metal plate, earthed")
	case room.Ground == design.Open:
		return s.say("z = 0, no plane below")
	case room.FloorDepth == 0:
		return s.say("floor, earthed")
	}
	return s.say("bench top, earth %s below", si.Format(room.FloorDepth, units.small(), 3))
}

// plane draws an earthed plane, hatched on its far side.
func (s *section) plane(left, right, y vg.Length, side vg.Length) {
	strokeLine(s, []vg.Point{{X: left, Y: y}, {X: right, Y: y}}, s.style.GuideWidth, s.style.Bench, nil)
	s.hatch(left, right, y, side)
}

// hatch draws the strokes that stand for earth.
func (s *section) hatch(left, right, y, side vg.Length) {
	em := s.style.LabelSize
	var strokes vg.Path
	for x := left + 0.5*em; x < right; x += em {
		strokes.Move(vg.Point{X: x, Y: y})
		strokes.Line(vg.Point{X: x - 0.4*em, Y: y + side*0.4*em})
	}
	s.stroke(strokes, s.style.ThinWidth, s.style.Bench)
}

// former draws what is seen of the tube.
func (s *section) former() {
	f := s.geometry.Former
	tube := s.rect(-f.Outer, f.Bottom, f.Outer, f.Top)
	s.SetColor(s.style.Former)
	s.Fill(tube.Path())
	s.stroke(tube.Path(), s.style.ThinWidth, blend(s.style.Former, s.style.Muted, 0.35))
}

func (s *section) primary() {
	p := s.geometry.Primary
	radius := max(s.length(p.WireDiameter)/2, s.style.CurveWidth*0.75)
	var used, idle vg.Path
	for i, at := range p.Places {
		path := &used
		if float64(i) >= p.InUse {
			path = &idle
		}
		for _, side := range []float64{-1, 1} {
			*path = append(*path, circle(s.at(side*at.R, at.Z), radius)...)
		}
	}
	s.SetColor(blend(s.style.Wire, s.style.Background, 0.2))
	s.Fill(used)
	s.SetColor(s.style.Background)
	s.Fill(idle)
	for _, outline := range []vg.Path{used, idle} {
		s.stroke(outline, s.style.ThinWidth, s.style.Wire)
	}
}

// stroke draws a path in one width and colour.
func (s *section) stroke(path vg.Path, width vg.Length, ink color.Color) {
	if len(path) == 0 {
		return
	}
	s.SetColor(ink)
	s.SetLineWidth(width)
	s.SetLineDash(nil, 0)
	s.Stroke(path)
}

// words sets a line of text by a point: at across 0 to the right of it, at 1 to
// the left; at down 0 above it, at 1 below.
func (s *section) words(text string, f font.Font, ink color.Color, at vg.Point, across, down vg.Length) {
	b := newBlock(text, f)
	corner := at.Sub(vg.Point{X: b.size().X * across, Y: b.size().Y * down})
	s.SetColor(ink)
	b.draw(s, corner, 0)
}
