package app

import (
	"context"
	"slices"
	"strings"
	"sync"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/lang"
	fynetheme "fyne.io/fyne/v2/theme"

	"coilwright/app/session"
	"coilwright/app/theme"
	"coilwright/app/view"
	"coilwright/physics/design"
	"coilwright/physics/si"
	"coilwright/plotting"
)

// kept solves the variants of a design for the figures and the table, each
// once. It is used by the session's worker and by the UI goroutine.
type kept struct {
	mu     sync.Mutex
	solver *design.Solver
	known  map[asked]solved
}

// asked is a variant, by its fingerprint, and which of its curves are wanted.
type asked struct {
	fingerprint string
	options     design.CurveOptions
}

// solved is a variant with what is known about it.
type solved struct {
	report design.Report
	curves design.Curves
	err    error
}

// of returns what is known about a variant, solving it first if need be.
func (k *kept) of(d design.Design, options design.CurveOptions) solved {
	k.mu.Lock()
	defer k.mu.Unlock()
	key := asked{design.Fingerprint(d), options}
	if s, ok := k.known[key]; ok {
		return s
	}
	if k.solver == nil || len(k.known) > 4*plotting.MostKept {
		k.solver, k.known = design.NewSolver(), map[asked]solved{}
	}
	var s solved
	if s.report, s.err = k.solver.Evaluate(context.Background(), d); s.err == nil {
		s.curves, s.err = k.solver.Curves(context.Background(), d, options)
	}
	k.known[key] = s
	return s
}

// curves returns the curves of the variants of a result for one of its
// figures.
func (k *kept) curves(figure int, r *session.Result) []plotting.Kept {
	var all []plotting.Kept
	for i, v := range r.Design.Variants[:min(len(r.Design.Variants), plotting.MostKept)] {
		s := k.of(v, design.CurveOptions{Vary: r.Curves.Size.Vary, Height: r.Curves.Height.Kind != ""})
		if s.err != nil {
			continue // it cannot be built; the table says so
		}
		// Only against the same quantity of the same thing can they be compared.
		own := curveOf(figure, &session.Result{Design: v, Curves: s.curves})
		if len(own.x) > 1 && own.of == curveOf(figure, r).of {
			all = append(all, plotting.Kept{Slot: i, Name: v.Name, X: own.x, Y: own.y})
		}
	}
	return all
}

// keep asks for a name and keeps the present design as a variant in the
// document, to compare with.
func (w *Window) keep() {
	d := w.session.Design()
	if len(d.Variants) >= plotting.MostKept {
		w.hint.Say(text("variant.full", map[string]any{"Count": plotting.MostKept}))
		w.showVariants()
		return
	}
	name := variantName(d)
	w.askForm("variant.keep", "variant.accept", []formRow{{label: "variant.name", text: name, set: func(typed string) error {
		if typed = strings.TrimSpace(typed); typed != "" {
			name = typed
		}
		return nil
	}}}, func() error {
		w.keepAs(name)
		return nil
	})
}

// keepAs keeps the present design as a variant of a name.
func (w *Window) keepAs(name string) {
	w.session.Edit(text("edit.keep", map[string]any{"Name": name}), func(d *design.Design) {
		v := w.session.Design()
		v.Name, v.Variants, v.Measurements = name, nil, nil
		d.Variants = append(d.Variants, v)
	})
}

// variantName names a variant by a letter nobody has yet and its turns.
func variantName(d design.Design) string {
	for letter := 'A'; ; letter++ {
		begin := string(letter) + " "
		if !slices.ContainsFunc(d.Variants, func(v design.Design) bool { return strings.HasPrefix(v.Name, begin) }) {
			return begin + "· " + text("figure.turns", map[string]any{"Turns": si.FormatTurns(d.Secondary.Turns)})
		}
	}
}

// take makes a variant the present design; the other variants stay.
func (w *Window) take(i int) {
	name := w.session.Design().Variants[i].Name
	w.session.Edit(text("edit.take", map[string]any{"Name": name}), func(d *design.Design) {
		present := *d
		*d = w.session.Design().Variants[i]
		d.Name, d.Notes, d.Variants, d.Measurements = present.Name, present.Notes, present.Variants, present.Measurements
	})
}

// drop forgets a variant.
func (w *Window) drop(i int) {
	name := w.session.Design().Variants[i].Name
	w.session.Edit(text("edit.drop", map[string]any{"Name": name}), func(d *design.Design) {
		d.Variants = slices.Delete(d.Variants, i, i+1)
	})
}

// showVariants shows the present design and its variants side by side.
func (w *Window) showVariants() {
	w.window.Canvas().Unfocus()
	d := w.session.Design()
	if len(d.Variants) == 0 {
		w.ask(lang.L("variant.none"), answer{"variant.keep", 0, w.keep}, answer{"ask.cancel", 0, func() {}})
		return
	}
	table := view.NewVariants(w.variantRows(d), len(d.Variants))
	table.OnTake = func(i int) {
		w.dismiss()
		w.take(i)
	}
	table.OnDrop = func(i int) {
		w.dismiss()
		w.drop(i)
		if len(w.session.Design().Variants) > 0 {
			w.showVariants()
		}
	}
	object := table.Object()
	w.showSheet(lang.L("variant.title"), container.NewScroll(object), object.MinSize().Height+fynetheme.Size(theme.SizeNameGap))
}

// compared are the quantities of the design that a table of variants shows
// where they differ.
var compared = []string{
	"secondary.turns", "secondary.former_diameter_m", "secondary.base_height_m",
	"top_load.turns", "top_load.former_diameter_m", "top_load.hub_diameter_m", "top_load.outer_diameter_m",
	"top_load.tube_diameter_m", "top_load.diameter_m", "top_load.thickness_m", "top_load.height_m",
	"primary.turns", "primary.inner_diameter_m",
}

// variantRows are the rows of the table: a name, what the present design has
// and what each variant has.
func (w *Window) variantRows(d design.Design) [][]string {
	all := append([]design.Design{d}, d.Variants...)
	row := func(name string, of func(i int, d design.Design) string) []string {
		cells := []string{name}
		for i, each := range all {
			cells = append(cells, of(i, each))
		}
		return cells
	}
	known := make([]solved, len(all))
	for i, each := range all {
		each.Variants = nil
		known[i] = w.kept.of(each, design.CurveOptions{})
	}
	number := func(i int, pick func(*design.Report) *float64, unit si.Unit, digits int) string {
		if known[i].err != nil {
			return lang.L("variant.unbuildable")
		}
		v := pick(&known[i].report)
		if v == nil {
			return "–"
		}
		words := si.FormatPrefixed(*v, unit, digits)
		if first := pick(&known[0].report); i > 0 && known[0].err == nil && first != nil && *first != 0 && *first != *v {
			words += " (" + signed(*v / *first - 1) + ")"
		}
		return words
	}
	rows := [][]string{
		row("", func(i int, d design.Design) string {
			if i == 0 {
				return lang.L("variant.present")
			}
			return d.Name
		}),
		row(lang.L("result.frequency"), func(i int, _ design.Design) string {
			return number(i, func(r *design.Report) *float64 { return r.Resonance.Frequency }, si.Hertz, 4)
		}),
		row(lang.L("result.quality"), func(i int, _ design.Design) string {
			return number(i, func(r *design.Report) *float64 { return r.Resonance.QualityFactor }, si.Plain, 3)
		}),
		row(lang.L("result.top_load"), func(i int, _ design.Design) string {
			return number(i, func(r *design.Report) *float64 { return r.TopLoad.Capacitance }, si.Farad, 3)
		}),
		row(lang.L("edit.secondary.wire.gauge"), func(_ int, d design.Design) string { return d.Secondary.Wire.Gauge }),
		row(lang.L("edit.top_load.kind"), func(_ int, d design.Design) string { return lang.L("top_load." + d.TopLoad.Kind) }),
	}
	for _, key := range compared {
		q := w.cards.Quantity(key)
		if q == nil {
			continue
		}
		cells := row(lang.L("edit."+key), func(_ int, d design.Design) string {
			if v := q.Value(&d); v != 0 {
				return q.Words(v)
			}
			return "–"
		})
		if slices.ContainsFunc(cells[2:], func(s string) bool { return s != cells[1] }) {
			rows = append(rows, cells)
		}
	}
	return rows
}

// variantItems are the entries of the menu about variants.
func (w *Window) variantItems() []*fyne.MenuItem {
	return []*fyne.MenuItem{
		item("menu.keep", control(fyne.KeyK), w.keep),
		item("menu.variants", controlShift(fyne.KeyK), w.showVariants),
	}
}
