package app

import (
	"bytes"
	"fmt"

	"fyne.io/fyne/v2"

	"coilwright/assets"
	"coilwright/physics/design"
)

// firstExample returns the design that the window opens on: the first of the
// examples.
func firstExample() (design.Design, error) {
	examples := assets.Examples()
	if len(examples) == 0 {
		return design.New(), nil
	}
	return readExample(examples[0])
}

func readExample(e assets.Example) (design.Design, error) {
	d, err := design.Read(bytes.NewReader(e.Content))
	if err != nil {
		return design.Design{}, fmt.Errorf("example %s: %w", e.Name, err)
	}
	return d, nil
}

// exampleItems lists the examples under their designs' names.
func (w *Window) exampleItems() []*fyne.MenuItem {
	var items []*fyne.MenuItem
	for _, e := range assets.Examples() {
		d, err := readExample(e)
		if err != nil {
			continue // a test reads every example; a menu is no place to say so
		}
		items = append(items, fyne.NewMenuItem(d.Name, func() {
			w.leave(func() { w.session.New(d) })
		}))
	}
	return items
}
