package view

import (
	"math"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/lang"
	fynetheme "fyne.io/fyne/v2/theme"

	"coilwright/app/session"
	"coilwright/app/theme"
	"coilwright/physics/design"
	"coilwright/physics/si"
)

// digits is how many significant digits a result is shown with: one more than
// a maker can measure on the bench.
const digits = 4

// Results is the line of numbers that matter. Each has its place, and where
// there is no number there is a dash and the reason.
type Results struct {
	object *fyne.Container
	layout *resultsLayout
	cells  []*resultCell
}

// resultCell is one number with its name above and a note below.
type resultCell struct {
	read               func(*session.Result, Units) (value, note string)
	redundant          func(*session.Result) bool // says nothing new; nil: never
	name, number, note *Text
	object             fyne.CanvasObject
}

// noNumber stands where there is no number.
const noNumber = "–"

// NewResults returns the line. The first results are the ones that stay where
// the window is narrow.
func NewResults() *Results {
	r := &Results{}
	for _, c := range []struct {
		key       string
		read      func(*session.Result, Units) (value, note string)
		redundant func(*session.Result) bool
	}{
		{"result.frequency", readFrequency, nil},
		{"result.handbook", readHandbook, byHandbook},
		{"result.bare", readBare, nil},
		{"result.top_load", readTopLoad, nil},
		{"result.inductance", readInductance, nil},
		{"result.winding", readWinding, nil},
		{"result.wire", readWire, nil},
		{"result.ring", readRing, nil},
	} {
		cell := &resultCell{
			read:      c.read,
			redundant: c.redundant,
			name:      NewText(lang.L(c.key), theme.ColorNameMuted, fynetheme.SizeNameCaptionText),
			number:    NewText(noNumber, fynetheme.ColorNameForeground, theme.SizeNameValueText),
			note:      NewText("", theme.ColorNameMuted, fynetheme.SizeNameCaptionText),
		}
		cell.number.style.Bold = true
		for _, t := range []*Text{cell.name, cell.number, cell.note} {
			t.elastic = true
		}
		cell.object = container.New(rowsLayout{}, cell.name, cell.number, cell.note)
		r.cells = append(r.cells, cell)
	}
	objects := make([]fyne.CanvasObject, len(r.cells))
	for i, c := range r.cells {
		objects[i] = c.object
	}
	r.layout = &resultsLayout{hidden: make([]bool, len(objects))}
	r.object = container.New(r.layout, objects...)
	return r
}

// Object returns what to put into the window.
func (r *Results) Object() fyne.CanvasObject {
	return r.object
}

// Show puts a result on screen.
func (r *Results) Show(result *session.Result, units Units) {
	changed := false
	for i, c := range r.cells {
		number, note := noNumber, ""
		if result.Err == nil {
			number, note = c.read(result, units)
			hidden := c.redundant != nil && c.redundant(result)
			changed = changed || hidden != r.layout.hidden[i]
			r.layout.hidden[i] = hidden
		}
		c.number.Set(number)
		c.note.Set(note)
	}
	if changed {
		r.object.Refresh()
	}
}

// Values returns names and numbers as they stand on screen.
func (r *Results) Values() map[string]string {
	values := map[string]string{}
	for _, c := range r.cells {
		values[c.name.Content()] = c.number.Content()
	}
	return values
}

// Names returns the names of the results.
func (r *Results) Names() []string {
	var names []string
	for _, c := range r.cells {
		names = append(names, c.name.Content())
	}
	return names
}

func readFrequency(r *session.Result, _ Units) (string, string) {
	f := r.Report.Resonance
	value := quantity(f.Frequency, si.Hertz)
	switch {
	case byHandbook(r):
		return value, lang.L("result.note.handbook")
	case f.FrequencyLow == nil || f.FrequencyHigh == nil:
		return value, ""
	}
	half := (*f.FrequencyHigh - *f.FrequencyLow) / 2
	return value, lang.L("result.note.band", map[string]any{"Percent": decimal(half / *f.Frequency * 100, 1, 1)})
}

// byHandbook says whether the frequency is that of the handbook, so that the
// two need not stand beside each other.
func byHandbook(r *session.Result) bool {
	ours, handbook := r.Report.Resonance.Frequency, r.Report.Handbook.Frequency
	return ours != nil && handbook != nil && *ours == *handbook
}

func readHandbook(r *session.Result, _ Units) (string, string) {
	ours, handbook := r.Report.Resonance.Frequency, r.Report.Handbook.Frequency
	value := quantity(handbook, si.Hertz)
	if ours == nil || handbook == nil {
		return value, ""
	}
	return value, percent(*handbook / *ours - 1)
}

func readBare(r *session.Result, _ Units) (string, string) {
	return quantity(r.Report.Resonance.BareFrequency, si.Hertz), lang.L("result.note.bare")
}

func readTopLoad(r *session.Result, _ Units) (string, string) {
	if r.Design.TopLoad.Kind == design.NoTopLoad {
		return noNumber, lang.L("result.note.no_top_load")
	}
	c := r.Report.TopLoad
	if c.SmoothCapacitance == nil {
		return quantity(c.Capacitance, si.Farad), ""
	}
	return quantity(c.Capacitance, si.Farad), lang.L("result.note.smooth", map[string]any{
		"Capacitance": quantity(c.SmoothCapacitance, si.Farad),
	})
}

func readInductance(r *session.Result, _ Units) (string, string) {
	note := ""
	if resistance := r.Report.Secondary.ResistanceDC; resistance != nil {
		note = lang.L("result.note.resistance", map[string]any{"Resistance": quantity(resistance, si.Ohm)})
	}
	return quantity(r.Report.Secondary.Inductance, si.Henry), note
}

func readWinding(r *session.Result, units Units) (string, string) {
	note := lang.L("result.note.spaced")
	if r.Design.Secondary.Pitch == 0 {
		note = lang.L("result.note.close_wound")
	}
	return lengthOf(r.Report.Secondary.WindingHeight, units), note
}

func readWire(r *session.Result, units Units) (string, string) {
	note := ""
	if mass := r.Report.Secondary.WireMass; mass != nil {
		note = lang.L("result.note.mass", map[string]any{"Mass": massOf(*mass)})
	}
	return wireLength(r.Report.Secondary.WireLength, units), note
}

func readRing(r *session.Result, units Units) (string, string) {
	if r.Design.TopLoad.Kind == design.NoTopLoad {
		return noNumber, lang.L("result.note.no_top_load")
	}
	note := ""
	if most := r.Report.TopLoad.MaxTurns; most != nil {
		note = lang.N("result.note.max_turns", *most, map[string]any{"Turns": *most})
	}
	return lengthOf(r.Report.TopLoad.OuterDiameter, units), note
}

// quantity writes a number of the report, or a dash for one that is not there.
func quantity(value *float64, unit si.Unit) string {
	if value == nil {
		return noNumber
	}
	return si.FormatPrefixed(*value, unit, digits)
}

// massOf writes a mass in kg as grams or whatever prefix suits.
func massOf(value float64) string {
	return si.FormatPrefixed(value, si.Gram, digits-1)
}

// lengthOf writes a dimension in the units in use.
func lengthOf(value *float64, units Units) string {
	if value == nil {
		return noNumber
	}
	unit := si.Millimetre
	if units == Inches {
		unit = si.Inch
	}
	return si.Format(*value, unit, digits)
}

// wireLength writes a length of wire: metres, or feet beside inches.
func wireLength(value *float64, units Units) string {
	if value == nil {
		return noNumber
	}
	unit := si.Metre
	if units == Inches {
		unit = si.Foot
	}
	return si.Format(*value, unit, digits)
}

// percent writes a ratio with its sign.
func percent(ratio float64) string {
	sign := "+"
	if ratio < 0 {
		sign = "−"
	}
	return sign + decimal(math.Abs(ratio)*100, 1, 1) + " %"
}

// resultsLayout gives every result the same width and leaves out those that
// say nothing new and, from the end, those for which there is no room.
type resultsLayout struct {
	hidden []bool
}

func (l *resultsLayout) MinSize(objects []fyne.CanvasObject) fyne.Size {
	return fyne.NewSize(fynetheme.Size(theme.SizeNameResult), objects[0].MinSize().Height)
}

func (l *resultsLayout) Layout(objects []fyne.CanvasObject, size fyne.Size) {
	var wanted []fyne.CanvasObject
	for i, o := range objects {
		o.Hide()
		if !l.hidden[i] {
			wanted = append(wanted, o)
		}
	}
	fitting := min(max(int(size.Width/fynetheme.Size(theme.SizeNameResult)), 1), len(wanted))
	width := size.Width / float32(fitting)
	for i, o := range wanted[:fitting] {
		o.Show()
		o.Move(fyne.NewPos(float32(i)*width, 0))
		o.Resize(fyne.NewSize(width-fynetheme.Padding(), size.Height))
	}
}
