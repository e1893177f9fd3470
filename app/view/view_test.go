package view

import (
	"os"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/lang"
	"fyne.io/fyne/v2/test"

	"coilwright/app/theme"
	"coilwright/assets"
	"coilwright/physics/design"
)

func TestMain(m *testing.M) {
	if err := lang.AddTranslationsFS(assets.Text, assets.TextFolder); err != nil {
		panic(err)
	}
	os.Exit(m.Run())
}

// bench is an Editor that remembers what was asked of it.
type bench struct {
	design  design.Design
	before  design.Design // at Begin
	open    bool
	begun   int
	ended   int
	edits   []string // names of the steps
	changed func()
}

func (b *bench) Design() design.Design {
	return b.design
}

func (b *bench) Edit(name string, change func(*design.Design)) {
	change(&b.design)
	if !b.open {
		b.edits = append(b.edits, name)
	}
	b.notify()
}

func (b *bench) Begin(name string) {
	b.begun++
	b.open, b.before = true, b.design
	b.edits = append(b.edits, name)
}

func (b *bench) End() {
	b.ended++
	b.open = false
}

func (b *bench) Cancel() {
	b.design, b.open = b.before, false
	b.edits = b.edits[:len(b.edits)-1]
	b.notify()
}

func (b *bench) notify() {
	if b.changed != nil {
		b.changed()
	}
}

// newBench shows a design's cards in a window of the light theme.
func newBench(t testing.TB, d design.Design) (*bench, *Cards, fyne.Window) {
	t.Helper()
	a := test.NewTempApp(t)
	a.Settings().SetTheme(theme.New(theme.Light))
	b := &bench{design: d}
	cards := NewCards(b)
	cards.SetOpened(d)
	b.changed = func() { cards.Show(b.design) }
	w := test.NewTempWindow(t, cards.Object())
	w.SetPadded(false)
	w.Resize(fyne.NewSize(330, 1400))
	cards.Show(d)
	return b, cards, w
}

// deskCoil is a coil with a ring, a primary and a wooden table under it.
func deskCoil() design.Design {
	d := design.New()
	d.Secondary.FormerDiameter = 0.025
	d.Secondary.Turns = 310
	d.Secondary.Wire = design.Wire{Gauge: "AWG 32", Insulation: design.Single}
	d.TopLoad.Kind = design.WireRing
	d.TopLoad.Wire = design.Wire{Gauge: "AWG 14", Insulation: design.Bare}
	d.TopLoad.Turns = 19
	d.TopLoad.FormerDiameter = 0.014
	d.TopLoad.HubDiameter = 0.010
	d.TopLoad.Height = 0.014
	return d
}

// row returns the row of a quantity and fails the test if there is none.
func row(t testing.TB, c *Cards, key string) *Quantity {
	t.Helper()
	q := c.Quantity(key)
	if q == nil {
		t.Fatalf("no row for %s", key)
	}
	return q
}

// gauge returns the row of a wire.
func gauge(t testing.TB, c *Cards, key string) *Gauge {
	t.Helper()
	for _, i := range items(c) {
		if g, ok := i.item.(*Gauge); ok && g.spec.key == key {
			return g
		}
	}
	t.Fatalf("no row for %s", key)
	return nil
}

// choice returns the row of a choice.
func choice(t testing.TB, c *Cards, key string) *Choice {
	t.Helper()
	for _, i := range items(c) {
		if g, ok := i.item.(*Choice); ok && g.key == key {
			return g
		}
	}
	t.Fatalf("no row for %s", key)
	return nil
}

func items(c *Cards) []cardItem {
	var all []cardItem
	for _, n := range c.cards {
		all = append(all, n.parts().items...)
	}
	return all
}

// typeOver replaces the text of an entry that has the keyboard.
func typeOver(w fyne.Window, e *Entry, text string) {
	w.Canvas().Focus(e)
	for _, r := range text {
		e.TypedRune(r)
	}
}

func press(o fyne.Focusable, keys ...fyne.KeyName) {
	for _, k := range keys {
		o.TypedKey(&fyne.KeyEvent{Name: k})
	}
}
