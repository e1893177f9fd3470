package view

import (
	"bytes"
	"slices"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"
	"fyne.io/fyne/v2/widget"

	"coilwright/app/theme"
	"coilwright/assets"
	"coilwright/physics/design"
)

// newDrawer shows the drawer of the example club.
func newDrawer(t *testing.T) (*Drawer, design.Stock, fyne.Window) {
	t.Helper()
	test.NewTempApp(t).Settings().SetTheme(theme.New(theme.Light))
	stock, err := design.ReadStock(bytes.NewReader(assets.ExampleStock))
	if err != nil {
		t.Fatal(err)
	}
	d := NewDrawer(stock, 2.2e6, Millimetres)
	w := test.NewTempWindow(t, d.Object())
	w.Resize(fyne.NewSize(944, 600))
	return d, stock, w
}

func TestDrawerAsks(t *testing.T) {
	d, _, w := newDrawer(t)
	var asked []design.DrawerSearch
	d.OnSearch = func(s design.DrawerSearch) { asked = append(asked, s) }
	test.Tap(d.search)
	typeOver(w, d.frequency, "1400 kHz")
	press(d.frequency, fyne.KeyReturn)
	typeOver(w, d.height, "25 cm")
	press(d.height, fyne.KeyReturn)
	d.wire.SetSelected("AWG 28")
	d.former.SetSelected("drain pipe")
	test.Tap(d.search)
	want := []design.DrawerSearch{{Frequency: 2.2e6}, {Frequency: 1.4e6, MaxHeight: 0.25, Former: 0.040, Wire: "AWG 28"}}
	if len(asked) != 2 || asked[0].Frequency != want[0].Frequency || asked[1].MaxHeight != want[1].MaxHeight || asked[1].Former != want[1].Former || asked[1].Wire != want[1].Wire {
		t.Errorf("asked for %+v, want %+v", asked, want)
	}
	typeOver(w, d.frequency, "none")
	press(d.frequency, fyne.KeyReturn)
	test.Tap(d.search)
	if len(asked) != 2 || d.Told() != "Type the frequency that the coil is to ring at." {
		t.Errorf("without a frequency %d searches, it says %q", len(asked), d.Told())
	}
}

func TestDrawerShowsSortsAndTakes(t *testing.T) {
	d, stock, _ := newDrawer(t)
	found, err := design.Drawer(t.Context(), deskCoil(), design.DrawerSearch{Stock: stock, Frequency: 2.2e6, Most: 12}, d.Progress)
	if err != nil {
		t.Fatal(err)
	}
	if d.bar.Value != 1 || !d.bar.Visible() || d.search.Disabled() == false {
		t.Errorf("at the end of the search the bar stands at %g", d.bar.Value)
	}
	d.Show(found, stock)
	if d.bar.Visible() || d.search.Disabled() || len(d.table.coils) != len(found.Coils) {
		t.Errorf("shown, %d of %d coils", len(d.table.coils), len(found.Coils))
	}
	for i, c := range d.table.columns {
		for range 2 {
			d.table.sortBy(i)
			if c.number == nil {
				continue
			}
			sorted := slices.IsSortedFunc(d.table.coils, func(a, b design.Buildable) int {
				x, y := c.number(&a), c.number(&b)
				if c.most != d.table.backward {
					x, y = y, x
				}
				switch {
				case x < y:
					return -1
				case x > y:
					return 1
				}
				return 0
			})
			if !sorted {
				t.Errorf("%s, backward %t: not sorted", c.key, d.table.backward)
			}
		}
		for j := range d.table.coils {
			if text := c.text(&d.table.coils[j], &stock); text == "" || text == noNumber {
				t.Errorf("%s says %q", c.key, text)
			}
		}
	}
	var taken []design.Buildable
	d.OnTake = func(b design.Buildable) { taken = append(taken, b) }
	d.table.object.Select(widget.TableCellID{Row: 1, Col: 2})
	if len(taken) != 1 || taken[0].Frequency != d.table.coils[1].Frequency {
		t.Errorf("a click takes %d coils", len(taken))
	}
	d.Fail("out of reach", &found.Coils[0], stock)
	if len(d.table.coils) != 1 || d.Told() != "out of reach" {
		t.Errorf("failed with a nearest, %d coils, %q", len(d.table.coils), d.Told())
	}
}

func TestStockIsEdited(t *testing.T) {
	d, stock, w := newDrawer(t)
	d.ShowStock()
	var kept []design.Stock
	d.OnStock = func(s design.Stock) { kept = append(kept, s) }
	entries := func() []*Entry {
		var all []*Entry
		for _, o := range test.LaidOutObjects(d.list.rows) {
			if e, ok := o.(*Entry); ok {
				all = append(all, e)
			}
		}
		return all
	}
	buttons := func(text string) []*Button {
		var all []*Button
		for _, o := range test.LaidOutObjects(d.list.rows) {
			if b, ok := o.(*Button); ok && b.Text == text {
				all = append(all, b)
			}
		}
		return all
	}
	length := entries()[1]
	if length.Text != "120" {
		t.Fatalf("the second entry shows %q, want the length of the first spool", length.Text)
	}
	typeOver(w, length, "60 m")
	press(length, fyne.KeyReturn)
	if len(kept) != 1 || *kept[0].Wires[0].Length != 60 || *stock.Wires[0].Length != 120 || length.Text != "60" {
		t.Fatalf("typed 60 m, it keeps %+v", kept)
	}
	typeOver(w, length, "-3 m")
	press(length, fyne.KeyReturn)
	if len(kept) != 1 || d.list.message.Content() == "" {
		t.Errorf("a negative length is kept: %d, it says %q", len(kept), d.list.message.Content())
	}
	press(length, fyne.KeyEscape)
	gauge := entries()[0]
	typeOver(w, gauge, "AWG x")
	press(gauge, fyne.KeyReturn)
	if len(kept) != 1 {
		t.Errorf("a wire that does not exist is kept: %+v", kept)
	}
	press(gauge, fyne.KeyEscape)
	test.Tap(buttons("Add a wire")[0])
	test.Tap(buttons("Remove")[0])
	if got := kept[len(kept)-1]; len(got.Wires) != len(stock.Wires) || got.Wires[0].Wire.Gauge != stock.Wires[1].Wire.Gauge {
		t.Errorf("added one and removed the first: %+v", got.Wires)
	}
	if !slices.Contains(d.wire.Options, "AWG 28") || d.wire.Options[0] != "any" {
		t.Errorf("the search offers %q", d.wire.Options)
	}
}
