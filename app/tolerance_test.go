package app

import (
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"

	"coilwright/app/view"
	"coilwright/physics/design"
)

// band returns the width of the band that the frequency on screen lies in, in Hz.
func band(t *testing.T, w *Window) float64 {
	t.Helper()
	r := w.last.Report.Resonance
	if r.FrequencyLow == nil || r.FrequencyHigh == nil {
		t.Fatal("the result has no band")
	}
	return *r.FrequencyHigh - *r.FrequencyLow
}

// entryOf returns the entry of a row of the column in Shape.
func entryOf(t *testing.T, w *Window, key string) *view.Entry {
	t.Helper()
	for _, o := range test.LaidOutObjects(w.cards.Quantity(key).Row) {
		if e, ok := o.(*view.Entry); ok {
			return e
		}
	}
	t.Fatalf("the row of %s has no entry", key)
	return nil
}

func note(w *Window) string { return w.results.Notes()["rings at"] }

// A former that was measured makes the frequency surer; the note of the result
// follows, undo names the step, and an empty entry is as usual again.
func TestToleranceNarrowsTheBand(t *testing.T) {
	w := newWindow(t)
	const key = "tolerances.overall_diameter" // of the first example what matters most
	wide, said := band(t, w), note(w)
	if !w.cards.Folded("tolerances") {
		t.Error("the card of the tolerances is not folded at first")
	}
	w.lead(key)
	entry := entryOf(t, w, key)
	if w.window.Canvas().Focused() != fyne.Focusable(entry) || w.cards.Folded("tolerances") {
		t.Fatalf("%s leads to %T", key, w.window.Canvas().Focused())
	}
	if entry.Text != "" || entry.PlaceHolder != "0.0076" {
		t.Errorf("not stated it reads %q, pale %q", entry.Text, entry.PlaceHolder)
	}
	test.Type(entry, "1 µm")
	entry.TypedKey(&fyne.KeyEvent{Name: fyne.KeyReturn})
	if got := w.session.Design().Tolerances.OverallDiameter; got == nil || *got != 1e-6 {
		t.Fatalf("1 µm is taken as %v", got)
	}
	if got := band(t, w); !(got < wide) || note(w) == said {
		t.Errorf("the band is %g Hz wide, before %g Hz; the note says %q, before %q", got, wide, note(w), said)
	}
	if got := w.menu.undo.Label; got != "Undo: tolerance of the wire 0.0076 mm → 0.0010 mm" {
		t.Errorf("the menu offers %q", got)
	}
	entry.SetText("")
	entry.TypedKey(&fyne.KeyEvent{Name: fyne.KeyReturn})
	if w.session.Design().Tolerances.OverallDiameter != nil || band(t, w) != wide || note(w) != said {
		t.Errorf("emptied, the tolerance is %v, the band %g Hz, the note %q", w.session.Design().Tolerances.OverallDiameter, band(t, w), note(w))
	}
	if got := w.menu.undo.Label; got != "Undo: tolerance of the wire as usual" {
		t.Errorf("the menu offers %q", got)
	}
	w.undo()
	w.undo()
	if w.session.Modified() || band(t, w) != wide {
		t.Errorf("undone, modified %t, a band of %g Hz", w.session.Modified(), band(t, w))
	}
}

// Every tolerance of the design has a row with unit, pale usual value and a hint, and
// Tab comes to its entry.
func TestEveryToleranceHasARow(t *testing.T) {
	w := newWindow(t)
	all := texts(t)
	w.session.Edit("permittivity", func(d *design.Design) { d.Secondary.FormerRelativePermittivity = 3 })
	w.lead("tolerances")
	var keys []string
	for _, path := range paths(t, fullTolerances(w.session.Design())) {
		if strings.HasPrefix(path, "tolerances.") {
			keys = append(keys, path)
		}
	}
	if len(keys) != 10 {
		t.Fatalf("the design has the tolerances %v", keys)
	}
	reached := map[fyne.Focusable]bool{}
	for range 200 {
		w.window.Canvas().FocusNext()
		reached[w.window.Canvas().Focused()] = true
	}
	for _, key := range keys {
		q := w.cards.Quantity(key)
		if q == nil || !q.Row.Visible() {
			t.Errorf("%s has no row in sight", key)
			continue
		}
		entry := entryOf(t, w, key)
		if entry.PlaceHolder == "" || entry.Text != "" || !reached[entry] {
			t.Errorf("%s reads %q, usual %q, reached by Tab: %t", key, entry.Text, entry.PlaceHolder, reached[entry])
		}
		if _, ok := all["hint."+key]; !ok {
			t.Errorf("no hint for %s", key)
		}
	}
}

// Slider and button: a step states a tolerance, a double click goes back to what was
// opened, and one button makes all of them usual again.
func TestToleranceBySlider(t *testing.T) {
	w := newWindow(t)
	w.lead("tolerances.hub_m")
	q := w.cards.Quantity("tolerances.hub_m")
	q.Step(1)
	if got := w.session.Design().Tolerances.Hub; got == nil || *got < 0.209e-3 || *got > 0.211e-3 {
		t.Fatalf("a step from 0.2 mm states %v", got)
	}
	for _, o := range test.LaidOutObjects(q.Row) {
		if s, ok := o.(*view.Slider); ok {
			s.DoubleTapped(nil)
		}
	}
	if got := w.session.Design().Tolerances.Hub; got != nil {
		t.Errorf("a double click leaves %g m", *got)
	}
	q.Step(2)
	w.cards.Quantity("tolerances.base_height_m").Step(-1)
	w.lead("tolerances.all")
	w.window.Canvas().Focused().TypedKey(&fyne.KeyEvent{Name: fyne.KeyReturn})
	if got := w.session.Design().Tolerances; got != (design.Tolerances{}) {
		t.Errorf("as usual leaves %+v", got)
	}
}

// Behind the numbers leads to the tolerance of what matters most.
func TestBehindLeadsToTolerances(t *testing.T) {
	w := newWindow(t)
	w.enterStage(stageShow)
	w.showBehind()
	w.showTolerances()
	if w.current().key != stageShape || len(w.dialogs) != 0 || w.window.Canvas().Focused() != fyne.Focusable(entryOf(t, w, "tolerances.overall_diameter")) {
		t.Errorf("it leads to %s, %T, %d dialogs", w.current().key, w.window.Canvas().Focused(), len(w.dialogs))
	}
}

func fullTolerances(d design.Design) design.Design {
	d.Tolerances = d.UsualTolerances()
	return d
}
