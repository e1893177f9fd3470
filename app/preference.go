package app

import (
	"fyne.io/fyne/v2"

	"coilwright/app/theme"
	"coilwright/app/view"
)

// Keys of the preferences, which the toolkit keeps between runs. The list of
// recent files is kept by package session.
const (
	preferUnits      = "units"
	preferAppearance = "appearance"
	preferGreeted    = "greeted"
	preferScale      = "scale"
	preferLargeText  = "large text"
	preferFolded     = "folded cards"
	preferFolder     = "folder"
	preferWidth      = "window width"
	preferHeight     = "window height"
)

// foldedAtFirst are the cards that are folded the first time: what most coils
// are changed by stays open.
var foldedAtFirst = []string{"target", "primary", "room", "tolerances"}

// preferredLook returns units and appearance as set; what is unknown counts as
// not set.
func preferredLook(p fyne.Preferences) (view.Units, theme.Appearance) {
	units := view.Millimetres
	if p.Int(preferUnits) == int(view.Inches) {
		units = view.Inches
	}
	switch a := theme.Appearance(p.String(preferAppearance)); a {
	case theme.Light, theme.Dark:
		return units, a
	default:
		return units, theme.System
	}
}

func (w *Window) preferredSize() fyne.Size {
	p := w.app.Preferences()
	size := fyne.NewSize(
		float32(p.FloatWithFallback(preferWidth, float64(firstSize.Width))),
		float32(p.FloatWithFallback(preferHeight, float64(firstSize.Height))),
	)
	return size.Max(leastSize).Min(largestSize)
}

func (w *Window) rememberSize() {
	size := w.window.Canvas().Size()
	w.app.Preferences().SetFloat(preferWidth, float64(size.Width))
	w.app.Preferences().SetFloat(preferHeight, float64(size.Height))
}

func (w *Window) setUnits(u view.Units) {
	if u == w.units {
		return
	}
	w.units = u
	w.app.Preferences().SetInt(preferUnits, int(u))
	w.showUnits()
}

// showUnits shows every length in the units in use.
func (w *Window) showUnits() {
	w.header.ShowUnits(w.units)
	w.cards.SetUnits(w.units)
	w.artist.setUnits(w.units)
	if w.last != nil {
		w.results.Show(w.last, w.units)
		w.notice.Show(w.last, w.units)
	}
	if s := w.current(); s.built && w.last != nil {
		s.stage.changed(w.session.Design())
		s.stage.show(w.last)
	}
	w.redraw()
	w.showMenu()
}

func (w *Window) setAppearance(a theme.Appearance) {
	if a == w.appearance {
		return
	}
	w.appearance = a
	w.app.Preferences().SetString(preferAppearance, string(a))
	w.showLook()
}

// toggleAppearance changes from what is on screen to the other.
func (w *Window) toggleAppearance() {
	if w.dark() {
		w.setAppearance(theme.Light)
		return
	}
	w.setAppearance(theme.Dark)
}

func (w *Window) dark() bool {
	return theme.New(w.appearance).Dark(w.app.Settings().ThemeVariant())
}

// restyle draws the figures again in the window's colours.
func (w *Window) restyle() {
	w.artist.setDark(w.dark())
	w.redraw()
}
