package sheet

import (
	"fmt"
	"io"
	"strings"
	"time"

	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"coilwright/plotting"
	"coilwright/plotting/pdf"
)

// Sizes of type and distances on a sheet.
const (
	margin    = 15 * vg.Millimeter
	titleType = 16
	headType  = 12
	bodyType  = 9.5
	footType  = 8.5
	leading   = 1.32 // from base line to base line, of the type size
	gapAfter  = 5    // pt, between paragraphs
)

// Identity is what every page says about what it is of.
type Identity struct {
	Name        string
	Date        time.Time
	Fingerprint string // of the design
	Version     string // of the program
	Number      string // "coil 3 of 8", empty: one coil
}

// mark draws one thing on a page.
type mark func(c draw.Canvas) error

// flow sets text and drawings down a column and goes on to the next page where
// one is full.
type flow struct {
	paper plotting.Paper
	style plotting.Style
	pages []page
	y     vg.Length // base of what comes next, from the lower edge of the paper
}

// page is one page with what it is of.
type page struct {
	identity Identity
	title    string
	marks    []mark
}

func newFlow(paper plotting.Paper) *flow {
	if paper == (plotting.Paper{}) {
		paper = plotting.A4
	}
	return &flow{paper: paper, style: plotting.Print()}
}

// The room between head and foot.
func (f *flow) left() vg.Length   { return margin }
func (f *flow) right() vg.Length  { return f.paper.Width - margin }
func (f *flow) width() vg.Length  { return f.right() - f.left() }
func (f *flow) top() vg.Length    { return f.paper.Height - margin - 1.9*titleType }
func (f *flow) bottom() vg.Length { return margin + 2.2*footType }

// begin starts a new page.
func (f *flow) begin(id Identity, title string) {
	f.pages = append(f.pages, page{identity: id, title: title})
	f.y = f.top()
}

// need starts another page of the same kind unless there is that much room.
func (f *flow) need(height vg.Length) {
	if f.y-height < f.bottom() && f.y < f.top() {
		last := f.pages[len(f.pages)-1]
		f.begin(last.identity, last.title)
	}
}

// put adds a mark to the present page.
func (f *flow) put(m mark) {
	last := &f.pages[len(f.pages)-1]
	last.marks = append(last.marks, m)
}

// line sets one line of text with its base line at a height.
func (f *flow) line(text string, face font.Font, x, y vg.Length) {
	ink := f.style.Ink
	f.put(func(c draw.Canvas) error {
		c.SetColor(ink)
		plotting.SetLine(c, text, face, vg.Point{X: x, Y: y})
		return nil
	})
}

// rule draws a straight line.
func (f *flow) rule(from, to vg.Point, width vg.Length) {
	ink := f.style.Muted
	f.put(func(c draw.Canvas) error {
		strokeLine(c, width, ink, from, to)
		return nil
	})
}

// heading sets a heading that stays with what follows.
func (f *flow) heading(text string) {
	const follows = 4 * bodyType * leading
	f.need(headType*leading + follows)
	if f.y < f.top() {
		f.y -= 6
	}
	f.y -= headType
	f.line(text, plotting.Bold(headType), f.left(), f.y)
	f.y -= headType * 0.6
}

// paragraph sets a text in a column from x to the right edge.
func (f *flow) paragraph(text string, x vg.Length) {
	f.lines(plotting.Folded(text, plotting.Sans(bodyType), f.right()-x), x)
	f.y -= gapAfter
}

// lines sets lines that may part at the end of a page.
func (f *flow) lines(lines []string, x vg.Length) {
	for _, l := range lines {
		f.need(bodyType * leading)
		f.y -= bodyType * leading
		f.line(l, plotting.Sans(bodyType), x, f.y+bodyType*0.3)
	}
}

// drawing puts a drawing across the page.
func (f *flow) drawing(d plotting.Drawing, height vg.Length) {
	f.need(height)
	f.y -= height
	room := vg.Rectangle{Min: vg.Point{X: f.left(), Y: f.y}, Max: vg.Point{X: f.right(), Y: f.y + height}}
	f.put(func(c draw.Canvas) error {
		c.Rectangle = room
		return d(c)
	})
	f.y -= gapAfter
}

// column is one of a table: its head and share of the width.
type column struct {
	head  string
	share float64
	right bool // numbers stand on the right
}

// cellPadding is the room between a cell's edge and what stands in it.
const cellPadding = 3 // pt

// cells folds the texts of a row into its columns and returns how high it is.
func (f *flow) cells(columns []column, texts []string, face font.Font) (folded [][]string, height vg.Length) {
	most := 1
	for i, text := range texts {
		_, w := f.place(columns, i)
		lines := plotting.Folded(text, face, w-2*cellPadding)
		folded = append(folded, lines)
		most = max(most, len(lines))
	}
	return folded, vg.Length(most)*bodyType*leading + cellPadding
}

// place returns where a column begins and how wide it is.
func (f *flow) place(columns []column, i int) (x, w vg.Length) {
	total, before := 0.0, 0.0
	for n, c := range columns {
		total += c.share
		if n < i {
			before += c.share
		}
	}
	return f.left() + f.width()*vg.Length(before/total), f.width() * vg.Length(columns[i].share/total)
}

// tableHeight returns how high a table is that no page parts.
func (f *flow) tableHeight(columns []column, rows [][]string) vg.Length {
	height := bodyType*leading + cellPadding + vg.Length(gapAfter)
	for _, texts := range rows {
		_, h := f.cells(columns, texts, plotting.Sans(bodyType))
		height += h
	}
	return height
}

// table sets rows under heads; the heads come again on every page.
func (f *flow) table(columns []column, rows [][]string) {
	row := func(texts []string, face font.Font) {
		folded, height := f.cells(columns, texts, face)
		for i, lines := range folded {
			x, w := f.place(columns, i)
			for n, l := range lines {
				left := x + cellPadding
				if columns[i].right {
					left = x + w - cellPadding - plotting.TextWidth(l, face)
				}
				f.line(l, face, left, f.y-vg.Length(n+1)*bodyType*leading+bodyType*0.15)
			}
		}
		f.y -= height
		f.rule(vg.Point{X: f.left(), Y: f.y}, vg.Point{X: f.right(), Y: f.y}, 0.4)
	}
	heads := make([]string, len(columns))
	for i, c := range columns {
		heads[i] = c.head
	}
	f.need(3 * bodyType * leading)
	row(heads, plotting.Bold(bodyType))
	for _, texts := range rows {
		_, height := f.cells(columns, texts, plotting.Sans(bodyType))
		if f.need(height); f.y == f.top() {
			row(heads, plotting.Bold(bodyType))
		}
		row(texts, plotting.Sans(bodyType))
	}
	f.y -= gapAfter
}

// write draws all pages with head and foot.
func (f *flow) write(to io.Writer, title string, date time.Time) error {
	doc := pdf.New(f.paper.Width, f.paper.Height, title, date)
	for i, p := range f.pages {
		c := draw.New(doc.AddPage())
		f.furnish(c, p, i+1)
		for _, m := range p.marks {
			if err := m(c); err != nil {
				return err
			}
		}
	}
	return doc.Write(to)
}

// furnish draws the head and the foot of a page.
func (f *flow) furnish(c draw.Canvas, p page, number int) {
	c.SetColor(f.style.Ink)
	id := p.identity
	right := p.title
	if id.Number != "" {
		right += " · " + id.Number
	}
	head := plotting.Bold(titleType)
	side := plotting.Sans(headType)
	y := f.paper.Height - margin - titleType*0.8
	room := f.width() - plotting.TextWidth(right, side) - headType
	plotting.SetLine(c, plotting.Folded(id.Name+" ", head, room)[0], head, vg.Point{X: f.left(), Y: y})
	plotting.SetLine(c, right, side, vg.Point{X: f.right() - plotting.TextWidth(right, side), Y: y})
	strokeLine(c, 0.8, f.style.Axis, vg.Point{X: f.left(), Y: y - 5}, vg.Point{X: f.right(), Y: y - 5})

	foot := plotting.Sans(footType)
	y = margin
	page := fmt.Sprintf("page %d of %d", number, len(f.pages))
	facts := []string{id.Date.Format(time.DateOnly)}
	if id.Fingerprint != "" {
		facts = append(facts, "design "+id.Fingerprint)
	}
	facts = append(facts, "Coilwright "+id.Version)
	rest := " · " + strings.Join(facts, " · ")
	name := plotting.Folded(id.Name, foot, f.width()-plotting.TextWidth(rest, foot)-plotting.TextWidth(page, foot)-2*footType)
	first := ""
	if len(name) > 0 {
		first = name[0]
	}
	c.SetColor(f.style.Ink)
	plotting.SetLine(c, first+rest, foot, vg.Point{X: f.left(), Y: y})
	plotting.SetLine(c, page, foot, vg.Point{X: f.right() - plotting.TextWidth(page, foot), Y: y})
	strokeLine(c, 0.5, f.style.Axis, vg.Point{X: f.left(), Y: y + 1.3*footType}, vg.Point{X: f.right(), Y: y + 1.3*footType})
}
