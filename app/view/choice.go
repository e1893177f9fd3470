package view

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/lang"
	"fyne.io/fyne/v2/widget"

	"coilwright/physics/design"
)

// Choice is a row with one of a few kinds.
type Choice struct {
	*Row
	options []choiceOption
	picker  *Picker
	current func(*design.Design) int
	showing bool
}

// choiceOption is one of the kinds: its text and what picking it changes.
type choiceOption struct {
	text  string
	apply func(*design.Design)
}

// newChoice returns a row whose texts are row.KEY, hint.KEY and edit.KEY;
// current says which option a design has, -1 for none of them.
func newChoice(editor Editor, key string, options []choiceOption, current func(*design.Design) int) *Choice {
	c := &Choice{options: options, current: current}
	texts := make([]string, len(options))
	for i, o := range options {
		texts[i] = o.text
	}
	c.picker = NewPicker(texts)
	c.Row = newRow(key, lang.L("row."+key), c.picker, nil)
	c.picker.onFocus = c.focused
	c.picker.onHover = c.hint
	c.picker.OnChanged = func(string) {
		if i := c.picker.SelectedIndex(); i >= 0 && !c.showing {
			editor.Edit(lang.L("edit."+key), c.options[i].apply)
		}
	}
	return c
}

func (c *Choice) show(d *design.Design) {
	i := c.current(d)
	if i == c.picker.SelectedIndex() {
		return
	}
	c.showing = true
	defer func() { c.showing = false }()
	if i < 0 {
		c.picker.ClearSelected()
		return
	}
	c.picker.SetSelectedIndex(i)
}

func (c *Choice) setUnits(Units) {}

func (c *Choice) setOpened(design.Design) {}

// Picker is the toolkit's select, which also tells when keyboard or pointer
// arrive, opens on Enter and passes Escape on.
type Picker struct {
	widget.Select
	onFocus func()
	onHover func()
}

// NewPicker returns a picker of a few words, none of them picked.
func NewPicker(texts []string) *Picker {
	p := &Picker{}
	p.Options = texts
	p.PlaceHolder = "–"
	p.ExtendBaseWidget(p)
	return p
}

// FocusGained is part of fyne.Focusable.
func (p *Picker) FocusGained() {
	p.Select.FocusGained()
	if p.onFocus != nil {
		p.onFocus()
	}
}

// MouseIn is part of desktop.Hoverable.
func (p *Picker) MouseIn(e *desktop.MouseEvent) {
	p.Select.MouseIn(e)
	if p.onHover != nil {
		p.onHover()
	}
}

// TypedKey opens the list on Enter too.
func (p *Picker) TypedKey(e *fyne.KeyEvent) {
	if e.Name == fyne.KeyEscape {
		passOn(p, e)
		return
	}
	if e.Name == fyne.KeyReturn || e.Name == fyne.KeyEnter {
		e = &fyne.KeyEvent{Name: fyne.KeySpace, Physical: e.Physical}
	}
	p.Select.TypedKey(e)
}
