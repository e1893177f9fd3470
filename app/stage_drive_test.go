package app

import (
	"strings"
	"testing"

	"fyne.io/fyne/v2"

	"coilwright/app/view"
	"coilwright/physics/design"
	"coilwright/plotting"
)

// openDrive opens the window on the hand-sized example, whose exciter starts, in
// the stage of the driver.
func openDrive(t *testing.T) (*Window, *driveStage) {
	t.Helper()
	w := newWindow(t)
	d, err := design.ReadFile("../assets/examples/hand-sized.coil.json")
	if err != nil {
		t.Fatal(err)
	}
	w.session.New(d)
	w.enterStage(stageDrive)
	s, ok := w.current().stage.(*driveStage)
	if !ok {
		t.Fatalf("the stage is %T", w.current().stage)
	}
	return w, s
}

// The example starts; with the primary reversed the stage says which wires to
// swap, and undo brings the start back.
func TestDriveSaysWhichWiresToSwap(t *testing.T) {
	w, s := openDrive(t)
	values := s.answers.Values()
	if values["does it start"] != "yes, full output" || !strings.HasSuffix(values["top voltage"], "V") {
		t.Errorf("answers %v", values)
	}
	if !strings.Contains(s.answers.Advice(), "within the ratings") {
		t.Errorf("advice %q", s.answers.Advice())
	}
	w.session.Edit("sense", func(d *design.Design) { d.Driver.Sense = -1 })
	if got := s.answers.Advice(); !strings.HasPrefix(got, "Swap the two wires of the primary") {
		t.Errorf("reversed: advice %q", got)
	}
	if values := s.answers.Values(); values["does it start"] != "no" || values["runs at"] != "–" {
		t.Errorf("reversed: %v", values)
	}
	w.undo()
	if values := s.answers.Values(); values["does it start"] != "yes, full output" {
		t.Errorf("undone: %v", values)
	}
}

// What a part does not bear is the first thing said, with value and limit, and the
// line of results says that there is such a part.
func TestDriveNamesTheRatingFirst(t *testing.T) {
	w, s := openDrive(t)
	w.session.Edit("emitter", func(d *design.Design) { d.Driver.EmitterResistor = nil })
	if got := s.answers.Advice(); !strings.HasPrefix(got, "PN2222A: ") || !strings.Contains(got, "allowed") {
		t.Errorf("advice %q", got)
	}
	if w.last.Drive == nil || len(w.last.Report.Driver.BeyondPart) == 0 {
		t.Error("the result does not hold the driver")
	}
	if got := w.results.Values()["top swings to"]; !strings.HasSuffix(got, "V") {
		t.Errorf("results say %q", got)
	}
}

// Every part of the circuit leads to its row, which gets the keyboard; the coil
// leads to the stage in which it takes shape.
func TestCircuitLeadsToRows(t *testing.T) {
	w, s := openDrive(t)
	frame, ok := s.circuit.frame.(plotting.CircuitFrame)
	if !ok {
		t.Fatal("no circuit was drawn")
	}
	middle := func(key string) fyne.Position {
		x, y, width, height, ok := frame.Box(key)
		if !ok {
			t.Fatalf("the drawing has no %s", key)
		}
		return fyne.NewPos(float32(x+width/2), float32(y+height/2))
	}
	for _, key := range []string{"driver.supply_v", "driver.base_resistor_ohm", "driver.device", "driver.emitter_resistor_ohm", "primary.turns"} {
		w.window.Canvas().Unfocus()
		s.tap(middle(key))
		if w.window.Canvas().Focused() == nil {
			t.Errorf("a click on %s gives nothing the keyboard", key)
		}
	}
	s.tap(middle("secondary.turns"))
	if w.current().key != stageShape {
		t.Errorf("a click on the coil leads to %s", w.current().key)
	}
}

// Every kind of driver has its answers, and none is asked of a design without.
func TestDriveKinds(t *testing.T) {
	w, s := openDrive(t)
	for kind, names := range map[string][]string{
		design.HalfBridge: {"gain", "loop locks at", "loaded Q", "with a hand near"},
		design.SparkGap:   {"energy passed", "in tune at", "energy of the tank"},
	} {
		w.session.Edit("kind", func(d *design.Design) { d.SetDriverKind(kind) })
		values := s.answers.Values()
		for _, name := range names {
			if v := values[name]; v == "" || v == "–" {
				t.Errorf("%s: %q of %s in %v", kind, v, name, values)
			}
		}
		for _, n := range values {
			if strings.Contains(n, "drive.") {
				t.Errorf("%s: a key shows: %v", kind, values)
			}
		}
	}
	w.session.Edit("kind", func(d *design.Design) { d.SetDriverKind(design.NoDriver) })
	if len(s.answers.Values()) != 0 || !strings.Contains(s.answers.Advice(), "no driver") {
		t.Errorf("none: %v, %q", s.answers.Values(), s.answers.Advice())
	}
	w.session.Edit("primary", func(d *design.Design) {
		d.SetDriverKind(design.FeedbackExciter)
		d.SetPrimaryKind(design.NoPrimary)
	})
	if got := s.answers.Advice(); !strings.Contains(got, "needs a primary") {
		t.Errorf("no primary: %q", got)
	}
}

// Checks for what is seen on the bench can be read, all six of them.
func TestDriveSymptoms(t *testing.T) {
	w, s := openDrive(t)
	s.showSymptoms()
	if len(w.dialogs) != 1 || len(s.last.Drive.Findings()) != 6 {
		t.Errorf("%d dialogs, %d findings", len(w.dialogs), len(s.last.Drive.Findings()))
	}
	w.dismiss()
	s.askOwn(true)
	if len(w.dialogs) != 1 {
		t.Error("no model is asked for")
	}
	w.dismiss()
	if text := modelText(w.session.Design().Driver.Device, ""); !strings.Contains(text, "BF=255.9") {
		t.Errorf("the model begins as %q", text)
	}
}

// A design without a driver is offered each of the three, by mouse and by Tab; one is
// a step, and its first number has the keyboard.
func TestDriveWithoutADriver(t *testing.T) {
	w, s := openDrive(t)
	w.session.Edit("none", func(d *design.Design) { d.SetDriverKind(design.NoDriver) })
	if !s.empty.Object().Visible() || s.full.Visible() {
		t.Fatal("without a driver the answers show")
	}
	offers := s.empty.Offers()
	reached := map[string]bool{}
	for range 40 {
		w.window.Canvas().FocusNext()
		if b, ok := w.window.Canvas().Focused().(*view.Button); ok {
			reached[b.Text] = true
		}
	}
	for i, kind := range []string{design.FeedbackExciter, design.HalfBridge, design.SparkGap} {
		if !reached[offers[i]] {
			t.Errorf("Tab does not come to %q", offers[i])
		}
		s.empty.Pick(i)
		if got := w.session.Design().Driver.Kind; got != kind || s.empty.Object().Visible() || !s.full.Visible() {
			t.Errorf("%q makes a %s", offers[i], got)
		}
		if f := w.window.Canvas().Focused(); f == nil || f != s.cards.RevealKey(firstKeys[kind]) {
			t.Errorf("after %q %T has the keyboard", offers[i], f)
		}
		w.undo()
		if !s.empty.Object().Visible() {
			t.Error("undone, nothing is offered")
		}
	}
}
