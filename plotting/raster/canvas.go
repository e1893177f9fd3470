// Package raster draws plots into an image that is used again and again: the
// canvas behind every figure on screen and every PNG.
//
// It does what the stock image canvas of gonum/plot does, several times
// faster: the image is never copied, upright rectangles and lines are filled
// without a rasteriser and lie on whole pixels, and every run of text is
// rendered once and kept. Start reading at [New].
package raster

import (
	"image"
	"image/color"
	"image/draw"
	"math"

	"github.com/golang/freetype/raster"
	xdraw "golang.org/x/image/draw"
	"golang.org/x/image/math/f64"
	"golang.org/x/image/vector"
	"gonum.org/v1/plot/vg"

	"coilwright/plotting/affine"
)

// Canvas is a [vg.Canvas] on an image. It belongs to one goroutine at a time;
// several canvases may draw at once.
type Canvas struct {
	img    *image.RGBA
	dpi    float64
	state  state
	stack  []state
	raster *raster.Rasterizer
	paint  *raster.RGBAPainter
	dense  vector.Rasterizer

	// Kept between calls so that drawing allocates little.
	points  []point
	starts  []int // of the sub-paths in points
	closed  []bool
	clip    []point
	run     []point
	stroke  raster.Path
	outline outline
	mask    image.Alpha
}

// state is what Push keeps and Pop brings back.
type state struct {
	toPixel affine.Map // from points of 1/72 inch, y up, to pixels of the image, y down
	width   vg.Length
	color   color.Color
	dashes  []vg.Length
	offset  vg.Length
}

var _ vg.CanvasSizer = (*Canvas)(nil)

// New returns a canvas that draws into img at a resolution of dpi pixels to the
// inch. It does not clear the image.
func New(img *image.RGBA, dpi float64) *Canvas {
	size := img.Rect.Size()
	c := &Canvas{
		img:    img,
		dpi:    dpi,
		raster: raster.NewRasterizer(size.X+2*rim, size.Y+2*rim),
		paint:  raster.NewRGBAPainter(img),
	}
	c.raster.Dx, c.raster.Dy = img.Rect.Min.X-rim, img.Rect.Min.Y-rim
	c.raster.UseNonZeroWinding = true
	c.Reset()
	return c
}

// Reset brings the canvas back to the state it had when new, for the next
// drawing into the same image. It does not clear the image.
func (c *Canvas) Reset() {
	perPoint := c.dpi / 72
	c.stack = c.stack[:0]
	c.state = state{
		toPixel: affine.Map{
			XX: perPoint,
			YY: -perPoint, Y0: float64(c.img.Rect.Dy()),
		},
	}
	vg.Initialize(c)
}

// Clear paints the whole image in one colour, replacing what was there.
func (c *Canvas) Clear(to color.Color) {
	draw.Draw(c.img, c.img.Rect, image.NewUniform(to), image.Point{}, draw.Src)
}

// Image returns the image that the canvas draws into.
func (c *Canvas) Image() *image.RGBA { return c.img }

// Size returns width and height of the image at the canvas's resolution.
func (c *Canvas) Size() (w, h vg.Length) {
	size := c.img.Rect.Size()
	inch := func(pixels int) vg.Length { return vg.Length(float64(pixels)/c.dpi) * vg.Inch }
	return inch(size.X), inch(size.Y)
}

// SetLineWidth implements [vg.Canvas].
func (c *Canvas) SetLineWidth(w vg.Length) { c.state.width = w }

// SetLineDash implements [vg.Canvas].
func (c *Canvas) SetLineDash(pattern []vg.Length, offset vg.Length) {
	c.state.dashes, c.state.offset = pattern, offset
}

// SetColor implements [vg.Canvas].
func (c *Canvas) SetColor(to color.Color) {
	if to == nil {
		to = color.Black
	}
	c.state.color = to
}

// Rotate implements [vg.Canvas].
func (c *Canvas) Rotate(angle float64) { c.state.toPixel = c.state.toPixel.Rotate(angle) }

// Translate implements [vg.Canvas].
func (c *Canvas) Translate(by vg.Point) {
	c.state.toPixel = c.state.toPixel.Translate(by.X.Points(), by.Y.Points())
}

// Scale implements [vg.Canvas].
func (c *Canvas) Scale(x, y float64) { c.state.toPixel = c.state.toPixel.Scale(x, y) }

// Push implements [vg.Canvas].
func (c *Canvas) Push() { c.stack = append(c.stack, c.state) }

// Pop implements [vg.Canvas].
func (c *Canvas) Pop() {
	last := len(c.stack) - 1
	c.state, c.stack = c.stack[last], c.stack[:last]
}

// Fill implements [vg.Canvas]. The path is filled by the non-zero rule; an
// upright rectangle is rounded to whole pixels.
func (c *Canvas) Fill(path vg.Path) {
	c.flatten(path)
	if len(c.starts) == 1 && upright(c.points, true) {
		if len(c.points) == 4 || len(c.points) == 5 && c.points[0] == c.points[4] {
			c.fillRect(rounded(c.points))
			return
		}
	}
	bounds := c.bounds(rim)
	c.outline.reset()
	for i := range c.starts {
		polygon := c.clipPolygon(c.subpath(i), bounds)
		if len(polygon) < 3 {
			continue
		}
		c.outline.Start(fix(polygon[0]))
		for _, p := range polygon[1:] {
			c.outline.Add1(fix(p))
		}
	}
	c.paintOutline()
}

// DrawImage implements [vg.Canvas].
func (c *Canvas) DrawImage(rect vg.Rectangle, img image.Image) {
	size := img.Bounds().Size()
	if size.X == 0 || size.Y == 0 {
		return
	}
	// The image's own pixels count from its top left corner, y down.
	m := c.state.toPixel.Translate(rect.Min.X.Points(), rect.Max.Y.Points()).
		Scale(rect.Size().X.Points()/float64(size.X), -rect.Size().Y.Points()/float64(size.Y)).
		Translate(-float64(img.Bounds().Min.X), -float64(img.Bounds().Min.Y))
	m.X0, m.Y0 = m.X0+float64(c.img.Rect.Min.X), m.Y0+float64(c.img.Rect.Min.Y)
	xdraw.BiLinear.Transform(c.img, f64.Aff3{m.XX, m.XY, m.X0, m.YX, m.YY, m.Y0}, img, img.Bounds(), xdraw.Over, nil)
}

// bounds is the image grown by margin pixels on every side.
func (c *Canvas) bounds(margin float64) box {
	size := c.img.Rect.Size()
	return box{-margin, -margin, float64(size.X) + margin, float64(size.Y) + margin}
}

// fillRect paints a rectangle of whole pixels, counted from the image's corner.
func (c *Canvas) fillRect(r image.Rectangle) {
	op := draw.Over
	if opaque(c.state.color) {
		op = draw.Src
	}
	draw.Draw(c.img, r.Add(c.img.Rect.Min).Intersect(c.img.Rect), image.NewUniform(c.state.color), image.Point{}, op)
}

func opaque(c color.Color) bool {
	_, _, _, a := c.RGBA()
	return a == 0xffff
}

// rounded is the rectangle of whole pixels nearest to the bounding box of
// points.
func rounded(points []point) image.Rectangle {
	lo, hi := points[0], points[0]
	for _, p := range points[1:] {
		lo.x, lo.y = math.Min(lo.x, p.x), math.Min(lo.y, p.y)
		hi.x, hi.y = math.Max(hi.x, p.x), math.Max(hi.y, p.y)
	}
	return image.Rect(pixel(lo.x), pixel(lo.y), pixel(hi.x), pixel(hi.y))
}

// rim is how many pixels the rasteriser works on beyond each edge of the image.
// It rounds towards zero, so that its first row and column take in twice what
// they should; the rim keeps them out of sight.
const rim = 2

// farPixel bounds pixel numbers so that they fit in an int anywhere.
const farPixel = 1 << 30

func pixel(v float64) int {
	return int(math.Round(math.Max(-farPixel, math.Min(farPixel, v))))
}
