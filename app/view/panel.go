package view

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	fynetheme "fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"coilwright/app/theme"
)

// Panel is the rounded ground that cards, figures and the drawing stand on.
type Panel struct {
	widget.BaseWidget
	content fyne.CanvasObject
	inset   fyne.ThemeSizeName
	plain   bool // the window's own ground, without an edge
}

// NewPanel puts content on a ground, inset from its edges.
func NewPanel(content fyne.CanvasObject, inset fyne.ThemeSizeName) *Panel {
	p := &Panel{content: content, inset: inset}
	p.ExtendBaseWidget(p)
	return p
}

// newGround puts content on the window's own ground, so that nothing shows
// through from below.
func newGround(content fyne.CanvasObject, inset fyne.ThemeSizeName) *Panel {
	p := &Panel{content: content, inset: inset, plain: true}
	p.ExtendBaseWidget(p)
	return p
}

// CreateRenderer is part of fyne.Widget.
func (p *Panel) CreateRenderer() fyne.WidgetRenderer {
	r := &panelRenderer{panel: p, ground: canvas.NewRectangle(nil)}
	r.paint()
	return r
}

type panelRenderer struct {
	panel  *Panel
	ground *canvas.Rectangle
}

func (r *panelRenderer) Destroy() {}

func (r *panelRenderer) Objects() []fyne.CanvasObject {
	return []fyne.CanvasObject{r.ground, r.panel.content}
}

func (r *panelRenderer) MinSize() fyne.Size {
	inset := fynetheme.Size(r.panel.inset)
	return r.panel.content.MinSize().AddWidthHeight(2*inset, 2*inset)
}

func (r *panelRenderer) Layout(size fyne.Size) {
	inset := fynetheme.Size(r.panel.inset)
	r.ground.Resize(size)
	r.panel.content.Move(fyne.NewSquareOffsetPos(inset))
	r.panel.content.Resize(size.SubtractWidthHeight(2*inset, 2*inset))
}

func (r *panelRenderer) paint() {
	if r.panel.plain {
		r.ground.FillColor = fynetheme.Color(fynetheme.ColorNameBackground)
		return
	}
	r.ground.FillColor = fynetheme.Color(theme.ColorNameCard)
	r.ground.StrokeColor = fynetheme.Color(theme.ColorNameCardBorder)
	r.ground.StrokeWidth = fynetheme.Size(fynetheme.SizeNameSeparatorThickness)
	r.ground.CornerRadius = fynetheme.Size(theme.SizeNameCardRadius)
}

func (r *panelRenderer) Refresh() {
	r.paint()
	r.Layout(r.panel.Size())
	r.ground.Refresh()
	r.panel.content.Refresh()
}
