package app

import (
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/lang"
)

// otherKeys are the keys that stand in no menu, each with the text that says
// what it does.
var otherKeys = []string{"alt", "tab", "arrows", "page", "enter", "escape", "space", "wheel", "double", "closer", "moved", "figure_wheel", "figure_double"}

// keyRows lists every key of the program and what it does: those of the menus,
// as they stand there, and the others.
func (w *Window) keyRows() [][2]string {
	var rows [][2]string
	var walk func(items []*fyne.MenuItem)
	walk = func(items []*fyne.MenuItem) {
		for _, i := range items {
			if i.ChildMenu != nil {
				walk(i.ChildMenu.Items)
			}
			if keys := keysOf(i.Shortcut); keys != "" {
				rows = append(rows, [2]string{keys, i.Label})
			}
		}
	}
	for _, m := range w.menu.main.Items {
		walk(m.Items)
	}
	for _, key := range otherKeys {
		rows = append(rows, [2]string{lang.L("keys." + key), lang.L("does." + key)})
	}
	return rows
}

// keysOf writes a shortcut as it is printed on the keys.
func keysOf(s fyne.Shortcut) string {
	keyed, ok := s.(fyne.KeyboardShortcut)
	if !ok {
		return ""
	}
	var parts []string
	for _, m := range []struct {
		modifier fyne.KeyModifier
		name     string
	}{
		{fyne.KeyModifierControl, "Ctrl"}, {fyne.KeyModifierSuper, "Cmd"},
		{fyne.KeyModifierAlt, "Alt"}, {fyne.KeyModifierShift, "Shift"},
	} {
		if keyed.Mod()&m.modifier != 0 {
			parts = append(parts, m.name)
		}
	}
	return strings.Join(append(parts, string(keyed.Key())), "+")
}

// showKeys shows the list of keys.
func (w *Window) showKeys() {
	var list strings.Builder
	for _, row := range w.keyRows() {
		list.WriteString("- **" + row[0] + "**: " + row[1] + "\n")
	}
	w.showPage(page{"menu.keys", list.String()})
}
