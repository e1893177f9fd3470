package view

import (
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	fynetheme "fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"coilwright/app/theme"
)

// Paragraph is a text of a few lines that keeps to the place it is given: what
// does not fit ends in an ellipsis. What matters less may follow, muted, on
// lines of its own.
type Paragraph struct {
	widget.BaseWidget
	content string
	after   string // muted, below
	cut     bool   // ends in an ellipsis, or lacks what follows
}

// NewParagraph returns an empty paragraph.
func NewParagraph() *Paragraph {
	p := &Paragraph{}
	p.ExtendBaseWidget(p)
	return p
}

// Set replaces the text; the same text again costs nothing.
func (p *Paragraph) Set(content string) {
	p.SetBoth(content, "")
}

// SetBoth replaces the text and what follows it muted.
func (p *Paragraph) SetBoth(content, after string) {
	if p.content == content && p.after == after {
		return
	}
	p.content, p.after = content, after
	p.Refresh()
}

// Content returns the whole text, also where an ellipsis hides its end.
func (p *Paragraph) Content() string {
	if p.after == "" {
		return p.content
	}
	return p.content + "\n" + p.after
}

// CreateRenderer is part of fyne.Widget.
func (p *Paragraph) CreateRenderer() fyne.WidgetRenderer {
	return &paragraphRenderer{paragraph: p}
}

type paragraphRenderer struct {
	paragraph *Paragraph
	lines     []fyne.CanvasObject
}

func (r *paragraphRenderer) Destroy() {}

func (r *paragraphRenderer) Objects() []fyne.CanvasObject {
	return r.lines
}

func (r *paragraphRenderer) MinSize() fyne.Size {
	return fyne.NewSize(0, r.measure("X").Height)
}

func (r *paragraphRenderer) Layout(fyne.Size) {
	r.wrap()
}

func (r *paragraphRenderer) Refresh() {
	r.wrap()
	canvas.Refresh(r.paragraph)
}

func (r *paragraphRenderer) measure(s string) fyne.Size {
	return fyne.MeasureText(s, fynetheme.Size(fynetheme.SizeNameCaptionText), fyne.TextStyle{})
}

// wrap breaks both texts between words into the lines there is room for.
func (r *paragraphRenderer) wrap() {
	r.lines, r.paragraph.cut = r.lines[:0], false
	size := r.paragraph.Size()
	if size.Width <= 0 {
		return
	}
	room := int(size.Height / r.measure("X").Height)
	r.wrapText(r.paragraph.content, fynetheme.ColorNameForeground, room)
	r.wrapText(r.paragraph.after, theme.ColorNameMuted, room)
}

// wrapText adds the lines of a text until there are as many as there is room
// for.
func (r *paragraphRenderer) wrapText(content string, color fyne.ThemeColorName, room int) {
	size := r.paragraph.Size()
	height := r.measure("X").Height
	words := strings.Fields(content)
	for len(words) > 0 && len(r.lines) < room {
		n := 1
		for n < len(words) && r.measure(strings.Join(words[:n+1], " ")).Width <= size.Width {
			n++
		}
		text := strings.Join(words[:n], " ")
		if n < len(words) && len(r.lines) == room-1 {
			for n > 1 && r.measure(text+" …").Width > size.Width {
				n--
				text = strings.Join(words[:n], " ")
			}
			text += " …"
			r.paragraph.cut = true
		}
		words = words[n:]
		line := canvas.NewText(text, fynetheme.Color(color))
		line.TextSize = fynetheme.Size(fynetheme.SizeNameCaptionText)
		line.Move(fyne.NewPos(0, float32(len(r.lines))*height))
		line.Resize(fyne.NewSize(size.Width, height))
		r.lines = append(r.lines, line)
	}
}
