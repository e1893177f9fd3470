package app

import (
	"path/filepath"
	"slices"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/lang"

	"coilwright/app/theme"
	"coilwright/app/view"
)

// menu is the main menu with the items that change.
type menu struct {
	main                *fyne.MainMenu
	file, edit          *fyne.Menu
	recent, previous    *fyne.MenuItem
	undo, redo          *fyne.MenuItem
	millimetres, inches *fyne.MenuItem
	follow, light, dark *fyne.MenuItem
	scales              []*fyne.MenuItem // in the order of scales
	largeText           *fyne.MenuItem
	stages              []*fyne.MenuItem // empty while there is only one
	shown               menuState
}

// menuState is what the items depend on; a menu is built again only when it
// changes.
type menuState struct {
	undo, redo string
	recent     string
	filed      bool // the design has a file
	units      view.Units
	appearance theme.Appearance
	stage      int
	scale      int
	largeText  bool
}

func control(key fyne.KeyName) fyne.Shortcut {
	return &desktop.CustomShortcut{KeyName: key, Modifier: fyne.KeyModifierShortcutDefault}
}

func controlShift(key fyne.KeyName) fyne.Shortcut {
	return &desktop.CustomShortcut{KeyName: key, Modifier: fyne.KeyModifierShortcutDefault | fyne.KeyModifierShift}
}

func item(key string, shortcut fyne.Shortcut, action func()) *fyne.MenuItem {
	i := fyne.NewMenuItem(lang.L(key), action)
	i.Shortcut = shortcut
	return i
}

func (w *Window) buildMenu() {
	m := &w.menu
	m.recent = item("menu.recent", nil, nil)
	m.recent.ChildMenu = fyne.NewMenu("")
	fresh := item("menu.new", nil, nil)
	fresh.ChildMenu = fyne.NewMenu("", w.exampleItems()...)
	m.previous = item("menu.previous", nil, w.previousVersion)
	quit := item("menu.quit", control(fyne.KeyQ), w.close)
	quit.IsQuit = true
	m.file = fyne.NewMenu(lang.L("menu.file"),
		fresh,
		item("menu.open", control(fyne.KeyO), w.open),
		m.recent,
		fyne.NewMenuItemSeparator(),
		item("menu.name", nil, w.editName),
		fyne.NewMenuItemSeparator(),
		item("menu.save", control(fyne.KeyS), func() { w.save(nil) }),
		item("menu.save_as", controlShift(fyne.KeyS), func() { w.saveAs(nil) }),
		m.previous,
		fyne.NewMenuItemSeparator(),
		item("menu.export", control(fyne.KeyE), w.export),
		item("menu.print", control(fyne.KeyP), w.print),
		item("wind.sheet", controlShift(fyne.KeyP), w.buildSheet),
		fyne.NewMenuItemSeparator(),
		quit,
	)
	m.undo = item("menu.undo", &fyne.ShortcutUndo{}, w.undo)
	m.redo = item("menu.redo", &fyne.ShortcutRedo{}, w.redo)
	m.edit = fyne.NewMenu(lang.L("menu.edit"), append([]*fyne.MenuItem{
		m.undo, m.redo,
		fyne.NewMenuItemSeparator(),
		item("menu.goto", control(fyne.KeyF), w.goTo),
		item("menu.reading", control(fyne.KeyR), w.newReading),
		item("menu.drawer", control(fyne.KeyD), w.openDrawer),
		fyne.NewMenuItemSeparator(),
	}, w.variantItems()...)...)
	m.millimetres = item("menu.millimetres", nil, func() { w.setUnits(view.Millimetres) })
	m.inches = item("menu.inches", nil, func() { w.setUnits(view.Inches) })
	m.follow = item("menu.follow", nil, func() { w.setAppearance(theme.System) })
	m.light = item("menu.light", nil, func() { w.setAppearance(theme.Light) })
	m.dark = item("menu.dark", nil, func() { w.setAppearance(theme.Dark) })
	look := append(w.stagesInMenu(),
		m.millimetres, m.inches, fyne.NewMenuItemSeparator(),
		m.follow, m.light, m.dark, w.sizeItem(), fyne.NewMenuItemSeparator())
	look = append(look, append(w.figureItems(), w.lensItems()...)...)
	m.main = fyne.NewMainMenu(m.file, m.edit,
		fyne.NewMenu(lang.L("menu.view"), append(look, item("menu.behind", control(fyne.KeyB), w.showBehind), item("menu.air", control(fyne.KeyG), w.showAir))...),
		fyne.NewMenu(lang.L("menu.help"), w.helpItems()...),
	)
	for _, part := range m.main.Items {
		w.underDialogs(part.Items)
	}
	w.window.SetMainMenu(m.main)
	w.window.Canvas().AddShortcut(controlShift(fyne.KeyZ), func(fyne.Shortcut) { w.redo() })
}

// stagesInMenu are the entries of the stages with a line under them; a choice
// between one is none.
func (w *Window) stagesInMenu() []*fyne.MenuItem {
	if len(w.stages) < 2 {
		return nil
	}
	w.menu.stages = w.stageItems()
	return append(slices.Clip(w.menu.stages), fyne.NewMenuItemSeparator())
}

// showMenu brings the items up to date that depend on the state of the window.
func (w *Window) showMenu() {
	m := &w.menu
	recent := w.session.Recent()
	state := menuState{
		undo:       w.session.UndoName(),
		redo:       w.session.RedoName(),
		recent:     filepath.Join(recent...),
		filed:      w.session.Path() != "",
		units:      w.units,
		appearance: w.appearance,
		stage:      w.at,
		scale:      w.scale,
		largeText:  w.largeText,
	}
	if state == m.shown && m.recent.ChildMenu.Items != nil {
		return
	}
	m.shown = state
	m.undo.Label, m.undo.Disabled = named("menu.undo", state.undo), state.undo == ""
	m.redo.Label, m.redo.Disabled = named("menu.redo", state.redo), state.redo == ""
	m.millimetres.Checked, m.inches.Checked = w.units == view.Millimetres, w.units == view.Inches
	for i, item := range m.scales {
		item.Checked = scales[i] == w.scale
	}
	m.largeText.Checked = w.largeText
	for i, item := range m.stages {
		item.Checked = i == w.at
	}
	m.light.Checked, m.dark.Checked = w.appearance == theme.Light, w.appearance == theme.Dark
	m.follow.Checked = !m.light.Checked && !m.dark.Checked
	m.previous.Disabled = !state.filed
	m.recent.Disabled = len(recent) == 0
	m.recent.ChildMenu.Items = []*fyne.MenuItem{}
	for _, path := range recent {
		m.recent.ChildMenu.Items = append(m.recent.ChildMenu.Items, fyne.NewMenuItem(shortPath(path), func() {
			w.leave(func() { w.openPath(path) })
		}))
	}
	if len(recent) > 0 {
		m.recent.ChildMenu.Items = append(m.recent.ChildMenu.Items, fyne.NewMenuItemSeparator(),
			item("menu.clear_recent", nil, w.session.ClearRecent))
	}
	m.main.Refresh()
}

// named puts the name of a step behind the word for undo or redo.
func named(key, step string) string {
	if step == "" {
		return lang.L(key)
	}
	return lang.L(key+"_named", map[string]any{"Step": step})
}

// shortPath is a file's name and folder: enough to tell two files apart.
func shortPath(path string) string {
	return filepath.Base(path) + "  –  " + filepath.Dir(path)
}

// underDialogs keeps the entries of the menu from acting while a dialog or a list
// lies over the window: their keys come before everything else. Leaving the program
// stays, and undo and redo see to it themselves.
func (w *Window) underDialogs(items []*fyne.MenuItem) {
	for _, i := range items {
		if i.ChildMenu != nil {
			w.underDialogs(i.ChildMenu.Items)
		}
		act := i.Action
		if act == nil || i.IsQuit || i == w.menu.undo || i == w.menu.redo {
			continue
		}
		i.Action = func() {
			if !w.covered() {
				act()
			}
		}
	}
}

// covered says whether a dialog or a list lies over the window.
func (w *Window) covered() bool {
	return len(w.dialogs) > 0 || w.window.Canvas().Overlays().Top() != nil
}

// undo takes the last change back; in an entry that is being typed in, what was
// typed, and under a dialog nothing else.
func (w *Window) undo() {
	switch e := w.typing(); {
	case e != nil:
		e.Restore()
	case w.covered():
		w.passShortcut(&fyne.ShortcutUndo{})
	default:
		w.session.Undo()
	}
}

// redo does an undone change again, but not under the hands of somebody who is
// typing.
func (w *Window) redo() {
	switch {
	case w.typing() != nil:
	case w.covered():
		w.passShortcut(&fyne.ShortcutRedo{})
	default:
		w.session.Redo()
	}
}

// passShortcut gives a key of the menu to the entry of a dialog.
func (w *Window) passShortcut(s fyne.Shortcut) {
	if e, ok := w.window.Canvas().Focused().(fyne.Shortcutable); ok {
		e.TypedShortcut(s)
	}
}

// typing returns the entry with the keyboard if its text is not yet committed.
func (w *Window) typing() *view.Entry {
	if e, ok := w.window.Canvas().Focused().(*view.Entry); ok && e.Editing() {
		return e
	}
	return nil
}
