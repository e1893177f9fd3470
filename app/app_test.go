package app

import (
	"image"
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"
	"fyne.io/fyne/v2/widget"

	"coilwright/app/theme"
	"coilwright/app/view"
	"coilwright/assets"
	"coilwright/physics/design"
)

// newWindow opens the window on its first example, in the light theme, with
// everything solved and drawn when a call returns.
func newWindow(t testing.TB) *Window {
	t.Helper()
	a := test.NewTempApp(t)
	w, err := New(a, Options{Synchronous: true})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(w.session.Close)
	w.setAppearance(theme.Light)
	w.window.Resize(firstSize)
	return w
}

// setTurns changes the secondary as a card does.
func (w *Window) setTurns(turns float64) {
	w.session.Edit("turns", func(d *design.Design) { d.Secondary.Turns = turns })
}

// breakRing makes a ring that does not fit its hub.
func (w *Window) breakRing() {
	w.session.Edit("ring", func(d *design.Design) {
		d.SetTopLoadKind(design.WireRing)
		d.TopLoad.Wire.Gauge, d.TopLoad.HubDiameter, d.TopLoad.Turns = "AWG 12", 7.9e-3, 21
	})
}

func frequency(w *Window) string {
	return w.results.Values()["rings at"]
}

func TestOpensOnAnExample(t *testing.T) {
	w := newWindow(t)
	if name, mark := w.header.Title(); name != w.session.Design().Name || name == "" || mark != "" {
		t.Errorf("the header shows %q %q for the design %q", name, mark, w.session.Design().Name)
	}
	for name, value := range w.results.Values() {
		if value == "" {
			t.Errorf("%s shows nothing", name)
		}
	}
	if f := frequency(w); !strings.HasSuffix(f, "MHz") {
		t.Errorf("the coil rings at %q", f)
	}
	for i, f := range w.figures {
		if f.Missing() != "" {
			t.Errorf("figure %d: %s", i, f.Missing())
		}
	}
}

func TestAnEditReachesEverything(t *testing.T) {
	w := newWindow(t)
	before := frequency(w)
	turns := w.session.Design().Secondary.Turns
	w.setTurns(turns / 2)
	if frequency(w) == before {
		t.Errorf("half the turns still ring at %s", before)
	}
	if _, mark := w.header.Title(); mark == "" {
		t.Error("a changed design is not marked as not saved")
	}
	if !strings.Contains(w.window.Title(), "not saved") {
		t.Errorf("the window's title is %q", w.window.Title())
	}
	if got := w.menu.undo.Label; got != "Undo: turns" || w.menu.undo.Disabled {
		t.Errorf("the menu offers %q, disabled %t", got, w.menu.undo.Disabled)
	}
	w.undo()
	if got := frequency(w); got != before {
		t.Errorf("undone, the coil rings at %s, want %s", got, before)
	}
	if _, mark := w.header.Title(); mark != "" {
		t.Error("undone to what was opened, the design is still marked")
	}
	if !w.menu.undo.Disabled || w.menu.redo.Disabled || w.menu.redo.Label != "Redo: turns" {
		t.Errorf("after undo the menu offers %q, %q", w.menu.undo.Label, w.menu.redo.Label)
	}
	w.redo()
	if got := w.session.Design().Secondary.Turns; got != turns/2 {
		t.Errorf("redone, there are %g turns, want %g", got, turns/2)
	}
}

func TestDragIsOneUndoStep(t *testing.T) {
	w := newWindow(t)
	before := w.session.Design().TopLoad.FormerDiameter
	at := sliderOf(t, w, "top_load.former_diameter_m")
	for range 5 {
		test.Drag(w.window.Canvas(), at, 20, 0)
	}
	slider := w.cards.Quantity("top_load.former_diameter_m")
	if slider == nil || w.session.Design().TopLoad.FormerDiameter == before {
		t.Fatal("dragging changes nothing")
	}
	w.undo()
	if got := w.session.Design().TopLoad.FormerDiameter; got != before {
		t.Errorf("one undo after one drag to one place leaves %g m, want %g m", got, before)
	}
}

// sliderOf returns a place near the right end of the slider of a row.
func sliderOf(t testing.TB, w *Window, key string) fyne.Position {
	t.Helper()
	row := w.cards.Quantity(key)
	if row == nil {
		t.Fatalf("no row for %s", key)
	}
	for _, o := range test.LaidOutObjects(row.Row) {
		if s, ok := o.(*view.Slider); ok {
			return fyne.CurrentApp().Driver().AbsolutePositionForObject(s).AddXY(0.8*s.Size().Width, s.Size().Height/2)
		}
	}
	t.Fatalf("the row of %s has no slider", key)
	return fyne.Position{}
}

func TestUndoInAnEntryUndoesTyping(t *testing.T) {
	w := newWindow(t)
	w.setTurns(123)
	var entry *view.Entry
	for _, o := range test.LaidOutObjects(w.cards.Quantity("secondary.turns").Row) {
		if e, ok := o.(*view.Entry); ok {
			entry = e
		}
	}
	w.window.Canvas().Focus(entry)
	entry.TypedRune('7')
	w.undo()
	if entry.Text != "123" || w.session.Design().Secondary.Turns != 123 {
		t.Errorf("undo while typing leaves %q and %g turns, want 123", entry.Text, w.session.Design().Secondary.Turns)
	}
	w.undo()
	if w.session.Design().Secondary.Turns == 123 {
		t.Error("undo with nothing typed does not reach the design")
	}
}

func TestProblemIsShownAndMended(t *testing.T) {
	w := newWindow(t)
	w.breakRing()
	if got := w.notice.Text(); !strings.Contains(got, "21 turns of AWG 12 do not fit") {
		t.Errorf("the notice reads %q", got)
	}
	for name, value := range w.results.Values() {
		if value != "–" {
			t.Errorf("a coil that cannot be built shows %s %s", name, value)
		}
	}
	for i, f := range w.figures {
		if f.Missing() != "" {
			t.Errorf("figure %d does not show where the ring could be built: %s", i, f.Missing())
		}
	}
	if w.drawing.Missing() != "" {
		t.Errorf("a ring with too many turns is not drawn: %s", w.drawing.Missing())
	}
	button := findButton(t, w, "Use 15")
	test.Tap(button)
	if got := w.session.Design().TopLoad.Turns; got != 15 {
		t.Errorf("the button gives %d turns, want 15", got)
	}
	if w.figures[0].Missing() != "" || frequency(w) == "–" {
		t.Errorf("mended, the figure says %q and the coil rings at %s", w.figures[0].Missing(), frequency(w))
	}
}

// findButton returns the visible button of the window with a text.
func findButton(t testing.TB, w *Window, label string) *view.Button {
	t.Helper()
	roots := []fyne.CanvasObject{w.window.Content()}
	if top := w.window.Canvas().Overlays().Top(); top != nil {
		roots = append(roots, top)
	}
	for _, root := range roots {
		for _, o := range test.LaidOutObjects(root) {
			if b, ok := o.(*view.Button); ok && b.Text == label && b.Visible() {
				return b
			}
		}
	}
	t.Fatalf("no button %q", label)
	return nil
}

func TestUnitsAndAppearanceAreKept(t *testing.T) {
	w := newWindow(t)
	w.setUnits(view.Inches)
	w.setAppearance(theme.Dark)
	if got := w.results.Values()["winding"]; !strings.HasSuffix(got, "in") {
		t.Errorf("in inches the winding is %q high", got)
	}
	again, err := New(w.app, Options{Synchronous: true})
	if err != nil {
		t.Fatal(err)
	}
	defer again.session.Close()
	if again.units != view.Inches || again.appearance != theme.Dark {
		t.Errorf("the next window starts in units %d, appearance %q", again.units, again.appearance)
	}
}

func TestFiguresFollowTheAppearance(t *testing.T) {
	w := newWindow(t)
	corner := func() (r, g, b uint32) {
		p := w.figures[0].Picture()
		if p.Space().Empty() {
			t.Fatal("the figure has no pixels")
		}
		shot := w.window.Canvas().Capture()
		at := fyne.CurrentApp().Driver().AbsolutePositionForObject(p)
		r, g, b, _ = shot.At(int(at.X)+1, int(at.Y)+1).RGBA()
		return r, g, b
	}
	light, _, _ := corner()
	w.setAppearance(theme.Dark)
	dark, _, _ := corner()
	if light < 0xC000 || dark > 0x4000 {
		t.Errorf("the figure's ground is %#x in the light window and %#x in the dark one", light, dark)
	}
}

// menuBar is the height that the toolkit's menu takes from the window, as seen
// on screen, in density-independent pixels.
const menuBar = 26

func TestFitsTheLeastWindow(t *testing.T) {
	w := newWindow(t)
	least := w.window.Content().MinSize()
	if least.Width > leastSize.Width || least.Height+menuBar > leastSize.Height {
		t.Errorf("the content needs %v, the least window is %v", least, leastSize)
	}
}

// TestNothingJumps changes numbers and looks whether anything moves but the
// handles and the words themselves.
func TestNothingJumps(t *testing.T) {
	w := newWindow(t)
	before := places(w)
	for _, turns := range []float64{20, 1234.5, 77, 5000} {
		w.setTurns(turns)
		after := places(w)
		for o, was := range before {
			if now, ok := after[o]; ok && now != was {
				t.Errorf("with %g turns a %T moves from %v to %v", turns, o, was, now)
			}
		}
	}
	w.breakRing()
	broken := places(w)
	for o, was := range before {
		if now, ok := broken[o]; ok && now != was {
			t.Errorf("with a problem a %T moves from %v to %v", o, was, now)
		}
	}
}

// place is where an object of the window lies.
type place struct {
	position fyne.Position
	size     fyne.Size
}

func places(w *Window) map[fyne.CanvasObject]place {
	all := map[fyne.CanvasObject]place{}
	for _, o := range test.LaidOutObjects(w.window.Content()) {
		if !o.Visible() {
			continue
		}
		switch o.(type) {
		case *view.Panel, *view.Row, *view.Slider, *view.Entry, *view.Picture, *view.Segments:
			all[o] = place{fyne.CurrentApp().Driver().AbsolutePositionForObject(o), o.Size()}
		}
	}
	return all
}

func TestNoMenuEntryIsDead(t *testing.T) {
	w := newWindow(t)
	if err := w.OpenPath(writeExample(t)); err != nil {
		t.Fatal(err)
	}
	var walk func(items []*fyne.MenuItem)
	walk = func(items []*fyne.MenuItem) {
		for _, i := range items {
			switch {
			case i.IsSeparator:
			case i.ChildMenu != nil:
				if len(i.ChildMenu.Items) == 0 {
					t.Errorf("the menu %q is empty", i.Label)
				}
				walk(i.ChildMenu.Items)
			case i.Action == nil:
				t.Errorf("the entry %q does nothing", i.Label)
			}
		}
	}
	for _, m := range w.menu.main.Items {
		walk(m.Items)
	}
}

func TestEveryExampleCanBeBuilt(t *testing.T) {
	w := newWindow(t)
	for _, e := range assets.Examples() {
		d, err := readExample(e)
		if err != nil {
			t.Errorf("%v", err)
			continue
		}
		w.session.New(d)
		if frequency(w) == "–" || w.session.Modified() {
			t.Errorf("%s rings at %s, modified %t: %s", e.Name, frequency(w), w.session.Modified(), w.notice.Text())
		}
	}
}

func TestIconIsItsDrawing(t *testing.T) {
	a := test.NewTempApp(t)
	a.Settings().SetTheme(theme.New(theme.Light))
	show := func(name string, content []byte) image.Image {
		icon := widget.NewIcon(fyne.NewStaticResource(name, content))
		w := test.NewTempWindow(t, icon)
		w.SetPadded(false)
		w.Resize(fyne.NewSquareSize(64))
		return w.Canvas().Capture()
	}
	picture, drawing := show("icon.png", assets.Icon), show("icon.svg", assets.IconSVG)
	different := 0
	for y := range 64 {
		for x := range 64 {
			r1, g1, b1, _ := picture.At(x, y).RGBA()
			r2, g2, b2, _ := drawing.At(x, y).RGBA()
			const visible = 0x3000 // of 0xFFFF; less is the edge of a shape resampled
			if delta(r1, r2) > visible || delta(g1, g2) > visible || delta(b1, b2) > visible {
				different++
			}
		}
	}
	if different > 64*64/20 {
		t.Errorf("icon.png differs from icon.svg in %d of %d pixels", different, 64*64)
	}
}

func delta(a, b uint32) uint32 {
	return max(a, b) - min(a, b)
}

func TestClickOnThePrimaryUnfoldsItsCard(t *testing.T) {
	w := newWindow(t)
	g, err := w.session.Design().Geometry()
	if err != nil || len(g.Primary.Places) == 0 {
		t.Fatalf("the example has no primary, error %v", err)
	}
	w.cards.SetFolded([]string{"primary"})
	if !w.cards.Folded("primary") {
		t.Fatal("the card does not fold")
	}
	x, y := w.coilFrame().Place(g.Primary.Places[0].R, g.Primary.Places[0].Z)
	w.drawing.Picture().Tapped(&fyne.PointEvent{Position: fyne.NewPos(float32(x), float32(y))})
	if w.cards.Folded("primary") {
		t.Error("a click on the primary leaves its card folded")
	}
}

// What lies behind the numbers opens from the menu and from the line of results,
// and for a coil that cannot be built says so.
func TestBehind(t *testing.T) {
	w := newWindow(t)
	w.results.OnBehind()
	if len(w.dialogs) != 1 {
		t.Fatalf("%d dialogs are open", len(w.dialogs))
	}
	w.dismiss()
	w.breakRing()
	w.showBehind()
	if len(w.dialogs) != 1 {
		t.Errorf("a ring that cannot be built leaves %d dialogs open", len(w.dialogs))
	}
}
