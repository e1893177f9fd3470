package app

import (
	"strings"
	"testing"

	"fyne.io/fyne/v2"

	"coilwright/app/view"
	"coilwright/physics/design"
)

// pickField draws the field over the coil.
func pickField(w *Window) {
	w.overlay.SetPicked(overField)
	w.overlay.OnPick(overField)
}

func TestFieldOverTheCoil(t *testing.T) {
	w := newWindow(t)
	if w.last.Curves.Field != nil {
		t.Error("a field is solved that nobody asked for")
	}
	pickField(w)
	if w.last.Curves.Field == nil || w.drawing.Missing() != "" {
		t.Fatalf("with the field picked there is none: %s", w.drawing.Missing())
	}
	g, err := w.session.Design().Geometry()
	if err != nil {
		t.Fatal(err)
	}
	at := func(r, z float64) string {
		x, y := w.coilFrame().Place(r, z)
		w.pointCoil(fyne.NewPos(float32(x), float32(y)))
		return w.hint.Text()
	}
	near, far := at(1.3*g.TopLoad.OuterRadius(), g.TopLoad.Centre), at(-1.3*g.TopLoad.OuterRadius(), g.TopLoad.Centre)
	if !strings.Contains(near, "V/m per volt") || near != far {
		t.Errorf("beside the ring the pointer reads %q, on the other side %q", near, far)
	}
	if on := at(g.TopLoad.Outer, g.TopLoad.Centre+g.TopLoad.TubeRadius); strings.Contains(on, "V/m") {
		t.Errorf("on the ring the pointer reads %q, but metal has no field", on)
	}
	// With a ring that cannot be built there is no field, and no reading either.
	w.breakRing()
	if text := at(1.3*g.TopLoad.OuterRadius(), g.TopLoad.Centre); strings.Contains(text, "V/m") {
		t.Errorf("without a field the pointer reads %q", text)
	}
}

func TestAirSheet(t *testing.T) {
	w := newWindow(t)
	w.showAir()
	if len(w.dialogs) != 1 {
		t.Fatalf("%d dialogs are open, want the sheet about the air", len(w.dialogs))
	}
	w.dismiss()
	w.breakRing()
	w.showAir()
	if len(w.dialogs) != 1 {
		t.Errorf("%d dialogs are open, want one that says why there is nothing", len(w.dialogs))
	}
}

// The numbers of the sheet follow its sliders.
func TestAirNumbers(t *testing.T) {
	w := newWindow(t)
	pickField(w)
	at := func(volts, distance float64, above bool) view.AirNumbers {
		return airNumbers(w.last, w.last.Curves.Field, view.AirState{Volts: volts, Near: design.Near{Distance: distance, Above: above}})
	}
	low, high := at(2e3, 0.3, false), at(20e3, 0.1, false)
	if !(high.Sparks.Long > 5*low.Sparks.Long && high.TubeFar > low.TubeFar && high.Near.Frequency < low.Near.Frequency) {
		t.Errorf("2 kV and a hand 30 cm off: %+v, 20 kV and a hand 10 cm off: %+v", low, high)
	}
	if len(low.Levels) == 0 || len(low.Levels) != len(low.LevelReaches) || len(low.Air.Places) < 3 || low.Frequency != *w.last.Report.Resonance.Frequency {
		t.Errorf("numbers of the sheet: %+v", low)
	}
	if got := at(1e9, 0.3, false); got.Sparks != nil {
		t.Errorf("sparks of a gigavolt: %+v", got.Sparks)
	}
	w.session.Edit("ceiling", func(d *design.Design) { d.Room.CeilingHeight = 0.15 })
	if got := at(2e3, 0.3, true); got.Near != nil || got.NearProblem == "" {
		t.Errorf("a hand above the ceiling: %+v, %q", got.Near, got.NearProblem)
	}
}
