package app

import (
	"errors"
	"math"
	"strconv"
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/lang"
	fynetheme "fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"coilwright/app/tally"
	"coilwright/app/theme"
	"coilwright/app/view"
	"coilwright/physics/si"
)

// Preferences of counting.
const (
	preferInput    = "count input"    // tally.Input
	preferLeast    = "count least ms" // followed by the input
	preferCountsBy = "count by"
)

// counting is the counter with the log it keeps. Counts go through a goroutine
// that waits for the disk; only what is there is shown.
type counting struct {
	stage  *windStage
	object fyne.CanvasObject

	face    *view.Counter
	title   *view.Text
	input   *view.Segments
	by      *view.Entry
	least   *view.Entry
	right   *view.Entry
	height  *view.Entry
	ask     *view.Text
	take    *view.Button
	keep    *view.Button
	figure  *view.Figure
	picture *painting

	job     tally.Job
	queue   chan func()   // to the goroutine that waits for the disk
	ended   chan struct{} // closed when it has ended
	log     *tally.Log    // of that goroutine alone while queue is open
	filter  tally.Filter
	pulse   *pulse // of the window's loop; nil in tests
	later   *time.Timer
	step    int     // turns a press counts
	told    int     // turns that the height measured tells, while the question stands
	tall    float64 // m, that height
	turns   int     // shown
	length  float64 // m, shown
	focused bool    // keys come to the counter
	note    string  // in place of the usual line; empty: none
}

func newCounting(s *windStage) *counting {
	c := &counting{stage: s}
	c.face = view.NewCounter()
	c.face.OnCount = c.press
	c.face.OnBack = func() { c.do(func(l *tally.Log) error { return l.Back(c.step, time.Now()) }) }
	c.face.OnLeave = c.leave
	c.face.OnFocus = func(has bool) {
		c.focused = has
		c.showFace()
	}
	c.title = view.NewLine(fynetheme.ColorNameForeground, theme.SizeNameStageText)

	c.input = view.NewSegments(lang.L("wind.hand"), lang.L("wind.pedal"), lang.L("wind.magnet"))
	c.input.OnPick = func(i int) {
		s.app.Preferences().SetInt(preferInput, i)
		c.showInput()
		c.focus()
	}
	c.least = view.NewEntry(true)
	c.least.OnCommit = func(typed string) error { return c.setLeast(typed) }
	c.by = view.NewEntry(true)
	c.by.OnCommit = func(typed string) error {
		step := 0
		if err := wholeNumber(&step)(typed); err != nil {
			return err
		}
		if step < 1 || step > 1000 {
			return errors.New(lang.L("wind.by_range"))
		}
		s.app.Preferences().SetInt(preferCountsBy, step)
		c.showInput()
		return nil
	}
	c.right = view.NewEntry(true)
	c.right.OnCommit = func(typed string) error {
		turns := 0
		if err := wholeNumber(&turns)(typed); err != nil {
			return err
		}
		if turns < 0 || turns > tally.MaxTurns {
			return errors.New(lang.L("wind.turns_range"))
		}
		c.do(func(l *tally.Log) error { return l.Correct(turns, time.Now()) })
		return nil
	}
	c.height = view.NewEntry(true)
	c.height.OnCommit = c.measured
	for _, e := range []*view.Entry{c.least, c.by, c.right, c.height} {
		e.OnEnter = c.focus
		e.OnRefused = func(err error) {
			c.note = ""
			if err != nil {
				c.note = lang.L("refused.hint", map[string]any{"Reason": err.Error()})
			}
			c.showFace()
		}
	}
	c.ask = view.NewLine(fynetheme.ColorNameForeground, theme.SizeNameTitleText)
	button := func(key string, importance widget.Importance, do func()) *view.Button {
		b := view.NewButton(lang.L(key), nil, func() {
			do()
			c.focus()
		})
		b.Importance = importance
		return b
	}
	c.take = button("wind.take", widget.HighImportance, c.takeTold)
	c.keep = button("wind.keep", widget.MediumImportance, c.keepCount)
	finish := button("wind.finish", widget.MediumImportance, c.finish)
	leave := button("wind.pause", widget.MediumImportance, c.leave)
	back := button("wind.take_back", widget.MediumImportance, func() { c.face.OnBack() })

	caption := func(key string) fyne.CanvasObject {
		return view.NewText(lang.L(key), theme.ColorNameMuted, theme.SizeNameTitleText)
	}
	field := func(key string, e *view.Entry) fyne.CanvasObject {
		return container.NewHBox(container.NewCenter(caption(key)), view.NewSized(theme.SizeNameRowEntry, theme.SizeNameRow, e))
	}
	c.figure = view.NewFigure(fyne.NewSize(1, 1), nil)
	c.picture = s.paint(stageWind, c.figure, s.sketch)
	top := container.NewBorder(nil, nil, nil, container.NewHBox(back, leave, finish), c.title)
	question := container.NewBorder(nil, nil, field("wind.height", c.height), container.NewHBox(c.take, c.keep), c.ask)
	inputs := container.NewHBox(container.NewCenter(caption("wind.counts_with")), container.NewCenter(c.input),
		field("wind.not_within", c.least), field("wind.counts_by", c.by), field("wind.put_right", c.right))
	c.object = container.NewBorder(top, container.NewVBox(view.NewFixed(theme.SizeNameWorkStrip, c.figure.Object()), question, inputs), nil, nil, c.face)
	c.object.Hide()
	return c
}

// under says whether turns are being counted.
func (c *counting) under() bool { return c != nil && c.object.Visible() }

// focus gives the counter the keyboard.
func (c *counting) focus() {
	if c.under() {
		c.stage.window.Canvas().Focus(c.face)
	}
}

// typedKey takes a key while nothing has the keyboard: the counter gets both.
func (c *counting) typedKey(e *fyne.KeyEvent) bool {
	c.focus()
	c.face.KeyDown(e)
	c.face.KeyUp(e)
	return true
}

func (c *counting) failed(err error) {
	c.stage.fail(errors.New(text("wind.not_kept", map[string]any{"Reason": reason(err)})))
}

// open shows the counter on a log.
func (c *counting) open(l *tally.Log) {
	c.log, c.job = l, l.Job()
	c.turns, c.length, c.told, c.note = l.Turns(), l.Length(), 0, ""
	if !c.stage.synchronous {
		c.queue, c.ended = make(chan func(), 256), make(chan struct{})
		go func(queue chan func(), ended chan struct{}) {
			defer close(ended)
			for job := range queue {
				job()
			}
		}(c.queue, c.ended)
		c.pulse = newPulse()
	}
	c.title.Set(text("wind.counting", map[string]any{"Part": lang.L("wind." + c.job.Part), "Coil": c.job.Coil, "Wire": c.job.Wire}))
	c.stage.planned.Hide()
	c.object.Show()
	c.stage.fill(true)
	c.showInput()
	c.showTurns()
	c.focus()
}

// do changes the log beside the window and shows what it then says.
func (c *counting) do(change func(*tally.Log) error) {
	log := c.log
	if log == nil {
		return
	}
	work := func() {
		err := change(log)
		turns, length := log.Turns(), log.Length()
		show := func() {
			if c.log == log {
				c.changed(turns, length, err)
			}
		}
		if c.stage.synchronous {
			show()
			return
		}
		fyne.Do(show)
	}
	if c.queue == nil {
		work()
		return
	}
	c.queue <- work
}

// press counts, unless it comes too soon after the last one.
func (c *counting) press() {
	if !c.filter.Accept(time.Now(), c.pulse.longest()) {
		c.note = lang.L("wind.too_soon")
		c.showFace()
		return
	}
	step := c.step
	c.do(func(l *tally.Log) error { return l.Count(step, time.Now()) })
}

// changed shows what the log says after a change.
func (c *counting) changed(turns int, length float64, err error) {
	before := c.turns
	c.turns, c.length, c.note = turns, length, ""
	if err != nil {
		c.note = text("wind.not_kept", map[string]any{"Reason": reason(err)})
	}
	if turns != before {
		c.told = 0
	}
	c.showTurns()
}

// measured takes a height and says how many turns it tells.
func (c *counting) measured(typed string) error {
	height, err := si.ParseIn(typed, c.stage.unit())
	if err != nil {
		return err
	}
	if !(height > 0) || c.turns == 0 {
		return errors.New(lang.L("wind.no_height"))
	}
	pitch := c.job.Pitch
	if c.length > 0 {
		pitch = c.length / float64(c.turns)
	}
	c.tall, c.told = height, int(math.Round(height/pitch))
	if c.told == c.turns {
		c.keepCount()
	}
	c.showQuestion()
	return nil
}

// takeTold puts the count right by the height.
func (c *counting) takeTold() {
	told := c.told
	c.told = 0
	c.do(func(l *tally.Log) error { return l.Correct(told, time.Now()) })
}

// keepCount keeps the count and learns the pitch from the height.
func (c *counting) keepCount() {
	height := c.tall
	c.told = 0
	c.do(func(l *tally.Log) error { return l.Measure(height, time.Now()) })
}

// showInput shows how turns come in and what the filter keeps out.
func (c *counting) showInput() {
	p := c.stage.app.Preferences()
	input := tally.Input(min(max(0, p.Int(preferInput)), int(tally.Inputs)-1))
	c.input.SetPicked(int(input))
	least := time.Duration(p.IntWithFallback(leastKey(input), int(tally.DefaultLeast(input)/time.Millisecond))) * time.Millisecond
	c.filter.Least = min(max(0, least), mostLeast)
	c.least.ShowValue(strconv.Itoa(int(c.filter.Least/time.Millisecond)), "ms")
	c.step = min(max(1, p.IntWithFallback(preferCountsBy, 1)), 1000)
	c.by.ShowValue(strconv.Itoa(c.step), "")
}

// mostLeast is the longest time in which a second press can be kept out.
const mostLeast = 5 * time.Second

// leastKey is the preference of an input's least time between presses.
func leastKey(i tally.Input) string { return preferLeast + " " + strconv.Itoa(int(i)) }

// setLeast takes the least time between presses of the present input.
func (c *counting) setLeast(typed string) error {
	seconds, err := si.ParseIn(typed, si.Millisecond)
	if err != nil {
		return err
	}
	if !(seconds >= 0 && seconds <= mostLeast.Seconds()) {
		return errors.New(lang.L("wind.least_range"))
	}
	c.stage.app.Preferences().SetInt(leastKey(tally.Input(c.input.Picked())), int(math.Round(seconds*1000)))
	c.showInput()
	return nil
}

// finish ends the count for good.
func (c *counting) finish() {
	c.do(func(l *tally.Log) error { return l.Finish(time.Now()) })
	c.leave()
}

// leave closes the log, so that the count can be gone on with, and gives the
// window back.
func (c *counting) leave() {
	if !c.under() {
		return
	}
	c.stage.window.Canvas().Unfocus() // commits what is being typed
	log := c.log
	c.log = nil
	c.pulse.stop()
	c.pulse = nil
	if c.later != nil {
		c.later.Stop()
	}
	if c.queue != nil {
		close(c.queue)
		<-c.ended
		c.queue = nil
	}
	if log != nil {
		if err := log.Close(); err != nil {
			c.failed(err)
		}
	}
	c.object.Hide()
	c.stage.planned.Show()
	c.stage.fill(false)
	c.stage.showStep()
}
