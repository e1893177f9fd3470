package view

import (
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/test"
	fynetheme "fyne.io/fyne/v2/theme"

	"coilwright/app/theme"
)

// linesOf returns what a widget draws as text.
func linesOf(w fyne.Widget) []string {
	var lines []string
	for _, o := range test.WidgetRenderer(w).Objects() {
		if t, ok := o.(*canvas.Text); ok {
			lines = append(lines, t.Text)
		}
	}
	return lines
}

func TestTextEndsInAnEllipsis(t *testing.T) {
	a := test.NewTempApp(t)
	a.Settings().SetTheme(theme.New(theme.Light))
	text := NewText("a text that is far too long for its place", fynetheme.ColorNameForeground, fynetheme.SizeNameText)
	text.elastic = true
	for width := float32(10); width < 400; width += 13 {
		text.Resize(fyne.NewSize(width, 20))
		line := linesOf(text)[0]
		if got := fyne.MeasureText(line, fynetheme.TextSize(), fyne.TextStyle{}).Width; got > width && line != "…" {
			t.Fatalf("at %g px the line %q is %g px wide", width, line, got)
		}
		if line != text.Content() && !strings.HasSuffix(line, "…") {
			t.Fatalf("at %g px the line %q is cut off", width, line)
		}
	}
	if line := linesOf(text)[0]; line != text.Content() {
		t.Errorf("with room enough the line reads %q", line)
	}
}

func TestParagraphKeepsToItsPlace(t *testing.T) {
	a := test.NewTempApp(t)
	a.Settings().SetTheme(theme.New(theme.Light))
	p := NewParagraph()
	const long = "Frequency and capacitance are by handbook formulas. They leave out floor, former and primary and add the top load as if it stood alone."
	p.Set(long)
	height := p.MinSize().Height
	for _, test := range []struct {
		width float32
		rows  int
		whole bool
	}{{120, 2, false}, {250, 2, false}, {300, 4, true}, {1000, 1, true}} {
		p.Resize(fyne.NewSize(test.width, height*float32(test.rows)+1))
		lines := linesOf(p)
		if len(lines) == 0 || len(lines) > test.rows {
			t.Errorf("in %d lines of %g px it takes %d", test.rows, test.width, len(lines))
		}
		joined := strings.Join(lines, " ")
		if whole := joined == long; whole != test.whole || !whole && !strings.HasSuffix(joined, "…") {
			t.Errorf("in %d lines of %g px it reads %q", test.rows, test.width, joined)
		}
		for _, line := range lines {
			if got := fyne.MeasureText(line, fynetheme.CaptionTextSize(), fyne.TextStyle{}).Width; got > test.width {
				t.Errorf("the line %q is %g px wide, want at most %g px", line, got, test.width)
			}
		}
	}
}

// TestParagraphWithMore: what follows takes only the lines that are left.
func TestParagraphWithMore(t *testing.T) {
	a := test.NewTempApp(t)
	a.Settings().SetTheme(theme.New(theme.Light))
	p := NewParagraph()
	height := p.MinSize().Height
	p.SetBoth("one two three", "four five six")
	width := fyne.MeasureText("four five", fynetheme.CaptionTextSize(), fyne.TextStyle{}).Width + 1
	for _, test := range []struct {
		rows int
		want []string
	}{
		{4, []string{"one two", "three", "four five", "six"}},
		{3, []string{"one two", "three", "four five …"}},
		{2, []string{"one two", "three"}},
	} {
		p.Resize(fyne.NewSize(width, height*float32(test.rows)+1))
		got := linesOf(p)
		if len(got) != len(test.want) {
			t.Errorf("in %d lines it reads %q, want %q", test.rows, got, test.want)
			continue
		}
		for i := range got {
			// Where the ellipsis has no room it takes the place of a word.
			if got[i] != test.want[i] && !(strings.HasSuffix(got[i], "…") && strings.HasSuffix(test.want[i], "…")) {
				t.Errorf("in %d lines it reads %q, want %q", test.rows, got, test.want)
			}
		}
	}
}

func TestHintOnPointing(t *testing.T) {
	_, c, w := newBench(t, deskCoil())
	const inside = 8 // px from the corner of a row; the test canvas adds an edge of its own
	var hints []string
	c.OnHint = func(key string) { hints = append(hints, key) }
	for _, key := range []string{"top_load.former_diameter_m", "secondary.turns"} {
		q := row(t, c, key)
		for _, o := range []fyne.CanvasObject{q.slider, q.Row} {
			hints = nil
			test.MoveMouse(w.Canvas(), fyne.CurrentApp().Driver().AbsolutePositionForObject(o).AddXY(inside, inside))
			if len(hints) == 0 || hints[0] != key {
				t.Errorf("pointing at the %T of %s gives the hints %v", o, key, hints)
			}
		}
	}
}

func TestSegments(t *testing.T) {
	a := test.NewTempApp(t)
	a.Settings().SetTheme(theme.New(theme.Light))
	s := NewSegments("mm", "in")
	w := test.NewTempWindow(t, s)
	w.Resize(fyne.NewSize(120, 40))
	var picked []int
	s.OnPick = func(i int) { picked = append(picked, i) }
	test.TapAt(s, fyne.NewPos(s.Size().Width-5, 10))
	press(s, fyne.KeyRight, fyne.KeyLeft, fyne.KeySpace)
	if len(picked) != 3 || picked[0] != 1 || picked[1] != 0 || picked[2] != 1 || s.Picked() != 1 {
		t.Errorf("a click to the right, the keys right and left and Space pick %v", picked)
	}
	s.SetPicked(0)
	if len(picked) != 3 {
		t.Error("showing a choice reports it as picked")
	}
}
