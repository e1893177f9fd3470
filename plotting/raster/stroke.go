package raster

import (
	"image"
	"math"

	"github.com/golang/freetype/raster"
	"golang.org/x/image/math/fixed"
	"gonum.org/v1/plot/vg"
)

// thinnest is the narrowest line drawn, in pixels: a finer one would only pale.
const thinnest = 0.75

// shortest is the shortest piece of a curve worth a joint of its own, in
// pixels; dense curves are thinned to it.
const shortest = 0.3

// Stroke implements [vg.Canvas]. Lines end square where their path ends;
// upright opaque ones lie on whole pixels, so that grids stay crisp.
func (c *Canvas) Stroke(path vg.Path) {
	scale := c.state.toPixel.Magnification()
	width := c.state.width.Points() * scale
	if width <= 0 {
		return
	}
	width = math.Max(width, thinnest)
	c.flatten(path)
	bounds := c.bounds(width + rim)
	dash := newDashes(c.state.dashes, c.state.offset, scale)

	add := c.addRun
	if c.crisp() {
		add = func(run []point) { c.fillRun(run, width) }
	}
	c.stroke.Clear()
	for i := range c.starts {
		c.cut(c.subpath(i), c.closed[i], bounds, dash, add)
	}
	if len(c.stroke) == 0 {
		return
	}
	c.outline.reset()
	raster.Stroke(&c.outline, c.stroke, fixed.Int26_6(math.Round(width*64)), raster.ButtCapper, raster.BevelJoiner)
	c.paintOutline()
}

// crisp says whether the path can be stroked by rectangles of whole pixels:
// all of it upright and, since corners overlap, opaque if it has any.
func (c *Canvas) crisp() bool {
	for i := range c.starts {
		points := c.subpath(i)
		if !upright(points, c.closed[i]) || len(points) > 2 && !opaque(c.state.color) {
			return false
		}
	}
	return true
}

// cut passes to add the runs of a line that are to be drawn: what its dashes
// leave of the part inside bounds. A run is add's only until it returns.
func (c *Canvas) cut(line []point, closed bool, bounds box, dash dashes, add func([]point)) {
	if len(line) < 2 {
		return
	}
	if closed {
		// Starting halfway along a side leaves no corner without its joint.
		middle := point{(line[0].x + line[1].x) / 2, (line[0].y + line[1].y) / 2}
		turned := append(c.clip[:0], middle)
		turned = append(turned, line[1:]...)
		turned = append(turned, line[0], middle)
		c.clip, line = turned, turned
	}
	run := c.run[:0]
	end := func() {
		if len(run) > 1 {
			add(run)
		}
		run = run[:0]
	}
	dash.restart()
	for i := 1; i < len(line); i++ {
		p, q := line[i-1], line[i]
		length := math.Hypot(q.x-p.x, q.y-p.y)
		t0, t1, inside := bounds.clipSegment(p, q)
		if !inside || length == 0 {
			if !inside {
				end()
			}
			dash.skip(length)
			continue
		}
		at := func(t float64) point { return point{p.x + t*(q.x-p.x), p.y + t*(q.y-p.y)} }
		if t0 > 0 {
			end()
			dash.skip(t0 * length)
		}
		for t := t0; ; {
			if len(run) == 0 && dash.on {
				run = append(run, at(t))
			}
			if left := (t1 - t) * length; left <= dash.left {
				dash.left -= left
				if dash.on {
					run = append(run, at(t1))
				}
				break
			}
			t += dash.left / length
			if dash.on {
				run = append(run, at(t))
				end()
			}
			dash.next()
		}
		if t1 < 1 {
			end()
			dash.skip((1 - t1) * length)
		}
	}
	end()
	c.run = run[:0]
}

// addRun adds a run to what the rasteriser will stroke.
func (c *Canvas) addRun(run []point) {
	last := run[0]
	c.stroke.Start(fix(last))
	for i, p := range run[1:] {
		if i+2 < len(run) && math.Hypot(p.x-last.x, p.y-last.y) < shortest {
			continue
		}
		c.stroke.Add1(fix(p))
		last = p
	}
}

// fillRun strokes an upright run by filling a rectangle for each side. Sides
// reach round their corners, not beyond the ends.
func (c *Canvas) fillRun(run []point, width float64) {
	thick := math.Max(1, math.Round(width))
	for i := 1; i < len(run); i++ {
		p, q := run[i-1], run[i]
		before, after := 0.0, 0.0
		if i > 1 {
			before = thick / 2
		}
		if i < len(run)-1 {
			after = thick / 2
		}
		if math.Abs(p.x-q.x) > math.Abs(p.y-q.y) {
			if q.x < p.x {
				p, q, before, after = q, p, after, before
			}
			y := pixel(p.y - thick/2)
			c.fillRect(image.Rect(pixel(p.x-before), y, pixel(q.x+after), y+int(thick)))
			continue
		}
		if q.y < p.y {
			p, q, before, after = q, p, after, before
		}
		x := pixel(p.x - thick/2)
		c.fillRect(image.Rect(x, pixel(p.y-before), x+int(thick), pixel(q.y+after)))
	}
}

// dashes walks along a dash pattern.
type dashes struct {
	pattern []float64 // pixels, drawn and left out in turn
	total   float64   // pixels, of a whole period; 0: one endless dash
	offset  float64   // pixels into the pattern at the start of a line
	index   int
	left    float64 // pixels, of the present dash or gap
	on      bool    // a dash, no gap
}

func newDashes(pattern []vg.Length, offset vg.Length, scale float64) dashes {
	d := dashes{offset: offset.Points() * scale}
	for _, l := range pattern {
		d.pattern = append(d.pattern, l.Points()*scale)
		d.total += l.Points() * scale
	}
	if len(pattern)%2 == 1 { // an odd pattern swaps dashes and gaps each time round
		d.pattern = append(d.pattern, d.pattern...)
		d.total *= 2
	}
	// Below this a pattern is finer than pixels and drawn whole.
	if d.total < 0.5 {
		d.total = 0
	}
	return d
}

// restart goes back to the start of a line.
func (d *dashes) restart() {
	d.on, d.index, d.left = true, 0, math.Inf(1)
	if d.total > 0 {
		d.left = d.pattern[0]
		d.skip(d.offset)
	}
}

// next goes on to the next dash or gap.
func (d *dashes) next() {
	d.index = (d.index + 1) % len(d.pattern)
	d.left, d.on = d.pattern[d.index], !d.on
}

// skip goes length pixels along the pattern.
func (d *dashes) skip(length float64) {
	if d.total == 0 {
		return
	}
	for length = math.Mod(length, d.total); length >= d.left; {
		length -= d.left
		d.next()
	}
	d.left -= length
}
