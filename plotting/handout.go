package plotting

import (
	"fmt"
	"image/color"
	"io"
	"strings"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"coilwright/plotting/pdf"
)

// Handout is what a class gets on paper: experiments with room to write, a table to
// fill in by measuring, and the answers on a page of their own.
type Handout struct {
	Title    string
	Intro    string
	Items    []HandoutItem
	Table    []string // heads of a table to fill in; nil: none
	Rows     int      // of that table
	Answers  string   // heads the page of the answers
	Paper    Paper    // zero: A4
	Footer   Footer
	Cautions []string // stand on the first page
}

// HandoutItem is one experiment of a hand-out.
type HandoutItem struct {
	Title    string
	Question string
	Answer   string
	How      string     // method, source and limits
	Figure   *plot.Plot // before the answer is known, in the style for print
	Picture  Drawing    // nil: none
}

// Sizes of type and distances of a hand-out, in points.
const (
	handoutBody   = 10.5
	handoutHead   = 13
	writingLine   = 8 * vg.Millimeter // between lines to write on
	writingLines  = 4
	pictureHeight = 62 * vg.Millimeter
)

// WriteHandout writes a hand-out as a PDF file, two experiments to a page.
func WriteHandout(w io.Writer, h Handout) error {
	style := Print()
	if h.Paper == (Paper{}) {
		h.Paper = A4
	}
	doc := pdf.New(h.Paper.Width, h.Paper.Height, h.Title, h.Footer.Date)
	pages := h.pages(style)
	for i, page := range pages {
		c := draw.New(doc.AddPage())
		c = draw.Crop(c, sheetMargin, -sheetMargin, sheetMargin, -sheetMargin)
		c = h.Footer.draw(c, style, style.say("page %d of %d", i+1, len(pages)))
		if err := page(&column{c, c.Max.Y, style}); err != nil {
			return err
		}
	}
	return doc.Write(w)
}

// pages returns what is drawn on each page.
func (h *Handout) pages(style Style) []func(*column) error {
	const perPage = 2
	var pages []func(*column) error
	for first := 0; first < len(h.Items); first += perPage {
		items := h.Items[first:min(first+perPage, len(h.Items))]
		opening := first == 0
		pages = append(pages, func(c *column) error {
			if opening {
				c.heading(h.Title, sheetTitle)
				c.paragraph(h.Intro)
			}
			for _, item := range items {
				if err := item.draw(c); err != nil {
					return err
				}
			}
			return nil
		})
	}
	if len(h.Table) > 0 {
		pages = append(pages, func(c *column) error {
			c.heading(h.Title, sheetTitle)
			c.table(h.Table, h.Rows)
			c.gap(handoutBody)
			for _, caution := range h.Cautions {
				c.paragraph("• " + caution)
			}
			return nil
		})
	}
	return append(pages, h.answerPages(style)...)
}

// answerPages returns the answers, on as many pages as they take.
func (h *Handout) answerPages(style Style) []func(*column) error {
	const perPage = 5
	var pages []func(*column) error
	for first := 0; first < len(h.Items); first += perPage {
		items := h.Items[first:min(first+perPage, len(h.Items))]
		pages = append(pages, func(c *column) error {
			c.heading(h.Answers, sheetTitle)
			for _, item := range items {
				c.heading(item.Title, handoutHead)
				c.paragraph(item.Answer)
				c.paragraph(item.How)
			}
			return nil
		})
	}
	return pages
}

func (i *HandoutItem) draw(c *column) error {
	c.heading(i.Title, handoutHead)
	c.paragraph(i.Question)
	room := draw.Canvas{Canvas: c.Canvas.Canvas, Rectangle: vg.Rectangle{
		Min: vg.Point{X: c.Min.X, Y: c.y - pictureHeight}, Max: vg.Point{X: c.Max.X, Y: c.y},
	}}
	left, right := room, room
	middle := (room.Min.X + room.Max.X) / 2
	left.Max.X, right.Min.X = middle, middle
	if i.Picture != nil {
		if err := i.Picture(left); err != nil {
			return err
		}
	} else {
		right = room
	}
	if i.Figure != nil {
		Draw(i.Figure, right)
	}
	c.gap(pictureHeight)
	for range writingLines {
		c.gap(writingLine)
		strokeLine(c, []vg.Point{{X: c.Min.X, Y: c.y}, {X: c.Max.X, Y: c.y}}, c.style.ThinWidth, c.style.Axis, nil)
	}
	c.gap(1.5 * handoutBody)
	return nil
}

// column is a page that is filled from the top.
type column struct {
	draw.Canvas
	y     vg.Length
	style Style
}

func (c *column) gap(by vg.Length) { c.y -= by }

func (c *column) heading(text string, size vg.Length) {
	c.lines(text, bold(size), c.style.Ink)
	c.gap(0.4 * size)
}

func (c *column) paragraph(text string) {
	if text == "" {
		return
	}
	c.lines(text, sans(handoutBody), c.style.Ink)
	c.gap(0.6 * handoutBody)
}

// lines sets text broken to the width of the page.
func (c *column) lines(text string, f font.Font, ink color.Color) {
	c.SetColor(ink)
	for _, line := range wrapped(strings.Fields(text), " ", f, c.Max.X-c.Min.X) {
		c.gap(lineStep * f.Size)
		newBlock(line, f).draw(c, vg.Point{X: c.Min.X, Y: c.y}, 0)
	}
}

// table rules a table to fill in.
func (c *column) table(heads []string, rows int) {
	width := (c.Max.X - c.Min.X) / vg.Length(len(heads))
	top := c.y
	for i, head := range heads {
		text := shortened(head, bold(handoutBody), width-6)
		c.SetColor(c.style.Ink)
		text.draw(c, vg.Point{X: c.Min.X + width*vg.Length(i) + 3, Y: top - 1.3*handoutBody}, 0)
	}
	bottom := top - 2*handoutBody - writingLine*vg.Length(rows)
	for i := range rows + 1 {
		y := top - 2*handoutBody - writingLine*vg.Length(i)
		strokeLine(c, []vg.Point{{X: c.Min.X, Y: y}, {X: c.Max.X, Y: y}}, c.style.ThinWidth, c.style.Axis, nil)
	}
	for i := range len(heads) + 1 {
		x := c.Min.X + width*vg.Length(i)
		strokeLine(c, []vg.Point{{X: x, Y: top}, {X: x, Y: bottom}}, c.style.ThinWidth, c.style.Axis, nil)
	}
	strokeLine(c, []vg.Point{{X: c.Min.X, Y: top}, {X: c.Max.X, Y: top}}, c.style.ThinWidth, c.style.Axis, nil)
	c.y = bottom
}

// Card is a card to hand round, A5: a title and short paragraphs.
type Card struct {
	Title  string
	Lines  []string
	Footer Footer
}

// a5 is the size of a card, on its side.
var a5 = Paper{210 * vg.Millimeter, 148 * vg.Millimeter} // ISO 216

// WriteCard writes a card as a PDF file of one page.
func WriteCard(w io.Writer, card Card) error {
	style := Print()
	doc := pdf.New(a5.Width, a5.Height, card.Title, card.Footer.Date)
	c := draw.New(doc.AddPage())
	const margin = 10 * vg.Millimeter
	c = draw.Crop(c, margin, -margin, 0.6*margin, -margin)
	c = card.Footer.draw(c, style, "")
	page := &column{c, c.Max.Y, style}
	page.heading(card.Title, sheetTitle)
	for _, line := range card.Lines {
		page.lines("• "+line, sans(handoutBody), style.Ink)
		page.gap(0.35 * handoutBody)
	}
	if page.y < c.Min.Y {
		return fmt.Errorf("plotting: the text of the card is %.0f points too long", float64(c.Min.Y-page.y))
	}
	return doc.Write(w)
}

// TeachersPage is the plan of a lesson for whoever gives it.
type TeachersPage struct {
	Title  string
	Before []string
	Steps  []TeachersStep
	Words  TeachersWords
	Footer Footer
	Paper  Paper // zero: A4
}

// TeachersStep is a stretch of a lesson.
type TeachersStep struct {
	From, To          string // "0:10"
	Title             string
	Notes             string
	Answer, WrongIdea string // empty: none
}

// TeachersWords head what stands on the page.
type TeachersWords struct{ Before, WrongIdea, Answer string }

// WriteTeachersPage writes the plan as a PDF file.
func WriteTeachersPage(w io.Writer, t TeachersPage) error {
	style := Print()
	if t.Paper == (Paper{}) {
		t.Paper = A4
	}
	// A first pass finds where pages end, a second one draws them with their count.
	pages := t.fill(pdf.New(t.Paper.Width, t.Paper.Height, t.Title, t.Footer.Date), style, 0)
	doc := pdf.New(t.Paper.Width, t.Paper.Height, t.Title, t.Footer.Date)
	t.fill(doc, style, pages)
	return doc.Write(w)
}

// fill draws the plan and returns how many pages it takes.
func (t *TeachersPage) fill(doc *pdf.Document, style Style, total int) int {
	pages := 0
	var page *column
	turn := func() {
		pages++
		c := draw.Crop(draw.New(doc.AddPage()), sheetMargin, -sheetMargin, sheetMargin, -sheetMargin)
		c = t.Footer.draw(c, style, style.say("page %d of %d", pages, total))
		page = &column{c, c.Max.Y, style}
	}
	turn()
	page.heading(t.Title, sheetTitle)
	page.heading(t.Words.Before, handoutHead)
	for _, line := range t.Before {
		page.paragraph("☐ " + line)
	}
	const leastRoom = 45 * vg.Millimeter // for a step that should not be torn apart
	for _, s := range t.Steps {
		if page.y-page.Min.Y < leastRoom {
			turn()
		}
		page.heading(s.From+" – "+s.To+"   "+s.Title, handoutHead)
		page.paragraph(s.Notes)
		if s.Answer != "" {
			page.paragraph(t.Words.Answer + " " + s.Answer)
		}
		if s.WrongIdea != "" {
			page.paragraph(t.Words.WrongIdea + " " + s.WrongIdea)
		}
	}
	return pages
}
