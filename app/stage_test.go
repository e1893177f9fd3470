package app

import (
	"image/color"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"

	"coilwright/app/session"
	"coilwright/app/theme"
	"coilwright/app/view"
	"coilwright/physics/design"
	"coilwright/plotting/raster"
)

// noted is a stage that writes down what is asked of it. Its picture is all of
// one grey, which says how many turns the result was of.
type noted struct {
	w                             *Window
	builds, changes, shows, lefts int
	turns                         float64
	keys                          []fyne.KeyName
	takes                         fyne.KeyName // what typedKey has a use for
	picture                       *painting
	drawings                      int
}

const stageNoted = "noted"

func (n *noted) objects() (side, rest fyne.CanvasObject) {
	n.builds++
	figure := view.NewFigure(fyne.NewSize(100, 100), nil)
	n.picture = n.w.paint(stageNoted, figure, func(c *raster.Canvas, r *session.Result, _ look) (any, bool) {
		n.drawings++
		c.Clear(color.Gray{Y: uint8(r.Design.Secondary.Turns)})
		return r.Design.Secondary.Turns, true
	})
	return nil, figure.Object()
}

func (n *noted) changed(d design.Design) {
	n.changes++
	n.turns = d.Secondary.Turns
}

func (n *noted) show(*session.Result) { n.shows++ }

func (n *noted) typedKey(e *fyne.KeyEvent) bool {
	n.keys = append(n.keys, e.Name)
	return e.Name == n.takes
}

func (n *noted) leave() { n.lefts++ }

// newTwoStages opens a window with a second stage behind the first.
func newTwoStages(t *testing.T) (*Window, *noted) {
	t.Helper()
	n := &noted{}
	before := stages
	stages = append(before[:1:1], struct {
		key   string
		build func(*Window) stage
	}{stageNoted, func(w *Window) stage {
		n.w = w
		return n
	}})
	t.Cleanup(func() { stages = before })
	return newWindow(t), n
}

func TestAStageIsBuiltWhenEntered(t *testing.T) {
	w, n := newTwoStages(t)
	w.setTurns(100)
	if n.builds+n.changes+n.shows != 0 {
		t.Errorf("a stage nobody entered was built %d times, changed %d, shown %d", n.builds, n.changes, n.shows)
	}
	w.enter(1)
	if n.builds != 1 || n.changes != 1 || n.shows != 1 || n.turns != 100 {
		t.Errorf("on entry a stage is built %d times, changed %d, shown %d and has %g turns, want 1, 1, 1 and 100", n.builds, n.changes, n.shows, n.turns)
	}
	w.setTurns(120)
	if n.changes != 2 || n.shows < 2 || n.turns != 120 {
		t.Errorf("an edit reaches the stage on screen with %g turns, changed %d times, shown %d", n.turns, n.changes, n.shows)
	}
	w.enter(0)
	shows := n.shows
	w.setTurns(140)
	if n.lefts != 1 || n.changes != 2 || n.shows != shows {
		t.Errorf("left %d times, a hidden stage was changed %d times, shown %d, want 1, 2, %d", n.lefts, n.changes, n.shows, shows)
	}
	w.enter(1)
	if n.builds != 1 || n.turns != 140 {
		t.Errorf("entered again, the stage was built %d times and has %g turns, want 1 and 140", n.builds, n.turns)
	}
}

func TestOnlyTheStageOnScreenIsDrawn(t *testing.T) {
	w, n := newTwoStages(t)
	w.enter(1)
	w.setTurns(100)
	if got := n.picture.frame; got != 100.0 {
		t.Errorf("the picture is of %v turns, want 100", got)
	}
	shape := w.coil.done
	drawings := n.drawings
	w.setTurns(110)
	if n.drawings == drawings || n.picture.frame != 110.0 {
		t.Errorf("after an edit the picture is of %v turns, want 110", n.picture.frame)
	}
	drawings = n.drawings
	if w.coil.done != shape {
		t.Error("the coil is drawn while another stage is on screen")
	}
	w.session.Redraw()
	if n.drawings != drawings {
		t.Error("a picture that is right already is drawn again")
	}
	n.picture.stale()
	w.session.Redraw()
	if n.drawings != drawings+1 {
		t.Error("a stale picture is not drawn again")
	}
	w.enter(0)
	if w.coil.done == shape || w.coil.done.number != w.last.Number {
		t.Error("back on the first stage the coil is not drawn again")
	}
	if n.drawings != drawings+1 {
		t.Error("a hidden picture is drawn")
	}
}

func TestAStageCanHaveTheWholeWindow(t *testing.T) {
	w, n := newTwoStages(t)
	w.enter(1)
	part := n.picture.space
	w.fill(true)
	if whole := n.picture.space; whole.Height <= part.Height || whole.Width < part.Width {
		t.Errorf("with the whole window the picture has %v, before %v", whole, part)
	}
	n.takes = fyne.KeyEscape
	w.typedKey(&fyne.KeyEvent{Name: fyne.KeyEscape})
	if !w.filled() {
		t.Error("Escape takes the window back although the stage had a use for it")
	}
	n.takes = fyne.KeySpace
	w.typedKey(&fyne.KeyEvent{Name: fyne.KeySpace})
	if !w.filled() {
		t.Error("a key other than Escape takes the window back")
	}
	w.typedKey(&fyne.KeyEvent{Name: fyne.KeyEscape})
	if w.filled() || n.picture.space != part {
		t.Errorf("after Escape the stage fills the window: %t, picture %v, before %v", w.filled(), n.picture.space, part)
	}
	w.fill(true)
	w.enter(0)
	if w.filled() {
		t.Error("the next stage has the whole window too")
	}
}

func TestADialogTakesTheKeysOfTheStage(t *testing.T) {
	w, n := newTwoStages(t)
	w.enter(1)
	w.showPage(pageUsing)
	w.typedKey(&fyne.KeyEvent{Name: fyne.KeySpace})
	w.typedKey(&fyne.KeyEvent{Name: fyne.KeyEscape})
	if len(n.keys) != 0 {
		t.Errorf("the stage under a dialog got %v", n.keys)
	}
	if len(w.dialogs) != 0 {
		t.Error("Escape leaves the dialog open")
	}
}

func TestStagesAreInTheMenu(t *testing.T) {
	w, _ := newTwoStages(t)
	if len(w.menu.stages) != 2 {
		t.Fatalf("the menu names %d stages, want 2", len(w.menu.stages))
	}
	w.menu.stages[1].Action()
	if w.at != 1 || !w.menu.stages[1].Checked || w.menu.stages[0].Checked {
		t.Errorf("the menu leads to stage %d, marks %t %t", w.at, w.menu.stages[0].Checked, w.menu.stages[1].Checked)
	}
	for i, item := range w.menu.stages {
		if item.Shortcut == nil {
			t.Errorf("stage %d has no key", i)
		}
	}
}

// TestEveryStageWearsUnitsAndThemes enters every stage there is, in both
// appearances and units, with and without a design that can be built.
func TestEveryStageWearsUnitsAndThemes(t *testing.T) {
	w := newWindow(t)
	for i, s := range w.stages {
		w.enter(i)
		for _, a := range []theme.Appearance{theme.Dark, theme.Light} {
			w.setAppearance(a)
			w.setUnits(1 - w.units)
			w.breakRing()
			w.undo()
		}
		if least := w.frame.Object().MinSize(); least.Width > leastSize.Width || least.Height+menuBar > leastSize.Height {
			t.Errorf("%s needs %v, the least window is %v", s.key, least, leastSize)
		}
		test.LaidOutObjects(w.window.Content())
	}
}
