package view

import (
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"
	"gonum.org/v1/gonum/floats/scalar"
)

const formerKey = "secondary.former_diameter_m"

func TestTypedQuantity(t *testing.T) {
	for _, test := range []struct {
		typed string
		want  float64 // m
		shown string
	}{
		{"16 mm", 0.016, "16.0"},
		{"5/8 in", 0.015875, "15.875"},
		{"20", 0.020, "20.0"},
		{"18,5", 0.0185, "18.5"},
		{"2 cm", 0.02, "20.0"},
	} {
		b, c, w := newBench(t, deskCoil())
		q := row(t, c, formerKey)
		typeOver(w, q.entry, test.typed)
		press(q.entry, fyne.KeyReturn)
		if got := b.design.Secondary.FormerDiameter; !scalar.EqualWithinRel(got, test.want, 1e-12) {
			t.Errorf("typing %q gives %g m, want %g m", test.typed, got, test.want)
		}
		if q.entry.Text != test.shown {
			t.Errorf("after %q the entry shows %q, want %q", test.typed, q.entry.Text, test.shown)
		}
		if len(b.edits) != 1 {
			t.Errorf("typing %q makes %d steps, want 1", test.typed, len(b.edits))
		}
	}
}

func TestLeavingCommits(t *testing.T) {
	b, c, w := newBench(t, deskCoil())
	q := row(t, c, formerKey)
	typeOver(w, q.entry, "30")
	test.FocusNext(w.Canvas())
	if got := b.design.Secondary.FormerDiameter; got != 0.030 {
		t.Errorf("leaving after typing 30 gives %g m, want 0.03 m", got)
	}
	test.FocusPrevious(w.Canvas())
	test.FocusNext(w.Canvas())
	if len(b.edits) != 1 {
		t.Errorf("leaving an untouched entry makes a step: %v", b.edits)
	}
}

func TestEscapeRestores(t *testing.T) {
	b, c, w := newBench(t, deskCoil())
	q := row(t, c, formerKey)
	typeOver(w, q.entry, "30")
	press(q.entry, fyne.KeyEscape)
	if q.entry.Text != "25.0" {
		t.Errorf("Escape leaves %q, want 25.0", q.entry.Text)
	}
	w.Canvas().Unfocus()
	if len(b.edits) != 0 {
		t.Errorf("Escape makes a step: %v", b.edits)
	}
}

func TestTextThatIsNoQuantity(t *testing.T) {
	for _, typed := range []string{"wide", "16 pF", "", "-3", "900 m"} {
		b, c, w := newBench(t, deskCoil())
		q := row(t, c, formerKey)
		w.Canvas().Focus(q.entry)
		q.entry.SetText(typed)
		press(q.entry, fyne.KeyReturn)
		if q.Refusal() == "" {
			t.Errorf("typing %q is not refused", typed)
		}
		if got := b.design.Secondary.FormerDiameter; got != 0.025 {
			t.Errorf("typing %q changes the former to %g m", typed, got)
		}
		if q.entry.Text != typed {
			t.Errorf("typing %q leaves %q in the entry", typed, q.entry.Text)
		}
		w.Canvas().Unfocus()
		if q.Refusal() == "" || len(b.edits) != 0 {
			t.Errorf("leaving %q: refusal %q, steps %v", typed, q.Refusal(), b.edits)
		}
		w.Canvas().Focus(q.entry)
		press(q.entry, fyne.KeyEscape)
		if q.Refusal() != "" || q.entry.Text != "25.0" {
			t.Errorf("Escape after %q: refusal %q, text %q", typed, q.Refusal(), q.entry.Text)
		}
	}
}

func TestRefusedTextGivesWayToANewValue(t *testing.T) {
	b, c, w := newBench(t, deskCoil())
	q := row(t, c, formerKey)
	typeOver(w, q.entry, "wide")
	press(q.entry, fyne.KeyReturn)
	b.design.Secondary.FormerDiameter = 0.040
	b.notify()
	if q.entry.Text != "40.0" || q.Refusal() != "" {
		t.Errorf("a new value leaves text %q and refusal %q", q.entry.Text, q.Refusal())
	}
}

func TestSteps(t *testing.T) {
	for _, test := range []struct {
		name  string
		units Units
		from  float64 // m
		keys  []fyne.KeyName
		want  float64 // m
	}{
		{"up", Millimetres, 0.025, []fyne.KeyName{fyne.KeyUp}, 0.0251},
		{"down twice", Millimetres, 0.025, []fyne.KeyName{fyne.KeyDown, fyne.KeyDown}, 0.0248},
		{"to the next multiple", Millimetres, 0.015875, []fyne.KeyName{fyne.KeyUp}, 0.0159},
		{"down to the multiple", Millimetres, 0.015875, []fyne.KeyName{fyne.KeyDown}, 0.0158},
		{"ten steps", Millimetres, 0.025, []fyne.KeyName{fyne.KeyPageUp}, 0.026},
		{"thousandths of an inch", Inches, 0.0254, []fyne.KeyName{fyne.KeyUp}, 1.005 * 0.0254},
	} {
		d := deskCoil()
		d.Secondary.FormerDiameter = test.from
		b, c, w := newBench(t, d)
		c.SetUnits(test.units)
		q := row(t, c, formerKey)
		for _, o := range []fyne.Focusable{q.entry, q.slider} {
			b.design = d
			b.notify()
			w.Canvas().Focus(o)
			press(o, test.keys...)
			if got := b.design.Secondary.FormerDiameter; !scalar.EqualWithinRel(got, test.want, 1e-9) {
				t.Errorf("%s on %T gives %.9g m, want %.9g m", test.name, o, got, test.want)
			}
		}
	}
}

func TestDragIsOneStep(t *testing.T) {
	b, c, w := newBench(t, deskCoil())
	q := row(t, c, formerKey)
	at := fyne.CurrentApp().Driver().AbsolutePositionForObject(q.slider).AddXY(q.slider.knob(), q.slider.Size().Height/2)
	var last float64
	for i := 1; i <= 20; i++ {
		e := &fyne.DragEvent{Dragged: fyne.NewDelta(1, 0)}
		e.Position = fyne.NewPos(q.slider.knob()+float32(i)/4, 5)
		q.slider.Dragged(e)
		if got := b.design.Secondary.FormerDiameter; got < last {
			t.Fatalf("dragging to the right makes the former smaller: %g after %g m", got, last)
		} else {
			last = got
		}
	}
	q.slider.DragEnd()
	if b.begun != 1 || b.ended != 1 || len(b.edits) != 1 {
		t.Errorf("a drag begins %d times, ends %d times and makes steps %v", b.begun, b.ended, b.edits)
	}
	if last <= 0.025 {
		t.Errorf("a drag to the right leaves the former at %g m", last)
	}
	test.Drag(w.Canvas(), at, 30, 0)
	if b.begun != 2 || b.ended != 2 {
		t.Errorf("a second drag: begun %d, ended %d", b.begun, b.ended)
	}
}

func TestEscapeGivesADragUp(t *testing.T) {
	b, c, _ := newBench(t, deskCoil())
	q := row(t, c, formerKey)
	q.slider.Dragged(&fyne.DragEvent{PointEvent: fyne.PointEvent{Position: fyne.NewPos(q.slider.Size().Width, 5)}})
	if b.design.Secondary.FormerDiameter == 0.025 {
		t.Fatal("the drag changes nothing")
	}
	press(q.slider, fyne.KeyEscape)
	if got := b.design.Secondary.FormerDiameter; got != 0.025 || len(b.edits) != 0 {
		t.Errorf("Escape leaves the former at %g m and steps %v", got, b.edits)
	}
}

func TestHoldingAKeyIsOneStep(t *testing.T) {
	b, c, _ := newBench(t, deskCoil())
	q := row(t, c, formerKey)
	q.slider.KeyDown(&fyne.KeyEvent{Name: fyne.KeyRight})
	press(q.slider, fyne.KeyRight, fyne.KeyRight, fyne.KeyRight)
	q.slider.KeyUp(&fyne.KeyEvent{Name: fyne.KeyRight})
	if got := b.design.Secondary.FormerDiameter; !scalar.EqualWithinRel(got, 0.0253, 1e-9) || len(b.edits) != 1 {
		t.Errorf("holding the key gives %g m in steps %v, want 0.0253 m in one", got, b.edits)
	}
}

func TestDoubleClickGoesBack(t *testing.T) {
	b, c, w := newBench(t, deskCoil())
	q := row(t, c, formerKey)
	typeOver(w, q.entry, "40")
	press(q.entry, fyne.KeyReturn)
	test.DoubleTap(q.slider)
	if got := b.design.Secondary.FormerDiameter; got != 0.025 {
		t.Errorf("a double click gives %g m, want the 0.025 m of the opened design", got)
	}
}

func TestUnits(t *testing.T) {
	_, c, _ := newBench(t, deskCoil())
	q := row(t, c, formerKey)
	if q.entry.Text != "25.0" || q.entry.unit.Content() != "mm" {
		t.Errorf("in millimetres the entry shows %q %q", q.entry.Text, q.entry.unit.Content())
	}
	c.SetUnits(Inches)
	if q.entry.Text != "0.9843" || q.entry.unit.Content() != "in" {
		t.Errorf("in inches the entry shows %q %q", q.entry.Text, q.entry.unit.Content())
	}
	c.SetUnits(Millimetres)
	if q.entry.Text != "25.0" {
		t.Errorf("back in millimetres the entry shows %q", q.entry.Text)
	}
}

func TestRingHasWholeTurns(t *testing.T) {
	b, c, w := newBench(t, deskCoil())
	q := row(t, c, "top_load.turns")
	typeOver(w, q.entry, "12.5")
	press(q.entry, fyne.KeyReturn)
	if q.Refusal() == "" || b.design.TopLoad.Turns != 19 {
		t.Errorf("12.5 turns: refusal %q, turns %d", q.Refusal(), b.design.TopLoad.Turns)
	}
}

func TestSliderKeepsToItsEnds(t *testing.T) {
	b, c, _ := newBench(t, deskCoil())
	q := row(t, c, formerKey)
	for _, test := range []struct {
		x    float32 // px
		want float64 // m
	}{{-500, formerLow}, {5000, formerHigh}} {
		q.slider.Dragged(&fyne.DragEvent{PointEvent: fyne.PointEvent{Position: fyne.NewPos(test.x, 5)}})
		q.slider.DragEnd()
		if got := b.design.Secondary.FormerDiameter; !scalar.EqualWithinRel(got, test.want, 1e-9) {
			t.Errorf("dragged to %g px the former is %g m, want %g m", test.x, got, test.want)
		}
	}
}

func TestDecimal(t *testing.T) {
	for _, test := range []struct {
		value       float64
		usual, most int
		want        string
	}{
		{25, 1, 3, "25.0"},
		{15.875, 1, 3, "15.875"},
		{15.8751, 1, 3, "15.875"},
		{0.1 + 0.2, 1, 3, "0.3"},
		{310, 0, 3, "310"},
		{310.5, 0, 3, "310.5"},
		{-4, 0, 1, "-4"},
	} {
		if got := decimal(test.value, test.usual, test.most); got != test.want {
			t.Errorf("decimal(%g, %d, %d) = %q, want %q", test.value, test.usual, test.most, got, test.want)
		}
	}
}
