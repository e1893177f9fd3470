package view

import (
	"math"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/lang"
	fynetheme "fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"coilwright/app/theme"
	"coilwright/physics/accuracy"
	"coilwright/physics/sentence"
	"coilwright/physics/si"
)

// Comparison is the table of our numbers beside those of others.
type Comparison struct {
	object  *fyne.Container
	list    *widget.List
	message *Text
	working *widget.ProgressBarInfinite
	lines   []comparisonLine
}

// comparisonLine is a heading, or one comparison.
type comparisonLine struct {
	title, detail, source string
	heading               bool
}

// NewComparison returns an empty table with a sign that it is being filled.
func NewComparison() *Comparison {
	c := &Comparison{
		message: NewText("", theme.ColorNameMuted, fynetheme.SizeNameText),
		working: widget.NewProgressBarInfinite(),
	}
	c.list = widget.NewList(
		func() int { return len(c.lines) },
		func() fyne.CanvasObject {
			title := NewText("", fynetheme.ColorNameForeground, fynetheme.SizeNameText)
			detail := NewText("", fynetheme.ColorNameForeground, fynetheme.SizeNameCaptionText)
			source := NewText("", theme.ColorNameMuted, fynetheme.SizeNameCaptionText)
			for _, t := range []*Text{title, detail, source} {
				t.elastic = true
			}
			return container.New(rowsLayout{}, title, detail, source)
		},
		func(i widget.ListItemID, o fyne.CanvasObject) { c.lines[i].fill(o.(*fyne.Container).Objects) },
	)
	c.object = container.NewStack(c.list, container.NewCenter(c.message), container.NewVBox(c.working))
	return c
}

// Object returns what to put into the window.
func (c *Comparison) Object() fyne.CanvasObject { return c.object }

// Say shows a sentence in place of the table.
func (c *Comparison) Say(text string) {
	c.message.Set(text)
	c.working.Stop()
	c.working.Hide()
}

// Show fills the table.
func (c *Comparison) Show(rows []accuracy.Row) {
	c.Say("")
	c.lines = c.lines[:0]
	group := ""
	for _, r := range rows {
		if g := Millimetres.Say(r.Group); g != group {
			group = g
			c.lines = append(c.lines, comparisonLine{title: group, heading: true})
		}
		c.lines = append(c.lines, lineOf(r))
	}
	c.list.Refresh()
}

// Lines returns how many lines the table has.
func (c *Comparison) Lines() int { return len(c.lines) }

// comparisonDigits shows more of a number than a maker needs: the table is for
// doubters.
const comparisonDigits = 6

func lineOf(r accuracy.Row) comparisonLine {
	detail := lang.L("accuracy.row", map[string]any{
		"Theirs":     si.FormatPrefixed(r.Theirs, r.Unit, comparisonDigits),
		"Ours":       si.FormatPrefixed(r.Ours, r.Unit, comparisonDigits),
		"Difference": smallPercent(r.Difference),
		"Allowed":    smallPercent(r.Allowed),
	})
	title := Millimetres.Say(sentence.Join(", ", r.Quantity, r.Case))
	if !r.Within {
		title += " – " + lang.L("accuracy.beyond")
	}
	return comparisonLine{title: title, detail: detail, source: Millimetres.Say(r.Source)}
}

// leastShown is the smallest difference, as a ratio, that is written as a number.
const leastShown = 1e-6

// smallPercent writes a relative difference that may be very small.
func smallPercent(ratio float64) string {
	if math.Abs(ratio) < leastShown {
		return lang.L("accuracy.tiny", map[string]any{"Least": si.Format(leastShown, si.Percent, 1)})
	}
	return si.Format(ratio, si.Percent, 2)
}

func (l comparisonLine) fill(objects []fyne.CanvasObject) {
	title := objects[0].(*Text)
	title.style.Bold = l.heading
	for i, text := range []string{l.title, l.detail, l.source} {
		objects[i].(*Text).Set(text)
	}
}
