package app

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"sync"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/lang"
	"fyne.io/fyne/v2/widget"
	"gonum.org/v1/plot/vg/draw"

	"coilwright/app/session"
	"coilwright/app/theme"
	"coilwright/app/view"
	"coilwright/physics/design"
	"coilwright/physics/si"
	"coilwright/physics/winding"
	"coilwright/plotting"
	"coilwright/plotting/raster"
	"coilwright/plotting/sheet"
)

// stageWind is the key of the stage in which the coil is wound.
const stageWind = "wind"

// preferWinding is the key of the preference that holds the settings of the
// work, as JSON.
const preferWinding = "winding"

// windStage shows the steps of the work, where it stands after the one that is
// picked, and what can be put on paper; and the counter.
type windStage struct {
	*Window

	settings winding.Settings
	plan     winding.Plan
	problem  string // why there is no plan, empty if there is one
	design   design.Design

	part     *view.Segments
	steps    *view.StepList
	text     *widget.Label
	check    *view.Text
	count    *view.Button
	back, on *view.Button
	there    *view.Button // in the place of count where the part is absent
	figure   *view.Figure
	picture  *painting
	planned  fyne.CanvasObject
	counting *counting

	// work is what the picture shows, for the worker.
	mu     sync.Mutex
	work   *plotting.Work   // nil: there is nothing to draw
	broken bool             // there is no plan
	wiring *design.Geometry // drawn in place of the work; nil: it is not
}

// windParts are the parts in the order of the switch.
var windParts = []struct {
	text string
	kind plotting.WoundPart
	job  string // in a log of turns
	made string // key of the design that says whether it is there
}{
	{"wind.ring", plotting.RingPart, "ring", "top_load.kind"},
	{"wind.secondary", plotting.SecondaryPart, "secondary", "secondary.turns"},
	{"wind.primary", plotting.PrimaryWound, "primary", "primary.kind"},
}

// windWiring is the place of the wiring behind the parts.
const windWiring = 3

// kindTexts are the texts that name what a step does.
var kindTexts = map[winding.Kind]string{
	winding.Prepare: "wind.kind_prepare", winding.Cut: "wind.kind_cut", winding.Grip: "wind.kind_grip", winding.Wind: "wind.kind_wind",
	winding.Spare: "wind.kind_spare", winding.Slide: "wind.kind_slide", winding.Open: "wind.kind_open", winding.Drop: "wind.kind_drop",
	winding.Close: "wind.kind_close", winding.Space: "wind.kind_space", winding.Bind: "wind.kind_bind", winding.Solder: "wind.kind_solder",
	winding.Cool: "wind.kind_cool", winding.Straighten: "wind.kind_straighten", winding.Fix: "wind.kind_fix", winding.Coat: "wind.kind_coat",
	winding.Lead: "wind.kind_lead", winding.Tap: "wind.kind_tap", winding.Check: "wind.kind_check",
}

func newWindStage(w *Window) stage {
	return &windStage{Window: w}
}

// leastWork is the least size of the picture of the work, in density-independent
// pixels.
var leastWork = fyne.NewSize(380, 180)

func (s *windStage) objects() (side, rest fyne.CanvasObject) {
	s.settings = preferredWinding(s.app.Preferences().String(preferWinding))
	s.part = view.NewSegments(lang.L("wind.ring"), lang.L("wind.secondary"), lang.L("wind.primary"), lang.L("wind.wiring"))
	s.part.Tight = true
	s.part.OnPick = func(int) { s.showPart() }
	s.part.OnHint = func() { s.hint.Show("wind_part") }
	s.steps = view.NewStepList()
	s.steps.OnPick = func(int) { s.showStep() }
	button := func(key, hint string, importance widget.Importance, do func()) *view.Button {
		b := view.NewButton(lang.L(key), nil, do)
		b.Importance = importance
		b.OnHint = func() { s.hint.Show(hint) }
		return b
	}
	paper := container.NewGridWithColumns(2,
		button("wind.sheet", "wind_sheet", widget.MediumImportance, s.askSheet),
		button("wind.templates", "wind_templates", widget.MediumImportance, s.askTemplates),
		button("wind.jig", "wind_jig", widget.MediumImportance, s.askJig),
		button("wind.shop", "wind_shop", widget.MediumImportance, s.askShop),
		button("wind.labels", "wind_labels", widget.MediumImportance, s.askLabels),
		button("wind.settings", "wind_settings", widget.MediumImportance, s.askSettings),
	)
	side = container.NewBorder(s.part, paper, nil, nil, view.NewPanel(s.steps, theme.SizeNameFigureInset))

	s.figure = view.NewFigure(leastWork, nil)
	s.picture = s.paint(stageWind, s.figure, s.sketch)
	s.text = widget.NewLabel("")
	s.text.Wrapping = fyne.TextWrapWord
	s.check = view.NewLine(theme.ColorNameMuted, theme.SizeNameTitleText)
	s.back = button("wind.back", "wind_step", widget.MediumImportance, func() { s.steps.Pick(s.steps.Picked() - 1) })
	s.on = button("wind.on", "wind_step", widget.MediumImportance, func() { s.steps.Pick(s.steps.Picked() + 1) })
	s.count = button("wind.count", "wind_count", widget.HighImportance, s.askCount)
	s.there = button("notice.lead", "wind_absent", widget.HighImportance, func() { s.lead(windParts[s.part.Picked()].made) })
	s.there.Hide()
	below := container.NewBorder(nil, nil, container.NewHBox(s.back, s.on), container.NewStack(s.count, s.there))
	words := view.NewPanel(view.NewFixed(theme.SizeNameStepText,
		container.NewBorder(nil, container.NewVBox(s.check, below), nil, nil, container.NewVScroll(s.text))), theme.SizeNameInset)
	s.planned = container.NewBorder(nil, words, nil, nil, s.figure.Object())
	s.counting = newCounting(s)
	return side, container.NewStack(s.planned, s.counting.object)
}

// preferredWinding returns the settings as kept; what cannot be read or makes no
// sense counts as not set.
func preferredWinding(kept string) winding.Settings {
	settings := winding.DefaultSettings()
	if kept == "" {
		return settings
	}
	if json.Unmarshal([]byte(kept), &settings) != nil || settings.Check() != nil {
		return winding.DefaultSettings()
	}
	return settings
}

func (s *windStage) changed(d design.Design) {
	s.design = d
	s.planAgain()
}

// planAgain plans the work anew, after an edit, a setting or a change of units.
func (s *windStage) planAgain() {
	plan, err := design.WindingPlan(s.design, s.settings, s.unit())
	s.plan, s.problem = plan, ""
	if err != nil {
		s.plan, s.problem = winding.Plan{}, windProblem(err, s.units)
	}
	if s.problem == "" && s.part.Picked() < windWiring && s.planPart(s.part.Picked()) == nil {
		for i := range windParts {
			if s.planPart(i) != nil {
				s.part.SetPicked(i)
				break
			}
		}
	}
	s.showPart()
}

// windProblem says why there is no plan.
func windProblem(err error, units view.Units) string {
	return lang.L("wind.problem", map[string]any{"Reason": units.Reason(err)})
}

func (s *windStage) unit() si.Unit {
	if s.units == view.Inches {
		return si.Inch
	}
	return si.Millimetre
}

// planPart returns a part of the plan by its place in the switch, nil if it is
// absent.
func (s *windStage) planPart(i int) *winding.Part {
	switch i {
	case 0:
		return s.plan.Ring
	case 1:
		return s.plan.Secondary
	case 2:
		return s.plan.Primary
	}
	return nil
}

// showPart lists the steps of the part that is picked.
func (s *windStage) showPart() {
	var titles []string
	if p := s.planPart(s.part.Picked()); p != nil {
		for i, step := range p.Steps {
			titles = append(titles, fmt.Sprintf("%d  %s", i+1, lang.L(kindTexts[step.Kind], map[string]any{"Turn": si.FormatTurns(step.Turns)})))
		}
	} else if s.part.Picked() == windWiring {
		for i, line := range s.plan.Wiring {
			titles = append(titles, fmt.Sprintf("%d  %s", i+1, s.units.Say(line)))
		}
	}
	s.steps.SetSteps(titles)
	s.showStep()
}

// showStep shows the step that is picked.
func (s *windStage) showStep() {
	i, part := s.steps.Picked(), s.planPart(s.part.Picked())
	body, check := "", ""
	var work *plotting.Work
	var wiring *design.Geometry
	last := -1
	switch {
	case s.problem != "":
		body = s.problem
	case part != nil && i < len(part.Steps):
		step := part.Steps[i]
		body = s.units.Say(step.Text)
		check = lang.L("wind.check", map[string]any{"Check": s.units.Say(step.Expect.Words(s.unit()))})
		last = len(part.Steps) - 1
		work = s.workAt(s.part.Picked(), step.Kind, step.Turns)
	case s.part.Picked() == windWiring && i < len(s.plan.Wiring):
		body, last = s.units.Say(s.plan.Wiring[i]), len(s.plan.Wiring)-1
		if g, err := s.design.Geometry(); err == nil {
			wiring = &g
		}
	case s.part.Picked() == 0:
		body = lang.L("wind.absent_ring")
	default:
		body = lang.L("wind.absent_primary")
	}
	if absent := s.problem == "" && part == nil && s.part.Picked() < windWiring; absent != s.there.Visible() {
		showOne(s.there, s.count, absent)
	}
	if s.text.Text != body {
		s.text.SetText(body)
	}
	s.check.Set(check)
	s.back.SetEnabled(i > 0 && last >= 0)
	s.on.SetEnabled(i < last)
	s.count.SetEnabled(part != nil)
	s.setWork(work, wiring)
}

// workAt returns the work on a part for its picture, nil where the design has no
// shape.
func (s *windStage) workAt(part int, kind winding.Kind, turns float64) *plotting.Work {
	g, err := s.design.Geometry()
	p := s.planPart(part)
	if err != nil || p == nil {
		return nil
	}
	return &plotting.Work{
		Part: windParts[part].kind, Kind: kind, Turns: turns, Spare: p.Spare,
		Marks: sheet.MarkedTurns(p), Geometry: g, Units: plottingUnits(s.units),
	}
}

// setWork changes what the picture shows.
func (s *windStage) setWork(work *plotting.Work, wiring *design.Geometry) {
	s.mu.Lock()
	s.work, s.wiring, s.broken = work, wiring, s.problem != ""
	s.mu.Unlock()
	s.picture.stale()
	if s.counting.picture != nil {
		s.counting.picture.stale()
	}
	s.session.Redraw()
}

// sketch draws the work; it runs on the worker.
func (s *windStage) sketch(c *raster.Canvas, _ *session.Result, l look) (any, bool) {
	s.mu.Lock()
	work, wiring, broken := s.work, s.wiring, s.broken
	s.mu.Unlock()
	if wiring != nil {
		c.Reset()
		return nil, plotting.DrawWiring(draw.New(c), *wiring, l.units, l.style) == nil
	}
	if work == nil {
		return nil, !broken
	}
	c.Reset()
	plotting.DrawWork(draw.New(c), *work, l.style)
	return nil, true
}

func (s *windStage) show(*session.Result) {}

func (s *windStage) typedKey(e *fyne.KeyEvent) bool {
	if s.counting.under() {
		return s.counting.typedKey(e)
	}
	switch e.Name {
	case fyne.KeyUp, fyne.KeyDown, fyne.KeyHome, fyne.KeyEnd:
		s.steps.TypedKey(e)
		return true
	}
	return false
}

func (s *windStage) leave() {
	if s.counting != nil {
		s.counting.leave()
	}
}

// buildSheet asks for the build sheet, on the stage it belongs to.
func (w *Window) buildSheet() {
	w.enterStage(stageWind)
	if s, ok := w.current().stage.(*windStage); ok {
		s.askSheet()
	}
}

// keepSettings keeps the settings of the work.
func (s *windStage) keepSettings(settings winding.Settings) {
	s.settings = settings
	content, err := json.Marshal(settings)
	if err != nil { // numbers that Check has passed can be written
		s.fail(err)
		return
	}
	s.app.Preferences().SetString(preferWinding, string(content))
	s.planAgain()
}

// askSettings asks for the settings of the work.
func (s *windStage) askSettings() {
	next := s.settings
	length := func(key string, at *float64) formRow {
		return formRow{label: key, text: settingText(*at, s.unit()), set: func(text string) (err error) {
			*at, err = si.ParseIn(text, s.unit())
			return err
		}}
	}
	optional := func(row formRow, at *float64) formRow {
		if *at == 0 {
			row.text = ""
		}
		set := row.set
		row.set = func(text string) error {
			if text == "" {
				*at = 0
				return nil
			}
			return set(text)
		}
		return row
	}
	quantity := func(key string, at *float64, unit si.Unit) formRow {
		return formRow{label: key, text: settingText(*at, unit), set: func(text string) (err error) {
			*at, err = si.ParseIn(text, unit)
			return err
		}}
	}
	number := func(key string, at *float64, factor float64) formRow {
		return formRow{label: key, text: settingText(*at/factor, si.Plain), set: func(text string) error {
			v, err := si.ParseIn(text, si.Plain)
			*at = v * factor
			return err
		}}
	}
	whole := func(key string, at *int) formRow {
		return formRow{label: key, text: fmt.Sprint(*at), set: wholeNumber(at)}
	}
	s.askForm("wind.settings", "ask.take", []formRow{
		length("wind.set_ring_tail", &next.RingTail),
		whole("wind.set_spare", &next.RingSpareTurns),
		whole("wind.set_ring_marks", &next.RingMarkEvery),
		number("wind.set_yield", &next.Yield, 1e6),
		optional(length("wind.set_loop", &next.MeasuredLoop), &next.MeasuredLoop),
		number("wind.set_solder", &next.SolderMelts, 1),
		quantity("wind.set_iron", &next.IronPower, si.Watt),
		length("wind.set_tail", &next.Tail),
		whole("wind.set_marks", &next.MarkEvery),
		optional(length("wind.set_mark_length", &next.MarkLength), &next.MarkLength),
		optional(quantity("wind.set_spool", &next.Spool, si.Gram), &next.Spool),
		number("wind.set_speed", &next.Speed, 1),
		length("wind.set_primary_tail", &next.PrimaryTail),
	}, func() error {
		if err := next.Check(); err != nil {
			return err
		}
		if _, err := design.WindingPlan(s.design, next, s.unit()); err != nil && s.problem == "" {
			return err
		}
		s.keepSettings(next)
		return nil
	})
}

// settingText writes a setting with up to four digits and no zeros at the end.
func settingText(value float64, unit si.Unit) string {
	number := unit.Of(value)
	if number == 0 {
		return si.FormatOf(0, unit, si.Shortest)
	}
	const digits = 4
	scale := math.Pow(10, digits-1-math.Floor(math.Log10(math.Abs(number))))
	return si.FormatOf(math.Round(number*scale)/scale, unit, si.Shortest)
}

// wholeNumber reads a number of things.
func wholeNumber(at *int) func(string) error {
	return func(text string) error {
		v, err := si.ParseIn(text, si.Plain)
		if err != nil {
			return err
		}
		if v != math.Trunc(v) || math.Abs(v) > math.MaxInt32 {
			return errors.New(lang.L("wind.not_whole"))
		}
		*at = int(v)
		return nil
	}
}
