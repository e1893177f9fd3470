package view

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/driver/desktop"
	fynetheme "fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"coilwright/app/theme"
)

// Grip is a handle on a drawing: the pointer drags it, the arrow keys step it.
// It shows while the pointer is over the drawing, or while it has the keyboard.
type Grip struct {
	widget.BaseWidget

	OnBegin  func()
	OnMove   func(to fyne.Position) // where the grip's centre is wanted, in the drawing
	OnStep   func(steps int)        // arrow and page keys, in smallest steps
	OnEnd    func()
	OnCancel func() // Escape in the middle of a drag
	OnChosen func() // the pointer or the keyboard arrives

	upright bool // it moves up and down; otherwise to the sides
	layer   *Grips
	centre  fyne.Position // in the drawing
	seized  fyne.Position // from the centre to where it was seized
	pressed bool
	focused bool
	hovered bool
}

// Grips is the layer of handles over a drawing.
type Grips struct {
	object  *fyne.Container
	grips   []*Grip
	label   *Text
	ground  *Panel
	labeled *Grip // the label stands beside it; nil: no label
	shown   bool  // the pointer is over the drawing
}

// NewGrips returns a layer without handles.
func NewGrips() *Grips {
	g := &Grips{label: NewText("", fynetheme.ColorNameForeground, fynetheme.SizeNameCaptionText)}
	g.label.style.Bold = true
	g.ground = NewPanel(g.label, theme.SizeNameGripLabel)
	g.ground.Hide()
	g.object = container.NewWithoutLayout(g.ground)
	return g
}

// Object returns what to lay over the drawing.
func (g *Grips) Object() fyne.CanvasObject {
	return g.object
}

// Add adds a handle, which is hidden until it is placed.
func (g *Grips) Add(upright bool) *Grip {
	p := &Grip{upright: upright, layer: g}
	p.ExtendBaseWidget(p)
	p.Resize(fyne.NewSquareSize(fynetheme.Size(theme.SizeNameHalo)))
	p.Hide()
	g.grips = append(g.grips, p)
	g.object.Objects = append([]fyne.CanvasObject{p}, g.object.Objects...)
	return p
}

// Place puts a handle's centre somewhere in the drawing.
func (p *Grip) Place(centre fyne.Position) {
	half := fynetheme.Size(theme.SizeNameHalo) / 2
	if centre != p.centre {
		p.centre = centre
		p.Move(centre.SubtractXY(half, half))
		if p.layer.labeled == p {
			p.layer.placeLabel()
		}
	}
	if p.Hidden {
		p.Show()
	}
}

// Centre returns where the handle is in the drawing.
func (p *Grip) Centre() fyne.Position {
	return p.centre
}

// Held says whether a drag is going on.
func (p *Grip) Held() bool {
	return p.pressed
}

// SetShown shows the handles while the pointer is over the drawing.
func (g *Grips) SetShown(shown bool) {
	if g.shown == shown {
		return
	}
	g.shown = shown
	for _, p := range g.grips {
		p.Refresh()
	}
}

// Label puts words beside a handle; empty words take them away.
func (g *Grips) Label(p *Grip, words string) {
	if words == "" {
		g.labeled = nil
		setVisible(g.ground, false)
		return
	}
	g.labeled = p
	g.label.Set(words)
	g.placeLabel()
	setVisible(g.ground, true)
}

// Words returns what the label says, empty while there is none.
func (g *Grips) Words() string {
	if g.labeled == nil {
		return ""
	}
	return g.label.Content()
}

// placeLabel puts the label over its handle, or under it where there is no
// room above, inside the drawing.
func (g *Grips) placeLabel() {
	size, all := g.ground.MinSize(), g.object.Size()
	away := fynetheme.Size(theme.SizeNameHalo)
	x := min(max(g.labeled.centre.X-size.Width/2, 0), max(all.Width-size.Width, 0))
	y := g.labeled.centre.Y - away - size.Height
	if y < 0 {
		y = g.labeled.centre.Y + away
	}
	place(g.ground, x, y, size.Width, size.Height)
}

func (p *Grip) begin() {
	if p.pressed {
		return
	}
	p.pressed = true
	p.Refresh()
	p.OnBegin()
}

func (p *Grip) end() {
	if !p.pressed {
		return
	}
	p.pressed = false
	p.Refresh()
	p.OnEnd()
}

// MouseDown seizes the handle.
func (p *Grip) MouseDown(e *desktop.MouseEvent) {
	if e.Button != desktop.MouseButtonPrimary {
		return
	}
	if c := fyne.CurrentApp().Driver().CanvasForObject(p); c != nil {
		c.Focus(p)
	}
	half := fynetheme.Size(theme.SizeNameHalo) / 2
	p.seized = e.Position.SubtractXY(half, half)
}

// MouseUp lets the handle go.
func (p *Grip) MouseUp(*desktop.MouseEvent) {
	p.end()
}

// Dragged moves the handle with the pointer, wherever its owner then puts it.
// After Escape the rest of the drag does nothing.
func (p *Grip) Dragged(e *fyne.DragEvent) {
	if p.seized == cancelled {
		return
	}
	p.begin()
	origin := fyne.CurrentApp().Driver().AbsolutePositionForObject(p.layer.object)
	p.OnMove(e.AbsolutePosition.Subtract(origin).Subtract(p.seized))
}

// DragEnd lets the handle go.
func (p *Grip) DragEnd() {
	p.end()
	p.seized = fyne.Position{}
}

// cancelled stands for the place at which a handle was seized after its drag
// was given up.
var cancelled = fyne.NewPos(-1e6, -1e6)

// KeyDown begins a change that lasts until the key is lifted.
func (p *Grip) KeyDown(e *fyne.KeyEvent) {
	if sliderSteps(e.Name) != 0 {
		p.begin()
	}
}

// KeyUp ends it.
func (p *Grip) KeyUp(e *fyne.KeyEvent) {
	if sliderSteps(e.Name) != 0 {
		p.end()
	}
}

// TypedKey steps by the arrow and page keys; Escape gives a drag up.
func (p *Grip) TypedKey(e *fyne.KeyEvent) {
	if e.Name == fyne.KeyEscape {
		if p.pressed {
			p.pressed = false
			p.seized = cancelled
			p.Refresh()
			p.OnCancel()
		}
		return
	}
	steps := sliderSteps(e.Name)
	if steps == 0 {
		return
	}
	if p.pressed {
		p.OnStep(steps)
		return
	}
	p.begin()
	p.OnStep(steps)
	p.end()
}

// TypedRune is part of fyne.Focusable.
func (p *Grip) TypedRune(rune) {}

// FocusGained is part of fyne.Focusable.
func (p *Grip) FocusGained() {
	p.focused = true
	p.Refresh()
	p.OnChosen()
}

// FocusLost is part of fyne.Focusable.
func (p *Grip) FocusLost() {
	p.end()
	p.focused = false
	p.layer.Label(p, "")
	p.Refresh()
}

// MouseIn is part of desktop.Hoverable.
func (p *Grip) MouseIn(*desktop.MouseEvent) {
	p.hovered = true
	p.layer.SetShown(true)
	p.Refresh()
	p.OnChosen()
}

// MouseMoved is part of desktop.Hoverable.
func (p *Grip) MouseMoved(*desktop.MouseEvent) {}

// MouseOut is part of desktop.Hoverable.
func (p *Grip) MouseOut() {
	p.hovered = false
	p.layer.SetShown(false)
	if !p.pressed && !p.focused {
		p.layer.Label(p, "")
	}
	p.Refresh()
}

// Cursor is part of desktop.Cursorable.
func (p *Grip) Cursor() desktop.Cursor {
	if p.upright {
		return desktop.VResizeCursor
	}
	return desktop.HResizeCursor
}

// CreateRenderer is part of fyne.Widget.
func (p *Grip) CreateRenderer() fyne.WidgetRenderer {
	r := &gripRenderer{grip: p, halo: canvas.NewCircle(nil), knob: canvas.NewCircle(nil)}
	r.Refresh()
	return r
}

type gripRenderer struct {
	grip       *Grip
	halo, knob *canvas.Circle
}

func (r *gripRenderer) Destroy() {}

func (r *gripRenderer) Objects() []fyne.CanvasObject {
	return []fyne.CanvasObject{r.halo, r.knob}
}

func (r *gripRenderer) MinSize() fyne.Size {
	return fyne.NewSquareSize(fynetheme.Size(theme.SizeNameHalo))
}

func (r *gripRenderer) Layout(size fyne.Size) {
	knob := fynetheme.Size(theme.SizeNameGrip)
	r.halo.Resize(size)
	place(r.knob, (size.Width-knob)/2, (size.Height-knob)/2, knob, knob)
}

func (r *gripRenderer) Refresh() {
	p := r.grip
	r.knob.Hidden = !p.layer.shown && !p.focused && !p.hovered && !p.pressed
	r.halo.Hidden = !p.focused && !p.hovered && !p.pressed
	r.halo.FillColor = fynetheme.Color(theme.ColorNameHalo)
	r.knob.FillColor = fynetheme.Color(theme.ColorNameCard)
	r.knob.StrokeColor = fynetheme.Color(fynetheme.ColorNamePrimary)
	r.knob.StrokeWidth = fynetheme.Size(theme.SizeNameRowGap)
	if p.pressed || p.focused {
		r.knob.FillColor = fynetheme.Color(fynetheme.ColorNamePrimary)
	}
	r.Layout(p.Size())
	canvas.Refresh(p)
}
