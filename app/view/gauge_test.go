package view

import (
	"testing"

	"fyne.io/fyne/v2"

	"coilwright/physics/design"
)

const wireKey = "secondary.wire.gauge"

func TestGaugeSteps(t *testing.T) {
	for _, test := range []struct {
		name string
		from string
		keys []fyne.KeyName
		want string
	}{
		{"thicker", "AWG 32", []fyne.KeyName{fyne.KeyUp}, "AWG 31"},
		{"thinner twice", "AWG 32", []fyne.KeyName{fyne.KeyDown, fyne.KeyDown}, "AWG 34"},
		{"ten thicker", "AWG 32", []fyne.KeyName{fyne.KeyPageUp}, "AWG 22"},
		{"British", "SWG 36", []fyne.KeyName{fyne.KeyUp}, "SWG 35"},
		// 0.200 and 0.212 mm are neighbours in the series R40 of ISO 3.
		{"metric", "0.20 mm", []fyne.KeyName{fyne.KeyUp}, "0.212 mm"},
		{"up from between two sizes", "0.205 mm", []fyne.KeyName{fyne.KeyUp}, "0.212 mm"},
		{"down from between two sizes", "0.205 mm", []fyne.KeyName{fyne.KeyDown}, "0.20 mm"},
	} {
		d := deskCoil()
		d.Secondary.Wire.Gauge = test.from
		b, c, w := newBench(t, d)
		g := gauge(t, c, wireKey)
		for _, o := range []fyne.Focusable{g.entry, g.slider} {
			b.design = d
			b.notify()
			w.Canvas().Focus(o)
			press(o, test.keys...)
			if got := b.design.Secondary.Wire.Gauge; got != test.want {
				t.Errorf("%s from %s on %T gives %s, want %s", test.name, test.from, o, got, test.want)
			}
		}
	}
}

func TestTypedGauge(t *testing.T) {
	for _, test := range []struct {
		from, typed, want string
	}{
		{"AWG 32", "awg 30", "AWG 30"},
		{"AWG 32", "30", "AWG 30"},
		{"AWG 32", "swg36", "SWG 36"},
		{"SWG 36", "38", "SWG 38"},
		{"AWG 32", "0.2 mm", "0.20 mm"},
		{"0.20 mm", "0,25", "0.25 mm"},
	} {
		d := deskCoil()
		d.Secondary.Wire.Gauge = test.from
		b, c, w := newBench(t, d)
		g := gauge(t, c, wireKey)
		typeOver(w, g.entry, test.typed)
		press(g.entry, fyne.KeyReturn)
		if got := b.design.Secondary.Wire.Gauge; got != test.want || g.entry.Text != test.want {
			t.Errorf("typing %q over %s gives %s and shows %q, want %s", test.typed, test.from, got, g.entry.Text, test.want)
		}
	}
}

func TestGaugeThatDoesNotExist(t *testing.T) {
	for _, typed := range []string{"AWG 99", "thin", ""} {
		b, c, w := newBench(t, deskCoil())
		g := gauge(t, c, wireKey)
		w.Canvas().Focus(g.entry)
		g.entry.SetText(typed)
		press(g.entry, fyne.KeyReturn)
		if g.Refusal() == "" || b.design.Secondary.Wire.Gauge != "AWG 32" {
			t.Errorf("typing %q: refusal %q, gauge %s", typed, g.Refusal(), b.design.Secondary.Wire.Gauge)
		}
	}
}

func TestGaugeSliderNamesRealSizes(t *testing.T) {
	b, c, _ := newBench(t, deskCoil())
	g := gauge(t, c, wireKey)
	seen := map[string]bool{}
	for x := float32(0); x < g.slider.Size().Width; x++ {
		g.slider.Dragged(&fyne.DragEvent{PointEvent: fyne.PointEvent{Position: fyne.NewPos(x, 5)}})
		g.slider.DragEnd()
		seen[b.design.Secondary.Wire.Gauge] = true
		for _, p := range design.Check(b.design) {
			if p.Code == design.CodeUnknownValue {
				t.Fatalf("the slider gives %s: %s", b.design.Secondary.Wire.Gauge, p.Text)
			}
		}
	}
	for _, name := range []string{"AWG 44", "AWG 32", "AWG 20"} {
		if !seen[name] {
			t.Errorf("the slider never gives %s", name)
		}
	}
}

func TestInsulation(t *testing.T) {
	b, c, _ := newBench(t, deskCoil())
	i := choice(t, c, "secondary.wire.insulation")
	i.picker.SetSelectedIndex(2)
	if b.design.Secondary.Wire.Insulation != design.Heavy || len(b.edits) != 1 {
		t.Errorf("picking heavy enamel gives %q in steps %v", b.design.Secondary.Wire.Insulation, b.edits)
	}
}
