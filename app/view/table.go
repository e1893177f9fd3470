package view

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	fynetheme "fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"coilwright/app/theme"
)

// Table is a list with columns, whose heads sort it. A click, or Space, picks a
// row, a double click opens it.
type Table struct {
	OnSort func(column int)
	OnPick func(row int) // -1: none
	OnOpen func(row int)

	columns []Column
	heads   []*Button
	list    *widget.List
	rows    [][]string
	picked  int // -1: none
	object  fyne.CanvasObject
}

// Column is one column of a table.
type Column struct {
	Title string
	Share float32 // of the width
	Fixed bool    // cannot be sorted by
}

// NewTable returns a table without rows.
func NewTable(columns []Column) *Table {
	t := &Table{columns: columns, picked: -1}
	head := container.New(sharesLayout{columns: columns})
	for i, c := range columns {
		b := NewButton(c.Title, nil, func() {
			if t.OnSort != nil && !columns[i].Fixed {
				t.OnSort(i)
			}
		})
		b.Alignment = widget.ButtonAlignLeading
		if c.Fixed {
			b.Disable()
		}
		t.heads = append(t.heads, b)
		head.Add(b)
	}
	t.list = widget.NewList(
		func() int { return len(t.rows) },
		func() fyne.CanvasObject {
			row := &tableRow{}
			for range columns {
				cell := NewText("", fynetheme.ColorNameForeground, fynetheme.SizeNameText)
				cell.elastic = true
				row.cells = append(row.cells, cell)
			}
			row.columns = columns
			row.ExtendBaseWidget(row)
			return row
		},
		func(i widget.ListItemID, o fyne.CanvasObject) {
			row := o.(*tableRow)
			row.opened = func() {
				if t.OnOpen != nil {
					t.OnOpen(i)
				}
			}
			row.picked = func() { t.list.Select(i) }
			for j, cell := range row.cells {
				text := ""
				if i < len(t.rows) && j < len(t.rows[i]) {
					text = t.rows[i][j]
				}
				cell.Set(text)
			}
		},
	)
	t.list.OnSelected = func(i widget.ListItemID) { t.pick(i) }
	t.list.OnUnselected = func(widget.ListItemID) { t.pick(-1) }
	t.object = container.NewBorder(head, nil, nil, nil, t.list)
	return t
}

// Object returns what to put into the window.
func (t *Table) Object() fyne.CanvasObject { return t.object }

// Picked returns the row that is picked, -1 for none.
func (t *Table) Picked() int { return t.picked }

func (t *Table) pick(row int) {
	t.picked = row
	if t.OnPick != nil {
		t.OnPick(row)
	}
}

// Rows returns what the table shows.
func (t *Table) Rows() [][]string { return t.rows }

// Show replaces the rows and marks the column that they are sorted by, -1 for
// none.
func (t *Table) Show(rows [][]string, sorted int, descending bool) {
	t.rows = rows
	for i, b := range t.heads {
		title := t.columns[i].Title
		if i == sorted {
			mark := " ▲"
			if descending {
				mark = " ▼"
			}
			title += mark
		}
		if b.Text != title {
			b.SetText(title)
		}
	}
	t.list.UnselectAll()
	t.list.Refresh()
}

// tableRow is one row.
type tableRow struct {
	widget.BaseWidget
	columns        []Column
	cells          []*Text
	picked, opened func()
}

// CreateRenderer is part of fyne.Widget.
func (r *tableRow) CreateRenderer() fyne.WidgetRenderer {
	objects := make([]fyne.CanvasObject, len(r.cells))
	for i, c := range r.cells {
		objects[i] = c
	}
	return widget.NewSimpleRenderer(container.New(sharesLayout{r.columns, true}, objects...))
}

// Name returns what stands in the first column.
func (r *tableRow) Name() string { return r.cells[0].Content() }

// Tapped picks the row.
func (r *tableRow) Tapped(*fyne.PointEvent) { call(r.picked) }

// DoubleTapped opens the row.
func (r *tableRow) DoubleTapped(*fyne.PointEvent) { call(r.opened) }

// sharesLayout gives every object its share of the width.
type sharesLayout struct {
	columns []Column
	inset   bool // as the texts of the heads are in their buttons
}

func (sharesLayout) MinSize(objects []fyne.CanvasObject) fyne.Size {
	var height float32
	for _, o := range objects {
		height = max(height, o.MinSize().Height)
	}
	return fyne.NewSize(0, height)
}

func (l sharesLayout) Layout(objects []fyne.CanvasObject, size fyne.Size) {
	gap := fynetheme.Padding()
	var x float32
	for i, o := range objects {
		width := l.columns[i].Share * size.Width
		inset := float32(0)
		if l.inset {
			inset = fynetheme.InnerPadding()
		}
		place(o, x+inset, 0, width-gap-inset, size.Height)
		x += width
	}
}

// NewPanelOf puts content on the ground of figures and cards.
func NewPanelOf(content fyne.CanvasObject) fyne.CanvasObject {
	return NewPanel(content, theme.SizeNameFigureInset)
}

// NewOver puts one object over another, each with half of the height.
func NewOver(upper, lower fyne.CanvasObject) fyne.CanvasObject {
	return container.New(overLayout{}, upper, lower)
}

type overLayout struct{}

func (overLayout) MinSize(objects []fyne.CanvasObject) fyne.Size {
	a, b := objects[0].MinSize(), objects[1].MinSize()
	return fyne.NewSize(max(a.Width, b.Width), a.Height+b.Height+fynetheme.Size(theme.SizeNameGap))
}

func (overLayout) Layout(objects []fyne.CanvasObject, size fyne.Size) {
	gap := fynetheme.Size(theme.SizeNameGap)
	half := (size.Height - gap) / 2
	place(objects[0], 0, 0, size.Width, half)
	place(objects[1], 0, half+gap, size.Width, size.Height-half-gap)
}
