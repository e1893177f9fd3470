package app

import (
	"context"
	"errors"
	"reflect"
	"slices"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/lang"
	"fyne.io/fyne/v2/widget"

	"coilwright/app/session"
	"coilwright/app/view"
	"coilwright/physics/comparison"
	"coilwright/physics/design"
	"coilwright/physics/si"
	"coilwright/plotting"
	"coilwright/plotting/raster"
)

// benchCompare is the view of what the readings say: a figure of all of them, and
// in words what explains them and what to change.
type benchCompare struct {
	bench   *benchStage
	object  fyne.CanvasObject
	figure  *view.Figure
	picture *painting
	prose   *view.Prose
	errand  errand
	shown   shared[[]plotting.Reading]

	target        *view.Entry
	keep, take    *view.Button
	last          *comparison.Comparison
	advice        *comparison.Advice
	problem       error             // why nothing was compared
	of            design.Design     // last was found for
	drivenBy      comparison.Driven // likewise
	comparedOnce  bool
	adviceSection []fyne.CanvasObject
}

// digitsRead is how many significant digits a number of the stage has.
const digitsRead = 4

func newBenchCompare(s *benchStage) *benchCompare {
	c := &benchCompare{bench: s, prose: view.NewProse()}
	c.errand.synchronous = s.synchronous
	c.figure = view.NewFigure(fyne.NewSize(260, 200), nil)
	c.picture = s.paint(stageBench, c.figure, func(canvas *raster.Canvas, _ *session.Result, l look) (any, bool) {
		p, err := plotting.ReadingsFigure(c.shown.get(), l.style)
		if err != nil {
			return nil, false
		}
		return plotting.Render(p, canvas), true
	})
	c.target = view.NewEntry(true)
	c.target.OnCommit = c.setTarget
	c.target.OnFocus = func() { s.hint.Show("bench.target") }
	c.target.OnRefused = func(err error) {
		if err != nil {
			s.hint.Say(text("refused.hint", map[string]any{"Reason": err.Error()}))
		}
	}
	c.keep = view.NewButton(lang.L("bench.keep"), nil, c.keepVariant)
	c.keep.OnHint = func() { s.hint.Show("bench.keep") }
	c.take = view.NewButton(lang.L("bench.take"), nil, c.takeCorrected)
	c.take.OnHint = func() { s.hint.Show("bench.take") }
	c.keep.Importance, c.take.Importance = widget.MediumImportance, widget.MediumImportance
	c.adviceSection = []fyne.CanvasObject{container.NewGridWithColumns(2, widget.NewLabel(lang.L("bench.target")), c.target)}
	c.object = view.NewBeside(c.figure.Object(), c.prose.Object())
	return c
}

// run compares a design, beside the window; the report may have what its driver
// does, or not yet.
func (c *benchCompare) run(d design.Design, report *design.Report) {
	driven := comparison.DrivenOf(*report)
	if c.comparedOnce && reflect.DeepEqual(d, c.of) && reflect.DeepEqual(driven, c.drivenBy) {
		c.show()
		return
	}
	c.of, c.drivenBy = d, driven
	if c.last == nil && len(d.Measurements) > 0 {
		c.prose.Set([]view.Section{{Title: lang.L("bench.compared"), Lines: []string{lang.L("bench.comparing")}}})
	}
	c.errand.run(func(ctx context.Context, _ func(func())) func() {
		solver := design.NewSolver()
		result, err := comparison.Compare(ctx, solver, d, driven)
		var advice *comparison.Advice
		if target := comparison.TargetOf(d); err == nil && target > 0 {
			a, adviceErr := comparison.Advise(ctx, solver, d, &result, target)
			if adviceErr == nil {
				advice = &a
			}
			err = adviceErr
		}
		return func() {
			c.comparedOnce = true
			c.last, c.advice, c.problem = &result, advice, err
			if err != nil {
				c.last = nil
			}
			c.show()
		}
	})
}

func (c *benchCompare) stop() {
	c.errand.stop()
	c.comparedOnce = false
}

// refresh tells again what was found, if anything was.
func (c *benchCompare) refresh() {
	if c.comparedOnce {
		c.show()
	}
}

// show puts what was found on screen.
func (c *benchCompare) show() {
	target := ""
	if f := c.of.TargetFrequency; f > 0 {
		target = si.FormatNumber(si.Megahertz.Of(f), digitsRead)
	}
	c.target.ShowValue(target, si.Megahertz.Symbol())
	var rows []plotting.Reading
	var sections []view.Section
	switch {
	case c.problem != nil:
		sections = append(sections, view.Section{Title: lang.L("bench.compared"), Lines: []string{text("bench.cannot", map[string]any{"Reason": c.bench.units.Reason(c.problem)})}})
	case len(c.last.Rows) == 0:
		sections = append(sections, view.Section{Title: lang.L("bench.compared"), Lines: []string{lang.L("bench.nothing_read")}})
	default:
		sections = append(sections, c.rowSection(&rows))
		if e := c.last.Explanation; e != nil {
			sections = append(sections, c.explanation(e))
		}
	}
	if c.problem == nil {
		sections = append(sections, c.adviceWords())
		sections = append(sections, c.findings()...)
	}
	if !reflect.DeepEqual(rows, c.shown.get()) {
		c.shown.set(rows)
		c.picture.stale()
		c.bench.session.Redraw()
	}
	c.prose.Set(sections)
}

// rowSection tells every reading and collects what the figure shows of them.
func (c *benchCompare) rowSection(rows *[]plotting.Reading) view.Section {
	s := view.Section{Title: lang.L("bench.compared")}
	for i := range c.last.Rows {
		r := &c.last.Rows[i]
		words := map[string]any{"Name": view.ReadingName(r.Reading), "Text": c.bench.units.Say(r.Text)}
		s.Lines = append(s.Lines, text("bench.row", words))
		if r.Verdict == comparison.NotPredicted || !(r.Predicted > 0) || r.Reading.Quantity == comparison.Temperature {
			continue
		}
		*rows = append(*rows, plotting.Reading{
			Name: view.ReadingName(r.Reading), Predicted: r.Predicted, Half: r.Half(), Measured: r.Measured, Sigma: r.Sigma,
		})
	}
	return s
}

// findings tells what two readings say together, and what the logbook teaches.
func (c *benchCompare) findings() []view.Section {
	var lines []string
	for i := range c.last.Rows {
		r := &c.last.Rows[i]
		if r.Reading.Quantity == comparison.Frequency && r.Corrected != r.Measured {
			key := "bench.probe_off"
			if c, err := comparison.CircumstancesOf(r.Reading); err == nil && c.Near != comparison.NothingNear {
				key = "bench.near_off"
			}
			lines = append(lines, text(key, map[string]any{
				"Name": view.ReadingName(r.Reading), "Value": si.FormatPrefixed(r.Corrected, si.Hertz, digitsRead),
			}))
		}
	}
	if t := c.last.TopLoad; t != nil {
		lines = append(lines, text("bench.top_capacitance", map[string]any{
			"Value": si.FormatPrefixed(t.Value, si.Farad, 3), "Sigma": si.FormatPrefixed(2*t.Sigma, si.Farad, 2), "Predicted": si.FormatPrefixed(t.Predicted, si.Farad, 3),
		}))
	}
	if n := c.last.Count; n != nil {
		lines = append(lines, text("bench.count", map[string]any{"Turns": si.FormatNumber(n.Best.Value, 3), "Sigma": si.FormatNumber(2*n.Best.Sigma, 2)}))
		if n.ByBoth != nil {
			lines = append(lines, text("bench.count_both", map[string]any{"Turns": si.FormatNumber(n.ByBoth.Value, 3), "Wire": n.Wire}))
		}
	}
	if record := c.bench.book.correction(); record != nil {
		if e := c.last.Explanation; e != nil {
			f, sigma := record.Correct(e.Prior.Value)
			lines = append(lines, text("bench.by_logbook", map[string]any{
				"Coils": record.Coils, "Value": si.FormatPrefixed(f, si.Hertz, digitsRead), "Sigma": si.FormatPrefixed(2*sigma, si.Hertz, 2),
			}))
		}
	}
	if lines == nil {
		return nil
	}
	return []view.Section{{Title: lang.L("bench.findings"), Lines: lines}}
}

// explanation tells what explains the readings and offers the design that they
// speak for.
func (c *benchCompare) explanation(e *comparison.Explanation) view.Section {
	s := view.Section{Title: lang.L("bench.explained"), Lines: []string{c.bench.units.Say(e.Text)}}
	s.Lines = append(s.Lines, text("bench.surer", map[string]any{
		"Before": si.FormatPrefixed(2*e.Prior.Sigma, si.Hertz, 2), "After": si.FormatPrefixed(2*e.Posterior.Sigma, si.Hertz, 2),
		"Value": si.FormatPrefixed(e.Posterior.Value, si.Hertz, digitsRead),
	}))
	if e.Needed && len(e.Alone) > 0 {
		s.Lines = append(s.Lines, lang.L("bench.alone"))
		const mostTold = 6
		for _, a := range e.Alone[:min(mostTold, len(e.Alone))] {
			s.Lines = append(s.Lines, "• "+c.bench.units.Say(a.Text()))
		}
	}
	s.Objects = []fyne.CanvasObject{container.NewHBox(c.keep, c.take)}
	c.keep.SetEnabled(len(design.Check(e.Corrected)) == 0)
	c.take.SetEnabled(len(design.Check(e.Corrected)) == 0)
	return s
}

// adviceWords tells how the coil comes to its target.
func (c *benchCompare) adviceWords() view.Section {
	s := view.Section{Title: lang.L("bench.advice"), Objects: c.adviceSection}
	if c.advice == nil {
		s.Lines = []string{lang.L("bench.no_target")}
		return s
	}
	s.Lines = []string{c.bench.units.Say(c.advice.Text)}
	for _, step := range c.advice.Steps {
		s.Lines = append(s.Lines, "• "+c.bench.units.Say(step.Text))
	}
	return s
}

// setTarget takes a typed target; an empty text means none.
func (c *benchCompare) setTarget(typed string) error {
	var f float64
	if typed != "" && typed != "0" {
		var err error
		if f, err = si.ParseIn(typed, si.Megahertz); err != nil {
			return err
		}
	}
	changed := c.bench.session.Design()
	changed.TargetFrequency = f
	for _, p := range design.Check(changed) {
		if p.Key == "target_frequency_hz" {
			return errors.New(c.bench.units.Say(p.Text))
		}
	}
	c.bench.session.Edit(lang.L("edit.target_frequency_hz"), func(d *design.Design) { d.TargetFrequency = f })
	return nil
}

// keepVariant puts the corrected design among the variants.
func (c *benchCompare) keepVariant() {
	if c.last == nil || c.last.Explanation == nil {
		return
	}
	variant := c.last.Explanation.Corrected
	c.bench.session.Edit(lang.L("bench.edit_keep"), func(d *design.Design) {
		variants := slices.DeleteFunc(slices.Clone(d.Variants), func(v design.Design) bool { return v.Name == variant.Name })
		d.Variants = append(variants, variant)
	})
	c.bench.hint.Say(text("bench.kept", map[string]any{"Name": variant.Name}))
}

// takeCorrected makes the corrected design the open one; its readings stay.
func (c *benchCompare) takeCorrected() {
	if c.last == nil || c.last.Explanation == nil {
		return
	}
	corrected := c.last.Explanation.Corrected
	c.bench.session.Edit(lang.L("bench.edit_take"), func(d *design.Design) {
		corrected.Name, corrected.Measurements, corrected.Variants = d.Name, d.Measurements, d.Variants
		*d = corrected
	})
}
