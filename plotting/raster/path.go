package raster

import (
	"math"

	"golang.org/x/image/math/fixed"
	"gonum.org/v1/plot/vg"
)

// point is a place in the image, in pixels from its top left corner, y down.
type point struct{ x, y float64 }

// box is an upright rectangle in pixels.
type box struct{ x0, y0, x1, y1 float64 }

// flatness is how far, in pixels, a chord may leave the curve it stands for:
// well under what antialiasing shows.
const flatness = 0.08

// flatten writes the path into c.points, in pixels, one run per sub-path, each
// starting at its index in c.starts. A closed sub-path has its closing point
// left out and c.closed set.
func (c *Canvas) flatten(path vg.Path) {
	c.points, c.starts, c.closed = c.points[:0], c.starts[:0], c.closed[:0]
	m := c.state.toPixel
	to := func(p vg.Point) point {
		x, y := m.Apply(p.X.Points(), p.Y.Points())
		return point{x, y}
	}
	begin := func() {
		c.starts, c.closed = append(c.starts, len(c.points)), append(c.closed, false)
	}
	add := func(p point) {
		if len(c.starts) == 0 || c.closed[len(c.closed)-1] {
			begin()
		}
		c.points = append(c.points, p)
	}
	for _, step := range path {
		switch step.Type {
		case vg.MoveComp:
			begin()
			add(to(step.Pos))
		case vg.LineComp:
			add(to(step.Pos))
		case vg.ArcComp:
			radius := step.Radius.Points()
			n := chords(radius*m.Magnification(), step.Angle)
			for i := 0; i <= n; i++ {
				sin, cos := math.Sincos(step.Start + step.Angle*float64(i)/float64(n))
				x, y := m.Apply(step.Pos.X.Points()+radius*cos, step.Pos.Y.Points()+radius*sin)
				add(point{x, y})
			}
		case vg.CurveComp:
			c.curve(step, to, add)
		case vg.CloseComp:
			if n := len(c.starts); n > 0 {
				start := c.starts[n-1]
				if last := len(c.points) - 1; last > start && near(c.points[last], c.points[start]) {
					c.points = c.points[:last]
				}
				c.closed[n-1] = true
			}
		}
	}
}

// chords is how many straight pieces stand for an arc of the given radius in
// pixels.
func chords(radius, angle float64) int {
	if radius < flatness {
		return 4
	}
	step := 2 * math.Acos(1-flatness/radius)
	return max(4, int(math.Ceil(math.Abs(angle)/step)))
}

// curve adds a Bézier curve of one or two control points.
func (c *Canvas) curve(step vg.PathComp, to func(vg.Point) point, add func(point)) {
	if len(c.points) == 0 {
		return
	}
	from, end := c.points[len(c.points)-1], to(step.Pos)
	// A curve of one control point is the cubic whose two lie two thirds of
	// the way towards it.
	var a, b point
	if len(step.Control) == 1 {
		k := to(step.Control[0])
		a = point{from.x + 2.0/3*(k.x-from.x), from.y + 2.0/3*(k.y-from.y)}
		b = point{end.x + 2.0/3*(k.x-end.x), end.y + 2.0/3*(k.y-end.y)}
	} else {
		a, b = to(step.Control[0]), to(step.Control[1])
	}
	length := math.Hypot(a.x-from.x, a.y-from.y) + math.Hypot(b.x-a.x, b.y-a.y) + math.Hypot(end.x-b.x, end.y-b.y)
	n := int(math.Min(256, 4+math.Sqrt(length/flatness)))
	for i := 1; i <= n; i++ {
		t := float64(i) / float64(n)
		u := 1 - t
		add(point{
			u*u*u*from.x + 3*u*u*t*a.x + 3*u*t*t*b.x + t*t*t*end.x,
			u*u*u*from.y + 3*u*u*t*a.y + 3*u*t*t*b.y + t*t*t*end.y,
		})
	}
}

// subpath returns the points of one sub-path of the last flatten.
func (c *Canvas) subpath(i int) []point {
	if i+1 < len(c.starts) {
		return c.points[c.starts[i]:c.starts[i+1]]
	}
	return c.points[c.starts[i]:]
}

// near says that two points are the same for every eye.
func near(p, q point) bool { return math.Abs(p.x-q.x) < 1e-6 && math.Abs(p.y-q.y) < 1e-6 }

// upright says that every side is parallel to an edge of the image.
func upright(points []point, closed bool) bool {
	for i := 1; i < len(points); i++ {
		if !parallel(points[i-1], points[i]) {
			return false
		}
	}
	return len(points) > 1 && (!closed || parallel(points[len(points)-1], points[0]))
}

func parallel(p, q point) bool {
	const slack = 0.01 // pixels: no eye sees it
	return math.Abs(p.x-q.x) < slack || math.Abs(p.y-q.y) < slack
}

// fix returns the point as the rasteriser counts it.
func fix(p point) fixed.Point26_6 {
	return fixed.Point26_6{
		X: fixed.Int26_6(math.Round((p.x + rim) * 64)),
		Y: fixed.Int26_6(math.Round((p.y + rim) * 64)),
	}
}

// clipPolygon returns the part of a polygon inside b, by cutting it along the
// four edges in turn (Sutherland and Hodgman, Reentrant polygon clipping,
// Communications of the ACM 17, 1974). Without it a shape far outside costs
// the rasteriser a pass over every row in between.
func (c *Canvas) clipPolygon(polygon []point, b box) []point {
	inside := true
	for _, p := range polygon {
		if p.x < b.x0 || p.x > b.x1 || p.y < b.y0 || p.y > b.y1 {
			inside = false
			break
		}
	}
	if inside {
		return polygon
	}
	in := append([]point(nil), polygon...)
	for edge := range 4 {
		out := c.clip[:0]
		for i, p := range in {
			q := in[(i+1)%len(in)]
			dp, dq := b.depth(edge, p), b.depth(edge, q)
			if dp >= 0 {
				out = append(out, p)
			}
			if (dp >= 0) != (dq >= 0) {
				t := dp / (dp - dq)
				out = append(out, point{p.x + t*(q.x-p.x), p.y + t*(q.y-p.y)})
			}
		}
		c.clip, in = in, out
	}
	return in
}

// depth is how far p lies inside one edge of the box; negative outside.
func (b box) depth(edge int, p point) float64 {
	switch edge {
	case 0:
		return p.x - b.x0
	case 1:
		return b.x1 - p.x
	case 2:
		return p.y - b.y0
	default:
		return b.y1 - p.y
	}
}

// clipSegment returns the part of p to q inside the box as fractions of the
// way, and whether there is one (Liang and Barsky, ACM Transactions on
// Graphics 3, 1984).
func (b box) clipSegment(p, q point) (t0, t1 float64, ok bool) {
	t1 = 1
	for edge := range 4 {
		dp, dq := b.depth(edge, p), b.depth(edge, q)
		switch {
		case dp < 0 && dq < 0:
			return 0, 0, false
		case dp < 0:
			t0 = math.Max(t0, dp/(dp-dq))
		case dq < 0:
			t1 = math.Min(t1, dp/(dp-dq))
		}
	}
	return t0, t1, t0 <= t1
}
