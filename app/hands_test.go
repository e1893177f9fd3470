package app

import (
	"math"
	"slices"
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"

	"coilwright/physics/design"
)

// pull drags a handle by a way, in steps, and lets it go unless hold is set.
func pull(w *Window, h *hand, way fyne.Delta, hold bool) {
	const steps = 4
	start := h.grip.Centre()
	h.grip.MouseDown(&desktop.MouseEvent{Button: desktop.MouseButtonPrimary, PointEvent: fyne.PointEvent{
		Position: fyne.NewPos(h.grip.Size().Width/2, h.grip.Size().Height/2),
	}})
	origin := fyne.CurrentApp().Driver().AbsolutePositionForObject(w.grips.Object())
	for i := 1; i <= steps; i++ {
		to := start.AddXY(way.DX*float32(i)/steps, way.DY*float32(i)/steps)
		h.grip.Dragged(&fyne.DragEvent{PointEvent: fyne.PointEvent{AbsolutePosition: origin.Add(to)}})
	}
	if !hold {
		h.grip.MouseUp(nil)
		h.grip.DragEnd()
	}
}

// handOf returns the handle of a key.
func handOf(t *testing.T, w *Window, key string) *hand {
	t.Helper()
	for _, h := range w.hands {
		if h.key == key {
			return h
		}
	}
	t.Fatalf("no handle for %s", key)
	return nil
}

// TestAHandleFollowsThePointer drags each handle and looks whether its point of
// the coil, at the scale the drawing had, comes to the pointer within half a
// step of the quantity. The primary is drawn in whole turns.
func TestAHandleFollowsThePointer(t *testing.T) {
	w := newWindow(t)
	for _, key := range []string{
		"top_load.height_m", "top_load.former_diameter_m", "secondary.turns",
		"secondary.former_diameter_m", "secondary.base_height_m", "primary.turns",
	} {
		h := handOf(t, w, key)
		q := w.cards.Quantity(key)
		before := w.session.Design()
		way := fyne.Delta{DX: 12}
		if h.upright {
			way = fyne.Delta{DY: -12}
		}
		start := h.grip.Centre()
		scale := w.coilFrame().Scale
		pull(w, h, way, true)
		after := w.session.Design()
		if w.coilFrame().Scale != scale {
			t.Errorf("%s: the drawing changes its scale under the hand", key)
		}
		if q.Value(&after) <= q.Value(&before) {
			t.Errorf("%s: pulled outward it goes from %g to %g", key, q.Value(&before), q.Value(&after))
		}
		// Where the point is for a value, in pixels.
		moved := func(value float64) float64 {
			g, err := q.Try(w.session.Design(), value).Geometry()
			if err != nil {
				t.Fatal(err)
			}
			r, z := h.point(g)
			if h.upright {
				return float64(scale) * z
			}
			return float64(scale) * r
		}
		step := q.Smallest()
		if key == "primary.turns" {
			step = 1
		}
		slack := math.Abs(moved(q.Value(&after)+step)-moved(q.Value(&after)))/2 + 0.5
		want := start.AddXY(way.DX, way.DY)
		got := h.grip.Centre()
		along := float64(got.X - want.X)
		if h.upright {
			along = float64(got.Y - want.Y)
		}
		if math.Abs(along) > slack {
			t.Errorf("%s: the handle ends %.1f px from the pointer, allowed %.1f", key, along, slack)
		}
		if words := w.grips.Words(); !strings.Contains(words, q.Words(q.Value(&after))) || !strings.Contains(words, "Hz") || !strings.Contains(words, "%") {
			t.Errorf("%s: beside the handle stands %q", key, words)
		}
		h.grip.MouseUp(nil)
		h.grip.DragEnd()
		name := w.session.UndoName()
		if !strings.Contains(name, q.Words(q.Value(&before))) || !strings.Contains(name, q.Words(q.Value(&after))) {
			t.Errorf("%s: the step is called %q", key, name)
		}
		w.undo()
		if d := w.session.Design(); q.Value(&d) != q.Value(&before) {
			t.Errorf("%s: one undo after one drag leaves %g, want %g", key, q.Value(&d), q.Value(&before))
		}
	}
}

func TestEscapeCancelsADrag(t *testing.T) {
	w := newWindow(t)
	h := handOf(t, w, "secondary.turns")
	before := w.session.Design().Secondary.Turns
	pull(w, h, fyne.Delta{DY: -40}, true)
	if w.session.Design().Secondary.Turns == before {
		t.Fatal("the drag changes nothing")
	}
	h.grip.TypedKey(&fyne.KeyEvent{Name: fyne.KeyEscape})
	origin := fyne.CurrentApp().Driver().AbsolutePositionForObject(w.grips.Object())
	h.grip.Dragged(&fyne.DragEvent{PointEvent: fyne.PointEvent{AbsolutePosition: origin.AddXY(0, 50)}})
	h.grip.DragEnd()
	if got := w.session.Design().Secondary.Turns; got != before || w.session.UndoName() != "" {
		t.Errorf("after Escape there are %g turns and the step %q, want %g and none", got, w.session.UndoName(), before)
	}
	if w.held.Load() != nil {
		t.Error("after Escape the drawing keeps its scale")
	}
}

func TestArrowKeysMoveAHandle(t *testing.T) {
	w := newWindow(t)
	h := handOf(t, w, "secondary.turns")
	before := w.session.Design().Secondary.Turns
	w.window.Canvas().Focus(h.grip)
	h.grip.TypedKey(&fyne.KeyEvent{Name: fyne.KeyUp})
	h.grip.TypedKey(&fyne.KeyEvent{Name: fyne.KeyUp})
	h.grip.TypedKey(&fyne.KeyEvent{Name: fyne.KeyDown})
	if got := w.session.Design().Secondary.Turns; got != before+1 {
		t.Errorf("two keys up and one down give %g turns, want %g", got, before+1)
	}
}

// TestHandlesAreOfWhatThereIs: a coil without top load or primary has no
// handles for them, every kind of top load has one for its size.
func TestHandlesAreOfWhatThereIs(t *testing.T) {
	w := newWindow(t)
	shown := func(key string) bool {
		for _, h := range w.hands {
			if h.key == key {
				return h.grip.Visible()
			}
		}
		return false
	}
	for kind, key := range map[string]string{
		design.Torus: "top_load.outer_diameter_m", design.Sphere: "top_load.diameter_m", design.Disc: "top_load.diameter_m",
	} {
		w.session.Edit("kind", func(d *design.Design) { d.SetTopLoadKind(kind) })
		if !shown(key) || !shown("top_load.height_m") {
			t.Errorf("a %s has handles for size %t and height %t", kind, shown(key), shown("top_load.height_m"))
		}
	}
	w.session.Edit("kind", func(d *design.Design) { d.SetTopLoadKind(design.NoTopLoad) })
	if shown("top_load.height_m") || shown("top_load.diameter_m") {
		t.Error("a bare coil has handles for its top load")
	}
	w.session.Edit("none", func(d *design.Design) { d.Primary.Kind = design.NoPrimary })
	if shown("primary.turns") {
		t.Error("a coil without primary has a handle for it")
	}
}

// TestResultsKeepTheirPlacesUnderTheHand: what is not computed while the hand
// moves leaves its place free.
func TestResultsKeepTheirPlacesUnderTheHand(t *testing.T) {
	w := newWindow(t)
	before := w.results.Shown()
	pull(w, handOf(t, w, "secondary.turns"), fyne.Delta{DY: -20}, true)
	if during := w.results.Shown(); !slices.Equal(during, before) {
		t.Errorf("under the hand the results are %q, before it %q", during, before)
	}
}
