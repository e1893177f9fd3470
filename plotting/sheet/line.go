package sheet

import (
	"image/color"
	"math"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// strokeLine draws a line through points.
func strokeLine(c draw.Canvas, width vg.Length, ink color.Color, points ...vg.Point) {
	var path vg.Path
	path.Move(points[0])
	for _, p := range points[1:] {
		path.Line(p)
	}
	stroke(c, width, ink, path)
}

// stroke draws a path.
func stroke(c draw.Canvas, width vg.Length, ink color.Color, path vg.Path) {
	c.SetColor(ink)
	c.SetLineWidth(width)
	c.SetLineDash(nil, 0)
	c.Stroke(path)
}

// circle is a closed circle.
func circle(centre vg.Point, radius vg.Length) vg.Path {
	var p vg.Path
	p.Move(vg.Point{X: centre.X + radius, Y: centre.Y})
	p.Arc(centre, radius, 0, 2*math.Pi)
	p.Close()
	return p
}

// box is a closed rectangle.
func box(r vg.Rectangle) vg.Path { return r.Path() }

// mm is a length in m on paper at 1:1.
func mm(metres float64) vg.Length { return vg.Length(metres*1e3) * vg.Millimeter }
