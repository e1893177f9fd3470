package app

import (
	"math"

	"fyne.io/fyne/v2"
	"gonum.org/v1/plot/vg"

	"coilwright/app/session"
	"coilwright/app/view"
	"coilwright/physics/design"
	"coilwright/physics/si"
	"coilwright/plotting"
)

// hand is a handle on the drawing of the coil: a quantity of the design and the
// point of the coil that moves with it.
type hand struct {
	keys  []string // of the quantity; the first that the design has a use for
	point func(design.Geometry) (r, z float64)
	there func(design.Design, string) bool // a key is in use; nil: always

	upright bool
	grip    *view.Grip
	key     string  // in use now; empty: none, and no handle
	before  float64 // Hz, where the coil rang when the drag began; 0: unknown
}

// hands are the handles there are, in the order of the keyboard.
func hands() []*hand {
	return []*hand{
		{
			keys: []string{"top_load.height_m"}, upright: true,
			point: func(g design.Geometry) (r, z float64) { return -g.TopLoad.Outer, g.TopLoad.Centre },
			there: func(d design.Design, _ string) bool { return d.TopLoad.Kind != design.NoTopLoad },
		},
		{
			keys:  []string{"top_load.former_diameter_m", "top_load.outer_diameter_m", "top_load.diameter_m"},
			point: func(g design.Geometry) (r, z float64) { return g.TopLoad.OuterRadius(), g.TopLoad.Centre },
			there: func(d design.Design, key string) bool { return key == outsideKey(d.TopLoad.Kind) },
		},
		{
			keys: []string{"secondary.turns"}, upright: true,
			point: func(g design.Geometry) (r, z float64) { return 0, g.Winding.Top },
		},
		{
			keys: []string{"secondary.former_diameter_m"},
			point: func(g design.Geometry) (r, z float64) {
				return g.Winding.OuterRadius(), (g.Winding.Bottom + g.Winding.Top) / 2
			},
		},
		{
			keys: []string{"secondary.base_height_m"}, upright: true,
			point: func(g design.Geometry) (r, z float64) { return 0, g.Winding.Bottom },
		},
		{
			keys: []string{"primary.turns"}, upright: true,
			point: lastTurn,
			there: func(d design.Design, _ string) bool {
				return d.Primary.Kind == design.Cylinder || d.Primary.Kind == design.Cone && d.Primary.ConeAngle > 0
			},
		},
		{
			keys: []string{"primary.turns"}, point: lastTurn,
			there: func(d design.Design, _ string) bool { return d.Primary.Kind == design.Spiral },
		},
	}
}

// outsideKey returns the key that a kind of top load grows by.
func outsideKey(kind string) string {
	switch kind {
	case design.WireRing:
		return "top_load.former_diameter_m"
	case design.Torus:
		return "top_load.outer_diameter_m"
	case design.Sphere, design.Disc:
		return "top_load.diameter_m"
	}
	return ""
}

func lastTurn(g design.Geometry) (r, z float64) {
	if n := len(g.Primary.Places); n > 0 {
		return g.Primary.Places[n-1].R, g.Primary.Places[n-1].Z
	}
	return 0, 0
}

// buildHands puts the handles over the drawing.
func (w *Window) buildHands() {
	w.grips = view.NewGrips()
	w.hands = hands()
	for _, h := range w.hands {
		h.grip = w.grips.Add(h.upright)
		h.grip.OnBegin = func() { w.beginHand(h) }
		h.grip.OnMove = func(to fyne.Position) { w.moveHand(h, to) }
		h.grip.OnStep = func(steps int) { w.cards.Quantity(h.key).Step(steps) }
		h.grip.OnEnd = func() {
			w.cards.Quantity(h.key).End()
			w.holdDrawing(nil)
		}
		h.grip.OnCancel = func() {
			w.cards.Quantity(h.key).Cancel()
			w.holdDrawing(nil)
			w.labelHand(h)
		}
		h.grip.OnChosen = func() {
			w.hint.Show(h.key)
			w.labelHand(h)
		}
	}
	w.drawing.Cover(w.grips.Object())
	w.drawing.Picture().OnEnter = func() { w.grips.SetShown(true) }
	w.drawing.Picture().OnLeave = func() { w.grips.SetShown(false) }
}

// beginHand keeps the scale of the drawing while the coil changes under the
// hand.
func (w *Window) beginHand(h *hand) {
	h.before = rings(w.last)
	frame := w.coilFrame()
	w.holdDrawing(&frame)
	w.cards.Quantity(h.key).Begin()
}

// holdDrawing keeps the drawing's scale, or with nil lets it fit again.
func (w *Window) holdDrawing(frame *plotting.SectionFrame) {
	w.held.Store(frame)
	w.coil.stale()
	if frame == nil {
		w.session.Redraw()
	}
}

// rings returns where a result rings, in Hz; 0: unknown.
func rings(r *session.Result) float64 {
	if r == nil || r.Err != nil || r.Report.Resonance.Frequency == nil {
		return 0
	}
	return *r.Report.Resonance.Frequency
}

// moveHand gives the quantity the value with which its point of the coil comes
// to a place of the drawing.
func (w *Window) moveHand(h *hand, to fyne.Position) {
	q := w.cards.Quantity(h.key)
	d := w.session.Design()
	r, z := w.coilFrame().At(vg.Length(to.X), vg.Length(to.Y))
	wanted := r
	if h.upright {
		wanted = z
	}
	along := func(g design.Geometry) float64 {
		r, z := h.point(g)
		if h.upright {
			return z
		}
		return r
	}
	if value, ok := reach(q, d, wanted, along); ok {
		q.Set(value)
	}
}

// reach returns the value of a quantity with which a length of the design comes
// nearest to the one wanted, by Newton's method on the geometry. Such a length
// moves evenly with its quantity, or in whole turns, so few steps suffice.
func reach(q *view.Quantity, d design.Design, wanted float64, length func(design.Geometry) float64) (best float64, ok bool) {
	const tries = 4
	at := func(v float64) float64 {
		g, err := q.Try(d, v).Geometry()
		if err != nil {
			return math.NaN()
		}
		return length(g)
	}
	value, nearest := q.Value(&d), math.Inf(1)
	// Over which the slope is taken: no less than a turn of a primary.
	over := max(value/8, 4*q.Smallest())
	for range tries {
		here := at(value)
		if away := math.Abs(wanted - here); away < nearest {
			best, nearest, ok = value, away, true
		}
		next := q.Clamp(value + (wanted-here)/(at(value+over)-here)*over)
		if math.IsNaN(next) || math.Abs(next-value) < q.Smallest()/2 {
			break
		}
		value = next
	}
	return best, ok
}

// placeHands puts the handles where the coil now is, and says what the one in
// the hand does.
func (w *Window) placeHands() {
	if w.coil.frame == nil || w.last == nil {
		return
	}
	g, err := w.last.Design.Geometry()
	if err != nil {
		for _, h := range w.hands {
			h.grip.Hide()
		}
		return
	}
	frame := w.coilFrame()
	for _, h := range w.hands {
		h.key = h.keyOf(w.last.Design)
		if h.key == "" {
			h.grip.Hide()
			continue
		}
		r, z := h.point(g)
		x, y := frame.Place(r, z)
		h.grip.Place(fyne.NewPos(float32(x), float32(y)))
		if h.grip.Held() {
			w.labelHand(h)
		}
	}
}

// keyOf returns which of the hand's keys a design has a use for.
func (h *hand) keyOf(d design.Design) string {
	for _, key := range h.keys {
		if h.there == nil || h.there(d, key) {
			return key
		}
	}
	return ""
}

// labelHand says beside a handle what its quantity is, where the coil rings
// and, during a drag, by how much that has changed.
func (w *Window) labelHand(h *hand) {
	d := w.session.Design()
	q := w.cards.Quantity(h.key)
	words := q.Name() + " " + q.Words(q.Value(&d))
	now := rings(w.last)
	switch {
	case now == 0:
	case h.grip.Held() && h.before > 0:
		words = text("hand.change", map[string]any{
			"Value": words, "Frequency": si.FormatPrefixed(now, si.Hertz, 4), "Change": signed(now/h.before - 1),
		})
	default:
		words = text("hand.value", map[string]any{"Value": words, "Frequency": si.FormatPrefixed(now, si.Hertz, 4)})
	}
	w.grips.Label(h.grip, words)
}

// signed writes a share with its sign, in per cent.
func signed(share float64) string {
	const least = 0.0005 // under which it rounds to nothing
	switch {
	case math.Abs(share) < least:
		return "±0 %"
	case share > 0:
		return "+" + si.Format(share, si.Percent, 2)
	}
	return si.Format(share, si.Percent, 2)
}
