package app

import (
	"math"
	"strconv"
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/lang"

	"coilwright/app/view"
	"coilwright/physics/design"
	"coilwright/physics/si"
	"coilwright/physics/winding"
)

// showTurns shows where the work stands.
func (c *counting) showTurns() {
	c.showFace()
	c.showQuestion()
	c.right.ShowValue(strconv.Itoa(c.turns), "")
	if c.stage.synchronous {
		c.showWork()
		return
	}
	// A picture at every turn would slow the digits down.
	if c.later != nil {
		c.later.Stop()
	}
	log := c.log
	c.later = time.AfterFunc(pictureDelay, func() {
		fyne.Do(func() {
			if c.log == log && log != nil {
				c.showWork()
			}
		})
	})
}

// pictureDelay is how long the hand must rest before the picture follows.
const pictureDelay = 250 * time.Millisecond

// showWork draws the part as far as it is wound, if it is one of the design that
// is open.
func (c *counting) showWork() {
	s := c.stage
	if design.Fingerprint(s.design) != c.job.Fingerprint {
		s.setWork(nil, nil)
		return
	}
	for i, p := range windParts {
		if p.job == c.job.Part {
			s.setWork(s.workAt(i, winding.Wind, float64(c.turns)), nil)
		}
	}
}

// showFace shows the large number and what goes with it.
func (c *counting) showFace() {
	j, unit := c.job, c.stage.unit()
	shown := view.CounterShown{
		Turns: strconv.Itoa(c.turns),
		Of:    text("wind.of", map[string]any{"Of": si.FormatTurns(j.Total)}),
		Line:  lang.L("wind.line"),
	}
	if j.Spare > 0 {
		shown.Of = text("wind.of_spare", map[string]any{"Of": si.FormatTurns(j.Total), "Spare": j.Spare})
	}
	next := lang.L("wind.no_mark")
	if mark, ok := j.NextMark(c.turns); ok {
		next = text("wind.next_in", map[string]any{"Mark": mark, "To": mark - c.turns})
	}
	left := math.Max(0, j.All()-float64(c.turns))
	length := func(v float64) string {
		r := winding.Reading{Value: v, Unit: si.Metre}
		return r.Number(unit)
	}
	shown.Facts = [view.CounterFacts]view.Fact{
		{Name: lang.L("wind.next_mark"), Value: next},
		{Name: lang.L("wind.remain"), Value: si.FormatTurns(left)},
		{Name: lang.L("wind.wire_used"), Value: length(j.WireUsed(c.turns))},
		{Name: lang.L("wind.length"), Value: length(c.length)},
	}
	shown.Marked = j.Marked(c.turns)
	shown.Done = c.turns > 0 && left <= 0
	switch {
	case c.note != "":
		shown.Line = c.note
	case !c.focused:
		shown.Line = lang.L("wind.elsewhere")
	case shown.Done:
		shown.Line = lang.L("wind.done")
	case float64(c.turns) >= j.Total && j.Spare > 0:
		shown.Line = text("wind.spare_now", map[string]any{"Spare": si.FormatTurns(left)})
	case left < 1 && left > 0:
		shown.Line = text("wind.last_part", map[string]any{"Part": si.FormatTurns(left)})
	case shown.Marked:
		shown.Line = text("wind.mark_now", map[string]any{"Turn": c.turns})
	}
	c.face.ShowCount(shown)
}

// showQuestion shows what a measured height tells, or asks for one.
func (c *counting) showQuestion() {
	c.height.ShowValue("", c.stage.unit().Symbol())
	asked := c.told > 0
	if asked {
		c.ask.Set(text("wind.told", map[string]any{"Told": c.told, "Turns": c.turns}))
	} else if c.job.Asks(c.turns) {
		c.ask.Set(text("wind.ask_height", map[string]any{"Turns": c.turns}))
	} else {
		c.ask.Set("")
	}
	for _, b := range []*view.Button{c.take, c.keep} {
		if asked {
			b.Show()
		} else {
			b.Hide()
		}
	}
}
