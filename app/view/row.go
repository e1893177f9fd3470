package view

import (
	"image/color"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/lang"
	fynetheme "fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"coilwright/app/theme"
)

// Row is one line of a card: a name, something to change the value with and,
// while a typed text is refused, the reason in their place.
type Row struct {
	widget.BaseWidget

	OnHint  func(key string)  // the pointer or the keyboard arrives
	OnFocus func(*Row)        // the keyboard arrives: bring the row into sight
	OnSay   func(text string) // a text was refused: the reason, in full
	OnWheel func(*fyne.ScrollEvent)

	key     string
	label   *Text
	control fyne.CanvasObject // between name and value
	value   fyne.CanvasObject // at the right end; nil: the control reaches there
	refusal *Text
	wheel   *wheel
}

func newRow(key, label string, control, value fyne.CanvasObject) *Row {
	r := &Row{
		key:     key,
		label:   NewText(label, theme.ColorNameMuted, fynetheme.SizeNameText),
		control: control,
		value:   value,
		refusal: NewText("", fynetheme.ColorNameError, fynetheme.SizeNameCaptionText),
	}
	r.label.elastic = true
	r.refusal.elastic = true
	r.refusal.Hide()
	r.wheel = &wheel{turned: func(e *fyne.ScrollEvent) {
		if r.OnWheel != nil {
			r.OnWheel(e)
		}
	}}
	r.wheel.ExtendBaseWidget(r.wheel)
	r.ExtendBaseWidget(r)
	return r
}

// wheel lies over a row, cannot be seen and takes nothing but the mouse's wheel,
// which the toolkit's entry would keep for itself.
type wheel struct {
	widget.BaseWidget
	turned func(*fyne.ScrollEvent)
}

// Scrolled is part of fyne.Scrollable.
func (w *wheel) Scrolled(e *fyne.ScrollEvent) { w.turned(e) }

// CreateRenderer is part of fyne.Widget.
func (w *wheel) CreateRenderer() fyne.WidgetRenderer {
	return widget.NewSimpleRenderer(canvas.NewRectangle(color.Transparent))
}

// refuse shows why a text was not taken; an empty reason brings the row back.
func (r *Row) refuse(reason string) {
	r.refusal.Set(reason)
	if reason == "" {
		r.refusal.Hide()
		r.label.Show()
		r.control.Show()
		return
	}
	r.label.Hide()
	r.control.Hide()
	r.refusal.Show()
}

// refuseFor shows why a text was not taken; nil brings the row back.
func (r *Row) refuseFor(err error) {
	if err == nil {
		r.refuse("")
		return
	}
	r.refuse(err.Error())
	if r.OnSay != nil {
		r.OnSay(lang.L("refused.hint", map[string]any{"Reason": err.Error()}))
	}
}

// Refusal returns the reason shown, empty if there is none.
func (r *Row) Refusal() string {
	return r.refusal.Content()
}

// row returns the row itself, for those that embed it.
func (r *Row) row() *Row {
	return r
}

// focusable returns what of the row takes the keyboard: what stands at its end,
// or else what changes it; nil: nothing does.
func (r *Row) focusable() fyne.Focusable {
	for _, o := range []fyne.CanvasObject{r.value, r.control} {
		if d, ok := o.(fyne.Disableable); ok && d.Disabled() {
			continue
		}
		if f, ok := o.(fyne.Focusable); ok {
			return f
		}
	}
	return nil
}

// focused tells the owner that the keyboard has arrived.
func (r *Row) focused() {
	if r.OnFocus != nil {
		r.OnFocus(r)
	}
	r.hint()
}

func (r *Row) hint() {
	if r.OnHint != nil {
		r.OnHint(r.key)
	}
}

// MouseIn is part of desktop.Hoverable.
func (r *Row) MouseIn(*desktop.MouseEvent) {
	r.hint()
}

// MouseMoved is part of desktop.Hoverable.
func (r *Row) MouseMoved(*desktop.MouseEvent) {}

// MouseOut is part of desktop.Hoverable.
func (r *Row) MouseOut() {}

// CreateRenderer is part of fyne.Widget.
func (r *Row) CreateRenderer() fyne.WidgetRenderer {
	objects := []fyne.CanvasObject{r.label, r.control, r.refusal}
	if r.value != nil {
		objects = append(objects, r.value)
	}
	return &rowRenderer{row: r, objects: append(objects, r.wheel)}
}

type rowRenderer struct {
	row     *Row
	objects []fyne.CanvasObject
}

func (r *rowRenderer) Destroy() {}

func (r *rowRenderer) Objects() []fyne.CanvasObject {
	return r.objects
}

func (r *rowRenderer) MinSize() fyne.Size {
	label, entry := fynetheme.Size(theme.SizeNameRowLabel), float32(0)
	if r.row.value != nil {
		entry = fynetheme.Size(theme.SizeNameRowEntry)
	}
	return fyne.NewSize(label+entry+r.row.control.MinSize().Width, fynetheme.Size(theme.SizeNameRow))
}

func (r *rowRenderer) Layout(size fyne.Size) {
	label := fynetheme.Size(theme.SizeNameRowLabel)
	var entry float32
	if r.row.value != nil {
		entry = fynetheme.Size(theme.SizeNameRowEntry)
		r.row.value.Move(fyne.NewPos(size.Width-entry, 0))
		r.row.value.Resize(fyne.NewSize(entry, size.Height))
	}
	r.row.label.Resize(fyne.NewSize(label, size.Height))
	r.row.control.Move(fyne.NewPos(label, 0))
	r.row.control.Resize(fyne.NewSize(size.Width-label-entry, size.Height))
	r.row.wheel.Resize(size)
	r.row.refusal.Resize(fyne.NewSize(size.Width-entry-fynetheme.Padding(), size.Height))
}

func (r *rowRenderer) Refresh() {
	for _, o := range r.objects {
		o.Refresh()
	}
}
