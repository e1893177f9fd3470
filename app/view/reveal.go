package view

import (
	"strings"

	"fyne.io/fyne/v2"
	fynetheme "fyne.io/fyne/v2/theme"

	"coilwright/app/theme"
)

// Reveal unfolds the card of a name and brings it into sight.
func (c *Cards) Reveal(name string) {
	for _, n := range c.cards {
		if n.name != name {
			continue
		}
		parts := n.parts()
		parts.SetFolded(false)
		c.reveal(parts, parts.Panel)
		c.reveal(parts, parts.head)
	}
}

// insteads are the rows to go to for keys of a design that have no row of their
// own, or not in the way it is given just now; the first in sight counts.
var insteads = map[string][]string{
	"secondary.pitch_m":                      {"secondary.winding_height", "secondary.counted_length", "secondary.spacing"},
	"secondary.packing":                      {"secondary.spacing"},
	"secondary.wire.overall_diameter_m":      {"secondary.wire.gauge"},
	"secondary.enamel_relative_permittivity": {"secondary.enamel", "secondary.wire.insulation"},
	"top_load.wire.overall_diameter_m":       {"top_load.wire.gauge"},
	"top_load.wire.insulation":               {"top_load.wire.gauge"},
	"top_load.lead.wire.overall_diameter_m":  {"top_load.lead.wire.gauge"},
	"top_load.lead.wire.insulation":          {"top_load.lead.wire.gauge"},
	"primary.wire.overall_diameter_m":        {"primary.wire.gauge"},
	"room.air_pressure_pa":                   {"room.air_temperature_c"},
	"driver.gate_zener":                      {"driver.gate_resistor_ohm"},
}

// RevealKey unfolds the card that a key of the design is changed in, brings its
// row into sight and returns what of it takes the keyboard. A key without a row
// leads to the one that stands for it, or to the first of its card. It returns nil
// if the column has no such card.
func (c *Cards) RevealKey(key string) fyne.Focusable {
	parts, row := c.rowFor(key)
	if row == nil {
		return nil
	}
	parts.SetFolded(false)
	c.reveal(parts, row)
	return row.focusable()
}

// rowFor returns the row in sight to change a key with, and its card; nil: there
// is none.
func (c *Cards) rowFor(key string) (*cardRows, *Row) {
	for _, name := range append([]string{key}, insteads[key]...) {
		if parts, row := c.visibleRow(name); row != nil {
			return parts, row
		}
	}
	if whole, _, ok := cutLast(key); ok {
		return c.rowFor(whole)
	}
	for _, n := range c.cards {
		if n.name != key {
			continue
		}
		for _, i := range n.parts().items {
			if i.row().Visible() {
				return n.parts(), i.row()
			}
		}
	}
	return nil, nil
}

// visibleRow returns the row of just this key if it is in sight, folded or not.
func (c *Cards) visibleRow(key string) (*cardRows, *Row) {
	for _, n := range c.cards {
		for _, i := range n.parts().items {
			if i.row().key == key && i.row().Visible() {
				return n.parts(), i.row()
			}
		}
	}
	return nil, nil
}

// cutLast cuts the last name from a key.
func cutLast(key string) (whole, last string, ok bool) {
	at := strings.LastIndexByte(key, '.')
	if at < 0 {
		return key, "", false
	}
	return key[:at], key[at+1:], true
}

// reveal scrolls just so far that a part of a card is in sight.
func (c *Cards) reveal(parts *cardRows, o fyne.CanvasObject) {
	top := parts.top(o)
	bottom := top + o.Size().Height
	margin := fynetheme.Size(theme.SizeNameInset)
	offset := c.scroll.Offset.Y
	switch {
	case top-margin < offset:
		offset = max(top-margin, 0)
	case bottom+margin > offset+c.scroll.Size().Height:
		offset = bottom + margin - c.scroll.Size().Height
	default:
		return
	}
	c.scroll.ScrollToOffset(fyne.NewPos(0, offset))
}
