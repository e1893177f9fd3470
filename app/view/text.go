package view

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	fynetheme "fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"
)

// Text is one line of text in a colour and size of the theme. Where it is too
// long for its place it ends in an ellipsis, so a number that grows pushes
// nothing aside.
type Text struct {
	widget.BaseWidget
	content string
	color   fyne.ThemeColorName
	size    fyne.ThemeSizeName
	style   fyne.TextStyle
	align   fyne.TextAlign
	elastic bool // asks for no width of its own
}

// NewText returns a line of text.
func NewText(content string, color fyne.ThemeColorName, size fyne.ThemeSizeName) *Text {
	t := &Text{content: content, color: color, size: size}
	t.ExtendBaseWidget(t)
	return t
}

// Set replaces the text; the same text again costs nothing.
func (t *Text) Set(content string) {
	if t.content == content {
		return
	}
	t.content = content
	t.Refresh()
}

// Content returns the whole text, also where an ellipsis hides its end.
func (t *Text) Content() string {
	return t.content
}

// Paint changes the colour.
func (t *Text) Paint(color fyne.ThemeColorName) {
	if t.color == color {
		return
	}
	t.color = color
	t.Refresh()
}

// natural returns the width at which nothing is hidden.
func (t *Text) natural() float32 {
	return fyne.MeasureText(t.content, fynetheme.Size(t.size), t.style).Width
}

// SetSize changes the size of the type.
func (t *Text) SetSize(size fyne.ThemeSizeName) {
	if t.size == size {
		return
	}
	t.size = size
	t.Refresh()
}

// CreateRenderer is part of fyne.Widget.
func (t *Text) CreateRenderer() fyne.WidgetRenderer {
	r := &textRenderer{text: t, line: canvas.NewText("", fynetheme.Color(t.color))}
	r.Refresh()
	return r
}

type textRenderer struct {
	text *Text
	line *canvas.Text
}

func (r *textRenderer) Destroy() {}

func (r *textRenderer) Objects() []fyne.CanvasObject {
	return []fyne.CanvasObject{r.line}
}

func (r *textRenderer) MinSize() fyne.Size {
	size := fyne.MeasureText(r.text.content, fynetheme.Size(r.text.size), r.text.style)
	if r.text.elastic {
		size.Width = 0
	}
	return size
}

func (r *textRenderer) Layout(size fyne.Size) {
	r.line.Resize(size)
	r.fit(size.Width)
}

func (r *textRenderer) Refresh() {
	r.line.Color = fynetheme.Color(r.text.color)
	r.line.TextSize = fynetheme.Size(r.text.size)
	r.line.TextStyle = r.text.style
	r.line.Alignment = r.text.align
	r.fit(r.text.Size().Width)
	r.line.Refresh()
}

// fit shortens the line until it fits the width.
func (r *textRenderer) fit(width float32) {
	r.line.Text = r.text.content
	if r.text.elastic && width > 0 {
		r.line.Text = shortened(r.text.content, width, r.line.TextSize, r.line.TextStyle)
	}
}

// shortened returns as much of a text as fits a width, with an ellipsis for the
// rest.
func shortened(content string, width, size float32, style fyne.TextStyle) string {
	measure := func(s string) float32 { return fyne.MeasureText(s, size, style).Width }
	if measure(content) <= width {
		return content
	}
	letters := []rune(content)
	low, high := 0, len(letters)
	for low < high {
		middle := (low + high + 1) / 2
		if measure(string(letters[:middle])+"…") <= width {
			low = middle
		} else {
			high = middle - 1
		}
	}
	return string(letters[:low]) + "…"
}
