package view

import (
	"slices"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/lang"
	fynetheme "fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"coilwright/app/theme"
	"coilwright/physics/design"
	"coilwright/physics/si"
)

// Readings is the column of what was measured: the list, and the reading that is
// picked in it with everything about it.
type Readings struct {
	OnAdd    func()
	OnImport func()
	OnHint   func(key string)
	OnSay    func(text string)

	editor  Editor
	units   Units
	shown   []design.Measurement
	picked  int // -1: none
	object  fyne.CanvasObject
	scroll  *container.Scroll
	list    *widget.List
	none    *widget.Label
	card    *readingCard
	remove  *Button
	showing bool
}

// NewReadings returns a column that changes the design through an editor.
func NewReadings(editor Editor) *Readings {
	r := &Readings{editor: editor, picked: -1}
	r.list = widget.NewList(
		func() int { return len(r.shown) },
		func() fyne.CanvasObject {
			first := NewText("", fynetheme.ColorNameForeground, fynetheme.SizeNameText)
			second := NewText("", theme.ColorNameMuted, fynetheme.SizeNameCaptionText)
			first.elastic, second.elastic = true, true
			return container.New(rowsLayout{}, first, second)
		},
		func(i widget.ListItemID, o fyne.CanvasObject) {
			if i >= len(r.shown) {
				return
			}
			texts := o.(*fyne.Container).Objects
			first, second := ReadingWords(r.shown[i], r.units)
			texts[0].(*Text).Set(first)
			texts[1].(*Text).Set(second)
		},
	)
	r.list.OnSelected = func(i widget.ListItemID) {
		if !r.showing {
			r.Pick(i)
		}
	}
	r.none = widget.NewLabel(lang.L("bench.none"))
	r.none.Wrapping = fyne.TextWrapWord
	add := r.button("bench.add", func() { call(r.OnAdd) })
	imported := r.button("bench.import", func() { call(r.OnImport) })
	add.Importance, imported.Importance = widget.MediumImportance, widget.MediumImportance
	r.remove = r.button("bench.remove", r.removePicked)
	buttons := container.NewGridWithColumns(2, add, imported)
	list := newCard(lang.L("card.readings"), container.New(fixedHeight{theme.SizeNameList}, container.NewStack(r.none, r.list)), buttons)
	list.sumUp(lang.L("bench.list"))
	r.card = newReadingCard(r)
	r.card.rows.Add(container.NewHBox(r.remove))
	r.scroll = container.NewVScroll(container.New(columnLayout{}, list.Panel, r.card.Panel))
	for _, c := range []*Card{list, r.card.Card} {
		c.head.onFolded = r.scroll.Refresh
	}
	r.object = r.scroll
	return r
}

// button returns a button whose text and hint go by a key.
func (r *Readings) button(key string, tapped func()) *Button {
	b := NewButton(lang.L(key), nil, tapped)
	b.OnHint = func() { r.hint(key) }
	return b
}

func (r *Readings) hint(key string) {
	if r.OnHint != nil {
		r.OnHint(key)
	}
}

// Object returns what to put into the window.
func (r *Readings) Object() fyne.CanvasObject { return r.object }

// Picked returns the place of the reading that is picked, -1 for none.
func (r *Readings) Picked() int { return r.picked }

// Pick shows everything about the reading at a place; -1: of none.
func (r *Readings) Pick(i int) {
	if i >= len(r.shown) {
		i = len(r.shown) - 1
	}
	r.picked = i
	d := r.editor.Design()
	r.Show(d, r.units)
}

// RevealValue unfolds the card of the reading that is picked and returns what
// takes its value.
func (r *Readings) RevealValue() fyne.Focusable {
	r.card.SetFolded(false)
	return r.card.value.entry
}

// Show puts the readings of a design on screen.
func (r *Readings) Show(d design.Design, units Units) {
	r.shown, r.units = d.Measurements, units
	if r.picked >= len(r.shown) {
		r.picked = len(r.shown) - 1
	}
	if r.picked < 0 && len(r.shown) > 0 {
		r.picked = 0
	}
	setVisible(r.none, len(r.shown) == 0)
	setVisible(r.list, len(r.shown) > 0)
	setVisible(r.card.Panel, r.picked >= 0)
	r.showing = true
	r.list.Refresh()
	if r.picked >= 0 {
		r.list.Select(r.picked)
	} else {
		r.list.UnselectAll()
	}
	r.showing = false
	if r.picked >= 0 {
		r.card.show(r.shown[r.picked])
	}
	r.scroll.Content.Refresh()
	r.scroll.Refresh()
}

// edit changes the picked reading as one step.
func (r *Readings) edit(change func(*design.Measurement)) {
	at := r.picked
	r.editor.Edit(lang.L("bench.edit"), func(d *design.Design) {
		if at >= 0 && at < len(d.Measurements) {
			d.Measurements = slices.Clone(d.Measurements)
			change(&d.Measurements[at])
		}
	})
}

func (r *Readings) removePicked() {
	at := r.picked
	if at < 0 {
		return
	}
	r.editor.Edit(lang.L("bench.edit_remove"), func(d *design.Design) {
		if at < len(d.Measurements) {
			d.Measurements = slices.Delete(slices.Clone(d.Measurements), at, at+1)
		}
	})
}

// ReadingWords tells a reading in two short lines.
func ReadingWords(m design.Measurement, units Units) (first, second string) {
	unit := readingUnit(m, units)
	value := readingValue(m.Value, unit, digits)
	first = lang.L("bench.quantity."+m.Quantity) + "  " + value
	parts := []string{lang.L("bench.setup." + m.Setup)}
	if m.Quantity == "dimension" {
		parts = []string{dimensionName(m.Key)}
	}
	if m.ProbePlace != "none" && m.ProbePlace != "" && m.ProbeCapacitance > 0 {
		parts = append(parts, si.FormatPrefixed(m.ProbeCapacitance, si.Farad, 2)+" "+lang.L("bench.probe."+m.ProbePlace))
	}
	parts = append(parts, aroundWords(m, units)...)
	for _, t := range []string{m.Date, m.Instrument} {
		if t != "" {
			parts = append(parts, t)
		}
	}
	return first, strings.Join(parts, " · ")
}

// ReadingName is a reading in a few letters, for a figure.
func ReadingName(m design.Measurement) string {
	name := lang.L("bench.short." + m.Quantity)
	if near := around(m).Near; near != "" {
		for _, n := range readingNear {
			if n.word == near {
				return name + ", " + lang.L("bench.short_near."+n.text)
			}
		}
	}
	switch {
	case m.Quantity == "dimension":
		return dimensionName(m.Key)
	case m.Quantity == "frequency" && m.ProbeCapacitance > 0 && m.ProbePlace != "none" && m.ProbePlace != "foot":
		return name + ", " + si.FormatPrefixed(m.ProbeCapacitance, si.Farad, 2)
	case m.Quantity == "frequency" || m.Quantity == "quality_factor" || m.Quantity == "capacitance":
		return name + ", " + lang.L("bench.short_setup."+m.Setup)
	}
	return name
}

// readingUnit is the unit that a reading is typed and shown in.
func readingUnit(m design.Measurement, units Units) si.Unit {
	length := si.Millimetre
	if units == Inches {
		length = si.Inch
	}
	switch m.Quantity {
	case "frequency":
		return si.Megahertz
	case "inductance":
		return si.Microhenry
	case "resistance":
		return si.Ohm
	case "capacitance":
		return si.Picofarad
	case "gap":
		return length
	case "supply_current":
		return si.Milliampere
	case "dimension":
		if strings.HasSuffix(m.Key, "_m") {
			return length
		}
	}
	return si.Plain
}

// celsius is the sign of the only quantity whose unit is not of package si: a
// design keeps temperatures in degrees.
const celsius = "°C"

func readingSymbol(m design.Measurement, unit si.Unit) string {
	if m.Quantity == "temperature" {
		return celsius
	}
	return unit.Symbol()
}

func readingValue(v float64, unit si.Unit, digits int) string {
	switch unit {
	case si.Megahertz:
		return si.FormatPrefixed(v, si.Hertz, digits)
	case si.Microhenry:
		return si.FormatPrefixed(v, si.Henry, digits)
	case si.Picofarad:
		return si.FormatPrefixed(v, si.Farad, digits)
	case si.Milliampere:
		return si.FormatPrefixed(v, si.Ampere, digits)
	}
	return si.Format(v, unit, digits)
}

// reveal keeps the row that takes the keyboard in sight of the scroll.
func (r *Readings) reveal(o fyne.CanvasObject) {
	top := r.card.top(o) - r.scroll.Offset.Y
	bottom := top + o.Size().Height
	switch {
	case top < 0:
		r.scroll.ScrollToOffset(fyne.NewPos(0, r.scroll.Offset.Y+top))
	case bottom > r.scroll.Size().Height:
		r.scroll.ScrollToOffset(fyne.NewPos(0, r.scroll.Offset.Y+bottom-r.scroll.Size().Height))
	default:
		canvas.Refresh(o)
	}
}
