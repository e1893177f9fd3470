package app

import (
	"bytes"
	"strings"
	"testing"

	"fyne.io/fyne/v2/test"

	"coilwright/physics/design"
	"coilwright/plotting"
)

// TestAKeptDesignStaysInTheFigures keeps a design, changes it, and looks for
// its curve, its row and the way back.
func TestAKeptDesignStaysInTheFigures(t *testing.T) {
	w := newWindow(t)
	before := w.session.Design()
	rang := frequency(w)
	w.setTurns(200)
	alone := bytes.Clone(w.plots[figureTurns].onView.Pix)
	w.undo()
	w.keepAs("A")
	w.setTurns(200)
	if bytes.Equal(alone, w.plots[figureTurns].onView.Pix) {
		t.Error("the figure looks the same with a kept design")
	}
	curves := w.kept.curves(figureTurns, w.last)
	if len(curves) != 1 || curves[0].Name != "A" {
		t.Fatalf("the kept curves are %+v", curves)
	}
	for _, test := range []struct {
		figure, vary int
		of           string
	}{{figureSize, 0, "size"}, {figureSize, varyHeight, "height"}, {figureCountOfTurns, 0, "count"}} {
		pick(w.varyRing, test.vary)
		with := bytes.Clone(w.plots[test.figure].onView.Pix)
		if curves := w.kept.curves(test.figure, w.last); len(curves) != 1 || curves[0].Name != "A" {
			t.Errorf("in the figure of the %s the kept curves are %+v", test.of, curves)
		}
		w.drop(0)
		if bytes.Equal(with, w.plots[test.figure].onView.Pix) {
			t.Errorf("the figure of the %s looks the same without the kept design", test.of)
		}
		w.undo()
	}
	pick(w.varyRing, 0)
	w.session.Edit("kind", func(d *design.Design) { d.SetTopLoadKind(design.Torus) })
	for figure, want := range []int{figureTurns: 1, figureSize: 0, figureCountOfTurns: 0} {
		if curves := w.kept.curves(figure, w.last); len(curves) != want {
			t.Errorf("under a torus figure %d has %d curves of a coil with a ring, want %d", figure, len(curves), want)
		}
	}
	w.undo()
	w.showVariants()
	rows := w.variantRows(w.session.Design())
	find := func(name string) []string {
		for _, row := range rows {
			if row[0] == name {
				return row
			}
		}
		t.Fatalf("no row %q in %q", name, rows)
		return nil
	}
	if row := find("turns of the secondary"); row[1] != "200" || row[2] != "310" {
		t.Errorf("side by side there are %q turns, want 200 and 310", row[1:])
	}
	if row := find("rings at"); row[1] != frequency(w) || !strings.HasPrefix(row[2], rang+" (−") {
		t.Errorf("side by side they ring at %q, want %s and %s less", row[1:], frequency(w), rang)
	}
	test.Tap(findButton(t, w, "Take"))
	if got := w.session.Design(); got.Secondary.Turns != before.Secondary.Turns || len(got.Variants) != 1 || got.Name != before.Name {
		t.Errorf("taken, there are %g turns, %d variants, the name %q", got.Secondary.Turns, len(got.Variants), got.Name)
	}
	w.undo()
	if got := w.session.Design().Secondary.Turns; got != 200 {
		t.Errorf("taking is undone to %g turns, want 200", got)
	}
	w.drop(0)
	if got := w.session.Design().Variants; len(got) != 0 {
		t.Errorf("dropped, %d variants are left", len(got))
	}
}

func TestVariantsAreSavedAndLimited(t *testing.T) {
	w := newWindow(t)
	for range plotting.MostKept {
		w.keepAs(variantName(w.session.Design()))
	}
	d := w.session.Design()
	if d.Variants[0].Name == d.Variants[1].Name {
		t.Errorf("two variants are called %q", d.Variants[0].Name)
	}
	var file bytes.Buffer
	if err := design.Write(&file, d); err != nil {
		t.Fatal(err)
	}
	again, err := design.Read(&file)
	if err != nil || len(again.Variants) != plotting.MostKept {
		t.Errorf("read back there are %d variants, error %v", len(again.Variants), err)
	}
	w.keep()
	if got := len(w.session.Design().Variants); got != plotting.MostKept {
		t.Errorf("one more makes %d variants, allowed are %d", got, plotting.MostKept)
	}
}

// TestAVariantThatCannotBeBuilt stands in the table and leaves no curve.
func TestAVariantThatCannotBeBuilt(t *testing.T) {
	w := newWindow(t)
	w.breakRing()
	w.keepAs("broken")
	w.undo()
	w.undo()
	w.redo()
	w.redo()
	test.Tap(findButton(t, w, "Use 15"))
	if curves := w.kept.curves(figureTurns, w.last); len(curves) != 0 {
		t.Errorf("a coil that cannot be built has the curves %v", curves)
	}
	for _, row := range w.variantRows(w.session.Design()) {
		if row[0] == "rings at" && row[2] != "cannot be built" {
			t.Errorf("a coil that cannot be built rings at %q", row[2])
		}
	}
}
