package app

import (
	"encoding/json"
	"math"
	"os"
	"os/exec"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/test"

	"coilwright/app/theme"
	"coilwright/physics/design"
)

// Marks of the made-up language: every word of some length begins with the
// first, so that every line of a paragraph has one, and is longer by the
// second.
const (
	madeUpBegin = "‡"
	madeUpFill  = "ø"
	madeUpMore  = 0.4
)

// madeUpWord finds places for values, which stay, and words.
var madeUpWord = regexp.MustCompile(`{{[^}]*}}|[A-Za-z]{3,}`)

// madeUp turns the English texts into the made-up language. The places for
// values stay as they are.
func madeUp(english []byte) []byte {
	var texts map[string]any
	if err := json.Unmarshal(english, &texts); err != nil {
		panic(err)
	}
	var turn func(any) any
	turn = func(v any) any {
		switch v := v.(type) {
		case string:
			return madeUpWord.ReplaceAllStringFunc(v, func(word string) string {
				if strings.HasPrefix(word, "{{") {
					return word
				}
				return madeUpBegin + word + strings.Repeat(madeUpFill, max(0, int(math.Round(madeUpMore*float64(len(word))))-1))
			})
		case map[string]any:
			for k := range v {
				v[k] = turn(v[k])
			}
		}
		return v
	}
	out, err := json.Marshal(turn(texts))
	if err != nil {
		panic(err)
	}
	return out
}

// word is what only a text holds: units and names of wires are shorter or in
// capitals.
var word = regexp.MustCompile(`[a-z]{4,}`)

// TestMadeUpLanguage opens the window in a language of its own making and looks
// in every stage and menu for texts that were not translated, and for a layout
// that does not hold longer ones. It runs in a process of its own, because the
// locale is read once.
func TestMadeUpLanguage(t *testing.T) {
	if os.Getenv("COILWRIGHT_MADE_UP") == "" {
		command := exec.Command(os.Args[0], "-test.run=^TestMadeUpLanguage$", "-test.v")
		command.Env = append(os.Environ(), "COILWRIGHT_MADE_UP=1", "LANGUAGE=de", "LANG=de_DE.UTF-8", "LC_ALL=de_DE.UTF-8")
		if output, err := command.CombinedOutput(); err != nil || !strings.Contains(string(output), "--- PASS: TestMadeUpLanguage") {
			t.Errorf("error %v\n%s", err, output)
		}
		return
	}
	translated = madeUp
	w := newWindow(t)
	w.window.Resize(firstSize)
	name := w.session.Design().Name
	seen := 0
	look := func(where, words string) {
		if !word.MatchString(words) || strings.Contains(words, name) {
			return
		}
		seen++
		if !strings.Contains(words, madeUpBegin) {
			t.Errorf("%s: %q is not translated", where, words)
		}
	}
	for i, s := range w.stages {
		w.enter(i)
		fitsLeast(t, w, s.key)
		for _, o := range test.LaidOutObjects(w.window.Content()) {
			if words, ok := o.(*canvas.Text); ok && words.Visible() {
				look(s.key, words.Text)
			}
		}
	}
	fitsAsUsed(t, w)
	examples := w.exampleItems()
	var walk func(items []*fyne.MenuItem)
	walk = func(items []*fyne.MenuItem) {
		for _, i := range items {
			if !slices.ContainsFunc(examples, func(e *fyne.MenuItem) bool { return e.Label == i.Label }) {
				look("menu", i.Label)
			}
			if i.ChildMenu != nil {
				walk(i.ChildMenu.Items)
			}
		}
	}
	for _, m := range w.menu.main.Items {
		walk(m.Items)
	}
	const many = 100
	if seen < many {
		t.Errorf("only %d texts seen", seen)
	}
}

// fitsLeast says where the stage on screen needs more than the least window, or its
// column more than it has.
func fitsLeast(t *testing.T, w *Window, where string) {
	t.Helper()
	if least := w.window.Content().MinSize(); least.Width > leastSize.Width || least.Height+menuBar > leastSize.Height {
		t.Errorf("%s needs %v in a longer language, the least window is %v", where, least, leastSize)
	}
	column := w.theme().Size(theme.SizeNameSide)
	if side := w.current().side; side != nil && side.MinSize().Width > column {
		t.Errorf("%s: the column needs %g in a longer language and has %g", where, side.MinSize().Width, column)
	}
}

// fitsAsUsed goes through what comes and goes in the stages: kinds of driver and of
// top load, the views of the bench with readings, the experiments.
func fitsAsUsed(t *testing.T, w *Window) {
	t.Helper()
	w.enterStage(stageShape)
	for _, kind := range []string{design.NoTopLoad, design.Torus, design.Sphere, design.Disc, design.WireRing} {
		w.session.Edit("top", func(d *design.Design) { d.SetTopLoadKind(kind) })
		fitsLeast(t, w, "top load "+kind)
	}
	w.enterStage(stageDrive)
	for _, kind := range []string{design.SparkGap, design.HalfBridge, design.FeedbackExciter} {
		w.session.Edit("driver", func(d *design.Design) { d.SetDriverKind(kind) })
		fitsLeast(t, w, "driver "+kind)
	}
	for range 2 {
		w.newReading()
	}
	bench := w.current().stage.(*benchStage)
	for i := range benchViews {
		bench.showView(i)
		fitsLeast(t, w, "bench, view "+strconv.Itoa(i))
	}
	w.enterStage(stageShow)
	show := w.current().stage.(*showStage)
	for _, x := range show.experiments {
		show.pick(x.Kind)
		for _, answered := range []bool{false, true} {
			show.setAnswered(answered)
			fitsLeast(t, w, "experiment "+string(x.Kind))
		}
	}
}
