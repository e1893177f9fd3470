package app

import (
	"os"
	"strconv"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/lang"

	"coilwright/app/theme"
)

// scaleVariable is what the toolkit reads the size of everything from, each time
// it lays a window out.
const scaleVariable = "FYNE_SCALE"

// scales are the sizes of everything that can be chosen, in per cent; 0 leaves
// it to the desktop.
var scales = []int{0, 100, 125, 150, 200}

// desktopScale is what the desktop asked for before anything was chosen here.
var desktopScale, desktopScaled = os.LookupEnv(scaleVariable)

// preferredScale returns the size that was chosen, 0 for none.
func preferredScale(p fyne.Preferences) int {
	chosen := p.Int(preferScale)
	for _, s := range scales {
		if s == chosen {
			return s
		}
	}
	return 0
}

// applyScale tells the toolkit; windows that are open follow with the next
// change of the theme.
func applyScale(percent int) error {
	switch {
	case percent > 0:
		return os.Setenv(scaleVariable, strconv.FormatFloat(float64(percent)/100, 'f', 2, 64))
	case desktopScaled:
		return os.Setenv(scaleVariable, desktopScale)
	}
	return os.Unsetenv(scaleVariable)
}

// setScale shows everything in another size.
func (w *Window) setScale(percent int) {
	if percent == w.scale {
		return
	}
	if err := applyScale(percent); err != nil {
		w.fail(err)
		return
	}
	w.scale = percent
	w.app.Preferences().SetInt(preferScale, percent)
	w.showLook()
}

// toggleLargeText shows texts larger, or as usual again.
func (w *Window) toggleLargeText() {
	w.largeText = !w.largeText
	w.app.Preferences().SetBool(preferLargeText, w.largeText)
	w.artist.setLarge(w.largeText)
	w.showLook()
}

// showLook wears the theme as it is now chosen.
func (w *Window) showLook() {
	w.app.Settings().SetTheme(w.theme())
	w.restyle()
	w.showMenu()
}

func (w *Window) theme() *theme.Theme {
	t := theme.New(w.appearance)
	if w.largeText {
		t = t.Large()
	}
	return t
}

// sizeItem is the entry of the menu with the sizes of everything and of text.
func (w *Window) sizeItem() *fyne.MenuItem {
	m := &w.menu
	size := item("menu.size", nil, nil)
	size.ChildMenu = fyne.NewMenu("")
	for _, percent := range scales {
		words := lang.L("menu.follow")
		if percent > 0 {
			words = strconv.Itoa(percent) + " %"
		}
		m.scales = append(m.scales, fyne.NewMenuItem(words, func() { w.setScale(percent) }))
	}
	m.largeText = item("menu.large_text", nil, w.toggleLargeText)
	size.ChildMenu.Items = append(append([]*fyne.MenuItem{}, m.scales...), fyne.NewMenuItemSeparator(), m.largeText)
	return size
}
