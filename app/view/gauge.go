package view

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"fyne.io/fyne/v2/lang"

	"coilwright/physics/design"
	"coilwright/physics/wire"
)

// Gauge is a row with the size of a wire: a slider over the sizes that are
// made, and an entry that takes any size by its name.
type Gauge struct {
	*Row
	spec   gaugeSpec
	editor Editor
	slider *Slider
	entry  *Entry
	opened design.Design // what a double click goes back to
}

// gaugeSpec is which wire a row is about.
type gaugeSpec struct {
	key       string  // path of the design's key; its texts are row.KEY, hint.KEY and edit.KEY
	low, high float64 // m, bare diameters at the ends of the slider; what is typed may lie beyond
	wire      func(*design.Design) *design.Wire
}

func newGauge(editor Editor, spec gaugeSpec) *Gauge {
	g := &Gauge{spec: spec, editor: editor, slider: NewSlider(), entry: NewEntry(false)}
	g.Row = newRow(spec.key, lang.L("row."+spec.key), g.slider, g.entry)
	g.slider.OnBegin = func() { editor.Begin(g.editName()) }
	g.slider.OnMove = func(position float64) {
		made := g.made(g.name())
		g.edit(made[int(math.Round(position*float64(len(made)-1)))].Name)
	}
	g.slider.OnStep = g.step
	g.slider.OnEnd = editor.End
	g.slider.OnCancel = editor.Cancel
	g.slider.OnReset = func() { g.edit(spec.wire(&g.opened).Gauge) }
	g.slider.OnFocus = g.focused
	g.slider.OnHover = g.hint
	g.entry.OnCommit = g.commit
	g.entry.OnStep = g.step
	g.entry.OnFocus = g.focused
	g.entry.OnRefused = g.refuseFor
	return g
}

func (g *Gauge) editName() string {
	return lang.L("edit." + g.spec.key)
}

func (g *Gauge) edit(name string) {
	g.editor.Edit(g.editName(), func(d *design.Design) { g.spec.wire(d).Gauge = name })
}

// name returns the gauge that the design has.
func (g *Gauge) name() string {
	d := g.editor.Design()
	return g.spec.wire(&d).Gauge
}

// made returns the sizes of the slider, thinnest first: those of the series
// that a gauge belongs to.
func (g *Gauge) made(name string) []wire.Gauge {
	system := wire.AWG
	if known, err := wire.Parse(name); err == nil {
		system = known.System
	}
	all := wire.Standard(system)
	within := func(s wire.Gauge) bool { return s.Diameter >= g.spec.low && s.Diameter <= g.spec.high }
	first := slices.IndexFunc(all, within)
	last := len(all) - 1
	for last > first && !within(all[last]) {
		last--
	}
	return all[first : last+1]
}

// step goes to a neighbour among all sizes that are made: up is thicker.
func (g *Gauge) step(steps int) {
	present, err := wire.Parse(g.name())
	if err != nil {
		return
	}
	all := wire.Standard(present.System)
	// The first size that is not thinner; the present one, if it is made.
	at := slices.IndexFunc(all, func(s wire.Gauge) bool { return s.Diameter >= present.Diameter*(1-sameSize) })
	if at < 0 {
		at = len(all)
	}
	if steps > 0 && (at == len(all) || all[at].Diameter > present.Diameter*(1+sameSize)) {
		at-- // between two sizes the next one up is the first step
	}
	g.edit(all[min(max(at+steps, 0), len(all)-1)].Name)
}

// sameSize is by how much, as a ratio, two sizes may differ and still be the
// same: far less than neighbouring sizes, which differ by 5 % and more.
const sameSize = 1e-6

// commit takes the name of a wire. A bare number is one of the series in use.
func (g *Gauge) commit(text string) error {
	name := text
	if _, err := strconv.ParseFloat(strings.Replace(strings.TrimSpace(text), ",", ".", 1), 64); err == nil {
		switch present, err := wire.Parse(g.name()); {
		case err != nil:
		case present.System == wire.Metric:
			name = text + " mm"
		default:
			name = present.System.String() + " " + text
		}
	}
	typed, err := wire.Parse(name)
	if err != nil {
		return err
	}
	g.edit(typed.Name)
	return nil
}

func (g *Gauge) show(d *design.Design) {
	name := g.spec.wire(d).Gauge
	g.entry.ShowValue(name, "")
	present, err := wire.Parse(name)
	if err != nil {
		return
	}
	made := g.made(name)
	place := 0
	for i, s := range made {
		if s.Diameter <= present.Diameter*(1+sameSize) {
			place = i
		}
	}
	g.slider.Place(float64(place) / float64(max(len(made)-1, 1)))
}

func (g *Gauge) setUnits(Units) {}

func (g *Gauge) setOpened(d design.Design) {
	g.opened = d
}

// newInsulation returns the choice of enamel over a wire.
func newInsulation(editor Editor, key string, of func(*design.Design) *design.Wire) *Choice {
	kinds := []string{design.Bare, design.Single, design.Heavy}
	var options []choiceOption
	for _, kind := range kinds {
		options = append(options, choiceOption{lang.L("insulation." + kind), func(d *design.Design) { of(d).Insulation = kind }})
	}
	return newChoice(editor, key, options, func(d *design.Design) int {
		for i, kind := range kinds {
			if of(d).Insulation == kind {
				return i
			}
		}
		return -1
	})
}
