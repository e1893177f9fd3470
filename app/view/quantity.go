package view

import (
	"math"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/lang"

	"coilwright/physics/design"
)

// Quantity is a row with one number of the design: a slider, and an entry that
// takes what people type.
type Quantity struct {
	*Row
	spec   quantitySpec
	editor Editor
	slider *Slider
	entry  *Entry
	units  Units
	opened design.Design // what a double click goes back to
	from   *float64      // the value when a gesture began; nil: there is none
}

// quantitySpec is what a quantity is.
type quantitySpec struct {
	key       string // path of the design's key; its texts are row.KEY, hint.KEY and edit.KEY
	measure   measure
	low, high float64                      // ends of the slider, SI; what is typed may lie beyond
	last      func(*design.Design) float64 // right end of the slider where the design sets it; nil: high
	even      bool                         // the slider is even in the value; otherwise in its logarithm
	get       func(*design.Design) float64
	set       func(*design.Design, float64)
	spare     *spare        // the design need not state it; nil: it does
	checked   string        // the design's key that a value must not push out of range; empty: key
	after     func(float64) // called once when a value is set; nil: nothing to do
}

func newQuantity(editor Editor, spec quantitySpec) *Quantity {
	_, unit := spec.measure.format(0, Millimetres)
	q := &Quantity{spec: spec, editor: editor, slider: NewSlider(), entry: NewEntry(unit != "")}
	q.Row = newRow(spec.key, lang.L("row."+spec.key), q.slider, q.entry)
	q.slider.OnBegin = q.Begin
	q.slider.OnMove = func(position float64) { q.edit(q.at(position)) }
	q.slider.OnStep = q.step
	q.slider.OnEnd = q.End
	q.slider.OnCancel = q.Cancel
	q.slider.OnReset = q.reset
	q.slider.OnFocus = q.focused
	q.slider.OnHover = q.hint
	q.entry.OnCommit = q.commit
	q.entry.OnStep = q.step
	q.entry.OnFocus = q.focused
	q.entry.OnRefused = q.refuseFor
	return q
}

// reset goes back to what the design had when it was opened.
func (q *Quantity) reset() {
	if q.isSpare(&q.opened) {
		q.leaveOut()
		return
	}
	q.edit(q.spec.get(&q.opened))
}

// editName says from what to what a step changes the quantity.
func (q *Quantity) editName(from, to float64) string {
	return lang.L("edit.step", map[string]any{
		"What": lang.L("edit." + q.spec.key), "From": q.Words(from), "To": q.Words(to),
	})
}

func (q *Quantity) edit(value float64) {
	d := q.editor.Design()
	from := q.value(&d)
	if q.from != nil {
		from = *q.from
	}
	q.editor.Edit(q.editName(from, value), func(d *design.Design) {
		q.spec.set(d, value)
		if q.spec.after != nil {
			q.spec.after(value)
		}
	})
}

// Begin opens a gesture of a hand: all changes until End are one step.
func (q *Quantity) Begin() {
	d := q.editor.Design()
	from := q.value(&d)
	q.from = &from
	q.editor.Begin(lang.L("edit." + q.spec.key))
}

// End closes the gesture.
func (q *Quantity) End() {
	q.from = nil
	q.editor.End()
}

// Cancel closes the gesture and brings back what was before.
func (q *Quantity) Cancel() {
	q.from = nil
	q.editor.Cancel()
}

// Set changes the value to the nearest multiple of the smallest sensible step
// within the ends of the slider.
func (q *Quantity) Set(value float64) {
	step := q.Smallest()
	if value = q.Clamp(math.Round(value/step) * step); q.refused(value) == nil {
		q.edit(value)
	}
}

// Step adds a number of smallest sensible steps.
func (q *Quantity) Step(steps int) {
	q.step(steps)
}

// Pull drags the slider's handle to a share of its track, as a pointer does.
func (q *Quantity) Pull(share float64) {
	start, length := q.slider.track()
	x := start + float32(share)*length
	q.slider.Dragged(&fyne.DragEvent{PointEvent: fyne.PointEvent{Position: fyne.NewPos(x, q.slider.Size().Height/2)}})
}

// LetGo ends the drag.
func (q *Quantity) LetGo() {
	q.slider.DragEnd()
}

// Clamp returns the value within the ends of the slider that is nearest to one.
func (q *Quantity) Clamp(value float64) float64 {
	d := q.editor.Design()
	return min(max(value, q.spec.low), q.high(&d))
}

// Smallest returns the smallest sensible step.
func (q *Quantity) Smallest() float64 {
	return q.spec.measure.step(q.units)
}

// Value returns the value that a design has.
func (q *Quantity) Value(d *design.Design) float64 {
	return q.value(d)
}

// Try returns a design with another value, which the editor does not see.
func (q *Quantity) Try(d design.Design, value float64) design.Design {
	q.spec.set(&d, value)
	return d
}

// Name returns what the row is called.
func (q *Quantity) Name() string {
	return lang.L("row." + q.spec.key)
}

// Words returns a value with its unit, as the row shows it.
func (q *Quantity) Words(value float64) string {
	text, unit := q.spec.measure.format(value, q.units)
	return strings.TrimSpace(text + " " + unit)
}

// step adds a number of smallest sensible steps.
func (q *Quantity) step(steps int) {
	d := q.editor.Design()
	step := q.spec.measure.step(q.units)
	// Going to the next multiple first makes 12.34 mm step to 12.4 and 12.3.
	at := q.value(&d) / step
	const slack = 1e-6 // steps, so that a multiple with rounding noise counts as one
	if steps > 0 {
		at = math.Floor(at+slack) + float64(steps)
	} else {
		at = math.Ceil(at-slack) + float64(steps)
	}
	value := at * step
	if q.refused(value) == nil {
		q.edit(value)
	}
}

// commit takes a typed text or says what is wrong with it.
func (q *Quantity) commit(text string) error {
	if q.takesNothing(text) {
		q.leaveOut()
		return nil
	}
	value, err := q.spec.measure.parse(text, q.units)
	if err != nil {
		return err
	}
	if err := q.refused(value); err != nil {
		return err
	}
	q.edit(value)
	return nil
}

// refused says why the design cannot hold a value at all. A value that it can
// hold but nobody can build is taken, and the line of results says so.
func (q *Quantity) refused(value float64) error {
	checked := q.spec.checked
	if checked == "" {
		checked = q.spec.key
	}
	d := q.editor.Design()
	q.spec.set(&d, value)
	for _, p := range design.Check(d) {
		if p.Key == checked && p.Code == design.CodeOutOfRange {
			return refusal(q.units.Say(p.Text))
		}
	}
	return nil
}

// refusal is the reason for which a text is not taken.
type refusal string

func (r refusal) Error() string { return string(r) }

// at returns the value at a place of the slider, on a multiple of the step.
func (q *Quantity) at(position float64) float64 {
	d := q.editor.Design()
	low, high := q.spec.low, q.high(&d)
	value := low + position*(high-low)
	if !q.spec.even {
		value = low * math.Pow(high/low, position)
	}
	step := q.spec.measure.step(q.units)
	return math.Round(value/step) * step
}

// high returns the value at the right end of the slider.
func (q *Quantity) high(d *design.Design) float64 {
	if q.spec.last == nil {
		return q.spec.high
	}
	return q.spec.last(d)
}

// position returns the place of a value of a design on the slider.
func (q *Quantity) position(d *design.Design, value float64) float64 {
	low, high := q.spec.low, q.high(d)
	if q.spec.even {
		return (value - low) / (high - low)
	}
	if value <= 0 {
		return 0
	}
	return math.Log(value/low) / math.Log(high/low)
}

// show puts the design's value on screen.
func (q *Quantity) show(d *design.Design) {
	value := q.value(d)
	if q.spec.spare != nil {
		q.showSpare(d)
	} else {
		q.entry.ShowValue(q.spec.measure.format(value, q.units))
	}
	q.slider.Place(q.position(d, value))
}

func (q *Quantity) setUnits(u Units) {
	q.units = u
}

func (q *Quantity) setOpened(d design.Design) {
	q.opened = d
}
