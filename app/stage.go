package app

import (
	"strconv"

	"fyne.io/fyne/v2"

	"coilwright/app/session"
	"coilwright/physics/design"
)

// stage is one step of the job: what stands in the window between the header
// and the results while its name is picked in the bar at the top. There is one
// window and one design; a stage is another look at it.
//
// A stage KEY lives in stage_KEY.go, has a line in [stages] and the texts
// "stage.KEY" (its name in bar and menu) and "hint.stage_KEY" (what one does
// there). All methods run on the UI goroutine. changed, show and typedKey are
// called only while the stage is the one shown; on entry both changed and show
// are called once, so that a stage need not follow what happens elsewhere.
//
// What a stage may use of the window: session to read and edit the design,
// units and dark(), hint to explain what is under the pointer, [Window.paint]
// for pictures, [Window.fill] for the whole window, [Window.ask] and
// [Window.showSheet] for questions and things to read. It is built by the
// function of its line with the window, before the window has any content: the
// function keeps the pointer and builds nothing.
type stage interface {
	// objects builds, on the first entry, what the stage shows: the column on
	// the left, under which the hint stands, and everything to its right.
	// Without a column (nil) the rest has the whole width and no hint.
	objects() (side, rest fyne.CanvasObject)

	// changed shows the design, after an edit and after the units have changed.
	changed(d design.Design)

	// show shows a result; nil only before the first. Pictures made by
	// [Window.paint] look after themselves.
	show(r *session.Result)

	// typedKey takes a key that no widget had use for and reports whether it
	// did anything. Escape comes here before it gives back the whole window. No
	// key comes while a dialog is open.
	typedKey(e *fyne.KeyEvent) bool

	// leave is called when another stage is about to be shown and when the
	// program ends: it stops what moves.
	leave()
}

// stages lists the stages in the order of the job, which is that of the bar and
// of the keys Ctrl+1, Ctrl+2 and so on.
var stages = []struct {
	key   string
	build func(*Window) stage
}{
	{stageShape, newShapeStage},
	{stageDrive, newDriveStage},
	{stageWind, newWindStage},
	{stageBench, newBenchStage},
	{stageShow, newShowStage},
}

// entered is a stage with what it built.
type entered struct {
	key        string
	stage      stage
	built      bool
	side, rest fyne.CanvasObject
}

// buildStages makes the stages without anything in them.
func (w *Window) buildStages() {
	for _, s := range stages {
		w.stages = append(w.stages, &entered{key: s.key, stage: s.build(w)})
	}
}

// stageKeys are the keys of the stages in the order of the bar.
func (w *Window) stageKeys() []string {
	var keys []string
	for _, s := range w.stages {
		keys = append(keys, s.key)
	}
	return keys
}

// stageItems are the entries of the menu that go to the stages.
func (w *Window) stageItems() []*fyne.MenuItem {
	var items []*fyne.MenuItem
	for i, s := range w.stages {
		key := fyne.KeyName(strconv.Itoa(i + 1))
		items = append(items, item("stage."+s.key, control(key), func() { w.enter(i) }))
	}
	return items
}

// current is the stage that is shown.
func (w *Window) current() *entered {
	return w.stages[w.at]
}

// enter shows the stage at a place of the bar.
func (w *Window) enter(i int) {
	w.window.Canvas().Unfocus() // commits what is being typed
	if i != w.at {
		w.current().stage.leave()
		w.fill(false)
		w.at = i
	}
	w.showStage()
}

// enterStage shows the stage of a key, if there is one.
func (w *Window) enterStage(key string) {
	for i, s := range w.stages {
		if s.key == key && i != w.at {
			w.enter(i)
		}
	}
}

// built builds what a stage shows, the first time.
func (w *Window) built(s *entered) {
	if !s.built {
		s.side, s.rest = s.stage.objects()
		s.built = true
	}
}

// showStage puts the present stage on screen, with the present design and
// result in it.
func (w *Window) showStage() {
	s := w.current()
	w.built(s)
	w.artist.setStage(s.key)
	w.frame.Show(s.side, s.rest)
	w.header.ShowStage(w.at)
	w.hint.Show("")
	s.stage.changed(w.session.Design())
	if w.last != nil {
		s.stage.show(w.last)
	}
	w.redraw()
	w.showMenu()
}

// fill gives the present stage's right part the whole window, or takes it
// back; Escape takes it back too, unless the stage has another use for it.
func (w *Window) fill(whole bool) {
	w.frame.Fill(whole)
}

// filled says whether a stage has the whole window.
func (w *Window) filled() bool {
	return w.frame.Filled()
}

// typedKey is called for keys that no part of the window has use for. With a
// dialog open all of them but Escape are the dialog's.
func (w *Window) typedKey(e *fyne.KeyEvent) {
	escape := e.Name == fyne.KeyEscape
	switch {
	case len(w.dialogs) > 0:
		if escape {
			w.dismiss()
		}
	case w.current().stage.typedKey(e):
	case escape:
		w.fill(false)
	}
}
