package view

import (
	"math"
	"strings"
	"testing"

	"fyne.io/fyne/v2/test"

	"coilwright/physics/comparison"
	"coilwright/physics/design"
)

// newReadings returns a column with one reading picked.
func newReadings(t *testing.T, m design.Measurement) (*bench, *Readings) {
	t.Helper()
	test.NewTempApp(t)
	b := &bench{}
	b.design.Measurements = []design.Measurement{m}
	r := NewReadings(b)
	b.changed = func() { r.Show(b.design, Millimetres) }
	b.changed()
	return b, r
}

// field returns a row of the card by its key, nil where it does not apply.
func (r *Readings) field(key string) *readingRow {
	for _, f := range r.card.fields {
		if f.key == key && f.Visible() {
			return f
		}
	}
	return nil
}

// TestWhatStoodNearIsPicked: the rows of a reading write its key, and go with what
// they apply to.
func TestWhatStoodNearIsPicked(t *testing.T) {
	b, r := newReadings(t, design.Measurement{Quantity: "frequency", Value: 1e6, Setup: "running", ProbePlace: "none"})
	key := func() string { return b.design.Measurements[0].Key }
	if r.field("bench.distance") != nil {
		t.Error("nothing stands near, and its distance is asked for")
	}
	for i, n := range readingNear {
		r.field("bench.near").picker.SetSelectedIndex(i)
		if got := around(b.design.Measurements[0]); got.Near != n.word || (got.Distance > 0) != (r.field("bench.distance") != nil) {
			t.Errorf("%q picked: %+v, key %q", n.word, got, key())
		}
	}
	if err := r.field("bench.distance").entry.OnCommit("12 in"); err != nil || key() != "hand 304.8 mm" {
		t.Errorf("a distance of 12 in: %v, key %q", err, key())
	}
	if err := r.field("bench.distance").entry.OnCommit("-1"); err == nil {
		t.Error("a distance below nothing is taken")
	}
	if err := r.field("bench.supply").entry.OnCommit("12"); err != nil || key() != "12 V; hand 304.8 mm" {
		t.Errorf("a supply of 12: %v, key %q", err, key())
	}
	first, second := ReadingWords(b.design.Measurements[0], Millimetres)
	if !strings.Contains(second, "12\u202fV") || !strings.Contains(second, "hand") {
		t.Errorf("the list says %s, %s", first, second)
	}
	setup := r.field("bench.setup").picker
	setup.SetSelectedIndex(0)
	if key() != "hand 304.8 mm" || r.field("bench.supply") != nil {
		t.Errorf("without a driver the key is %q", key())
	}
}

func TestSupplyAndElectrodesShareAKey(t *testing.T) {
	b, r := newReadings(t, design.Measurement{Quantity: "gap", Key: "needles", Value: 0.004, Setup: "running", ProbePlace: "none"})
	if err := r.field("bench.supply").entry.OnCommit("9 V"); err != nil {
		t.Fatal(err)
	}
	if err := r.field("bench.electrodes").entry.OnCommit("spheres 20 mm"); err != nil {
		t.Fatal(err)
	}
	c, err := comparison.CircumstancesOf(b.design.Measurements[0])
	if err != nil || c.Electrodes != "spheres 20 mm" || math.Abs(c.Supply-9) > 0 {
		t.Errorf("%v, %+v", err, c)
	}
	if err := r.field("bench.supply").entry.OnCommit(""); err != nil || b.design.Measurements[0].Key != "spheres 20 mm" {
		t.Errorf("emptied: %v, %q", err, b.design.Measurements[0].Key)
	}
	if err := r.field("bench.supply").entry.OnCommit("0"); err == nil {
		t.Error("a supply of nothing is taken")
	}
}
