package view

import (
	"strings"

	"fyne.io/fyne/v2/lang"

	"coilwright/physics/design"
)

// spare is what a quantity is that a design need not state: while it does not,
// the usual value holds and stands pale in the entry. An empty text takes a
// statement back.
type spare struct {
	usual  func(*design.Design) float64
	stated func(*design.Design) bool
	leave  func(*design.Design) // states it no more
}

// isSpare says whether the design leaves the quantity out.
func (q *Quantity) isSpare(d *design.Design) bool {
	return q.spec.spare != nil && !q.spec.spare.stated(d)
}

// value returns the value that holds for a design, stated or usual.
func (q *Quantity) value(d *design.Design) float64 {
	if q.isSpare(d) {
		return q.spec.spare.usual(d)
	}
	return q.spec.get(d)
}

// leaveOut lets the usual value hold again, as one step.
func (q *Quantity) leaveOut() {
	d := q.editor.Design()
	if q.isSpare(&d) {
		return
	}
	q.editor.Edit(lang.L("edit.usual", map[string]any{"What": lang.L("edit." + q.spec.key)}), q.spec.spare.leave)
}

// takesNothing says whether a text stands for leaving the quantity out.
func (q *Quantity) takesNothing(text string) bool {
	return q.spec.spare != nil && strings.TrimSpace(text) == ""
}

// showSpare shows the usual value pale, and the stated one where there is one.
func (q *Quantity) showSpare(d *design.Design) {
	usual, unit := q.spec.measure.format(q.spec.spare.usual(d), q.units)
	q.entry.ShowUsual(usual)
	text := ""
	if q.spec.spare.stated(d) {
		text, _ = q.spec.measure.format(q.spec.get(d), q.units)
	}
	q.entry.ShowValue(text, unit)
}
