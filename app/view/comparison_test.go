package view

import (
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"

	"coilwright/app/theme"
	"coilwright/physics/accuracy"
	"coilwright/physics/sentence"
	"coilwright/physics/si"
)

// TestComparison: a heading a group, a line a row, and one that is too far off
// says so in words.
func TestComparison(t *testing.T) {
	a := test.NewTempApp(t)
	a.Settings().SetTheme(theme.New(theme.Light))
	c := NewComparison()
	w := test.NewTempWindow(t, c.Object())
	w.Resize(fyne.NewSize(640, 400))
	if !c.working.Visible() {
		t.Error("nothing shows that the table is being filled")
	}
	c.Show([]accuracy.Row{
		{Group: sentence.Literal("One"), Quantity: sentence.Literal("capacitance"), Case: sentence.Literal("ball"), Source: sentence.Literal("book"), Theirs: 1e-12, Ours: 1.001e-12, Unit: si.Farad, Difference: 1e-3, Allowed: 1e-2, Within: true},
		{Group: sentence.Literal("Two"), Quantity: sentence.Literal("capacitance"), Case: sentence.Literal("ring"), Source: sentence.Literal("book"), Theirs: 1e-12, Ours: 0.9e-12, Unit: si.Farad, Difference: -0.1, Allowed: 1e-9, Within: false},
	})
	if c.working.Visible() || c.Lines() != 4 {
		t.Fatalf("filled: still working %t, %d lines, want 4", c.working.Visible(), c.Lines())
	}
	for i, want := range []struct{ title, detail string }{
		{"One", ""},
		{"capacitance, ball", "difference 0.10\u202f%, allowed 1.0\u202f%"},
		{"Two", ""},
		{"capacitance, ring – farther off than allowed", "difference −10\u202f%, allowed under 0.0001\u202f%"},
	} {
		if got := c.lines[i]; got.title != want.title || !strings.HasSuffix(got.detail, want.detail) || got.heading != (want.detail == "") {
			t.Errorf("line %d is %+v, want %+v", i, got, want)
		}
	}
}
