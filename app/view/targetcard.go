package view

import (
	"math"
	"slices"
	"strings"

	"fyne.io/fyne/v2/lang"
	"fyne.io/fyne/v2/widget"

	"coilwright/app/session"
	"coilwright/physics/design"
	"coilwright/physics/si"
)

// Ends of the sliders of the target; what is typed may lie beyond.
const (
	targetLow, targetHigh           = 0.1e6, 20e6     // Hz
	targetFaradsLow, targetFaradsUp = 0.2e-12, 50e-12 // F
	firstTarget                     = 1e6             // Hz, where a coil without a frequency starts from
	firstFarads                     = 2e-12           // F
)

// onTarget is how near to its target, relative, a coil rings there: as near as Find
// promises.
const onTarget = 1e-4

// What a target is of.
const (
	reachFrequency = iota
	reachCapacitance
)

// targetCard holds a target and asks for the number of the coil that meets it.
type targetCard struct {
	*cardRows
	// onFind is told what to reach and the key of what may change for it.
	onFind func(design.Target, string)
	// onDrawer is asked for what can be built from the drawer.
	onDrawer func()

	editor Editor
	reach  int
	farads float64 // capacitance to reach
	vary   *Picker
	keys   []string // of the numbers that vary offers, in its order
	find   *Button
	drawer *Button
}

// keysFor returns the numbers of a design that a target may be reached by.
func keysFor(d *design.Design, reach int) []string {
	var keys []string
	if reach == reachFrequency {
		keys = []string{"secondary.turns", "secondary.pitch_m", "secondary.former_diameter_m"}
	}
	switch d.TopLoad.Kind {
	case design.WireRing:
		keys = append(keys, "top_load.turns", "top_load.former_diameter_m", "top_load.hub_diameter_m")
	case design.Torus:
		keys = append(keys, "top_load.outer_diameter_m", "top_load.tube_diameter_m")
	case design.Sphere, design.Disc:
		keys = append(keys, "top_load.diameter_m")
	}
	if reach == reachFrequency && d.TopLoad.Kind != design.NoTopLoad {
		keys = append(keys, "top_load.height_m")
	}
	return keys
}

func newTargetCard(editor Editor) *targetCard {
	c := &targetCard{cardRows: newCardRows(lang.L("card.target")), editor: editor, farads: firstFarads}
	c.add(newQuantity(editor, quantitySpec{
		key: "target_frequency_hz", measure: targetMeasure{}, low: targetLow, high: targetHigh,
		get: func(d *design.Design) float64 { return d.TargetFrequency },
		set: func(d *design.Design, v float64) { d.TargetFrequency = v },
	}), nil)
	loaded := func(d *design.Design) bool { return d.TopLoad.Kind != design.NoTopLoad }
	reach := &setting{key: "target.reach", picker: NewPicker([]string{lang.L("target.frequency"), lang.L("target.capacitance")})}
	reach.Row = newRow(reach.key, lang.L("row."+reach.key), reach.picker, nil)
	reach.current = func() int { return c.reach }
	reach.picker.OnChanged = func(string) { c.setReach(reach.picker.SelectedIndex()) }
	reach.listen()
	c.add(reach, loaded)
	c.add(newQuantity(ownEditor{editor, c}, quantitySpec{
		key: "target.capacitance_f", measure: picofaradMeasure{}, low: targetFaradsLow, high: targetFaradsUp,
		get: func(*design.Design) float64 { return c.farads },
		set: func(_ *design.Design, v float64) {
			if v > 0 {
				c.farads = v
			}
		},
	}), func(d *design.Design) bool { return loaded(d) && c.reach == reachCapacitance })

	vary := &setting{key: "target.vary", picker: NewPicker(nil)}
	c.vary = vary.picker
	c.find = NewButton(lang.L("target.find"), nil, c.ask)
	c.find.Importance = widget.MediumImportance
	c.find.OnHint = func() { vary.hint() }
	vary.Row = newRow(vary.key, lang.L("row."+vary.key), vary.picker, c.find)
	vary.current = func() int { return max(c.vary.SelectedIndex(), 0) }
	vary.listen()
	c.add(vary, nil)
	c.drawer = NewButton(lang.L("target.drawer"), nil, func() { c.onDrawer() })
	c.drawer.Importance = widget.MediumImportance
	drawer := &setting{Row: newRow("target.drawer", lang.L("row.target.drawer"), c.drawer, nil), key: "target.drawer"}
	c.drawer.OnHint = drawer.hint
	c.add(drawer, nil)
	return c
}

// setReach changes what the target is of.
func (c *targetCard) setReach(reach int) {
	if reach < 0 || reach == c.reach {
		return
	}
	c.reach = reach
	d := c.editor.Design()
	c.show(&d)
}

// show offers the numbers that the design has.
func (c *targetCard) show(d *design.Design) {
	if d.TopLoad.Kind == design.NoTopLoad {
		c.reach = reachFrequency
	}
	if keys := keysFor(d, c.reach); !slices.Equal(keys, c.keys) {
		c.keys = keys
		options := make([]string, len(keys))
		for i, key := range keys {
			options[i] = lang.L("short." + key)
		}
		picked := max(slices.Index(options, c.vary.Selected), 0)
		c.vary.Options = options
		c.vary.SetSelectedIndex(picked)
		c.vary.Refresh()
	}
	c.cardRows.show(d)
	c.find.SetEnabled(c.reach == reachCapacitance || d.TargetFrequency > 0)
}

// ask asks for the number that meets the target.
func (c *targetCard) ask() {
	i := c.vary.SelectedIndex()
	if c.onFind == nil || i < 0 {
		return
	}
	d := c.editor.Design()
	target := design.Target{Quantity: design.TargetFrequency, Value: d.TargetFrequency}
	if c.reach == reachCapacitance {
		target = design.Target{Quantity: design.TargetCapacitance, Value: c.farads}
	}
	c.onFind(target, c.keys[i])
}

func (c *targetCard) showResult(r *session.Result, _ Units) {
	target := r.Design.TargetFrequency
	switch f := r.Report.Resonance.Frequency; {
	case target == 0:
		c.sumUp(lang.L("summary.no_target"))
	case r.Err != nil || f == nil:
		c.sumUp(si.FormatPrefixed(target, si.Hertz, digits))
	default:
		key := "summary.target"
		if *f < target {
			key = "summary.target_below"
		}
		off := *f/target - 1
		if math.Abs(off) < onTarget {
			c.sumUp(lang.L("summary.target_met", map[string]any{"Target": si.FormatPrefixed(target, si.Hertz, digits)}))
			return
		}
		c.sumUp(lang.L(key, map[string]any{
			"Target": si.FormatPrefixed(target, si.Hertz, digits), "Off": si.Format(math.Abs(off), si.Percent, 2),
		}))
	}
}

// setting is a row with a choice, or a button, that is no part of the design.
type setting struct {
	*Row
	key     string
	picker  *Picker // nil: a button
	current func() int
}

func (s *setting) listen() {
	s.picker.onFocus = s.focused
	s.picker.onHover = s.hint
}

func (s *setting) show(*design.Design) {
	if s.picker == nil {
		return
	}
	if i := s.current(); i != s.picker.SelectedIndex() && i < len(s.picker.Options) {
		s.picker.SetSelectedIndex(i)
	}
}

func (s *setting) setUnits(Units) {}

func (s *setting) setOpened(design.Design) {}

// ownEditor is the editor of a number that the card keeps for itself: it is no part of
// the design and no step of its history.
type ownEditor struct {
	Editor
	card *targetCard
}

func (e ownEditor) Edit(_ string, change func(*design.Design)) {
	d := e.Design()
	change(&d)
	e.card.show(&d)
}

func (e ownEditor) Begin(string) {}
func (e ownEditor) End()         {}
func (e ownEditor) Cancel()      {}

// targetMeasure is a frequency, or none.
type targetMeasure struct{}

func (targetMeasure) parse(text string, _ Units) (float64, error) {
	switch text = strings.TrimSpace(text); strings.ToLower(text) {
	case "", "0", "–", "-", lang.L("target.none"):
		return 0, nil
	}
	return si.ParseIn(text, si.Megahertz)
}

func (targetMeasure) format(value float64, _ Units) (string, string) {
	if value == 0 {
		return lang.L("target.none"), si.Megahertz.Symbol()
	}
	return decimal(si.Megahertz.Of(value), 3, 6), si.Megahertz.Symbol()
}

func (targetMeasure) step(Units) float64 { return 1e3 } // Hz
