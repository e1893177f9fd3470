package view

import (
	"math"
	"strings"
	"unicode"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/lang"
	fynetheme "fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

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
	// OnHint is told the key of the result under the pointer.
	OnHint func(key string)
	// OnBehind is called by a click on a number that has more behind it.
	OnBehind func()
	// OnAir is asked to show where the air gives way.
	OnAir func()
	// OnDrive is asked to show what the top voltage comes from.
	OnDrive func()

	object *fyne.Container
	layout *resultsLayout
	cells  []*resultCell
}

// resultCell is one number with its name above and a note below.
type resultCell struct {
	widget.BaseWidget
	key                string
	read               func(*session.Result, Units) (value, note string)
	optional           bool // left out where there is no number
	name, number, note *Text
	onHint             func(key string)
	onTap              func() // nil: there is nothing behind the number
}

func newResultCell(key string, read func(*session.Result, Units) (value, note string), optional bool) *resultCell {
	c := &resultCell{
		key:      key,
		read:     read,
		optional: optional,
		name:     NewText(lang.L(key), theme.ColorNameMuted, fynetheme.SizeNameCaptionText),
		number:   NewText(noNumber, fynetheme.ColorNameForeground, theme.SizeNameValueText),
		note:     NewText("", theme.ColorNameMuted, fynetheme.SizeNameCaptionText),
	}
	c.number.style.Bold = true
	for _, t := range []*Text{c.name, c.number, c.note} {
		t.elastic = true
	}
	c.ExtendBaseWidget(c)
	return c
}

// CreateRenderer is part of fyne.Widget.
func (c *resultCell) CreateRenderer() fyne.WidgetRenderer {
	return widget.NewSimpleRenderer(container.New(rowsLayout{}, c.name, c.number, c.note))
}

// MouseIn is part of desktop.Hoverable.
func (c *resultCell) MouseIn(*desktop.MouseEvent) {
	if c.onHint != nil {
		c.onHint(c.key)
	}
}

// MouseMoved is part of desktop.Hoverable.
func (c *resultCell) MouseMoved(*desktop.MouseEvent) {}

// MouseOut is part of desktop.Hoverable.
func (c *resultCell) MouseOut() {}

// Tapped is part of fyne.Tappable.
func (c *resultCell) Tapped(*fyne.PointEvent) {
	if c.onTap != nil {
		c.onTap()
	}
}

// Cursor is part of desktop.Cursorable.
func (c *resultCell) Cursor() desktop.Cursor {
	if c.onTap != nil {
		return desktop.PointerCursor
	}
	return desktop.DefaultCursor
}

// noNumber stands where there is no number.
const noNumber = "–"

// toCome keeps the place of a number that follows when the hand rests, so that
// its neighbours stay where they are.
const toCome = "…"

// NewResults returns the line. The first results are the ones that stay where
// the window is narrow.
func NewResults() *Results {
	r := &Results{}
	for _, c := range []struct {
		key      string
		read     func(*session.Result, Units) (value, note string)
		optional bool
	}{
		{"result.frequency", readFrequency, false},
		{"result.handbook", readHandbook, false},
		{"result.board", readBoard, true},
		{"result.quality", readQuality, true},
		{"result.drive", readDrive, true},
		{"result.top_load", readTopLoad, false},
		{"result.onset", readOnset, true},
		{"result.inductance", readInductance, false},
		{"result.winding", readWinding, false},
		{"result.wire", readWire, false},
		{"result.bare", readBare, false},
		{"result.ring", readRing, false},
	} {
		cell := newResultCell(c.key, c.read, c.optional)
		cell.onHint = func(key string) {
			if r.OnHint != nil {
				r.OnHint(key)
			}
		}
		if c.key == "result.onset" {
			cell.onTap = func() {
				if r.OnAir != nil {
					r.OnAir()
				}
			}
		}
		if c.key == "result.drive" {
			cell.onTap = func() {
				if r.OnDrive != nil {
					r.OnDrive()
				}
			}
		}
		if c.key == "result.frequency" || c.key == "result.quality" {
			cell.onTap = func() {
				if r.OnBehind != nil {
					r.OnBehind()
				}
			}
		}
		r.cells = append(r.cells, cell)
	}
	objects := make([]fyne.CanvasObject, len(r.cells))
	r.layout = &resultsLayout{hidden: make([]bool, len(objects))}
	for i, c := range r.cells {
		objects[i], r.layout.hidden[i] = c, c.optional
	}
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
			hidden := c.optional && number == noNumber
			if hidden && result.Quick && !r.layout.hidden[i] {
				hidden, number = false, toCome
			}
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

// Notes returns names and what stands below the numbers.
func (r *Results) Notes() map[string]string {
	notes := map[string]string{}
	for _, c := range r.cells {
		notes[c.name.Content()] = c.note.Content()
	}
	return notes
}

// Tap clicks on the result of a key.
func (r *Results) Tap(key string) {
	for _, c := range r.cells {
		if c.key == key {
			c.Tapped(nil)
		}
	}
}

// Names returns the names of the results.
func (r *Results) Names() []string {
	var names []string
	for _, c := range r.cells {
		names = append(names, c.name.Content())
	}
	return names
}

// Shown returns the names of the results that have a place now.
func (r *Results) Shown() []string {
	var names []string
	for i, c := range r.cells {
		if !r.layout.hidden[i] {
			names = append(names, c.name.Content())
		}
	}
	return names
}

// readFrequency notes the wider side of the band that the frequency lies in, and the
// input that makes most of it.
func readFrequency(r *session.Result, _ Units) (string, string) {
	f := r.Report.Resonance
	value := quantity(f.Frequency, si.Hertz)
	if f.Frequency == nil || f.FrequencyLow == nil || f.FrequencyHigh == nil {
		return value, ""
	}
	side := max(*f.FrequencyHigh-*f.Frequency, *f.Frequency-*f.FrequencyLow) / *f.Frequency
	percent := decimal(side*100, 1, 1)
	if len(f.FrequencyInputs) == 0 {
		return value, lang.L("result.note.band", map[string]any{"Percent": percent})
	}
	return value, lang.L("result.note.band_by", map[string]any{"Percent": percent, "Input": lang.L("short." + f.FrequencyInputs[0].Key)})
}

// readBoard is how far the board at the foot swings against the top.
func readBoard(r *session.Result, _ Units) (string, string) {
	ratio := r.Report.Resonance.CircuitVoltageRatio
	if ratio == nil {
		return noNumber, ""
	}
	return si.Format(*ratio, si.Percent, digits-2), lang.L("result.note.board")
}

// readQuality is the measured quality factor, or the computed one, which is the most
// that the coil can have.
func readQuality(r *session.Result, _ Units) (string, string) {
	q := r.Report.Resonance.QualityFactor
	if q == nil {
		return noNumber, ""
	}
	value := si.FormatNumber(*q, digits-1)
	switch l := r.Report.Losses; {
	case l.QualityFactorMeasured != nil && l.QualityFactorComputed != nil:
		return value, lang.L("result.note.measured_of", map[string]any{"Computed": si.FormatNumber(*l.QualityFactorComputed, digits-1)})
	case l.QualityFactorMeasured != nil:
		return value, lang.L("result.note.measured")
	}
	return lang.L("result.at_most", map[string]any{"Value": value}), lang.L("result.note.quality")
}

// readDrive is the top voltage under the driver. What a part does not bear, or
// why there is none, stands below it.
func readDrive(r *session.Result, _ Units) (string, string) {
	d := r.Report.Driver
	switch {
	case r.Design.Driver.Kind == design.NoDriver:
		return noNumber, "" // left out
	case d.TopVoltage == nil && r.Drive == nil:
		return lang.L("result.pending"), ""
	case d.TopVoltage == nil:
		return lang.L("result.pending"), lang.L("result.note.drive_unsolved")
	}
	value := si.FormatPrefixed(*d.TopVoltage, si.Volt, digits-1)
	switch {
	case d.State != nil && *d.State == "none":
		return "0 V", lang.L("result.note.drive_none")
	case len(d.BeyondPart) > 0:
		return value, lang.L("result.note.drive_beyond")
	case d.State != nil && *d.State == "weak":
		return value, lang.L("result.note.drive_weak")
	case d.Frequency != nil:
		return value, lang.L("result.note.drive_at", map[string]any{"Frequency": quantity(d.Frequency, si.Hertz)})
	}
	return value, lang.L("result.note.drive_at_most")
}

// readOnset is the voltage at which the air gives way first, known to a third at
// best.
func readOnset(r *session.Result, _ Units) (string, string) {
	a := r.Report.Air
	if a.CoronaOnsetLow == nil || a.CoronaOnsetHigh == nil {
		return quantity(a.CoronaOnset, si.Volt), ""
	}
	low := si.FormatPrefixed(*a.CoronaOnsetLow, si.Volt, digits-2)
	high := si.FormatPrefixed(*a.CoronaOnsetHigh, si.Volt, digits-2)
	if bare, unit, ok := cutUnit(low); ok && strings.HasSuffix(high, unit) {
		low = bare
	}
	note := ""
	if len(a.Places) > 0 {
		note = Millimetres.Say(a.Places[0].Name.Words())
	}
	return low + "–" + high, note
}

// cutUnit cuts a number from its unit.
func cutUnit(text string) (number, unit string, ok bool) {
	at := strings.IndexFunc(text, unicode.IsSpace)
	if at < 0 {
		return text, "", false
	}
	return text[:at], text[at:], true
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
		"Capacitance": si.FormatPrefixed(*c.SmoothCapacitance, si.Farad, digits-1),
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

// resultsLayout gives every result the same width and leaves out those that are
// hidden and, from the end, those for which there is no room.
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
