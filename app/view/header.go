package view

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/lang"
	fynetheme "fyne.io/fyne/v2/theme"

	"coilwright/app/theme"
)

// Header is the bar at the top: the design's name, whether it is saved, the
// stages of the job, undo and redo, the units, light or dark, help.
type Header struct {
	OnStage      func(index int)
	OnUndo       func()
	OnRedo       func()
	OnUnits      func(Units)
	OnAppearance func()
	OnHelp       func()
	OnHint       func(key string)

	object     fyne.CanvasObject
	name       *Text
	mark       *Text
	stages     *StageBar
	undo, redo *Button
	units      *Segments
}

// NewHeader returns a header. The stages, by their keys, are named by the texts
// "stage.KEY" and explained by "hint.stage_KEY".
func NewHeader(stages ...string) *Header {
	h := &Header{
		name:  NewText("", fynetheme.ColorNameForeground, fynetheme.SizeNameSubHeadingText),
		mark:  NewText("", theme.ColorNameMuted, fynetheme.SizeNameCaptionText),
		units: NewSegments(lang.L("units.metric"), lang.L("units.inch")),
	}
	h.name.style.Bold = true
	h.name.elastic = true
	h.stages = newStageBar(stages)
	h.stages.onPick = func(i int) { h.OnStage(i) }
	h.stages.onHint = func(key string) { h.OnHint("stage_" + key) }
	h.undo = h.button(theme.IconNameUndo, "undo", func() { h.OnUndo() })
	h.redo = h.button(theme.IconNameRedo, "redo", func() { h.OnRedo() })
	appearance := h.button(theme.IconNameAppearance, "appearance", func() { h.OnAppearance() })
	help := h.button(theme.IconNameHelp, "help", func() { h.OnHelp() })
	h.units.OnPick = func(i int) { h.OnUnits(Units(i)) }
	h.units.OnHint = func() { h.OnHint("units") }
	h.object = container.New(headerLayout{},
		h.name, h.mark, h.stages, h.undo, h.redo, h.units, appearance, help)
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

// Show puts the state of the design on screen; mark says what is to be known
// about its file.
func (h *Header) Show(name, mark string, canUndo, canRedo bool) {
	h.undo.SetEnabled(canUndo)
	h.redo.SetEnabled(canRedo)
	if name == h.name.Content() && mark == h.mark.Content() {
		return
	}
	h.name.Set(name)
	h.mark.Set(mark)
	h.object.Refresh()
}

// Title returns the name and the mark beside it.
func (h *Header) Title() (name, mark string) {
	return h.name.Content(), h.mark.Content()
}

// ShowUnits shows which units are in use.
func (h *Header) ShowUnits(u Units) {
	h.units.SetPicked(int(u))
}

// ShowStage shows which stage is on screen.
func (h *Header) ShowStage(index int) {
	h.stages.setPicked(index)
}

// Stages returns the names of the stages that can be gone to.
func (h *Header) Stages() []string {
	return h.stages.names()
}

// headerLayout puts the name and its mark to the left, the stages in the middle
// and everything after them to the right. Where the name is too long, its end
// gives way.
type headerLayout struct{}

func (headerLayout) MinSize(objects []fyne.CanvasObject) fyne.Size {
	return fyne.NewSize(0, fynetheme.Size(theme.SizeNameHeader))
}

func (headerLayout) Layout(objects []fyne.CanvasObject, size fyne.Size) {
	gap := fynetheme.Size(theme.SizeNameGap)
	right := size.Width - gap
	for i := len(objects) - 1; i >= 3; i-- {
		least := objects[i].MinSize()
		right -= least.Width
		objects[i].Move(fyne.NewPos(right, (size.Height-least.Height)/2))
		objects[i].Resize(least)
		right -= fynetheme.Padding()
	}
	stages := objects[2].MinSize()
	middle := max(0, min((size.Width-stages.Width)/2, right-gap-stages.Width))
	objects[2].Move(fyne.NewPos(middle, 0))
	objects[2].Resize(fyne.NewSize(stages.Width, size.Height))

	left := gap + fynetheme.Padding()
	name, mark := objects[0].(*Text), objects[1]
	width := max(0, min(name.natural(), middle-left-2*gap-mark.MinSize().Width))
	name.Move(fyne.NewPos(left, 0))
	name.Resize(fyne.NewSize(width, size.Height))
	mark.Move(fyne.NewPos(left+width+gap, 0))
	mark.Resize(fyne.NewSize(mark.MinSize().Width, size.Height))
}
