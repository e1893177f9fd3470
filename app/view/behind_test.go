package view

import (
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"
	"fyne.io/fyne/v2/widget"

	"coilwright/app/theme"
	"coilwright/physics/design"
)

// told returns the sentences and the lines of what lies behind a result.
func told(c *fyne.Container) (sentences, lines []string) {
	for _, o := range c.Objects {
		switch o := o.(type) {
		case *widget.Label:
			sentences = append(sentences, o.Text)
		case *Share:
			lines = append(lines, o.name.Content()+" "+o.number.Content())
		}
	}
	return sentences, lines
}

func TestBehindTheNumbers(t *testing.T) {
	test.NewTempApp(t).Settings().SetTheme(theme.New(theme.Light))
	d := deskCoil()
	r := solved(t, d)
	sentences, lines := told(NewBehind(r, Millimetres, nil))
	if len(lines) != len(r.Report.Resonance.FrequencyInputs)+5 {
		t.Errorf("the lines are %q", lines)
	}
	if !strings.Contains(strings.Join(lines, "\n"), "wire over its enamel, ± 0.0076 mm") {
		t.Errorf("no line has the wire with its half-width: %q", lines)
	}
	for _, want := range []string{"expect it between", "At most ", "One watt keeps up", "Soldered hub of the ring: currents round it take"} {
		if !strings.Contains(strings.Join(sentences, "\n"), want) {
			t.Errorf("nothing says %q: %q", want, sentences)
		}
	}
	d.Measurements = []design.Measurement{{Quantity: "quality_factor", Value: 150, Setup: "with_top_load", ProbePlace: "none"}}
	if sentences, _ = told(NewBehind(solved(t, d), Inches, nil)); !strings.Contains(strings.Join(sentences, "\n"), "is the measured one, 150") {
		t.Errorf("with a measured quality factor it says %q", sentences)
	}
	d.SetTopLoadKind(design.NoTopLoad)
	if sentences, _ = told(NewBehind(solved(t, d), Inches, nil)); !strings.Contains(strings.Join(sentences, "\n"), "No closed metal goes round") {
		t.Errorf("without a top load it says %q", sentences)
	}
}

// A number with more behind it opens that on a click.
func TestResultsOpenWhatLiesBehind(t *testing.T) {
	r, _ := newResults(t)
	r.Show(solved(t, deskCoil()), Millimetres)
	opened := 0
	r.OnBehind = func() { opened++ }
	for _, c := range r.cells {
		before := opened
		c.Tapped(nil)
		if tells := opened > before; tells != (c.key == "result.frequency" || c.key == "result.quality") {
			t.Errorf("a click on %s opens what lies behind: %t", c.key, tells)
		}
	}
	if got := r.Values()["quality factor Q"]; !strings.HasPrefix(got, "at most ") {
		t.Errorf("the quality factor reads %q", got)
	}
}
