package plotting

import (
	"image/color"
	"math"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// schematic draws a circuit with the symbols of IEC 60617 (numbers of single
// symbols from memory) on a grid of its own, whose unit is scale points; y runs
// upwards.
type schematic struct {
	draw.Canvas
	style  Style
	scale  vg.Length
	origin vg.Point
	frame  CircuitFrame
	chosen string          // key of the part that is picked out
	alarm  map[string]bool // keys of parts beyond their ratings
}

// spot is a place on the grid.
type spot struct{ x, y float64 }

func (s *schematic) at(p spot) vg.Point {
	return vg.Point{X: s.origin.X + vg.Length(p.x)*s.scale, Y: s.origin.Y + vg.Length(p.y)*s.scale}
}

// ink is the colour of a part.
func (s *schematic) ink(key string) color.Color {
	switch {
	case s.alarm[key]:
		return s.style.Warning
	case key != "" && key == s.chosen:
		return s.style.Wire
	}
	return s.style.Ink
}

// line draws a line through spots in the colour of a part.
func (s *schematic) line(key string, spots ...spot) {
	points := make([]vg.Point, len(spots))
	for i, p := range spots {
		points[i] = s.at(p)
	}
	strokeLine(s, points, s.style.GuideWidth*1.2, s.ink(key), nil)
}

// lead draws wires, which belong to no part.
func (s *schematic) lead(spots ...spot) { s.line("", spots...) }

// joint marks where wires are joined.
func (s *schematic) joint(p spot) {
	s.SetColor(s.style.Ink)
	s.Fill(circle(s.at(p), 0.45*s.scale))
}

// fill fills a closed shape.
func (s *schematic) fill(c color.Color, spots ...spot) {
	var path vg.Path
	for i, p := range spots {
		if i == 0 {
			path.Move(s.at(p))
		} else {
			path.Line(s.at(p))
		}
	}
	path.Close()
	s.SetColor(c)
	s.Fill(path)
}

// arc draws part of a circle from one angle on by another, in radians.
func (s *schematic) arc(key string, centre spot, radius, from, by float64) {
	pieces := int(math.Ceil(math.Abs(by) * 6))
	spots := make([]spot, pieces+1)
	for i := range spots {
		sin, cos := math.Sincos(from + by*float64(i)/float64(pieces))
		spots[i] = spot{centre.x + radius*cos, centre.y + radius*sin}
	}
	s.line(key, spots...)
}

// Sizes of symbols, in units of the grid.
const (
	bodyLength = 8.0 // of a resistor
	bodyWidth  = 3.2
	coilHump   = 1.25 // radius of the half-circles of a winding
	plateWidth = 5.0
	plateGap   = 1.3
	diodeSize  = 3.4
)

// along runs a two-terminal symbol from one spot to the other: across is a spot so
// far along the way and so far to its left.
type along struct {
	from, to spot
	length   float64
}

func between(from, to spot) along {
	return along{from, to, math.Hypot(to.x-from.x, to.y-from.y)}
}

func (a along) across(way, left float64) spot {
	ux, uy := (a.to.x-a.from.x)/a.length, (a.to.y-a.from.y)/a.length
	return spot{a.from.x + way*ux - left*uy, a.from.y + way*uy + left*ux}
}

// resistor draws a rectangle in the middle of the way.
func (s *schematic) resistor(key string, from, to spot) {
	a := between(from, to)
	u, v, w := (a.length-bodyLength)/2, (a.length+bodyLength)/2, bodyWidth/2
	s.lead(from, a.across(u, 0))
	s.lead(a.across(v, 0), to)
	s.line(key, a.across(u, -w), a.across(v, -w), a.across(v, w), a.across(u, w), a.across(u, -w))
}

// winding draws half-circles to the right of the way (left with side -1), and a
// dot at its beginning or end that tells the sense.
func (s *schematic) winding(key string, from, to spot, humps int, side float64, dotAtEnd bool) {
	a := between(from, to)
	u := (a.length - 2*coilHump*float64(humps)) / 2
	s.lead(from, a.across(u, 0))
	s.lead(a.across(a.length-u, 0), to)
	var spots []spot
	const pieces = 10
	for h := range humps {
		for i := range pieces + 1 {
			angle := math.Pi * float64(i) / pieces
			spots = append(spots, a.across(u+coilHump*(2*float64(h)+1-math.Cos(angle)), -side*coilHump*1.15*math.Sin(angle)))
		}
	}
	s.line(key, spots...)
	way := u - 0.6
	if dotAtEnd {
		way = a.length - u + 0.6
	}
	s.SetColor(s.ink(key))
	s.Fill(circle(s.at(a.across(way, -side*1.9)), 0.5*s.scale))
}

// capacitor draws two plates in the middle of the way.
func (s *schematic) capacitor(key string, from, to spot) {
	a := between(from, to)
	u, v, w := (a.length-plateGap)/2, (a.length+plateGap)/2, plateWidth/2
	s.lead(from, a.across(u, 0))
	s.lead(a.across(v, 0), to)
	s.line(key, a.across(u, -w), a.across(u, w))
	s.line(key, a.across(v, -w), a.across(v, w))
}

// diode draws a triangle that points from anode to cathode, with two arrows for
// a lamp.
func (s *schematic) diode(key string, anode, cathode spot, lamp bool) {
	a := between(anode, cathode)
	u, v, w := (a.length-diodeSize)/2, (a.length+diodeSize)/2, diodeSize/2*1.1
	s.lead(anode, a.across(u, 0))
	s.lead(a.across(v, 0), cathode)
	s.line(key, a.across(u, -w), a.across(v, 0), a.across(u, w), a.across(u, -w))
	s.line(key, a.across(v, -w), a.across(v, w))
	if !lamp {
		return
	}
	for _, shift := range []float64{0, 1.6} {
		tail, tip := a.across(u+0.6+shift, w+0.4), a.across(u+2.2+shift, w+2.2)
		s.line(key, tail, tip)
		s.arrow(key, tail, tip)
	}
}

// arrow fills a small head at the tip of a line.
func (s *schematic) arrow(key string, tail, tip spot) {
	a := between(tail, tip)
	const length, width = 1.2, 0.5
	s.fill(s.ink(key), tip, a.across(a.length-length, width), a.across(a.length-length, -width))
}

// battery draws a long and a short line for each of two cells, the positive end
// last.
func (s *schematic) battery(key string, negative, positive spot) {
	a := between(negative, positive)
	u := (a.length - 3.6) / 2
	s.lead(negative, a.across(u, 0))
	for _, way := range []float64{0, 2.4} {
		s.line(key, a.across(u+way, -1.3), a.across(u+way, 1.3))
		s.line(key, a.across(u+way+1.2, -2.6), a.across(u+way+1.2, 2.6))
	}
	s.lead(a.across(u+3.6, 0), positive)
}

// square draws a source of a square wave.
func (s *schematic) square(key string, from, to spot) {
	a := between(from, to)
	const radius = 4.0
	middle := a.across(a.length/2, 0)
	s.lead(from, a.across(a.length/2-radius, 0))
	s.lead(a.across(a.length/2+radius, 0), to)
	s.arc(key, middle, radius, 0, 2*math.Pi)
	x, y := middle.x, middle.y
	s.line(key, spot{x - 2.4, y - 1.3}, spot{x - 2.4, y + 1.3}, spot{x, y + 1.3}, spot{x, y - 1.3}, spot{x + 2.4, y - 1.3}, spot{x + 2.4, y + 1.3})
}

// gap draws a spark gap: two arrows that face each other.
func (s *schematic) gap(key string, from, to spot) {
	a := between(from, to)
	const half = 1.4
	left, right := a.across(a.length/2-half, 0), a.across(a.length/2+half, 0)
	s.line(key, from, left)
	s.line(key, to, right)
	s.arrow(key, from, left)
	s.arrow(key, to, right)
}

// ground draws an earth.
func (s *schematic) ground(p spot) {
	s.lead(p, spot{p.x, p.y - 1.2})
	for i, half := range []float64{2.4, 1.5, 0.6} {
		y := p.y - 1.2 - 0.9*float64(i)
		s.lead(spot{p.x - half, y}, spot{p.x + half, y})
	}
}

// transistor draws a bipolar NPN transistor round a spot: base on the left,
// collector above and emitter below its right side.
func (s *schematic) transistor(key string, middle spot) (base, collector, emitter spot) {
	x, y := middle.x, middle.y
	s.arc(key, middle, 4.6, 0, 2*math.Pi)
	base, collector, emitter = spot{x - 6, y}, spot{x + 2, y + 6}, spot{x + 2, y - 6}
	s.line(key, base, spot{x - 1.6, y})
	s.line(key, spot{x - 1.6, y - 2.8}, spot{x - 1.6, y + 2.8})
	s.line(key, spot{x - 1.6, y + 1.3}, spot{x + 2, y + 3.6}, collector)
	s.line(key, spot{x - 1.6, y - 1.3}, spot{x + 2, y - 3.6}, emitter)
	s.arrow(key, spot{x - 1.6, y - 1.3}, spot{x + 1.7, y - 3.4})
	return base, collector, emitter
}

// mosfet draws an N-channel enhancement MOSFET round a spot, its terminals where
// those of a bipolar transistor are.
func (s *schematic) mosfet(key string, middle spot) (gate, drain, source spot) {
	x, y := middle.x, middle.y
	s.arc(key, middle, 4.6, 0, 2*math.Pi)
	gate, drain, source = spot{x - 6, y}, spot{x + 2, y + 6}, spot{x + 2, y - 6}
	s.line(key, gate, spot{x - 2.2, y}, spot{x - 2.2, y + 2.4})
	s.line(key, spot{x - 2.2, y}, spot{x - 2.2, y - 2.4})
	for _, dy := range []float64{-2.2, 0, 2.2} { // an interrupted channel
		s.line(key, spot{x - 1.2, y + dy - 0.8}, spot{x - 1.2, y + dy + 0.8})
	}
	s.line(key, spot{x - 1.2, y + 2.2}, spot{x + 2, y + 2.2}, drain)
	s.line(key, spot{x - 1.2, y - 2.2}, spot{x + 2, y - 2.2}, source)
	s.line(key, spot{x - 1.2, y}, spot{x + 2, y}, spot{x + 2, y - 2.2})
	s.arrow(key, spot{x + 2, y}, spot{x - 1.1, y})
	return gate, drain, source
}

// topLoad draws the body on top: a ball over the coil.
func (s *schematic) topLoad(p spot) {
	const radius = 1.8
	s.arc("", spot{p.x, p.y + radius}, radius, 0, 2*math.Pi)
}
