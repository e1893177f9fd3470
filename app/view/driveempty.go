package view

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/lang"
	fynetheme "fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"coilwright/app/theme"
	"coilwright/physics/design"
)

// DriveEmpty stands in the place of answers where a design has no driver: it says
// what a driver is for and offers the kinds there are.
type DriveEmpty struct {
	OnPick func(kind string)

	object  fyne.CanvasObject
	buttons []*Button
}

// offeredDrivers are the kinds in the order of how little they can hurt.
var offeredDrivers = []string{design.FeedbackExciter, design.HalfBridge, design.SparkGap}

// NewDriveEmpty returns such a place.
func NewDriveEmpty() *DriveEmpty {
	e := &DriveEmpty{}
	title := NewText(lang.L("drive.empty_title"), fynetheme.ColorNameForeground, fynetheme.SizeNameSubHeadingText)
	title.style.Bold = true
	column := container.NewVBox(title, wrappedLabel(lang.L("drive.empty")))
	for _, kind := range offeredDrivers {
		b := NewButton(lang.L("driver."+kind), nil, func() { e.OnPick(kind) })
		b.Importance = widget.MediumImportance
		e.buttons = append(e.buttons, b)
		button := NewSized(theme.SizeNameColumnWide, theme.SizeNameRow, b)
		column.Add(container.NewBorder(nil, nil, container.NewVBox(button), nil, wrappedLabel(lang.L("drive.empty_"+kind))))
	}
	column.Add(wrappedLabel(lang.L("drive.empty_caution")))
	e.object = NewPanel(container.NewVScroll(column), theme.SizeNameInset)
	return e
}

func wrappedLabel(text string) *widget.Label {
	l := widget.NewLabel(text)
	l.Wrapping = fyne.TextWrapWord
	return l
}

// Object returns what to put into the window.
func (e *DriveEmpty) Object() fyne.CanvasObject { return e.object }

// Offers returns the words on the buttons.
func (e *DriveEmpty) Offers() []string {
	var words []string
	for _, b := range e.buttons {
		words = append(words, b.Text)
	}
	return words
}

// Pick presses the button at a place.
func (e *DriveEmpty) Pick(i int) { e.buttons[i].OnTapped() }
