package view

import (
	"math"

	"fyne.io/fyne/v2"
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
	object fyne.CanvasObject
	cells  []*resultCell
}

// resultCell is one number with its name above and a note below.
type resultCell struct {
	read               func(*session.Result, Units) (value, note string)
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
		key  string
		read func(*session.Result, Units) (value, note string)
	}{
		{"result.frequency", readFrequency},
		{"result.handbook", readHandbook},
		{"result.top_load", readTopLoad},
		{"result.inductance", readInductance},
		{"result.winding", readWinding},
		{"result.wire", readWire},
		{"result.ring", readRing},
	} {
		cell := &resultCell{
			read:   c.read,
			name:   NewText(lang.L(c.key), theme.ColorNameMuted, fynetheme.SizeNameCaptionText),
			number: NewText(noNumber, fynetheme.ColorNameForeground, theme.SizeNameValueText),
			note:   NewText("", theme.ColorNameMuted, fynetheme.SizeNameCaptionText),
		}
		cell.number.style.Bold = true
		for _, t := range []*Text{cell.name, cell.number, cell.note} {
			t.elastic = true
		}
		cell.object = fyne.NewContainerWithLayout(rowsLayout{}, cell.name, cell.number, cell.note)
		r.cells = append(r.cells, cell)
	}
	objects := make([]fyne.CanvasObject, len(r.cells))
	for i, c := range r.cells {
		objects[i] = c.object
	}
	r.object = fyne.NewContainerWithLayout(resultsLayout{}, objects...)
	return r
}

// Object returns what to put into the window.
func (r *Results) Object() fyne.CanvasObject {
	return r.object
}

// Show puts a result on screen.
func (r *Results) Show(result *session.Result, units Units) {
	for _, c := range r.cells {
		number, note := noNumber, ""
		if result.Err == nil {
			number, note = c.read(result, units)
		}
		c.number.Set(number)
		c.note.Set(note)
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

func readFrequency(r *session.Result, _ Units) (string, string) {
	f := r.Report.Resonance
	value := quantity(f.Frequency, si.Hertz)
	if f.FrequencyLow == nil || f.FrequencyHigh == nil {
		return value, ""
	}
	return value, lang.L("result.note.band", map[string]any{
		"Low": quantity(f.FrequencyLow, si.Hertz), "High": quantity(f.FrequencyHigh, si.Hertz),
	})
}

func readHandbook(r *session.Result, _ Units) (string, string) {
	ours, handbook := r.Report.Resonance.Frequency, r.Report.Handbook.Frequency
	value := quantity(handbook, si.Hertz)
	if ours == nil || handbook == nil || *ours == *handbook {
		return value, ""
	}
	return value, percent(*handbook / *ours - 1)
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
	text, unit := bodyLength.format(roundDigits(*value), units)
	return text + " " + unit
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
	return decimal(roundDigits(unit.Of(*value)), 2, 2) + " " + unit.Symbol()
}

// roundDigits rounds to the digits that are shown.
func roundDigits(value float64) float64 {
	if value == 0 {
		return 0
	}
	scale := math.Pow10(digits - 1 - int(math.Floor(math.Log10(math.Abs(value)))))
	return math.Round(value*scale) / scale
}

// percent writes a ratio with its sign.
func percent(ratio float64) string {
	sign := "+"
	if ratio < 0 {
		sign = "−"
	}
	return sign + decimal(math.Abs(ratio)*100, 1, 1) + " %"
}

// resultsLayout gives every result the same width and hides those at the end
// for which there is no room.
type resultsLayout struct{}

func (resultsLayout) MinSize(objects []fyne.CanvasObject) fyne.Size {
	return fyne.NewSize(fynetheme.Size(theme.SizeNameResult), objects[0].MinSize().Height)
}

func (resultsLayout) Layout(objects []fyne.CanvasObject, size fyne.Size) {
	least := fynetheme.Size(theme.SizeNameResult)
	fitting := min(max(int(size.Width/least), 1), len(objects))
	width := size.Width / float32(fitting)
	for i, o := range objects {
		if i >= fitting {
			o.Hide()
			continue
		}
		o.Show()
		o.Move(fyne.NewPos(float32(i)*width, 0))
		o.Resize(fyne.NewSize(width-fynetheme.Padding(), size.Height))
	}
}
