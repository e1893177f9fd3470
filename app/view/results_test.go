package view

import (
	"bytes"
	"context"
	"errors"
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"

	"coilwright/app/session"
	"coilwright/app/theme"
	"coilwright/assets"
	"coilwright/physics/design"
)

func newResults(t *testing.T) (*Results, fyne.Window) {
	t.Helper()
	a := test.NewTempApp(t)
	a.Settings().SetTheme(theme.New(theme.Light))
	r := NewResults()
	w := test.NewTempWindow(t, r.Object())
	w.SetPadded(false)
	return r, w
}

func solved(t *testing.T, d design.Design) *session.Result {
	t.Helper()
	report, err := design.Evaluate(context.Background(), d)
	if err != nil {
		t.Fatal(err)
	}
	return &session.Result{Design: d, Report: report}
}

// TestResultsAreNotCutOff looks at every example in the place that the least
// window leaves the results.
func TestResultsAreNotCutOff(t *testing.T) {
	r, w := newResults(t)
	w.Resize(fyne.NewSize(576, 60))
	for _, e := range assets.Examples() {
		d, err := design.Read(bytes.NewReader(e.Content))
		if err != nil {
			t.Fatal(err)
		}
		result := solved(t, d)
		for _, units := range []Units{Millimetres, Inches} {
			r.Show(result, units)
			shown := 0
			for _, c := range r.cells {
				if !c.Visible() {
					continue
				}
				shown++
				for _, text := range []*Text{c.name, c.number, c.note} {
					if line := linesOf(text)[0]; line != text.Content() {
						t.Errorf("%s: %q reads %q", e.Name, text.Content(), line)
					}
				}
			}
			if shown < 5 {
				t.Errorf("%s: %d results are in sight, want at least 5", e.Name, shown)
			}
		}
	}
}

// TestResultsOfTheBoard: what only a free-standing board has shows only then.
func TestResultsOfTheBoard(t *testing.T) {
	r, w := newResults(t)
	w.Resize(fyne.NewSize(1000, 60))
	d := deskCoil()
	cell := func() *resultCell {
		for _, c := range r.cells {
			if c.key == "result.board" {
				return c
			}
		}
		t.Fatal("no result for the board")
		return nil
	}
	r.Show(&session.Result{Design: d, Err: errors.New("cannot be built")}, Millimetres)
	if cell().Visible() {
		t.Error("a coil that cannot be built has a place for the board")
	}
	r.Show(solved(t, d), Millimetres)
	if cell().Visible() {
		t.Errorf("an earthed coil shows %s", cell().number.Content())
	}
	d.Room.Foot, d.Room.CircuitDiameter = design.Circuit, 0.06
	w.Resize(fyne.NewSize(576, 60)) // as in the least window
	r.Show(solved(t, d), Millimetres)
	for _, text := range []*Text{cell().name, cell().number, cell().note} {
		if line := linesOf(text)[0]; line != text.Content() {
			t.Errorf("%q reads %q", text.Content(), line)
		}
	}
	if got := cell().number.Content(); !cell().Visible() || !strings.HasSuffix(got, "%") {
		t.Errorf("on a board %q is shown, visible %t", got, cell().Visible())
	}
}

func TestPointingAtAResult(t *testing.T) {
	r, w := newResults(t)
	w.Resize(fyne.NewSize(1000, 60))
	r.Show(solved(t, deskCoil()), Millimetres)
	var hints []string
	r.OnHint = func(key string) { hints = append(hints, key) }
	const inside = 8 // px from the corner of a cell
	test.MoveMouse(w.Canvas(), fyne.CurrentApp().Driver().AbsolutePositionForObject(r.cells[1]).AddXY(inside, inside))
	if len(hints) != 1 || hints[0] != "result.handbook" {
		t.Errorf("pointing at the handbook's frequency gives the hints %v", hints)
	}
}

func TestBandIsTheWiderSide(t *testing.T) {
	value := func(v float64) *float64 { return &v }
	var result session.Result
	result.Report.Resonance = design.ResonanceReport{Frequency: value(4e6), FrequencyLow: value(3.8e6), FrequencyHigh: value(4.1e6)}
	if _, note := readFrequency(&result, Millimetres); note != "± 5.0 %" {
		t.Errorf("3.8 to 4.1 MHz round 4 MHz reads %q, want ± 5.0 %%", note)
	}
	result.Report.Resonance.FrequencyLow = nil // while the hand moves
	if _, note := readFrequency(&result, Millimetres); note != "" {
		t.Errorf("an unknown band reads %q", note)
	}
}

func TestOnsetIsARange(t *testing.T) {
	value := func(v float64) *float64 { return &v }
	for _, c := range []struct {
		low, high float64
		want      string
	}{
		{28770, 54334, "29–54\u202fkV"},
		{820, 1540, "820\u202fV–1.5\u202fkV"},
	} {
		var result session.Result
		result.Report.Air = design.AirReport{CoronaOnset: value(c.low), CoronaOnsetLow: value(c.low), CoronaOnsetHigh: value(c.high)}
		if got, _ := readOnset(&result, Millimetres); got != c.want {
			t.Errorf("%g to %g V reads %q, want %q", c.low, c.high, got, c.want)
		}
	}
}
