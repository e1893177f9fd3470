package pdf

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"math"

	"codeberg.org/go-pdf/fpdf"
	xfont "golang.org/x/image/font"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"

	"coilwright/plotting/affine"
)

// Canvas is a [vg.Canvas] on a page: lines, shapes and text stay vectors and
// text can be searched. It keeps its own state and tells the page what it needs
// before every stroke, because the page's own does not follow Push and Pop.
type Canvas struct {
	doc           *Document
	width, height vg.Length
	state         state
	stack         []state
}

// state is what Push keeps and Pop brings back.
type state struct {
	toPage affine.Map // from points, y up, to points, y down
	width  vg.Length
	color  color.NRGBA
	dashes []vg.Length
	offset vg.Length
}

var _ vg.CanvasSizer = (*Canvas)(nil)

func newCanvas(doc *Document, width, height vg.Length) *Canvas {
	c := &Canvas{doc: doc, width: width, height: height}
	c.state.toPage = affine.Map{XX: 1, YY: -1, Y0: height.Points()}
	vg.Initialize(c)
	return c
}

// Size returns the size of the page.
func (c *Canvas) Size() (w, h vg.Length) { return c.width, c.height }

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
	c.state.color = color.NRGBAModel.Convert(to).(color.NRGBA)
}

// Rotate implements [vg.Canvas].
func (c *Canvas) Rotate(angle float64) { c.state.toPage = c.state.toPage.Rotate(angle) }

// Translate implements [vg.Canvas].
func (c *Canvas) Translate(by vg.Point) {
	c.state.toPage = c.state.toPage.Translate(by.X.Points(), by.Y.Points())
}

// Scale implements [vg.Canvas].
func (c *Canvas) Scale(x, y float64) { c.state.toPage = c.state.toPage.Scale(x, y) }

// Push implements [vg.Canvas].
func (c *Canvas) Push() { c.stack = append(c.stack, c.state) }

// Pop implements [vg.Canvas].
func (c *Canvas) Pop() {
	last := len(c.stack) - 1
	c.state, c.stack = c.stack[last], c.stack[:last]
}

// Stroke implements [vg.Canvas].
func (c *Canvas) Stroke(path vg.Path) {
	scale := c.state.toPage.Magnification()
	if c.state.width <= 0 || len(path) == 0 {
		return
	}
	p := c.doc.page
	p.SetLineWidth(c.state.width.Points() * scale)
	dashes := make([]float64, len(c.state.dashes))
	for i, d := range c.state.dashes {
		dashes[i] = d.Points() * scale
	}
	p.SetDashPattern(dashes, c.state.offset.Points()*scale)
	p.SetDrawColor(int(c.state.color.R), int(c.state.color.G), int(c.state.color.B))
	c.setOpacity()
	c.outline(path)
	p.DrawPath("D")
}

// Fill implements [vg.Canvas], by the non-zero rule.
func (c *Canvas) Fill(path vg.Path) {
	if len(path) == 0 {
		return
	}
	p := c.doc.page
	p.SetFillColor(int(c.state.color.R), int(c.state.color.G), int(c.state.color.B))
	c.setOpacity()
	c.outline(path)
	p.DrawPath("F")
}

// FillString implements [vg.Canvas].
func (c *Canvas) FillString(face font.Face, at vg.Point, text string) {
	if text == "" {
		return
	}
	m := c.state.toPage
	p := c.doc.page
	style := ""
	if face.Font.Weight >= xfont.WeightSemiBold {
		style = "B"
	}
	p.SetFont(family, style, face.Font.Size.Points()*m.Magnification())
	p.SetTextColor(int(c.state.color.R), int(c.state.color.G), int(c.state.color.B))
	c.setOpacity()
	x, y := m.Apply(at.X.Points(), at.Y.Points())
	angle := math.Atan2(-m.YX, m.XX) * 180 / math.Pi
	if angle == 0 {
		p.Text(x, y, text)
		return
	}
	p.TransformBegin()
	p.TransformRotate(angle, x, y)
	p.Text(x, y, text)
	p.TransformEnd()
}

// DrawImage implements [vg.Canvas] for images that stand upright.
func (c *Canvas) DrawImage(rect vg.Rectangle, img image.Image) {
	var buffer bytes.Buffer
	if err := png.Encode(&buffer, img); err != nil {
		c.doc.page.SetError(fmt.Errorf("pdf: image: %w", err))
		return
	}
	c.doc.images++
	name := fmt.Sprintf("image %d", c.doc.images)
	options := fpdf.ImageOptions{ImageType: "PNG"}
	c.doc.page.RegisterImageOptionsReader(name, options, &buffer)
	x, y := c.state.toPage.Apply(rect.Min.X.Points(), rect.Max.Y.Points())
	scale := c.state.toPage.Magnification()
	c.setOpacity()
	c.doc.page.ImageOptions(name, x, y, rect.Size().X.Points()*scale, rect.Size().Y.Points()*scale, false, options, 0, "")
}

func (c *Canvas) setOpacity() {
	c.doc.page.SetAlpha(float64(c.state.color.A)/0xFF, "Normal")
}

// outline writes a path to the page.
func (c *Canvas) outline(path vg.Path) {
	p := c.doc.page
	to := func(at vg.Point) (x, y float64) { return c.state.toPage.Apply(at.X.Points(), at.Y.Points()) }
	begun := false // an arc goes on from where the path is, or begins it
	for _, step := range path {
		switch step.Type {
		case vg.MoveComp:
			p.MoveTo(to(step.Pos))
			begun = true
		case vg.LineComp:
			p.LineTo(to(step.Pos))
		case vg.ArcComp:
			c.arc(step, to, begun)
			begun = true
		case vg.CurveComp:
			x, y := to(step.Pos)
			ax, ay := to(step.Control[0])
			if len(step.Control) == 1 {
				p.CurveTo(ax, ay, x, y)
				continue
			}
			bx, by := to(step.Control[1])
			p.CurveBezierCubicTo(ax, ay, bx, by, x, y)
		case vg.CloseComp:
			p.ClosePath()
			begun = false
		}
	}
}

// arc writes an arc as cubics of a quarter turn at most, which leave the circle
// by less than 3 parts in ten thousand of its radius.
func (c *Canvas) arc(step vg.PathComp, to func(vg.Point) (x, y float64), begun bool) {
	p := c.doc.page
	on := func(angle float64, ahead float64) vg.Point { // ahead along the tangent
		sin, cos := math.Sincos(angle)
		return vg.Point{
			X: step.Pos.X + step.Radius*vg.Length(cos-ahead*sin),
			Y: step.Pos.Y + step.Radius*vg.Length(sin+ahead*cos),
		}
	}
	if x, y := to(on(step.Start, 0)); begun {
		p.LineTo(x, y)
	} else {
		p.MoveTo(x, y)
	}
	n := math.Max(1, math.Ceil(math.Abs(step.Angle)/(math.Pi/2)-1e-9))
	piece := step.Angle / n
	reach := 4.0 / 3 * math.Tan(piece/4)
	for i := 0.0; i < n; i++ {
		a := step.Start + i*piece
		ax, ay := to(on(a, reach))
		bx, by := to(on(a+piece, -reach))
		x, y := to(on(a+piece, 0))
		p.CurveBezierCubicTo(ax, ay, bx, by, x, y)
	}
}
