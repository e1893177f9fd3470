package view

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/driver/desktop"
	fynetheme "fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"coilwright/app/theme"
)

// leadText is a paragraph that leads to something by a click, Space or Enter. While
// it leads nowhere it is disabled, and nothing but a paragraph.
type leadText struct {
	widget.DisableableWidget
	paragraph *Paragraph
	ground    *canvas.Rectangle
	focused   bool
	hovered   bool
	onTap     func()
	onHint    func()
}

func newLeadText(onTap func()) *leadText {
	t := &leadText{paragraph: NewParagraph(), ground: canvas.NewRectangle(nil), onTap: onTap}
	t.ExtendBaseWidget(t)
	return t
}

// SetEnabled says whether it leads to something; the same again costs nothing.
func (t *leadText) SetEnabled(enabled bool) {
	switch {
	case enabled == !t.Disabled():
	case enabled:
		t.Enable()
	default:
		t.Disable()
	}
}

// Tapped goes there, and commits what was being typed elsewhere.
func (t *leadText) Tapped(*fyne.PointEvent) {
	if t.Disabled() {
		return
	}
	t.onTap()
}

// TypedKey goes there on Space and Enter.
func (t *leadText) TypedKey(e *fyne.KeyEvent) {
	switch e.Name {
	case fyne.KeySpace, fyne.KeyReturn, fyne.KeyEnter:
		t.Tapped(nil)
	}
}

// TypedRune is part of fyne.Focusable.
func (t *leadText) TypedRune(rune) {}

// FocusGained is part of fyne.Focusable.
func (t *leadText) FocusGained() {
	t.focused = true
	t.hint()
	t.Refresh()
}

// FocusLost is part of fyne.Focusable.
func (t *leadText) FocusLost() {
	t.focused = false
	t.Refresh()
}

// MouseIn is part of desktop.Hoverable.
func (t *leadText) MouseIn(*desktop.MouseEvent) {
	t.hovered = true
	t.hint()
	t.Refresh()
}

// MouseMoved is part of desktop.Hoverable.
func (t *leadText) MouseMoved(*desktop.MouseEvent) {}

// MouseOut is part of desktop.Hoverable.
func (t *leadText) MouseOut() {
	t.hovered = false
	t.Refresh()
}

// Cursor is part of desktop.Cursorable.
func (t *leadText) Cursor() desktop.Cursor {
	if t.Disabled() {
		return desktop.DefaultCursor
	}
	return desktop.PointerCursor
}

func (t *leadText) hint() {
	if t.onHint != nil && !t.Disabled() {
		t.onHint()
	}
}

// CreateRenderer is part of fyne.Widget.
func (t *leadText) CreateRenderer() fyne.WidgetRenderer {
	return &leadTextRenderer{t}
}

type leadTextRenderer struct {
	text *leadText
}

func (r *leadTextRenderer) Destroy() {}

func (r *leadTextRenderer) Objects() []fyne.CanvasObject {
	return []fyne.CanvasObject{r.text.ground, r.text.paragraph}
}

func (r *leadTextRenderer) MinSize() fyne.Size {
	return r.text.paragraph.MinSize()
}

func (r *leadTextRenderer) Layout(size fyne.Size) {
	outset := fynetheme.Padding()
	r.text.ground.Move(fyne.NewSquareOffsetPos(-outset))
	r.text.ground.Resize(size.AddWidthHeight(2*outset, 2*outset))
	r.text.paragraph.Resize(size)
}

func (r *leadTextRenderer) Refresh() {
	t := r.text
	t.ground.CornerRadius = fynetheme.Size(fynetheme.SizeNameInputRadius)
	switch {
	case t.Disabled():
		t.ground.FillColor = fynetheme.Color(theme.ColorNameCard)
	case t.focused:
		t.ground.FillColor = fynetheme.Color(theme.ColorNameHalo)
	case t.hovered:
		t.ground.FillColor = fynetheme.Color(fynetheme.ColorNameHover)
	default:
		t.ground.FillColor = fynetheme.Color(theme.ColorNameCard)
	}
	t.ground.Refresh()
	t.paragraph.Refresh()
}
