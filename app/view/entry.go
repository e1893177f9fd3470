package view

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/driver/desktop"
	fynetheme "fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"coilwright/app/theme"
)

// Entry takes a quantity as people type it. It commits on Enter and on
// leaving; Escape brings the old text back; a text that is refused stays, with
// a red outline, until it is mended or given up.
type Entry struct {
	widget.Entry

	OnCommit  func(text string) error // nil: taken
	OnStep    func(steps int)         // up and down keys, in smallest steps
	OnRefused func(err error)         // the text is no such quantity; nil: no longer
	OnFocus   func()
	OnEnter   func() // Enter was pressed and the text taken; nil: the entry keeps the keyboard

	shown   string // what the design holds, as it was last shown
	unit    *Text
	refused bool
	seized  bool // the pointer has just brought the keyboard here
}

// NewEntry returns an entry, with a place for a unit or without.
func NewEntry(withUnit bool) *Entry {
	e := &Entry{unit: NewText("", theme.ColorNameMuted, fynetheme.SizeNameCaptionText)}
	if withUnit {
		e.ActionItem = container.New(unitLayout{}, e.unit)
	}
	e.Scroll = fyne.ScrollHorizontalOnly
	e.ExtendBaseWidget(e)
	return e
}

// ShowValue replaces text and unit by what the design holds. A text that is
// just being typed stays; a refused text gives way only to a new value.
func (e *Entry) ShowValue(text, unit string) {
	if e.unit.Content() != unit {
		e.unit.Set(unit)
		e.Refresh()
	}
	if e.shown == text {
		return
	}
	typing := e.Editing() && !e.refused
	e.shown = text
	if typing {
		return
	}
	e.accept()
	e.SetText(text)
	e.CursorColumn = 0
}

// ShowUsual shows pale, while there is no text, what holds then.
func (e *Entry) ShowUsual(text string) {
	if e.PlaceHolder != text {
		e.SetPlaceHolder(text)
	}
}

// Editing says whether the text differs from what the design holds.
func (e *Entry) Editing() bool {
	return e.Text != e.shown
}

// Restore brings back what the design holds.
func (e *Entry) Restore() {
	e.accept()
	e.SetText(e.shown)
}

func (e *Entry) commit() {
	if !e.Editing() {
		e.accept()
		return
	}
	if e.OnCommit == nil {
		return
	}
	typed := e.Text
	if err := e.OnCommit(typed); err != nil {
		e.refuse(err)
		return
	}
	e.accept()
	if e.Text == typed {
		e.SetText(e.shown)
	}
}

func (e *Entry) refuse(err error) {
	e.refused = true
	if e.OnRefused != nil {
		e.OnRefused(err)
	}
}

func (e *Entry) accept() {
	if !e.refused {
		return
	}
	e.refused = false
	if e.OnRefused != nil {
		e.OnRefused(nil)
	}
}

// TypedKey commits, restores or steps; every other key edits the text.
func (e *Entry) TypedKey(key *fyne.KeyEvent) {
	steps := 0
	switch key.Name {
	case fyne.KeyReturn, fyne.KeyEnter:
		e.commit()
		switch {
		case e.refused:
		case e.OnEnter != nil:
			e.OnEnter()
		default:
			e.selectAll()
		}
		return
	case fyne.KeyEscape:
		if !e.Editing() && !e.refused {
			passOn(e, key)
			return
		}
		e.Restore()
		e.selectAll()
		return
	case fyne.KeyUp:
		steps = 1
	case fyne.KeyDown:
		steps = -1
	case fyne.KeyPageUp:
		steps = coarseSteps
	case fyne.KeyPageDown:
		steps = -coarseSteps
	}
	if steps == 0 {
		e.Entry.TypedKey(key)
		return
	}
	e.commit()
	if !e.refused && e.OnStep != nil {
		e.OnStep(steps)
	}
}

// FocusGained selects the text, so that typing replaces it.
func (e *Entry) FocusGained() {
	e.Entry.FocusGained()
	e.selectAll()
	if e.OnFocus != nil {
		e.OnFocus()
	}
}

// FocusLost commits.
func (e *Entry) FocusLost() {
	e.Entry.FocusLost()
	e.commit()
}

// MouseDown remembers whether this press brings the keyboard.
func (e *Entry) MouseDown(m *desktop.MouseEvent) {
	c := fyne.CurrentApp().Driver().CanvasForObject(e)
	e.seized = c != nil && c.Focused() != fyne.Focusable(e)
	e.Entry.MouseDown(m)
}

// MouseUp selects all of the text when the press brought the keyboard and drew
// no selection of its own.
func (e *Entry) MouseUp(m *desktop.MouseEvent) {
	e.Entry.MouseUp(m)
	if e.seized && e.SelectedText() == "" {
		e.selectAll()
	}
	e.seized = false
}

func (e *Entry) selectAll() {
	e.TypedShortcut(&fyne.ShortcutSelectAll{})
}

// unitLayout puts a unit at the right end inside an entry.
type unitLayout struct{}

func (unitLayout) MinSize(objects []fyne.CanvasObject) fyne.Size {
	return objects[0].MinSize().AddWidthHeight(fynetheme.InnerPadding(), 0)
}

func (unitLayout) Layout(objects []fyne.CanvasObject, size fyne.Size) {
	objects[0].Resize(fyne.NewSize(size.Width-fynetheme.InnerPadding(), size.Height))
}
