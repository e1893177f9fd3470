package app

import (
	"context"
	"errors"
	"reflect"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/lang"
	"fyne.io/fyne/v2/widget"

	"coilwright/physics/design"
	"coilwright/physics/si"
)

// find looks for the number at a key that meets a target, beside the window, and
// changes the design by it as one step that can be undone.
func (w *Window) find(target design.Target, key string) {
	w.stopFinding()
	ctx, cancel := context.WithCancel(context.Background())
	w.stopFinding = cancel
	d := w.session.Design()
	w.hint.Say(text("find.working", map[string]any{"Input": lang.L("edit." + key)}))
	search := func(dispatch func(func())) {
		found, err := design.NewSolver().Find(ctx, d, target, key)
		dispatch(func() {
			// What was found for a design that is no longer open helps nobody.
			if ctx.Err() == nil && reflect.DeepEqual(d, w.session.Design()) {
				w.found(target, key, found, err)
			}
		})
	}
	if w.synchronous {
		search(func(f func()) { f() })
		return
	}
	go search(fyne.Do)
}

// found takes a found design over, or says what comes nearest.
func (w *Window) found(target design.Target, key string, found design.Found, err error) {
	var unreachable *design.UnreachableError
	switch {
	case err == nil:
		w.takeFound(found)
		w.hint.Say(text("find.found", w.wordsOf(target, key, found)))
		return
	case !errors.As(err, &unreachable):
		w.ask(err.Error(), answer{key: "ask.close", importance: widget.MediumImportance, act: func() {}})
		return
	}
	values := w.wordsOf(target, key, unreachable.Nearest)
	values["Low"], values["High"] = quantityOf(target, unreachable.Low), quantityOf(target, unreachable.High)
	if unreachable.Fixed() {
		w.ask(text("find.fixed", values), answer{key: "ask.close", importance: widget.MediumImportance, act: func() {}})
		return
	}
	w.ask(text("find.unreachable", values),
		answer{key: "find.take", importance: widget.HighImportance, act: func() { w.takeFound(unreachable.Nearest) }},
		answer{key: "find.leave", importance: widget.MediumImportance, act: func() {}})
}

// takeFound changes the open design to a found one.
func (w *Window) takeFound(found design.Found) {
	step := text("find.step", map[string]any{"Input": lang.L("edit." + found.Key)})
	w.session.Edit(step, func(d *design.Design) { *d = found.Design })
}

// wordsOf are the values of the texts about a search.
func (w *Window) wordsOf(target design.Target, key string, found design.Found) map[string]any {
	off := found.Difference
	sign := "+"
	if off < 0 {
		sign, off = "−", -off
	}
	return map[string]any{
		"Input": lang.L("edit." + key), "Target": quantityOf(target, target.Value), "Reached": quantityOf(target, found.Reached),
		"Value": w.valueOf(key, found.Value), "Off": sign + si.Format(off, si.Percent, 2),
	}
}

// targetDigits tell a found frequency from its target.
const targetDigits = 5

func quantityOf(target design.Target, value float64) string {
	unit := si.Hertz
	if target.Quantity == design.TargetCapacitance {
		unit = si.Farad
	}
	return si.FormatPrefixed(value, unit, targetDigits)
}

// valueOf words a number of the design as its row does.
func (w *Window) valueOf(key string, value float64) string {
	if !strings.HasSuffix(key, "_m") {
		return si.FormatNumber(value, targetDigits)
	}
	return w.cards.Words(key, value)
}
