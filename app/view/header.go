package view

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/lang"
	fynetheme "fyne.io/fyne/v2/theme"

	"coilwright/app/theme"
)

// Header is the bar at the top: the design's name, whether it is saved, undo
// and redo, the units, light or dark, help.
type Header struct {
	OnUndo       func()
	OnRedo       func()
	OnUnits      func(Units)
	OnAppearance func()
	OnHelp       func()
	OnHint       func(key string)

	object     fyne.CanvasObject
	name       *Text
	unsaved    *Text
	undo, redo *Button
	units      *Segments
}

// NewHeader returns a header.
func NewHeader() *Header {
	h := &Header{
		name:    NewText("", fynetheme.ColorNameForeground, fynetheme.SizeNameSubHeadingText),
		unsaved: NewText("", theme.ColorNameMuted, fynetheme.SizeNameCaptionText),
		units:   NewSegments(lang.L("units.metric"), lang.L("units.inch")),
	}
	h.name.style.Bold = true
	h.undo = h.button(theme.IconNameUndo, "undo", func() { h.OnUndo() })
	h.redo = h.button(theme.IconNameRedo, "redo", func() { h.OnRedo() })
	appearance := h.button(theme.IconNameAppearance, "appearance", func() { h.OnAppearance() })
	help := h.button(theme.IconNameHelp, "help", func() { h.OnHelp() })
	h.units.OnPick = func(i int) { h.OnUnits(Units(i)) }
	h.units.OnHint = func() { h.OnHint("units") }
	h.object = container.New(headerLayout{},
		h.name, h.unsaved, h.undo, h.redo, h.units, appearance, help)
	return h
}

func (h *Header) button(icon fyne.ThemeIconName, hint string, tapped func()) *Button {
	b := NewButton("", fynetheme.Current().Icon(icon), tapped)
	b.OnHint = func() { h.OnHint(hint) }
	return b
}

// Object returns what to put into the window.
func (h *Header) Object() fyne.CanvasObject {
	return h.object
}

// Show puts the state of the design on screen.
func (h *Header) Show(name string, modified, canUndo, canRedo bool) {
	unsaved := ""
	if modified {
		unsaved = lang.L("header.unsaved")
	}
	h.undo.SetEnabled(canUndo)
	h.redo.SetEnabled(canRedo)
	if name == h.name.Content() && unsaved == h.unsaved.Content() {
		return
	}
	h.name.Set(name)
	h.unsaved.Set(unsaved)
	h.object.Refresh()
}

// Title returns the name and the mark beside it.
func (h *Header) Title() (name, mark string) {
	return h.name.Content(), h.unsaved.Content()
}

// ShowUnits shows which units are in use.
func (h *Header) ShowUnits(u Units) {
	h.units.SetPicked(int(u))
}

// headerLayout puts the name and its mark to the left and everything after
// them to the right.
type headerLayout struct{}

func (headerLayout) MinSize(objects []fyne.CanvasObject) fyne.Size {
	return fyne.NewSize(0, fynetheme.Size(theme.SizeNameHeader))
}

func (headerLayout) Layout(objects []fyne.CanvasObject, size fyne.Size) {
	gap := fynetheme.Size(theme.SizeNameGap)
	x := gap + fynetheme.Padding()
	for _, o := range objects[:2] {
		width := o.MinSize().Width
		o.Move(fyne.NewPos(x, 0))
		o.Resize(fyne.NewSize(width, size.Height))
		x += width + gap
	}
	x = size.Width - gap
	for i := len(objects) - 1; i >= 2; i-- {
		least := objects[i].MinSize()
		x -= least.Width
		objects[i].Move(fyne.NewPos(x, (size.Height-least.Height)/2))
		objects[i].Resize(least)
		x -= fynetheme.Padding()
	}
}
