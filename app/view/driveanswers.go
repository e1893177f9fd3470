package view

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/lang"
	fynetheme "fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"coilwright/app/session"
	"coilwright/app/theme"
)

// DriveAnswers says what a driver does: the one thing to do first, and below it
// every number with its name.
type DriveAnswers struct {
	OnHint     func(key string) // the pointer is over a number: drive_KEY
	OnCauses   func()           // all that is wrong is asked for
	OnSymptoms func()           // something else is seen on the bench

	object fyne.CanvasObject
	mark   *widget.Icon
	advice *Paragraph
	causes *Button
	lines  []*factLine
	column *fyne.Container
}

// NewDriveAnswers returns a panel that says nothing yet.
func NewDriveAnswers() *DriveAnswers {
	a := &DriveAnswers{mark: widget.NewIcon(nil), advice: NewParagraph(), column: container.New(rowsLayout{})}
	a.causes = NewButton(lang.L("drive.all_causes"), nil, func() {
		if a.OnCauses != nil {
			a.OnCauses()
		}
	})
	a.causes.Importance = widget.MediumImportance
	symptoms := NewButton(lang.L("drive.symptoms"), nil, func() {
		if a.OnSymptoms != nil {
			a.OnSymptoms()
		}
	})
	symptoms.Importance = widget.MediumImportance
	head := container.New(adviceLayout{}, a.mark, container.New(fixedHeight{theme.SizeNameHint}, a.advice))
	buttons := container.NewGridWithColumns(2, a.causes, symptoms)
	a.object = NewPanel(container.NewBorder(head, buttons, nil, nil, container.NewVScroll(a.column)), theme.SizeNameInset)
	return a
}

// adviceLayout puts a mark at the left of a text.
type adviceLayout struct{}

func (adviceLayout) MinSize(objects []fyne.CanvasObject) fyne.Size {
	icon := fynetheme.IconInlineSize()
	return fyne.NewSize(icon, objects[1].MinSize().Height)
}

func (adviceLayout) Layout(objects []fyne.CanvasObject, size fyne.Size) {
	icon := fynetheme.IconInlineSize()
	place(objects[0], 0, 0, icon, icon)
	left := icon + fynetheme.Padding()
	place(objects[1], left, 0, size.Width-left, size.Height)
}

// Object returns what to put into the window.
func (a *DriveAnswers) Object() fyne.CanvasObject {
	return a.object
}

// Show puts an answer on screen.
func (a *DriveAnswers) Show(r *session.DriveResult) {
	advice, alarm := driveAdvice(r)
	a.advice.Set(advice)
	switch {
	case alarm:
		a.mark.SetResource(fynetheme.Current().Icon(theme.IconNameProblem))
	case r.Done || r.Drive.Judged:
		a.mark.SetResource(fynetheme.Current().Icon(theme.IconNameFine))
	default: // nobody can say yet
		a.mark.SetResource(nil)
	}
	a.causes.SetEnabled(len(DriveItems(&r.Drive)) > 0)
	facts := driveFacts(r)
	for len(a.lines) < len(facts) {
		l := newFactLine()
		l.onHint = func(key string) {
			if a.OnHint != nil {
				a.OnHint("drive_" + key)
			}
		}
		a.lines = append(a.lines, l)
		a.column.Add(l)
	}
	changed := false
	for i, l := range a.lines {
		if i < len(facts) {
			l.set(facts[i])
		}
		if visible := i < len(facts); visible != l.Visible() {
			setVisible(l, visible)
			changed = true
		}
	}
	if changed {
		a.column.Refresh()
	}
}

// Advice returns the one thing to do first.
func (a *DriveAnswers) Advice() string { return a.advice.Content() }

// Values returns names and numbers as they stand on screen.
func (a *DriveAnswers) Values() map[string]string {
	values := map[string]string{}
	for _, l := range a.lines {
		if l.Visible() {
			values[l.name.Content()] = l.value.Content()
		}
	}
	return values
}

// factLine is a name and a number.
type factLine struct {
	widget.BaseWidget
	key         string
	name, value *Text
	box         *fyne.Container
	onHint      func(key string)
}

func newFactLine() *factLine {
	l := &factLine{
		name:  NewText("", theme.ColorNameMuted, fynetheme.SizeNameCaptionText),
		value: NewText("", fynetheme.ColorNameForeground, fynetheme.SizeNameText),
	}
	l.name.elastic, l.value.elastic = true, true
	l.value.style.Bold = true
	l.value.align = fyne.TextAlignTrailing
	l.box = container.New(factLayout{}, l.name, l.value)
	l.ExtendBaseWidget(l)
	return l
}

func (l *factLine) set(f driveFact) {
	if l.key != f.key {
		l.key = f.key
		l.name.Set(lang.L("drive." + f.key))
	}
	if l.value.Content() != f.value {
		l.value.Set(f.value)
		l.box.Refresh() // name and value share the width anew
	}
	color := fynetheme.ColorNameForeground
	if f.alarm {
		color = fynetheme.ColorNameError
	}
	l.value.Paint(color)
}

// MouseIn is part of desktop.Hoverable.
func (l *factLine) MouseIn(*desktop.MouseEvent) {
	if l.onHint != nil {
		l.onHint(l.key)
	}
}

// MouseMoved is part of desktop.Hoverable.
func (l *factLine) MouseMoved(*desktop.MouseEvent) {}

// MouseOut is part of desktop.Hoverable.
func (l *factLine) MouseOut() {}

// CreateRenderer is part of fyne.Widget.
func (l *factLine) CreateRenderer() fyne.WidgetRenderer {
	return widget.NewSimpleRenderer(l.box)
}

// factLayout gives the value what it needs and the name the rest, but at least a
// third.
type factLayout struct{}

func (factLayout) MinSize(objects []fyne.CanvasObject) fyne.Size {
	return fyne.NewSize(0, max(objects[0].MinSize().Height, objects[1].MinSize().Height))
}

func (factLayout) Layout(objects []fyne.CanvasObject, size fyne.Size) {
	name, value := objects[0].(*Text), objects[1].(*Text)
	size.Width -= fynetheme.ScrollBarSize() // the bar that scrolls the lines stands there
	width := max(size.Width/3, min(name.natural()+fynetheme.Padding(), size.Width-value.natural()))
	place(name, 0, 0, width, size.Height)
	place(objects[1], width, 0, size.Width-width, size.Height)
}
