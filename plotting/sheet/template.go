package sheet

import (
	"bytes"
	"fmt"
	"io"
	"math"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"coilwright/physics/si"
	"coilwright/plotting"
)

// Template is a drawing at 1:1 to cut out or to lay a part on.
type Template struct {
	Name          string  // ends the name of its file: "disc"
	Title         string  // what it is for, a sentence
	Width, Height float64 // m
	draw          func(t *tracer)
}

// tracer draws a template in its own metres, from its lower left corner.
type tracer struct {
	draw.Canvas
	style  plotting.Style
	origin vg.Point
	clip   *vg.Rectangle // nothing is drawn outside; nil: no limit
}

// at returns where a point of the template stands.
func (t *tracer) at(x, y float64) vg.Point {
	return vg.Point{X: t.origin.X + mm(x), Y: t.origin.Y + mm(y)}
}

// Widths of lines on a template: what is cut, and what is only read.
const (
	cutLine  = 0.8 // pt
	hairLine = 0.4
)

func (t *tracer) line(width vg.Length, x0, y0, x1, y1 float64) {
	from, to := t.at(x0, y0), t.at(x1, y1)
	if t.clip != nil {
		var inside bool
		if from, to, inside = clipped(from, to, *t.clip); !inside {
			return
		}
	}
	strokeLine(t.Canvas, width, t.style.Ink, from, to)
}

func (t *tracer) circle(width vg.Length, x, y, diameter float64) {
	if t.clip == nil {
		stroke(t.Canvas, width, t.style.Ink, circle(t.at(x, y), mm(diameter/2)))
		return
	}
	const chords = 360 // 4 µm from the circle at a diameter of 200 mm
	for i := range chords {
		s0, c0 := math.Sincos(2 * math.Pi * float64(i) / chords)
		s1, c1 := math.Sincos(2 * math.Pi * float64(i+1) / chords)
		r := diameter / 2
		t.line(width, x+r*c0, y+r*s0, x+r*c1, y+r*s1)
	}
}

// text sets a line, at across 0 to the right of a point, at 0.5 on it, at 1 to
// its left.
func (t *tracer) text(text string, size vg.Length, x, y, across float64) {
	face := plotting.Sans(size)
	at := t.at(x, y)
	wide := plotting.TextWidth(text, face)
	at.X -= wide * vg.Length(across)
	if t.clip != nil && (at.X < t.clip.Min.X || at.X+wide > t.clip.Max.X || at.Y < t.clip.Min.Y || at.Y+size > t.clip.Max.Y) {
		return
	}
	t.SetColor(t.style.Ink)
	plotting.SetLine(t.Canvas, text, face, at)
}

// Templates returns those of a coil: for a ring a spacing disc and a strip round
// its former, for the secondary a strip round its former and a gauge of its
// length.
func Templates(b *Build) []Template {
	var all []Template
	if p := b.Plan.Ring; p != nil {
		t := b.Geometry.TopLoad
		all = append(all, spacingDisc(t.Turns, t.HubRadius, t.OuterRadius()),
			wrapStrip("ring-strip", "Strip to wrap round the ring's former: its ends meet, a line for every marked turn.",
				2*t.TurnRadius-t.WireDiameter, t.WireDiameter, float64(t.Turns), MarkedTurns(p)))
	}
	if p := b.Plan.Secondary; p != nil {
		w := b.Geometry.Winding
		all = append(all,
			wrapStrip("secondary-strip", "Strip to wrap round the secondary's former: its ends meet, a line for every marked turn.",
				2*b.Geometry.Former.Outer, w.Pitch, w.Turns, MarkedTurns(p)),
			lengthGauge(w.Pitch, w.Turns, MarkedTurns(p), b.Units))
	}
	return all
}

// spacingDisc has a ray for every turn, the hub, and the circle over the wires.
func spacingDisc(turns int, hub, outer float64) Template {
	const rim = 6e-3
	size := 2 * (outer + rim)
	return Template{
		Name: "disc", Width: size, Height: size,
		Title: fmt.Sprintf("Spacing disc for the ring: a ray for each of %d turns, the hub, the circle over the wires.", turns),
		draw: func(t *tracer) {
			c := outer + rim
			t.circle(cutLine, c, c, size)
			t.circle(hairLine, c, c, 2*outer)
			t.circle(cutLine, c, c, 2*hub)
			const cross = 2e-3
			t.line(hairLine, c-cross, c, c+cross, c)
			t.line(hairLine, c, c-cross, c, c+cross)
			for turn := range turns {
				sin, cos := math.Sincos(2 * math.Pi * float64(turn) / float64(turns))
				t.line(hairLine, c+hub*sin, c+hub*cos, c+(outer+rim/3)*sin, c+(outer+rim/3)*cos)
				if n := turn + 1; n == 1 || n%5 == 0 {
					r := outer + 0.62*rim
					t.text(fmt.Sprint(n), 7, c+r*sin, c+r*cos-0.9e-3, 0.5)
				}
			}
		},
	}
}

// wrapStrip is as wide as the former is round, with a line for every mark.
func wrapStrip(name, title string, former, pitch, turns float64, marks []float64) Template {
	const end, flap = 10e-3, 8e-3
	round := math.Pi * former
	length := turns * pitch
	return Template{
		Name: name, Title: title, Width: round + flap, Height: length + 2*end,
		draw: func(t *tracer) {
			t.line(cutLine, 0, 0, round+flap, 0)
			t.line(cutLine, 0, length+2*end, round+flap, length+2*end)
			t.line(cutLine, 0, 0, 0, length+2*end)
			t.line(cutLine, round+flap, 0, round+flap, length+2*end)
			t.line(hairLine, round, 0, round, length+2*end) // the other end comes here
			t.line(cutLine, 0, end, round, end)
			t.line(cutLine, 0, end+length, round, end+length)
			t.text("0", 7, 1e-3, end+0.7e-3, 0)
			last := 0.0
			const apart = 3e-3 // so that numbers do not run into each other
			for _, m := range marks {
				y := end + m*pitch
				if m > turns {
					continue
				}
				t.line(hairLine, 0, y, round, y)
				if m*pitch-last >= apart && length-m*pitch >= apart {
					t.text(si.FormatNumber(m, si.Shortest), 7, 1e-3, y+0.7e-3, 0)
					last = m * pitch
				}
			}
			t.text(si.FormatTurns(turns)+" turns", 7, 1e-3, end+length+0.7e-3, 0)
			t.text("the other end lies on this line", 6, round-1e-3, end/2, 1)
		},
	}
}

// lengthGauge is laid beside the winding: turns on one edge, a rule on the other.
func lengthGauge(pitch, turns float64, marks []float64, units plotting.Units) Template {
	const end, width = 8e-3, 24e-3
	length := turns * pitch
	return Template{
		Name: "gauge", Width: length + 2*end, Height: width,
		Title: "Gauge to lay along the winding: turns on the upper edge, a rule on the lower one.",
		draw: func(t *tracer) {
			t.line(cutLine, 0, 0, length+2*end, 0)
			t.line(cutLine, 0, width, length+2*end, width)
			t.line(cutLine, 0, 0, 0, width)
			t.line(cutLine, length+2*end, 0, length+2*end, width)
			t.line(cutLine, end, width, end, width-8e-3)
			t.text("0", 7, end, width-11e-3, 0.5)
			last := end - 5e-3
			const apart = 6e-3
			for _, m := range marks {
				x := end + m*pitch
				if m >= turns {
					continue
				}
				t.line(hairLine, x, width, x, width-5e-3)
				if x-last >= apart && end+length-x >= apart {
					t.text(si.FormatNumber(m, si.Shortest), 7, x, width-8e-3, 0.5)
					last = x
				}
			}
			t.line(cutLine, end+length, width, end+length, width-8e-3)
			t.text(si.FormatTurns(turns), 7, end+length, width-11e-3, 0.5)
			step, long, unit := 1e-3, 10, si.Millimetre
			if units.Inch {
				step, long, unit = 0.0254/16, 16, si.Inch
			}
			for i := 0; float64(i)*step <= length+end/2; i++ {
				x, tall := end+float64(i)*step, 2e-3
				switch {
				case i%long == 0:
					tall = 5e-3
					t.text(si.FormatNumber(math.Round(unit.Of(float64(i)*step)), si.Shortest), 6, x, 5.6e-3, 0.5)
				case i%(long/2) == 0:
					tall = 3.5e-3
				}
				t.line(hairLine, x, 0, x, tall)
			}
			t.text(unit.Symbol(), 6, 1.5e-3, 1.5e-3, 0)
		},
	}
}

// Check lines by which a print is held against a rule.
const (
	checkMetric = 0.100      // m
	checkInch   = 4 * 0.0254 // m
	checkHeight = 16e-3      // m that both take
	overlap     = 10e-3      // m by which tiles of a large template overlap
)

// checkLines draws both check lines from a point, upwards.
func checkLines(c draw.Canvas, style plotting.Style, at vg.Point) {
	t := &tracer{Canvas: c, style: style, origin: at}
	for i, l := range []struct {
		length float64
		text   string
	}{{checkMetric, "100\u202fmm: measure it; if it is not 100\u202fmm, print again at 100 %"}, {checkInch, "4\u202fin"}} {
		y := 3e-3 + float64(i)*7e-3
		t.line(cutLine, 0, y, l.length, y)
		for _, x := range []float64{0, l.length} {
			t.line(cutLine, x, y-1.5e-3, x, y+1.5e-3)
		}
		t.text(l.text, 7, 2e-3, y+0.9e-3, 0)
	}
}

// WriteTemplates writes templates at 1:1 as a PDF file: one to a page, or over
// as many pages as it takes, with crosses by which they are laid together. Every
// page has both check lines.
func WriteTemplates(to io.Writer, paper plotting.Paper, id Identity, templates []Template) error {
	if len(templates) == 0 {
		return fmt.Errorf("sheet: there is no template to write")
	}
	f := newFlow(paper)
	for _, t := range templates {
		f.template(id, t)
	}
	return f.write(to, id.Name+": templates", id.Date)
}

// template sets one on as many pages as it takes.
func (f *flow) template(id Identity, t Template) {
	height := f.top() - f.bottom() - mm(checkHeight) - 3*bodyType*leading
	width := f.width()
	if turned := t.turned(); !fits(t, width, height) && fits(turned, width, height) {
		t = turned
	}
	tile := vg.Point{X: width, Y: height}
	columns, rows := tiles(mm(t.Width), tile.X), tiles(mm(t.Height), tile.Y)
	for row := range rows {
		for column := range columns {
			f.begin(id, "Template 1:1")
			text := t.Title
			if columns*rows > 1 {
				text += fmt.Sprintf(" Part %d of %d: row %d, column %d. Lay the crosses of neighbouring parts on each other.", row*columns+column+1, columns*rows, row+1, column+1)
			}
			f.paragraph(text, f.left())
			bottom := f.bottom() + mm(checkHeight)
			style := f.style
			left := f.left()
			offset := vg.Point{X: vg.Length(column) * (tile.X - mm(overlap)), Y: vg.Length(row) * (tile.Y - mm(overlap))}
			whole := columns*rows == 1
			f.put(func(c draw.Canvas) error {
				checkLines(c, style, vg.Point{X: left, Y: bottom - mm(checkHeight)})
				corner := vg.Point{X: left, Y: bottom}
				if whole {
					corner = corner.Add(vg.Point{X: (tile.X - mm(t.Width)) / 2, Y: (tile.Y - mm(t.Height)) / 2})
					t.trace(c, style, corner, nil)
					return nil
				}
				room := vg.Rectangle{Min: corner, Max: corner.Add(tile)}
				t.trace(c, style, corner.Sub(offset), &room)
				crosses(c, style, room, column, row, columns, rows)
				return nil
			})
		}
	}
}

// trace draws a template with its lower left corner at a point.
func (t Template) trace(c draw.Canvas, style plotting.Style, corner vg.Point, clip *vg.Rectangle) {
	t.draw(&tracer{Canvas: c, style: style, origin: corner, clip: clip})
}

// clipped returns the part of a line that lies in a rectangle, by the parameters
// at which it crosses each edge (Liang and Barsky).
func clipped(from, to vg.Point, r vg.Rectangle) (a, b vg.Point, inside bool) {
	d := to.Sub(from)
	enter, leave := vg.Length(0), vg.Length(1)
	for _, edge := range []struct{ into, room vg.Length }{
		{-d.X, from.X - r.Min.X}, {d.X, r.Max.X - from.X}, {-d.Y, from.Y - r.Min.Y}, {d.Y, r.Max.Y - from.Y},
	} {
		switch {
		case edge.into == 0 && edge.room < 0:
			return from, to, false
		case edge.into < 0:
			enter = max(enter, edge.room/edge.into)
		case edge.into > 0:
			leave = min(leave, edge.room/edge.into)
		}
	}
	if enter > leave {
		return from, to, false
	}
	return from.Add(d.Scale(enter)), from.Add(d.Scale(leave)), true
}

// turned returns the template on its side.
func (t Template) turned() Template {
	turned := t
	turned.Width, turned.Height = t.Height, t.Width
	turned.draw = func(tr *tracer) {
		tr.Push()
		tr.Translate(vg.Point{X: tr.origin.X + mm(t.Height), Y: tr.origin.Y})
		tr.Rotate(math.Pi / 2)
		t.draw(&tracer{Canvas: tr.Canvas, style: tr.style})
		tr.Pop()
	}
	return turned
}

func fits(t Template, width, height vg.Length) bool {
	return mm(t.Width) <= width && mm(t.Height) <= height
}

// tiles returns how many tiles of a size cover a length.
func tiles(length, size vg.Length) int {
	if length <= size {
		return 1
	}
	return 1 + int(math.Ceil(float64((length-size)/(size-mm(overlap)))-1e-9))
}

// crosses draws the registration marks of a tile: in the middle of the strip
// that it shares with each neighbour.
func crosses(c draw.Canvas, style plotting.Style, room vg.Rectangle, column, row, columns, rows int) {
	half := mm(overlap) / 2
	cross := func(at vg.Point) {
		strokeLine(c, hairLine, style.Ink, vg.Point{X: at.X - half, Y: at.Y}, vg.Point{X: at.X + half, Y: at.Y})
		strokeLine(c, hairLine, style.Ink, vg.Point{X: at.X, Y: at.Y - half}, vg.Point{X: at.X, Y: at.Y + half})
		stroke(c, hairLine, style.Ink, circle(at, half/2))
	}
	size := room.Size()
	if column > 0 || column < columns-1 {
		for _, share := range []vg.Length{0.15, 0.85} {
			y := room.Min.Y + size.Y*share
			if column > 0 {
				cross(vg.Point{X: room.Min.X + half, Y: y})
			}
			if column < columns-1 {
				cross(vg.Point{X: room.Max.X - half, Y: y})
			}
		}
	}
	for _, share := range []vg.Length{0.15, 0.85} {
		x := room.Min.X + size.X*share
		if row > 0 {
			cross(vg.Point{X: x, Y: room.Min.Y + half})
		}
		if row < rows-1 {
			cross(vg.Point{X: x, Y: room.Max.Y - half})
		}
	}
}

// WriteTemplateSVG writes one template at 1:1 as scalable graphics, with both
// check lines under it.
func WriteTemplateSVG(to io.Writer, t Template) error {
	const edge = 5e-3
	width := math.Max(t.Width, checkInch) + 2*edge
	size := vg.Point{X: mm(width), Y: mm(t.Height + checkHeight + 2*edge)}
	style := plotting.Print()
	var content bytes.Buffer
	err := plotting.WriteSVG(&content, func(c draw.Canvas) error {
		checkLines(c, style, vg.Point{X: mm(edge), Y: mm(edge)})
		t.trace(c, style, vg.Point{X: mm(edge), Y: mm(edge + checkHeight)}, nil)
		return nil
	}, size)
	if err != nil {
		return err
	}
	_, err = to.Write(content.Bytes())
	return err
}
