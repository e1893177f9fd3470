package app

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/test"

	"coilwright/app/theme"
)

// layoutOf writes down what stands where in the window: a line for every widget
// and every text that is shown, with place and size in density-independent pixels,
// indented as they hold each other.
//
// It is not the toolkit's markup, of which one stage makes 200 kB with every
// colour and stroke: nobody would read what has changed. Digits are written as #,
// so that a better formula or another day moves nothing here.
func layoutOf(root fyne.CanvasObject) string {
	var out strings.Builder
	var walk func(o fyne.CanvasObject, at fyne.Position, depth int)
	walk = func(o fyne.CanvasObject, at fyne.Position, depth int) {
		if !o.Visible() {
			return
		}
		at = at.Add(o.Position())
		line := func(what string) {
			whole := func(v float32) int { return int(math.Round(float64(v))) }
			fmt.Fprintf(&out, "%s%s %d,%d %dx%d\n", strings.Repeat(" ", depth), what,
				whole(at.X), whole(at.Y), whole(o.Size().Width), whole(o.Size().Height))
		}
		switch o := o.(type) {
		case *fyne.Container:
			for _, child := range o.Objects {
				walk(child, at, depth)
			}
		case *canvas.Text:
			if o.Text != "" {
				line(fmt.Sprintf("%q", withoutDigits(o.Text)))
			}
		case fyne.Widget:
			// In lower case: whether a type is exported moves nothing.
			line(strings.ToLower(strings.TrimPrefix(fmt.Sprintf("%T", o), "*")))
			for _, child := range test.WidgetRenderer(o).Objects() {
				walk(child, at, depth+1)
			}
		}
	}
	walk(root, fyne.Position{}, 0)
	return out.String()
}

func withoutDigits(s string) string {
	return strings.Map(func(r rune) rune {
		if r >= '0' && r <= '9' {
			return '#'
		}
		return r
	}, s)
}

// TestLayoutOfEveryStage holds every stage, at the least size of the window and at
// that at which it first opens, against what is kept in testdata/layout: a control
// that moves, comes, goes or is called otherwise fails it. After looking at the
// window, -update writes them anew.
//
// Both themes are held by one text, because colours do not move anything; that they
// do not is tested too. There are no pictures of the window: its painter rounds
// otherwise on other processors, and what has colours of its own, the figures, is
// held as pictures with a tolerance in package plotting.
func TestLayoutOfEveryStage(t *testing.T) {
	w, _ := openDrive(t)
	for i, s := range w.stages {
		w.enter(i)
		for _, size := range []fyne.Size{leastSize, firstSize} {
			w.window.Resize(size)
			// A change of the theme lays everything out anew: a label that wraps
			// knows its height only once it knows its width.
			w.setAppearance(theme.Dark)
			dark := layoutOf(w.window.Content())
			w.setAppearance(theme.Light)
			got := layoutOf(w.window.Content())
			if dark != got {
				t.Errorf("%s at %v is laid out otherwise in the dark: %s", s.key, size, difference(got, dark))
			}
			keepLayout(t, fmt.Sprintf("%s_%d", s.key, int(size.Width)), got)
		}
	}
}

// keepLayout compares a layout with the kept one of its name.
func keepLayout(t *testing.T, name, got string) {
	t.Helper()
	path := filepath.Join("testdata", "layout", name+".txt")
	write := func(path string) {
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if *update {
		write(path)
		return
	}
	want, err := os.ReadFile(path)
	if err == nil && string(want) == got {
		return
	}
	failed := filepath.Join("testdata", "failed", name+".txt")
	write(failed)
	t.Errorf("%s is laid out otherwise, see %s: %v%s", name, failed, err, difference(string(want), got))
}

// difference shows the first lines in which two layouts differ.
func difference(want, got string) string {
	a, b := strings.Split(want, "\n"), strings.Split(got, "\n")
	for i := range max(len(a), len(b)) {
		line := func(all []string) string {
			if i < len(all) {
				return strings.TrimSpace(all[i])
			}
			return "nothing"
		}
		if line(a) != line(b) {
			return fmt.Sprintf("\nline %d: %s\n   want: %s", i+1, line(b), line(a))
		}
	}
	return ""
}
