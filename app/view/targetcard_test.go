package view

import (
	"slices"
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"
	fynetheme "fyne.io/fyne/v2/theme"

	"coilwright/app/theme"
	"coilwright/physics/design"
)

// settingRow returns a row of the target that is no part of the design.
func settingRow(t *testing.T, c *Cards, key string) *setting {
	t.Helper()
	for _, i := range items(c) {
		if s, ok := i.item.(*setting); ok && s.key == key {
			return s
		}
	}
	t.Fatalf("no row for %s", key)
	return nil
}

func TestTargetCard(t *testing.T) {
	b, c, w := newBench(t, deskCoil())
	var asked []design.Target
	var keys []string
	c.OnFind = func(target design.Target, key string) { asked, keys = append(asked, target), append(keys, key) }
	card := c.cards[0].card.(*targetCard)
	q := row(t, c, "target_frequency_hz")
	if q.entry.Text != "none" || !card.find.Disabled() {
		t.Errorf("without a target the row shows %q and Find is enabled: %t", q.entry.Text, !card.find.Disabled())
	}
	typeOver(w, q.entry, "1400 kHz")
	press(q.entry, fyne.KeyReturn)
	if b.design.TargetFrequency != 1.4e6 || q.entry.Text != "1.400" || card.find.Disabled() {
		t.Fatalf("typed, the target is %g Hz, the row shows %q", b.design.TargetFrequency, q.entry.Text)
	}
	test.Tap(card.find)
	vary := settingRow(t, c, "target.vary")
	vary.picker.SetSelected("ring former")
	press(card.find, fyne.KeyReturn)
	if !slices.Equal(keys, []string{"secondary.turns", "top_load.former_diameter_m"}) || asked[1] != (design.Target{Quantity: design.TargetFrequency, Value: 1.4e6}) {
		t.Errorf("asked for %v by %v", asked, keys)
	}
	// A capacitance is no part of the design, and the winding has no share in it.
	edits := len(b.edits)
	settingRow(t, c, "target.reach").picker.SetSelectedIndex(reachCapacitance)
	farads := row(t, c, "target.capacitance_f")
	typeOver(w, farads.entry, "2.5")
	press(farads.entry, fyne.KeyReturn)
	if want := []string{"ring turns", "ring former", "hub"}; !slices.Equal(vary.picker.Options, want) {
		t.Errorf("for a capacitance %q can change, want %q", vary.picker.Options, want)
	}
	test.Tap(card.find)
	if got := asked[len(asked)-1]; got.Quantity != design.TargetCapacitance || got.Value != 2.5e-12 || len(b.edits) != edits {
		t.Errorf("asked for %+v after %d edits, before %d", got, len(b.edits), edits)
	}
	// Without a top load only the frequency is left.
	b.Edit("kind", func(d *design.Design) { d.SetTopLoadKind(design.NoTopLoad) })
	if card.reach != reachFrequency || settingRow(t, c, "target.reach").Visible() || farads.Visible() {
		t.Errorf("without a top load the target is %d", card.reach)
	}
	typeOver(w, q.entry, "none")
	press(q.entry, fyne.KeyReturn)
	if b.design.TargetFrequency != 0 || !card.find.Disabled() {
		t.Errorf("typed none, the target is %g Hz", b.design.TargetFrequency)
	}
}

func TestTargetSummary(t *testing.T) {
	const whereItRings = -1 // Hz, stands for the coil's own frequency
	_, c, _ := newBench(t, deskCoil())
	for _, test := range []struct {
		target     float64
		begin, end string
	}{{0, "none", "none"}, {whereItRings, "3.", "MHz · the coil rings there"}, {1e6, "1.000\u202fMHz · the coil is ", "% above"}, {4e6, "4.000\u202fMHz · the coil is ", "% below"}} {
		d := deskCoil()
		if d.TargetFrequency = test.target; test.target == whereItRings {
			d.TargetFrequency = *solved(t, deskCoil()).Report.Resonance.Frequency
		}
		c.ShowResult(solved(t, d))
		if got := c.cards[0].parts().head.summary.Content(); !strings.HasPrefix(got, test.begin) || !strings.HasSuffix(got, test.end) {
			t.Errorf("target %g Hz: %q, want %q to %q", test.target, got, test.begin, test.end)
		}
	}
}

// The column is no wider than its place with every card open.
func TestTargetCardFitsTheColumn(t *testing.T) {
	_, c, _ := newBench(t, deskCoil())
	for _, n := range c.cards {
		if width := n.parts().MinSize().Width; width > fynetheme.Size(theme.SizeNameSide)-fynetheme.ScrollBarSize() {
			t.Errorf("the card %s asks for a width of %g", n.name, width)
		}
	}
}
