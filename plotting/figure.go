package plotting

import (
	"errors"
	"fmt"
	"image/color"
	"math"
	"slices"

	"gonum.org/v1/gonum/interp"
	"gonum.org/v1/plot"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"coilwright/physics/si"
)

// ErrNotFinite says that a curve holds a number that is none: a hole in a
// figure would look like an answer.
var ErrNotFinite = errors.New("plotting: not a finite number")

// ErrNoCurve says that a curve has too few points, or that its columns differ
// in length.
var ErrNoCurve = errors.New("plotting: no curve")

// Units says how lengths are read; everything else has one unit only.
type Units struct {
	Inch bool // inches and feet instead of millimetres and metres
}

// small is the unit of what lies on a bench, long the one of wire on a spool.
func (u Units) small() si.Unit {
	if u.Inch {
		return si.Inch
	}
	return si.Millimetre
}

// fine writes what is thinner than a wire.
func (u Units) fine(length float64) string {
	const digits = 3
	if u.Inch {
		return si.Format(length, si.Inch, digits)
	}
	return si.FormatPrefixed(length, si.Metre, digits)
}

func (u Units) long() si.Unit {
	if u.Inch {
		return si.Foot
	}
	return si.Metre
}

// figure is everything drawn inside the axes, as one plotter, so that the words
// can be placed where nothing else is drawn.
type figure struct {
	style  Style
	areas  []area
	bands  []band
	curves []curve
	guides []guide
	dots   []dot
	notes  []note
}

// curve is a line through data.
type curve struct {
	x, y  []float64
	width vg.Length
	color color.Color
	dash  []vg.Length
	names []string // set beside the curve, from the fullest to the shortest; none: nothing
	lower bool     // runs under its companion
	alone bool     // has no companion and need not be named
}

// area is a shaded stretch of the x axis.
type area struct {
	from, to float64
	color    color.NRGBA
}

// band is the shaded room between two curves over the same x.
type band struct {
	x, low, high []float64
	color        color.NRGBA
}

// guide is a straight line that marks a value.
type guide struct {
	x0, y0, x1, y1 float64
	width          vg.Length
	color          color.Color
	dash           []vg.Length
}

// dot marks a point of the data.
type dot struct {
	x, y   float64
	radius vg.Length
	color  color.Color
	hollow bool
	halo   bool // stands out from what it lies on
}

// newPlot returns a plot in the house's style with titles but no data.
func newPlot(style Style, title, xTitle, yTitle string, x, y ticks) *plot.Plot {
	p := plot.New()
	p.BackgroundColor = style.Background
	p.TextHandler = typesetter()
	p.Title.Text = title
	p.Title.TextStyle = textStyle(bold(style.TitleSize), style.Ink)
	p.Title.TextStyle.XAlign, p.Title.TextStyle.YAlign = draw.XCenter, draw.YTop
	p.Title.Padding = style.TitleSize * 0.4
	p.Legend.TextStyle = textStyle(sans(style.LabelSize), style.Ink)
	for _, axis := range []struct {
		*plot.Axis
		title string
		ticks ticks
	}{{&p.X, xTitle, x}, {&p.Y, yTitle, y}} {
		axis.Label.Text = axis.title
		axis.Label.Padding = style.LabelSize * 0.15
		axis.Label.TextStyle = textStyle(sans(style.LabelSize), style.Muted)
		axis.Label.TextStyle.XAlign, axis.Label.TextStyle.YAlign = draw.XCenter, draw.YBottom
		axis.Tick.Label.Handler = typesetter()
		axis.Tick.Label.Font = sans(style.TickSize)
		axis.Tick.Label.Color = style.Muted
		axis.Tick.Marker = axis.ticks
		axis.Tick.Length = 0
		axis.LineStyle = draw.LineStyle{Color: style.Axis, Width: style.ThinWidth}
		axis.Padding = 0
	}
	p.X.Tick.Length, p.X.Tick.LineStyle = style.TickSize*0.35, p.X.LineStyle
	p.Y.LineStyle.Width = 0
	return p
}

func textStyle(f font.Font, c color.Color) text.Style {
	return text.Style{Color: c, Font: f, Handler: typesetter()}
}

// Plot implements [plot.Plotter]: from the back, shades, grid, curves, guides,
// dots and words.
func (f *figure) Plot(c draw.Canvas, p *plot.Plot) {
	x, y := p.Transforms(&c)
	page := pageMap{c.Rectangle, x, y}
	for _, a := range f.areas {
		c.SetColor(over(f.style.Background, a.color)) // opaque fills are much faster
		c.Fill(page.stretch(a).Path())
	}
	for _, b := range f.bands {
		if outline := c.ClipPolygonXY(page.band(b)); len(outline) > 2 {
			c.FillPolygon(over(f.style.Background, b.color), outline)
		}
	}
	f.grid(c, p, page)

	busy := newOccupancy(c.Rectangle, f.style.LabelSize)
	var named []note
	for _, k := range f.curves {
		line := page.curve(k)
		pieces := c.ClipLinesXY(line)
		for _, piece := range pieces {
			strokeLine(c, piece, k.width, k.color, k.dash)
			busy.line(piece, k.width)
		}
		if len(k.names) > 0 && len(pieces) > 0 {
			named = append(named, alongCurve(k, line, f.style))
		}
	}
	for _, g := range f.guides {
		for _, piece := range page.seen([]vg.Point{page.at(g.x0, g.y0), page.at(g.x1, g.y1)}) {
			strokeLine(c, piece, g.width, g.color, g.dash)
			busy.line(piece, g.width)
		}
	}
	for _, d := range f.dots {
		at := page.at(d.x, d.y)
		if !page.sees(at) {
			continue
		}
		f.dot(c, d, at)
		busy.disc(at, d.radius)
	}
	// The first to choose gets the best place: the present design's numbers.
	notes := make([]note, 0, len(f.notes)+len(named))
	choose := func(late bool) {
		for _, n := range f.notes {
			if n.late == late && (n.of == nil || n.of(page)) {
				notes = append(notes, n)
			}
		}
	}
	choose(false)
	notes = append(notes, named...)
	choose(true)
	f.write(c, notes, busy, page)
}

// grid draws the lines under the data.
func (f *figure) grid(c draw.Canvas, p *plot.Plot, page pageMap) {
	for _, t := range p.X.Tick.Marker.Ticks(p.X.Min, p.X.Max) {
		if x := page.x(t.Value); x > c.Min.X+0.5 && x <= c.Max.X+0.5 {
			strokeLine(c, []vg.Point{{X: x, Y: c.Min.Y}, {X: x, Y: c.Max.Y}}, f.style.ThinWidth, f.style.Grid, nil)
		}
	}
	for _, t := range p.Y.Tick.Marker.Ticks(p.Y.Min, p.Y.Max) {
		if y := page.y(t.Value); y > c.Min.Y+0.5 && y <= c.Max.Y+0.5 {
			strokeLine(c, []vg.Point{{X: c.Min.X, Y: y}, {X: c.Max.X, Y: y}}, f.style.ThinWidth, f.style.Grid, nil)
		}
	}
	// The axis itself lies under the curves but over the shades.
	strokeLine(c, []vg.Point{c.Min, {X: c.Max.X, Y: c.Min.Y}}, p.X.LineStyle.Width, p.X.LineStyle.Color, nil)
}

func (f *figure) dot(c draw.Canvas, d dot, at vg.Point) {
	if d.halo {
		c.SetColor(f.style.Background)
		c.Fill(circle(at, d.radius+f.style.CurveWidth*0.75))
	}
	if d.hollow {
		width := d.radius * 0.55
		c.SetColor(f.style.Background)
		c.Fill(circle(at, d.radius))
		c.SetColor(d.color)
		c.SetLineWidth(width)
		c.SetLineDash(nil, 0)
		c.Stroke(circle(at, d.radius-width/2))
		return
	}
	c.SetColor(d.color)
	c.Fill(circle(at, d.radius))
}

// pageMap takes data to the page.
type pageMap struct {
	vg.Rectangle
	x, y func(float64) vg.Length
}

func (m pageMap) at(x, y float64) vg.Point { return vg.Point{X: m.x(x), Y: m.y(y)} }

// edge is how far beyond the frame, in points, something still counts as on it:
// what stands at its very edge must not be lost to rounding.
const edge = 0.5

// sees says whether a point is in the frame.
func (m pageMap) sees(p vg.Point) bool {
	return within(vg.Rectangle{Min: p, Max: p}, grown(m.Rectangle, edge))
}

// seen returns the pieces of a line that are in the frame.
func (m pageMap) seen(line []vg.Point) [][]vg.Point {
	c := draw.Canvas{Rectangle: grown(m.Rectangle, edge)}
	return c.ClipLinesXY(line)
}

// stretch is the part of the frame over a stretch of the x axis.
func (m pageMap) stretch(a area) vg.Rectangle {
	r := m.Rectangle
	r.Min.X = max(r.Min.X, m.x(a.from))
	r.Max.X = max(r.Min.X, min(r.Max.X, m.x(a.to)))
	return r
}

// band returns the outline of a band on the page.
func (m pageMap) band(b band) []vg.Point {
	outline := m.curve(curve{x: b.x, y: b.low})
	upper := m.curve(curve{x: b.x, y: b.high})
	slices.Reverse(upper)
	return append(outline, upper...)
}

// smoothFrom is the distance on the page over which a curve is drawn as a
// curve rather than as a chord between its points.
const smoothFrom = 5

// curve returns the line of a curve on the page. Between points far apart it
// runs along monotone cubics (Fritsch and Butland, SIAM Journal on Scientific
// and Statistical Computing 5, 1984): through every point, never beyond its
// neighbours.
func (m pageMap) curve(k curve) []vg.Point {
	line := make([]vg.Point, 0, len(k.x)+int((m.Max.X-m.Min.X)/smoothFrom))
	var cubic interp.FritschButland
	smooth := len(k.x) > 2 && ascending(k.x) && cubic.Fit(k.x, k.y) == nil
	for i := range k.x {
		p := m.at(k.x[i], k.y[i])
		if i > 0 && smooth {
			last := m.at(k.x[i-1], k.y[i-1])
			n := math.Ceil(math.Min(64, math.Hypot(float64(p.X-last.X), float64(p.Y-last.Y))/smoothFrom))
			for j := 1.0; j < n; j++ {
				x := k.x[i-1] + (k.x[i]-k.x[i-1])*j/n
				line = append(line, m.at(x, cubic.Predict(x)))
			}
		}
		line = append(line, p)
	}
	return line
}

func ascending(x []float64) bool {
	for i := 1; i < len(x); i++ {
		if x[i] <= x[i-1] {
			return false
		}
	}
	return true
}

func strokeLine(c vg.Canvas, line []vg.Point, width vg.Length, color color.Color, dash []vg.Length) {
	if len(line) < 2 || width <= 0 {
		return
	}
	path := make(vg.Path, 0, len(line))
	path.Move(line[0])
	for _, p := range line[1:] {
		path.Line(p)
	}
	c.SetColor(color)
	c.SetLineWidth(width)
	c.SetLineDash(dash, 0)
	c.Stroke(path)
}

func circle(centre vg.Point, radius vg.Length) vg.Path {
	var p vg.Path
	p.Move(vg.Point{X: centre.X + radius, Y: centre.Y})
	p.Arc(centre, radius, 0, 2*math.Pi)
	p.Close()
	return p
}

// checkCurve refuses columns of different lengths, too short ones and numbers
// that are none.
func checkCurve(name string, x []float64, columns ...[]float64) error {
	if len(x) < 2 {
		return fmt.Errorf("%w: %s has %d points", ErrNoCurve, name, len(x))
	}
	for _, column := range append([][]float64{x}, columns...) {
		if len(column) != len(x) {
			return fmt.Errorf("%w: %s has %d points and %d values", ErrNoCurve, name, len(x), len(column))
		}
		for i, v := range column {
			if math.IsNaN(v) || math.IsInf(v, 0) {
				return fmt.Errorf("%w: %s at point %d is %g", ErrNotFinite, name, i, v)
			}
		}
	}
	if !ascending(x) {
		return fmt.Errorf("%w: %s does not ascend", ErrNoCurve, name)
	}
	return nil
}

// checkNumber refuses a number that is none.
func checkNumber(name string, v float64) error {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return fmt.Errorf("%w: %s is %g", ErrNotFinite, name, v)
	}
	return nil
}

// with returns the columns of a curve with a computed point put in its place,
// so that the curve runs through the mark of the present design.
func with(x, y []float64, px, py float64) ([]float64, []float64) {
	for i, v := range x {
		if v == px {
			y = append([]float64(nil), y...)
			y[i] = py
			return x, y
		}
		if v > px {
			return insert(x, i, px), insert(y, i, py)
		}
	}
	return insert(x, len(x), px), insert(y, len(y), py)
}

func insert(column []float64, at int, v float64) []float64 {
	out := make([]float64, 0, len(column)+1)
	out = append(out, column[:at]...)
	out = append(out, v)
	return append(out, column[at:]...)
}
