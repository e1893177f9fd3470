package app

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/dialog"
	"fyne.io/fyne/v2/lang"
	fynetheme "fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"coilwright/app/theme"
	"coilwright/app/view"
	"coilwright/physics/design"
	"coilwright/physics/driver"
)

// askOwn asks for the model of a device, or of a clamp, of one's own. It begins with
// that of the present part, so that one figure can be changed.
func (s *driveStage) askOwn(device bool) {
	d := s.session.Design()
	at := func(d *design.Design) *design.Part {
		if device {
			return &d.Driver.Device
		}
		return &d.Driver.Clamp
	}
	kind, name := driver.Diode, "edit.driver.clamp"
	if device {
		kind, name = driver.NPN, "edit.driver.device"
	}
	entry := newLines(modelText(*at(&d), kind))
	entry.onEscape = s.dismiss
	entry.SetMinRowsVisible(modelRows)
	problem := widget.NewLabel("")
	problem.Importance = widget.DangerImportance
	problem.Wrapping = fyne.TextWrapWord
	note := widget.NewLabel(lang.L("driver.own_note"))
	note.Wrapping = fyne.TextWrapWord

	form := dialog.NewCustomWithoutButtons(lang.L("driver.own"), container.NewBorder(note, problem, nil, nil, entry), s.window)
	take := view.NewButton(lang.L("driver.own_take"), nil, func() {
		p, err := driver.ReadModel(entry.Text, kind)
		if err == nil && (p.Type == driver.Diode) == device {
			problem.SetText(lang.L("driver.own_kind"))
			return
		}
		if err != nil {
			problem.SetText(err.Error())
			return
		}
		form.Hide()
		s.session.Edit(lang.L(name), func(d *design.Design) {
			*at(d) = design.Part{Type: string(p.Type), Model: p.Model}
		})
	})
	take.Importance = widget.HighImportance
	take.OnEscape = s.dismiss
	leave := view.NewButton(lang.L("ask.cancel"), nil, form.Hide)
	leave.OnEscape = s.dismiss
	form.SetButtons([]fyne.CanvasObject{leave, take})
	form.Resize(fyne.NewSize(fynetheme.Size(theme.SizeNameDialogWidth), fynetheme.Size(theme.SizeNameDialogHeight)))
	s.Window.show(form)
	s.changed(d) // the list shows the present part again until there is another
}

// modelRows is how many lines of a model are in sight.
const modelRows = 12

// modelText returns the model of a part of the design to begin with.
func modelText(p design.Part, kind driver.Type) string {
	if p.Type != "" {
		return driver.WriteModel(driver.Stated(driver.Type(p.Type), p.Model))
	}
	if found, err := driver.Find(p.Name); err == nil {
		return driver.WriteModel(found)
	}
	for _, first := range driver.Parts() {
		if first.Type == kind {
			return driver.WriteModel(first)
		}
	}
	return ""
}
