package plotting

import (
	"strings"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"coilwright/plotting/raster"
)

// Draw lays a figure out on a canvas and draws it: the title at the left, as
// many ticks as there is room for, an edge all round so that no label is cut
// off. It may be called for one plot from several goroutines.
func Draw(p *plot.Plot, c draw.Canvas) Frame {
	whole := c.Rectangle
	if p.BackgroundColor != nil {
		c.SetColor(p.BackgroundColor)
		c.Fill(whole.Path())
	}
	q, title, inner := arrange(p, c)
	c.SetColor(p.Title.TextStyle.Color)
	title.draw(c, vg.Point{X: inner.Min.X, Y: inner.Max.Y + p.Title.Padding}, 0)
	q.Draw(inner)
	data := q.DataCanvas(inner)
	return Frame{
		Left: data.Min.X - whole.Min.X, Right: data.Max.X - whole.Min.X,
		Top: whole.Max.Y - data.Max.Y, Bottom: whole.Max.Y - data.Min.Y,
		Axes: AxesOf(&q),
	}
}

// arrange returns a plot as it fits on a canvas: with the ticks of that size
// and without its title, the title by itself, and the part of the canvas under
// the title.
func arrange(p *plot.Plot, c draw.Canvas) (plot.Plot, block, draw.Canvas) {
	q := *p
	q.BackgroundColor = nil
	q.Title.Text = ""
	em := p.X.Tick.Label.Font.Size
	c = draw.Crop(c, 0.6*em, -0.9*em, 0.5*em, -0.6*em)
	title := newBlock(p.Title.Text, p.Title.TextStyle.Font)
	if long, room := title.size().X, c.Max.X-c.Min.X; long > room {
		smaller := title.font
		smaller.Size *= max(smallest, room/long)
		title = shortened(p.Title.Text, smaller, room+0.8*em) // the edge bears some of it
	}
	if p.Title.Text != "" {
		c.Max.Y -= title.size().Y + p.Title.Padding
	}
	fit(&q, c)
	return q, title, c
}

// smallest is how far a title may shrink before it is better cut off.
const smallest = 0.75

// fit chooses how many ticks the axes have room for and shrinks their titles where
// they are longer than that, or leaves only what fits of them, of the upright one
// its unit: the plot would shrink its frame to keep it whole.
func fit(p *plot.Plot, c draw.Canvas) {
	em := p.X.Tick.Label.Font.Size
	size := c.Rectangle.Size()
	width := max(em, size.X-5*em)
	height := max(em, size.Y-3*em)
	if t, ok := p.X.Tick.Marker.(ticks); ok {
		// As many as stand clear of each other, but no forest of them.
		for t.count = 8; t.count > 1; t.count-- {
			var widest vg.Length
			marks := t.Ticks(p.X.Min, p.X.Max)
			for _, m := range marks {
				widest = max(widest, typesetter().width(m.Label, p.X.Tick.Label.Font))
			}
			if vg.Length(len(marks))*(widest+1.6*em) <= width {
				break
			}
		}
		p.X.Tick.Marker = t
	}
	if t, ok := p.Y.Tick.Marker.(ticks); ok {
		t.count = min(6, max(2, int(height/(2.4*em))))
		for t.count < 6 && len(t.Ticks(p.Y.Min, p.Y.Max)) < 2 { // one tick tells no scale
			t.count++
		}
		p.Y.Tick.Marker = t
	}
	level := &p.X.Label.TextStyle.Font
	if long, room := typesetter().width(p.X.Label.Text, *level), width+em; long > room {
		level.Size *= max(smallest, room/long)
		p.X.Label.Text = strings.Join(shortened(p.X.Label.Text, *level, room).lines, "")
	}
	label := &p.Y.Label.TextStyle.Font
	if long := typesetter().width(p.Y.Label.Text, *label); long > height {
		whole := label.Size
		label.Size *= max(smallest, height/long)
		if long*smallest > height {
			// The title of the figure names the quantity.
			if _, unit, ok := strings.Cut(p.Y.Label.Text, "("); ok {
				p.Y.Label.Text = strings.TrimSuffix(unit, ")")
				label.Size = whole
			}
			p.Y.Label.Text = strings.Join(shortened(p.Y.Label.Text, *label, height).lines, "")
		}
	}
}

// Render draws a figure into the whole image of a canvas for the screen and
// returns its frame in logical pixels.
func Render(p *plot.Plot, c *raster.Canvas) Frame {
	c.Reset()
	return Draw(p, draw.New(c))
}

// Frame is where the data stand in a drawing: the rectangle between the axes,
// from the top left corner in points, which are logical pixels on a screen, and
// the data at its edges, in SI.
type Frame struct {
	Left, Right, Top, Bottom vg.Length
	Axes
}

// At returns the data under a place counted from the top left corner, and
// whether that place lies inside the frame.
func (f Frame) At(x, y vg.Length) (dataX, dataY float64, inside bool) {
	right, up := f.Shares(x, y)
	dataX, dataY = f.at(right), f.YMin+(f.YMax-f.YMin)*up
	return dataX, dataY, x >= f.Left && x <= f.Right && y >= f.Top && y <= f.Bottom
}

// Shares returns where a place, counted from the top left corner, stands in the
// frame: in shares of its width from the left and of its height from the foot.
func (f Frame) Shares(x, y vg.Length) (right, up float64) {
	return float64((x - f.Left) / (f.Right - f.Left)), float64((f.Bottom - y) / (f.Bottom - f.Top))
}

// Place returns where data stand, counted from the top left corner.
func (f Frame) Place(dataX, dataY float64) (x, y vg.Length) {
	x = f.Left + (f.Right-f.Left)*vg.Length(f.along(dataX))
	y = f.Bottom - (f.Bottom-f.Top)*vg.Length(f.up(dataY))
	return x, y
}
