package app

import (
	"slices"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/dialog"
	"fyne.io/fyne/v2/lang"
	fynetheme "fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"coilwright/app/theme"
	"coilwright/app/view"
)

// placesShown is how many values are offered to go to; a letter more of the name
// brings what is not among them.
const placesShown = 8

// columnOf is a column of cards and the stage it stands in.
type columnOf struct {
	stage string
	cards *view.Cards
}

// columns are the columns with values of the design, that of the present stage
// first.
func (w *Window) columns() []columnOf {
	all := []columnOf{{stageShape, w.cards}}
	for _, s := range w.stages {
		if d, ok := s.stage.(*driveStage); ok {
			w.built(s)
			d.cards.SetUnits(w.units)
			d.cards.Show(w.session.Design())
			all = append(all, columnOf{stageDrive, d.cards})
		}
	}
	slices.SortStableFunc(all, func(a, b columnOf) int {
		switch w.current().key {
		case a.stage:
			return -1
		case b.stage:
			return 1
		}
		return 0
	})
	return all
}

// target is a value that can be gone to.
type target struct {
	columnOf
	view.Place
}

// targets are the values whose names hold every one of some words.
func targets(columns []columnOf, words string) []target {
	var found []target
	for _, c := range columns {
		for _, p := range c.cards.Places() {
			fits := !slices.ContainsFunc(found, func(t target) bool { return t.Key == p.Key })
			for _, word := range strings.Fields(strings.ToLower(words)) {
				fits = fits && strings.Contains(strings.ToLower(p.Words), word)
			}
			if fits {
				found = append(found, target{c, p})
			}
		}
	}
	return found
}

// goTo asks for the name of a value, or a few letters of it, and gives the
// keyboard to its row, wherever that stands.
func (w *Window) goTo() {
	w.window.Canvas().Unfocus() // commits what is being typed
	columns := w.columns()
	name := newLine("")
	name.PlaceHolder = lang.L("goto.name")
	none := widget.NewLabel(lang.L("goto.none"))
	list := container.NewVBox(none)
	var d *dialog.CustomDialog
	var found []target
	picked := 0
	take := func(i int) {
		if i < len(found) {
			d.Hide()
			w.enterStage(found[i].stage)
			w.window.Canvas().Focus(found[i].cards.RevealKey(found[i].Key))
		}
	}
	var offers [placesShown]*view.Button
	for i := range offers {
		offers[i] = view.NewButton("", nil, func() { take(i) })
		offers[i].Alignment = widget.ButtonAlignLeading
		offers[i].OnEscape = w.dismiss
		list.Add(offers[i])
	}
	show := func() {
		found = targets(columns, name.Text)
		found = found[:min(len(found), placesShown)]
		picked = min(max(picked, 0), max(len(found)-1, 0))
		for i, b := range offers {
			if i >= len(found) {
				b.Hide()
				continue
			}
			b.Importance = widget.LowImportance
			if i == picked {
				b.Importance = widget.HighImportance
			}
			b.SetText(found[i].Words)
			b.Show()
		}
		if none.Hide(); len(found) == 0 {
			none.Show()
		}
	}
	name.OnChanged = func(string) { picked = 0; show() }
	name.OnSubmitted = func(string) { take(picked) }
	name.onEscape = w.dismiss
	name.onStep = func(steps int) { picked += steps; show() }
	show()
	d = dialog.NewCustomWithoutButtons(strings.TrimSuffix(lang.L("menu.goto"), "…"), container.NewBorder(name, nil, nil, nil, list), w.window)
	cancel := view.NewButton(lang.L("ask.cancel"), nil, w.dismiss)
	cancel.Importance = widget.MediumImportance
	cancel.OnEscape = w.dismiss
	d.SetButtons([]fyne.CanvasObject{cancel})
	d.Resize(fyne.NewSize(fynetheme.Size(theme.SizeNameQuestionWidth), 0))
	w.show(d)
	w.window.Canvas().Focus(name)
}
