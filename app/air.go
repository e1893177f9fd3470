package app

import (
	"context"
	"errors"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/lang"
	"fyne.io/fyne/v2/layout"
	fynetheme "fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"coilwright/app/session"
	"coilwright/app/theme"
	"coilwright/app/view"
	"coilwright/physics/breakdown"
	"coilwright/physics/design"
)

// firstAir is what the sheet about the air begins with where no driver says otherwise.
var firstAir = view.AirState{Volts: 5e3, Near: design.Near{Distance: 0.3}}

// showAir shows where the coil on screen glows, flashes over and reaches.
func (w *Window) showAir() {
	if w.last == nil || w.last.Err != nil || w.last.Quick {
		note := widget.NewLabel(lang.L("air.none"))
		note.Wrapping = fyne.TextWrapWord
		w.showSheet(lang.L("menu.air"), note, note.MinSize().Height)
		return
	}
	r := w.last
	solve := func(dispatch func(func())) {
		field, err := design.NewSolver().Field(context.Background(), r.Design)
		dispatch(func() {
			if err == nil && w.last.Number == r.Number { // else the coil has changed meanwhile
				w.openAir(r, field)
			}
		})
	}
	switch {
	case r.Curves.Field != nil:
		w.openAir(r, r.Curves.Field)
	case w.synchronous:
		solve(func(f func()) { f() })
	default:
		go solve(fyne.Do)
	}
}

func (w *Window) openAir(r *session.Result, field *design.Field) {
	state := firstAir
	driven := topVolts(r) > 0
	if driven {
		state.Volts = topVolts(r)
	}
	sheet := view.NewAir(state, driven, w.units, func(s view.AirState) view.AirNumbers { return airNumbers(r, field, s) })
	rows := sheet.Object()
	rows.Resize(fyne.NewSize(fynetheme.Size(theme.SizeNameDialogWidth)-sheetEdges, 0))
	beside := layout.NewCustomPaddedLayout(0, 0, 0, fynetheme.ScrollBarSize())
	w.showSheet(lang.L("menu.air"), container.NewVScroll(container.New(beside, rows)), rows.MinSize().Height)
}

// airNumbers gathers what holds of a coil in a state.
func airNumbers(r *session.Result, field *design.Field, s view.AirState) view.AirNumbers {
	n := view.AirNumbers{Air: r.Report.Air, Frequency: field.Frequency}
	if sparks, err := field.Sparks(s.Volts); err == nil {
		n.Sparks = &sparks
	}
	if p := r.Report.Driver.CoilPower; p != nil {
		if sparks, err := breakdown.SparkByPower(*p); err == nil {
			n.PowerSparks = &sparks
		}
	}
	if near, far, err := field.TubeDistance(s.Volts); err == nil {
		n.TubeNear, n.TubeFar = near, far
	}
	if levels, err := breakdown.ReferenceLevels(field.Frequency); err == nil {
		for _, level := range levels {
			reach, err := field.Distance(s.Volts, breakdown.CrestOf(level.Field))
			if err != nil {
				continue
			}
			n.Levels, n.LevelReaches = append(n.Levels, level), append(n.LevelReaches, reach)
		}
	}
	switch effect, err := field.Near(s.Near); {
	case err == nil:
		n.Near = &effect
	case errors.Is(err, design.ErrNear):
		n.NearProblem = lang.L("air.near.refused")
	}
	return n
}
