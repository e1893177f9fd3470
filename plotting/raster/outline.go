package raster

import (
	"image"
	"image/draw"
	"math"

	"github.com/golang/freetype/raster"
	"golang.org/x/image/math/fixed"
)

// outline is a shape to be filled: closed polygons as the rasteriser counts
// them, with the pen's place and the length of all its lines.
type outline struct {
	points []fixed.Point26_6
	starts []int
	length float64 // pixels, |Δx| + |Δy| along all lines
}

var _ raster.Adder = (*outline)(nil)

func (o *outline) reset() { o.points, o.starts, o.length = o.points[:0], o.starts[:0], 0 }

// Start begins a polygon.
func (o *outline) Start(at fixed.Point26_6) {
	o.starts = append(o.starts, len(o.points))
	o.points = append(o.points, at)
}

// Add1 goes straight on.
func (o *outline) Add1(to fixed.Point26_6) {
	d := to.Sub(o.points[len(o.points)-1])
	o.length += (math.Abs(float64(d.X)) + math.Abs(float64(d.Y))) / 64
	o.points = append(o.points, to)
}

// Add2 goes on to c. The caps and joints in use have no curves.
func (o *outline) Add2(_, c fixed.Point26_6) { o.Add1(c) }

// Add3 goes on to d.
func (o *outline) Add3(_, _, d fixed.Point26_6) { o.Add1(d) }

// polygon returns the points of a polygon.
func (o *outline) polygon(i int) []fixed.Point26_6 {
	if i+1 < len(o.starts) {
		return o.points[o.starts[i]:o.starts[i+1]]
	}
	return o.points[o.starts[i]:]
}

// box returns the whole pixels of the image that the outline reaches into.
func (o *outline) box() image.Rectangle {
	lo, hi := o.points[0], o.points[0]
	for _, p := range o.points[1:] {
		lo.X, lo.Y = min(lo.X, p.X), min(lo.Y, p.Y)
		hi.X, hi.Y = max(hi.X, p.X), max(hi.Y, p.Y)
	}
	return image.Rect(lo.X.Floor(), lo.Y.Floor(), hi.X.Ceil(), hi.Y.Ceil()).Sub(image.Pt(rim, rim))
}

// denseFrom is how many pixels of its box an outline may have to every pixel
// along it and still be filled by the rasteriser that visits every pixel of the
// box. The other one keeps a sorted list of the pixels an outline crosses in
// each row, which costs little for a curve across a figure and a lot for the
// many near level lines of a winding. BenchmarkHatch and BenchmarkCurve set it.
const denseFrom = 8

// paintOutline fills the outline by the non-zero rule.
func (c *Canvas) paintOutline() {
	o := &c.outline
	if len(o.points) == 0 {
		return
	}
	box := o.box()
	whole := image.Rectangle{Max: c.img.Rect.Size()}
	if box.In(whole) && float64(box.Dx()*box.Dy()) < denseFrom*o.length {
		c.paintDense(box)
		return
	}
	c.raster.Clear()
	for i := range o.starts {
		polygon := o.polygon(i)
		c.raster.Start(polygon[0])
		for _, p := range polygon[1:] {
			c.raster.Add1(p)
		}
		c.raster.Add1(polygon[0])
	}
	c.paint.SetColor(c.state.color)
	c.raster.Rasterize(c.paint)
}

// paintDense fills the outline by way of a mask of its box.
func (c *Canvas) paintDense(box image.Rectangle) {
	size := box.Size()
	c.dense.Reset(size.X, size.Y)
	c.dense.DrawOp = draw.Src
	to := func(p fixed.Point26_6) (x, y float32) {
		return float32(p.X)/64 - float32(box.Min.X+rim), float32(p.Y)/64 - float32(box.Min.Y+rim)
	}
	for i := range c.outline.starts {
		polygon := c.outline.polygon(i)
		c.dense.MoveTo(to(polygon[0]))
		for _, p := range polygon[1:] {
			c.dense.LineTo(to(p))
		}
		c.dense.ClosePath()
	}
	if n := size.X * size.Y; cap(c.mask.Pix) < n {
		c.mask.Pix = make([]uint8, n)
	} else {
		c.mask.Pix = c.mask.Pix[:n]
	}
	c.mask.Stride, c.mask.Rect = size.X, image.Rectangle{Max: size}
	c.dense.Draw(&c.mask, c.mask.Rect, image.Opaque, image.Point{})
	draw.DrawMask(c.img, box.Add(c.img.Rect.Min), image.NewUniform(c.state.color), image.Point{}, &c.mask, image.Point{}, draw.Over)
}
