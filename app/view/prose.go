package view

import (
	"slices"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	fynetheme "fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"coilwright/app/theme"
)

// Prose is a column of headed texts to read, with what can be done about each,
// that scrolls where there are more of them than room.
type Prose struct {
	sections []Section
	column   *fyne.Container
	scroll   *container.Scroll
	object   fyne.CanvasObject
}

// Section is a heading, what is said under it and what can be done about it.
type Section struct {
	Title   string
	Lines   []string
	Objects []fyne.CanvasObject // buttons and entries below; may be nil
}

// NewProse returns a column with nothing in it.
func NewProse() *Prose {
	p := &Prose{column: container.New(columnLayout{})}
	p.scroll = container.NewVScroll(p.column)
	p.object = NewPanel(p.scroll, theme.SizeNameInset)
	return p
}

// Object returns what to put into the window.
func (p *Prose) Object() fyne.CanvasObject { return p.object }

// Text returns all that is said.
func (p *Prose) Text() string {
	var all string
	for _, s := range p.sections {
		all += s.Title + "\n"
		for _, l := range s.Lines {
			all += l + "\n"
		}
	}
	return all
}

// Set replaces what is said; the same again costs nothing and leaves the place
// where one reads.
func (p *Prose) Set(sections []Section) {
	same := slices.EqualFunc(sections, p.sections, func(a, b Section) bool {
		return a.Title == b.Title && slices.Equal(a.Lines, b.Lines) && slices.Equal(a.Objects, b.Objects)
	})
	if same {
		return
	}
	p.sections = sections
	p.column.Objects = nil
	for _, s := range sections {
		var rows []fyne.CanvasObject
		if s.Title != "" {
			title := NewText(s.Title, fynetheme.ColorNameForeground, theme.SizeNameTitleText)
			title.style.Bold = true
			rows = append(rows, title)
		}
		for _, line := range s.Lines {
			text := widget.NewLabel(line)
			text.Wrapping = fyne.TextWrapWord
			rows = append(rows, text)
		}
		rows = append(rows, s.Objects...)
		p.column.Add(container.New(rowsLayout{}, rows...))
	}
	p.scroll.Refresh()
}
