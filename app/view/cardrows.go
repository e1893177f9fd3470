package view

import (
	"fyne.io/fyne/v2"

	"coilwright/physics/design"
)

// item is a row that shows a part of the design.
type item interface {
	row() *Row
	show(*design.Design)
	setUnits(Units)
	setOpened(design.Design)
}

// cardRows is a card whose rows come and go with what the design is.
type cardRows struct {
	*Card
	items []cardItem
}

type cardItem struct {
	item
	applies func(*design.Design) bool // nil: always
}

func newCardRows(title string) *cardRows {
	return &cardRows{Card: newCard(title)}
}

// add appends a row that is in sight where it applies; nil applies always.
func (c *cardRows) add(i item, applies func(*design.Design) bool) {
	c.items = append(c.items, cardItem{i, applies})
	c.rows.Add(i.row())
}

// show puts the design's values on screen, and the rows that apply to it.
func (c *cardRows) show(d *design.Design) {
	changed := false
	for _, i := range c.items {
		applies := i.applies == nil || i.applies(d)
		if applies != i.row().Visible() {
			changed = true
			setVisible(i.row(), applies)
		}
		if applies {
			i.show(d)
		}
	}
	if changed {
		c.Panel.Refresh()
		if c.head.onFolded != nil {
			c.head.onFolded()
		}
	}
}

func (c *cardRows) setUnits(u Units) {
	for _, i := range c.items {
		i.setUnits(u)
	}
}

func (c *cardRows) setOpened(d design.Design) {
	for _, i := range c.items {
		i.setOpened(d)
	}
}

// quantity returns the row of a key, nil if the card has none.
func (c *cardRows) quantity(key string) *Quantity {
	for _, i := range c.items {
		if q, ok := i.item.(*Quantity); ok && q.spec.key == key {
			return q
		}
	}
	return nil
}

func setVisible(o fyne.CanvasObject, visible bool) {
	if visible {
		o.Show()
	} else {
		o.Hide()
	}
}
