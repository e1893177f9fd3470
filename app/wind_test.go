package app

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/test"

	"coilwright/app/tally"
	"coilwright/app/theme"
	"coilwright/physics/design"
	"coilwright/plotting/sheet"
)

// newWinding opens a window in the stage Wind whose counts are kept in a folder.
func newWinding(t *testing.T, folder string) (*Window, *windStage) {
	t.Helper()
	w, err := New(test.NewTempApp(t), Options{Synchronous: true, StateFolder: folder})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(w.session.Close)
	w.setAppearance(theme.Light)
	w.window.Resize(firstSize)
	w.enterStage(stageWind)
	s, ok := w.current().stage.(*windStage)
	if !ok {
		t.Fatal("the stage Wind is not there")
	}
	// Tests press faster than hands.
	for i := range tally.Inputs {
		w.app.Preferences().SetInt(leastKey(i), 0)
	}
	return w, s
}

func pressCounter(c *counting, key fyne.KeyName, times int) {
	for range times {
		c.face.KeyDown(&fyne.KeyEvent{Name: key})
		c.face.KeyUp(&fyne.KeyEvent{Name: key})
	}
}

func TestStepsFollowDesignAndUnits(t *testing.T) {
	w, s := newWinding(t, t.TempDir())
	s.steps.Pick(2)
	if got := s.text.Text; !strings.Contains(got, "turn 5") || !strings.Contains(got, "mm") {
		t.Errorf("the third step of the ring reads %q", got)
	}
	if s.work == nil || s.work.Turns != 5 {
		t.Errorf("the picture shows %+v, want 5 turns", s.work)
	}
	w.setUnits(1 - w.units)
	if got := s.text.Text; !strings.Contains(got, "in") || strings.Contains(got, "mm") {
		t.Errorf("in inches it reads %q", got)
	}
	s.part.OnPick(1)
	s.part.SetPicked(1)
	s.showPart()
	w.setTurns(120)
	if got := s.plan.Secondary.Turns; got != 120 {
		t.Errorf("after an edit %g turns are planned, want 120", got)
	}
	w.breakRing()
	if !strings.Contains(s.text.Text, "do not fit") || !s.count.Disabled() {
		t.Errorf("of a ring that cannot be built the stage says %q", s.text.Text)
	}
	w.undo()
	w.session.Edit("bare", func(d *design.Design) { d.SetTopLoadKind(design.NoTopLoad) })
	s.part.SetPicked(0)
	s.planAgain()
	if s.part.Picked() == 0 {
		t.Error("a ring that is absent is still picked")
	}
	s.part.SetPicked(0)
	s.showPart()
	if !strings.Contains(s.text.Text, "no ring of wire") || !s.there.Visible() || s.count.Visible() {
		t.Errorf("without a ring it says %q, there %t, count %t", s.text.Text, s.there.Visible(), s.count.Visible())
	}
	s.there.OnTapped()
	if w.current().key != stageShape || w.window.Canvas().Focused() == nil {
		t.Errorf("the button leads to %s", w.current().key)
	}
}

func TestCountAlong(t *testing.T) {
	folder := t.TempDir()
	w, s := newWinding(t, folder)
	s.part.SetPicked(1)
	s.showPart()
	s.askCount()
	c := s.counting
	if !c.under() || !w.filled() || c.face.Shown().Turns != "0" {
		t.Fatalf("counting %v, window filled %v, %q turns", c.under(), w.filled(), c.face.Shown().Turns)
	}
	pressCounter(c, fyne.KeySpace, 49)
	pressCounter(c, desktop.KeyShiftLeft, 3) // no turn
	if got := c.face.Shown(); got.Turns != "49" || got.Marked || !strings.Contains(got.Facts[0].Value, "in 1") {
		t.Errorf("after 49 presses the counter shows %+v", got)
	}
	c.face.MouseDown(&desktop.MouseEvent{})
	if got := c.face.Shown(); got.Turns != "50" || !got.Marked || c.ask.Content() == "" {
		t.Errorf("a click makes it %+v, the question reads %q", got, c.ask.Content())
	}
	// 11.9 mm at 0.229 mm a turn are 52.
	if err := c.measured("11.9 mm"); err != nil || c.told != 52 || !c.take.Visible() {
		t.Errorf("11.9 mm tell %d turns, %v, want 52", c.told, err)
	}
	c.takeTold()
	pressCounter(c, fyne.KeyBackspace, 1)
	if got := c.face.Shown().Turns; got != "51" || c.take.Visible() {
		t.Errorf("after taking 52 and one back it shows %q", got)
	}
	c.right.SetText("60")
	c.right.TypedKey(&fyne.KeyEvent{Name: fyne.KeyReturn})
	if got := c.face.Shown().Turns; got != "60" || w.window.Canvas().Focused() != fyne.Focusable(c.face) {
		t.Errorf("put right to 60 it shows %q, the keyboard is at %T", got, w.window.Canvas().Focused())
	}
	c.right.SetText("many")
	c.right.TypedKey(&fyne.KeyEvent{Name: fyne.KeyReturn})
	if got := c.face.Shown(); got.Turns != "60" || got.Line == "" {
		t.Errorf("put right to nonsense it shows %+v", got)
	}
	c.right.Restore()
	pressCounter(c, fyne.KeyEscape, 1)
	if c.under() || w.filled() {
		t.Error("Escape does not pause")
	}

	// Another window, as after a crash: it offers to go on.
	again, s2 := newWinding(t, folder)
	again.Welcome()
	if len(again.dialogs) != 1 {
		t.Fatalf("%d questions, want one about the count", len(again.dialogs))
	}
	again.dismiss()
	s2.part.SetPicked(1)
	s2.askCount()
	if len(again.dialogs) != 1 || s2.counting.under() {
		t.Fatalf("counting the part again asks %d questions", len(again.dialogs))
	}
	again.dismiss()
	left, err := tally.Unfinished(filepath.Join(folder, turnsFolder))
	if err != nil || len(left) != 1 || left[0].Turns != 60 {
		t.Fatalf("left are %+v, %v, want 60 turns", left, err)
	}
	s2.counting.goOn(left[0].Path)
	if got := s2.counting.face.Shown().Turns; got != "60" {
		t.Errorf("it goes on at %q, want 60", got)
	}
	s2.counting.finish()
	if left, err := tally.Unfinished(filepath.Join(folder, turnsFolder)); err != nil || len(left) != 0 {
		t.Errorf("a finished count is left: %+v, %v", left, err)
	}
}

// TestFilterOfTheCounter keeps the second of two quick presses out and says so.
func TestFilterOfTheCounter(t *testing.T) {
	w, s := newWinding(t, t.TempDir())
	w.app.Preferences().SetInt(leastKey(tally.Hand), 5000)
	s.askCount()
	c := s.counting
	pressCounter(c, fyne.KeySpace, 3)
	if got := c.face.Shown(); got.Turns != "1" || !strings.Contains(got.Line, "too soon") {
		t.Errorf("three presses at once show %+v, want one turn", got)
	}
	if err := c.setLeast("0"); err != nil {
		t.Fatal(err)
	}
	pressCounter(c, fyne.KeyF5, 3) // a pedal may send any key
	if got := c.face.Shown().Turns; got != "4" {
		t.Errorf("without the filter three more make %q, want 4", got)
	}
	if err := c.by.OnCommit("10"); err != nil {
		t.Fatal(err)
	}
	pressCounter(c, fyne.KeySpace, 1)
	if got := c.face.Shown().Turns; got != "14" {
		t.Errorf("ten a press make %q, want 14", got)
	}
	for _, text := range []string{"0", "1.5", "5000", "ten"} {
		if err := c.by.OnCommit(text); err == nil {
			t.Errorf("%q turns a press are taken", text)
		}
	}
	if err := c.setLeast("1 h"); err == nil {
		t.Error("a filter of an hour is taken")
	}
}

// TestWindWritesFiles writes what the stage exports and reads how it begins.
func TestWindWritesFiles(t *testing.T) {
	w, s := newWinding(t, t.TempDir())
	folder := t.TempDir()
	written := func() []string {
		var names []string
		entries, err := os.ReadDir(folder)
		if err != nil {
			t.Fatal(err)
		}
		for _, e := range entries {
			names = append(names, e.Name())
		}
		return names
	}
	s.makeBuilds([]design.Design{s.design}, true, func(builds []sheet.Build) {
		var file bytes.Buffer
		if err := sheet.WriteBuild(&file, windPapers[0], builds...); err != nil {
			t.Fatal(err)
		}
		s.writeInto(folder, []exportFile{{"coil-build.pdf", file.Bytes()}})
	})
	if got := written(); len(got) != 1 || !strings.HasSuffix(got[0], "-build.pdf") || len(w.dialogs) != 1 {
		t.Errorf("written are %v, %d dialogs", got, len(w.dialogs))
	}
	content, err := os.ReadFile(filepath.Join(folder, written()[0]))
	if err != nil || !strings.HasPrefix(string(content), "%PDF-") {
		t.Errorf("the sheet begins with %.10q, %v", content, err)
	}
}

func TestWindSettingsAreKept(t *testing.T) {
	w, s := newWinding(t, t.TempDir())
	next := s.settings
	next.RingSpareTurns = 5
	s.keepSettings(next)
	if s.plan.Ring.Spare != 5 {
		t.Errorf("%d spare turns are planned, want 5", s.plan.Ring.Spare)
	}
	if got := preferredWinding(w.app.Preferences().String(preferWinding)); got != next {
		t.Errorf("kept are %+v, want %+v", got, next)
	}
	for _, broken := range []string{"{", `{"ring_spare_turns": -4}`, `{"yield_pa": 0}`} {
		if got := preferredWinding(broken); got.Check() != nil {
			t.Errorf("%s gives settings that make no sense: %+v", broken, got)
		}
	}
	for _, open := range []func(){s.askSettings, s.askSheet, s.askTemplates, s.askJig, s.askShop, s.askLabels} {
		open()
		if len(w.dialogs) != 1 {
			t.Fatalf("%d dialogs", len(w.dialogs))
		}
		w.dismiss()
	}
}
