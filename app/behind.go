package app

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/lang"
	"fyne.io/fyne/v2/widget"

	"coilwright/app/view"
)

// showBehind shows what lies behind frequency and quality factor of the result on
// screen.
func (w *Window) showBehind() {
	if w.last == nil || w.last.Err != nil {
		note := widget.NewLabel(lang.L("behind.none"))
		note.Wrapping = fyne.TextWrapWord
		w.showSheet(lang.L("menu.behind"), note, note.MinSize().Height)
		return
	}
	rows := view.NewBehind(w.last, w.units, w.showTolerances)
	w.showRows("menu.behind", rows)
}

// showTolerances leads from what makes the frequency uncertain to where the
// tolerance that matters most is stated.
func (w *Window) showTolerances() {
	inputs := w.last.Report.Resonance.FrequencyInputs
	if len(inputs) == 0 {
		w.lead("tolerances")
		return
	}
	w.lead(view.ToleranceOf(inputs[0].Key))
}
