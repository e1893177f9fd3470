package app

import (
	"fyne.io/fyne/v2/lang"
	"fyne.io/fyne/v2/widget"
)

// greet says once, where the hints stand, what to try first and where the
// cautions are. The first move of the pointer over anything takes its place.
func (w *Window) greet() {
	if w.app.Preferences().Bool(preferGreeted) {
		return
	}
	w.app.Preferences().SetBool(preferGreeted, true)
	w.hint.Say(lang.L("first.line"))
}

// tourStops are the stops of the tour: a stage and the text about it.
var tourStops = []struct{ stage, key string }{
	{stageShape, "tour.cards"},
	{stageShape, "tour.drawing"},
	{stageShape, "tour.figures"},
	{stageShape, "tour.results"},
	{"drive", "tour.drive"},
	{"wind", "tour.wind"},
	{"bench", "tour.bench"},
	{"show", "tour.show"},
}

// tour shows a stop of the tour; Escape or a button leaves it at any of them,
// and then the stage stays as it is.
func (w *Window) tour(stop int) {
	w.enterStage(tourStops[stop].stage)
	answers := []answer{{"tour.leave", widget.MediumImportance, func() {}}}
	if stop+1 < len(tourStops) {
		answers = []answer{{"tour.next", widget.HighImportance, func() { w.tour(stop + 1) }}, answers[0]}
	}
	w.ask(text(tourStops[stop].key, map[string]any{"Stop": stop + 1, "Stops": len(tourStops)}), answers...)
}
