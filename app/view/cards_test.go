package view

import (
	"math"
	"slices"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/test"
	"gonum.org/v1/gonum/floats/scalar"

	"coilwright/physics/design"
)

// visibleRows returns the keys of the rows of a card that are in sight.
func visibleRows(c *Cards, name string) []string {
	var keys []string
	for _, n := range c.cards {
		if n.name != name {
			continue
		}
		for _, i := range n.parts().items {
			if i.row().Visible() {
				keys = append(keys, i.row().key)
			}
		}
	}
	return keys
}

func TestKindOfTopLoad(t *testing.T) {
	b, c, _ := newBench(t, deskCoil())
	kind := choice(t, c, "top_load.kind")
	for index, test := range []struct {
		kind string
		rows []string
	}{
		{design.NoTopLoad, []string{"top_load.kind"}},
		{design.WireRing, []string{"top_load.kind", "top_load.turns", "top_load.wire.gauge", "top_load.former_diameter_m", "top_load.hub", "top_load.hub_diameter_m", "top_load.height_m", "top_load.lead.place", "top_load.breakout", "top_load.tip"}},
		{design.Torus, []string{"top_load.kind", "top_load.outer_diameter_m", "top_load.tube_diameter_m", "top_load.closed", "top_load.height_m", "top_load.lead.place", "top_load.breakout", "top_load.tip"}},
		{design.Sphere, []string{"top_load.kind", "top_load.diameter_m", "top_load.closed", "top_load.height_m", "top_load.lead.place", "top_load.breakout", "top_load.tip"}},
		{design.Disc, []string{"top_load.kind", "top_load.diameter_m", "top_load.thickness_m", "top_load.closed", "top_load.height_m", "top_load.lead.place", "top_load.breakout", "top_load.tip"}},
	} {
		kind.picker.SetSelectedIndex(index)
		if b.design.TopLoad.Kind != test.kind {
			t.Errorf("option %d gives the kind %q, want %q", index, b.design.TopLoad.Kind, test.kind)
		}
		if got := visibleRows(c, "top_load"); !slices.Equal(got, test.rows) {
			t.Errorf("a %s shows the rows %v, want %v", test.kind, got, test.rows)
		}
		if problems := design.Check(b.design); len(problems) > 0 {
			t.Errorf("a fresh %s cannot be built: %v", test.kind, problems)
		}
	}
	kind.picker.SetSelectedIndex(1)
	if b.design.TopLoad.Turns != 19 {
		t.Errorf("going through the kinds leaves the ring with %d turns, want 19", b.design.TopLoad.Turns)
	}
}

func TestKindOfPrimary(t *testing.T) {
	d := deskCoil()
	d.SetPrimaryKind(design.NoPrimary)
	b, c, _ := newBench(t, d)
	kind := choice(t, c, "primary.kind")
	if got := visibleRows(c, "primary"); !slices.Equal(got, []string{"primary.kind"}) {
		t.Errorf("without a primary the rows %v show", got)
	}
	for index, want := range []string{design.NoPrimary, design.Cylinder, design.Spiral, design.Cone} {
		kind.picker.SetSelectedIndex(index)
		if b.design.Primary.Kind != want {
			t.Errorf("option %d gives the kind %q, want %q", index, b.design.Primary.Kind, want)
		}
		slope := slices.Contains(visibleRows(c, "primary"), "primary.cone_angle_deg")
		if slope != (want == design.Cone) {
			t.Errorf("the slope of a %s shows: %t", want, slope)
		}
	}
}

// TestTap: the turns in use are all of them at the right end, and stay so when
// there are more.
func TestTap(t *testing.T) {
	b, c, _ := newBench(t, deskCoil())
	q := row(t, c, "primary.tap_turns")
	if q.entry.Text != "4" || q.slider.At() != 1 {
		t.Errorf("without a tap the row shows %q, the slider at %g", q.entry.Text, q.slider.At())
	}
	press(q.slider, fyne.KeyLeft)
	if got := b.design.Primary.TapTurns; got != 3.75 {
		t.Errorf("one step down is a tap at %g turns, want 3.75", got)
	}
	press(q.slider, fyne.KeyRight)
	if got := b.design.Primary.TapTurns; got != 0 {
		t.Errorf("back at the end the design has a tap at %g turns, want none", got)
	}
	b.Edit("turns", func(d *design.Design) { d.Primary.Turns = 6 })
	if q.entry.Text != "6" || q.slider.At() != 1 {
		t.Errorf("of six turns %q are in use, the slider at %g", q.entry.Text, q.slider.At())
	}
	b.Edit("tap", func(d *design.Design) { d.Primary.TapTurns, d.Primary.Turns = 5, 3 })
	if p := design.Check(b.design); len(p) != 1 || p[0].Key != "primary.tap_turns" || c.Nearest(p[0].Key, *p[0].Nearest) == "" {
		t.Fatalf("a tap beyond the last turn: %v", p)
	}
	c.Apply("primary.tap_turns", 3)
	if got := b.design.Primary.TapTurns; got != 0 {
		t.Errorf("mended, the tap is at %g", got)
	}
}

// TestFoot: a board has its rows, with a size from the start.
func TestFoot(t *testing.T) {
	b, c, _ := newBench(t, deskCoil())
	for _, key := range []string{"room.circuit_diameter_m", "room.earth_capacitance_f"} {
		if row(t, c, key).Visible() {
			t.Errorf("an earthed coil shows %s", key)
		}
	}
	choice(t, c, "room.foot").picker.SetSelectedIndex(1)
	if b.design.Room.Foot != design.Circuit || len(design.Check(b.design)) > 0 {
		t.Errorf("the foot is %q, problems %v", b.design.Room.Foot, design.Check(b.design))
	}
	board := row(t, c, "room.circuit_diameter_m")
	if !board.Visible() || board.entry.Text != "60.0" {
		t.Errorf("the board measures %q, visible %t", board.entry.Text, board.Visible())
	}
	earth := row(t, c, "room.earth_capacitance_f")
	if err := earth.commit("3.5 pF"); err != nil || b.design.Room.EarthCapacitance != 3.5e-12 {
		t.Errorf("3.5 pF is taken as %g F, error %v", b.design.Room.EarthCapacitance, err)
	}
	choice(t, c, "room.foot").picker.SetSelectedIndex(0)
	if board.Visible() || b.design.Room.CircuitDiameter != 0.06 {
		t.Errorf("earthed again the board is visible: %t, and measures %g m", board.Visible(), b.design.Room.CircuitDiameter)
	}
}

// TestSlot: unbroken is what a smooth body is unless its maker cuts it.
func TestSlot(t *testing.T) {
	d := deskCoil()
	d.SetTopLoadKind(design.Torus)
	d.TopLoad.Closed = true
	b, c, _ := newBench(t, d)
	cut := choice(t, c, "top_load.closed")
	if cut.picker.SelectedIndex() != 0 {
		t.Errorf("an unbroken torus shows as %q", cut.picker.Selected)
	}
	cut.picker.SetSelectedIndex(1)
	if b.design.TopLoad.Closed {
		t.Error("a slotted torus is still closed")
	}
}

func TestGround(t *testing.T) {
	b, c, _ := newBench(t, deskCoil())
	ground := choice(t, c, "room.ground")
	for index, test := range []struct {
		ground string
		depth  float64 // m
	}{
		{design.Floor, 0.75},
		{design.Floor, 0},
		{design.MetalPlane, 0},
		{design.Open, 0},
	} {
		ground.picker.SetSelectedIndex(index)
		if b.design.Room.Ground != test.ground || b.design.Room.FloorDepth != test.depth {
			t.Errorf("option %d gives ground %q at %g m, want %q at %g m", index, b.design.Room.Ground, b.design.Room.FloorDepth, test.ground, test.depth)
		}
		if got := ground.picker.SelectedIndex(); got != index {
			t.Errorf("option %d shows as option %d", index, got)
		}
	}
}

func TestHubByNut(t *testing.T) {
	b, c, _ := newBench(t, deskCoil())
	nut, seat := choice(t, c, "top_load.hub"), choice(t, c, "top_load.seat")
	if seat.Visible() {
		t.Error("a measured hub has a seat")
	}
	i := slices.Index(nut.picker.Options, "#6-32 nut")
	if i < 0 {
		t.Fatalf("no #6-32 nut in %v", nut.picker.Options)
	}
	nut.picker.SetSelectedIndex(i)
	// Middle of the limits of ASME B18.2.2: flats 7.671 to 7.925 mm, corners
	// 8.738 to 9.169 mm.
	if got := b.design.TopLoad.HubDiameter; !scalar.EqualWithinAbs(got, 7.798e-3, 1e-6) {
		t.Errorf("the flats of a #6-32 nut give a hub of %g m, want 0.007798 m (ASME B18.2.2)", got)
	}
	if !seat.Visible() || nut.picker.SelectedIndex() != i {
		t.Errorf("after picking the nut: seat visible %t, option %d of %d", seat.Visible(), nut.picker.SelectedIndex(), i)
	}
	seat.picker.SetSelectedIndex(1)
	if got := b.design.TopLoad.HubDiameter; !scalar.EqualWithinAbs(got, 8.9535e-3, 1e-6) {
		t.Errorf("the corners of a #6-32 nut give a hub of %g m, want 0.0089535 m (ASME B18.2.2)", got)
	}
	nut.picker.SetSelectedIndex(0)
	if seat.Visible() || nut.picker.SelectedIndex() != 0 {
		t.Errorf("a measured hub shows as option %d, its seat %t", nut.picker.SelectedIndex(), seat.Visible())
	}
}

func TestEveryNutShowsAsItself(t *testing.T) {
	_, c, _ := newBench(t, deskCoil())
	nut, seat := choice(t, c, "top_load.hub"), choice(t, c, "top_load.seat")
	for i := range nut.picker.Options {
		for s := range seat.picker.Options {
			nut.picker.SetSelectedIndex(i)
			if i > 0 {
				seat.picker.SetSelectedIndex(s)
			}
			if got := nut.picker.SelectedIndex(); got != i {
				t.Errorf("%s, %s, shows as %s", nut.picker.Options[i], seat.picker.Options[s], nut.picker.Options[got])
			}
		}
	}
}

func TestSpacing(t *testing.T) {
	b, c, w := newBench(t, deskCoil())
	spacing := choice(t, c, "secondary.spacing")
	touching := b.design.Secondary.ClosePitch()

	spacing.picker.SetSelectedIndex(byPitch)
	if got := b.design.Secondary.Pitch; !scalar.EqualWithinRel(got, touching, 1e-12) {
		t.Errorf("from touching to a pitch gives %g m, want the pitch of the close winding, %g m", got, touching)
	}
	pitch := row(t, c, "secondary.pitch_m")
	typeOver(w, pitch.entry, "0.5")
	press(pitch.entry, fyne.KeyReturn)
	if got := b.design.Secondary.Pitch; got != 0.5e-3 {
		t.Errorf("a typed pitch of 0.5 mm gives %g m", got)
	}

	spacing.picker.SetSelectedIndex(byHeight)
	height := row(t, c, "secondary.winding_height")
	if !height.Visible() || pitch.Visible() {
		t.Errorf("by height: height visible %t, pitch visible %t", height.Visible(), pitch.Visible())
	}
	typeOver(w, height.entry, "100")
	press(height.entry, fyne.KeyReturn)
	turns := row(t, c, "secondary.turns")
	typeOver(w, turns.entry, "200")
	press(turns.entry, fyne.KeyReturn)
	s := b.design.Secondary
	if got := s.Turns * s.Pitch; s.Turns != 200 || !scalar.EqualWithinRel(got, 0.100, 1e-9) {
		t.Errorf("200 turns on 100 mm: %g turns on %g m", s.Turns, got)
	}

	spacing.picker.SetSelectedIndex(byCounting)
	counted, length := row(t, c, "secondary.counted_turns"), row(t, c, "secondary.counted_length")
	typeOver(w, counted.entry, "20")
	press(counted.entry, fyne.KeyReturn)
	typeOver(w, length.entry, "9 mm")
	press(length.entry, fyne.KeyReturn)
	if got := b.design.Secondary.Pitch; !scalar.EqualWithinRel(got, 9e-3/20, 1e-9) {
		t.Errorf("20 turns measure 9 mm: pitch %g m, want %g m", got, 9e-3/20)
	}
	if counted.entry.Text != "20" || length.entry.Text != "9.00" {
		t.Errorf("the ruler shows %q turns and %q mm", counted.entry.Text, length.entry.Text)
	}

	spacing.picker.SetSelectedIndex(byTouching)
	if b.design.Secondary.Pitch != 0 || length.Visible() {
		t.Errorf("touching: pitch %g m, ruler visible %t", b.design.Secondary.Pitch, length.Visible())
	}
}

func TestFolding(t *testing.T) {
	_, c, _ := newBench(t, deskCoil())
	var folded []string
	c.OnFold = func(names []string) { folded = names }
	head := c.cards[2].parts().head
	tall := c.column.MinSize().Height
	test.Tap(head)
	if !slices.Equal(folded, []string{"secondary"}) || c.column.MinSize().Height >= tall {
		t.Errorf("a click folds %v and makes the column %g of %g high", folded, c.column.MinSize().Height, tall)
	}
	press(head, fyne.KeySpace)
	if len(folded) != 0 || c.column.MinSize().Height != tall {
		t.Errorf("Space leaves %v folded and the column %g of %g high", folded, c.column.MinSize().Height, tall)
	}
}

// TestKeyboardReachesEverything walks through the column with Tab and finds
// every row that is in sight, each in sight when it has the keyboard.
func TestKeyboardReachesEverything(t *testing.T) {
	_, c, w := newBench(t, deskCoil())
	w.Resize(fyne.NewSize(330, 300))
	reached := map[string]bool{}
	var order []string
	c.OnHint = func(key string) {
		if !reached[key] {
			order = append(order, key)
		}
		reached[key] = true
	}
	const enough = 200 // presses of Tab, far more than there are stops
	for range enough {
		test.FocusNext(w.Canvas())
		o, ok := w.Canvas().Focused().(fyne.CanvasObject)
		if !ok {
			continue
		}
		y := fyne.CurrentApp().Driver().AbsolutePositionForObject(o).Y
		if y < 0 || y+o.Size().Height > w.Canvas().Size().Height+1 {
			t.Fatalf("%T has the keyboard at %g px, out of sight", o, y)
		}
	}
	var want []string
	for _, name := range []string{"target", "top_load", "secondary", "primary", "room", "tolerances"} {
		want = append(want, visibleRows(c, name)...)
	}
	if !slices.Equal(order, want) {
		t.Errorf("Tab walks through\n%v, want\n%v", order, want)
	}
}

// TestWheelScrollsOverSliders: the wheel over a slider scrolls the column and
// changes nothing.
// TestWheelScrolls: over whatever part of a row the pointer is, the wheel moves
// the column and no value.
func TestWheelScrolls(t *testing.T) {
	b, c, w := newBench(t, deskCoil())
	w.Resize(fyne.NewSize(330, 300))
	q := row(t, c, "top_load.former_diameter_m")
	before := b.design
	for name, o := range map[string]fyne.CanvasObject{"slider": q.slider, "entry": q.entry, "name": q.label} {
		c.scroll.ScrollToTop()
		at := fyne.CurrentApp().Driver().AbsolutePositionForObject(o).AddXY(o.Size().Width/2, 5)
		test.Scroll(w.Canvas(), at, 0, -50)
		if c.scroll.Offset.Y <= 0 || len(b.edits) > 0 || b.design.TopLoad.FormerDiameter != before.TopLoad.FormerDiameter {
			t.Errorf("over the %s the wheel scrolls to %g and makes steps %v", name, c.scroll.Offset.Y, b.edits)
		}
	}
	// What it does not take goes through to what lies below.
	var over any = q.wheel
	_, tappable := over.(fyne.Tappable)
	_, draggable := over.(fyne.Draggable)
	_, focusable := over.(fyne.Focusable)
	_, mouseable := over.(desktop.Mouseable)
	_, hoverable := over.(desktop.Hoverable)
	if tappable || draggable || focusable || mouseable || hoverable {
		t.Error("what takes the wheel takes more of the mouse than that")
	}
}

func TestApplyNearest(t *testing.T) {
	d := deskCoil()
	d.TopLoad.Wire.Gauge, d.TopLoad.HubDiameter, d.TopLoad.Turns = "AWG 12", 7.9e-3, 21
	b, c, _ := newBench(t, d)
	problems := design.Check(d)
	if len(problems) != 1 || problems[0].Nearest == nil {
		t.Fatalf("21 turns of AWG 12 on 7.9 mm: problems %v", problems)
	}
	p := problems[0]
	if got := c.Nearest(p.Key, *p.Nearest); got != "Use 15" {
		t.Errorf("the offer reads %q, want Use 15", got)
	}
	c.Apply(p.Key, *p.Nearest)
	// pi/asin(d/(hub + d)) with ASTM B258's 2.053 mm: 15.14 turns.
	if b.design.TopLoad.Turns != 15 || len(design.Check(b.design)) != 0 {
		t.Errorf("applying it gives %d turns, problems %v", b.design.TopLoad.Turns, design.Check(b.design))
	}
	if got := c.Nearest("secondary.packing", 0); got != "" {
		t.Errorf("a key without a row is offered: %q", got)
	}
}

func TestDragsNeverLeaveARange(t *testing.T) {
	b, c, _ := newBench(t, deskCoil())
	for _, i := range items(c) {
		q, ok := i.item.(*Quantity)
		if !ok {
			continue
		}
		for _, position := range []float64{0, 0.3, 1} {
			b.design = deskCoil()
			b.design.Secondary.Pitch = 1e-3
			b.design.TopLoad.Breakout, b.design.TopLoad.Tip = firstBreakout, firstTip // their rows show only with them
			q.edit(q.at(position))
			for _, p := range design.Check(b.design) {
				if p.Code == design.CodeOutOfRange {
					t.Errorf("%s at %g of the slider: %v", q.spec.key, position, p)
				}
			}
			if v := q.spec.get(&b.design); math.IsNaN(v) {
				t.Errorf("%s at %g of the slider is no number", q.spec.key, position)
			}
		}
	}
}
