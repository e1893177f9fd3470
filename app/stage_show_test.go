package app

import (
	"bytes"
	"image/gif"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/lang"
	"fyne.io/fyne/v2/test"

	"coilwright/app/lesson"
	"coilwright/app/view"
	"coilwright/assets"
	"coilwright/physics/design"
	"coilwright/physics/experiment"
	"coilwright/physics/si"
)

// showing returns a window with the stage of experiments on.
func showing(t *testing.T) (*Window, *showStage) {
	t.Helper()
	w := newWindow(t)
	w.enterStage(stageShow)
	s, ok := w.current().stage.(*showStage)
	if !ok {
		t.Fatal("the stage is not there")
	}
	return w, s
}

func press(s *showStage, keys ...fyne.KeyName) {
	for _, k := range keys {
		s.typedKey(&fyne.KeyEvent{Name: k})
	}
}

// TestShowWalks goes through all experiments with a presenter's keys: the next key
// shows the answer first, then the next experiment.
func TestShowWalks(t *testing.T) {
	_, s := showing(t)
	if len(s.experiments) < 9 {
		t.Fatalf("%d experiments", len(s.experiments))
	}
	seen := map[experiment.Kind]bool{}
	for range s.experiments {
		if s.problem != "" || s.outcome == nil {
			t.Fatalf("%s: %q, outcome %v", s.picked, s.problem, s.outcome)
		}
		words := wordsOf(s.picked, s.outcome, s.window.units)
		for what, text := range map[string]string{"title": words.title, "question": words.question, "answer": words.answer, "how": words.how} {
			if text == "" || strings.Contains(text, "show.") || strings.Contains(text, "<no value>") || strings.Contains(text, "NaN") {
				t.Errorf("%s: the %s reads %q", s.picked, what, text)
			}
		}
		if s.answered[s.picked] {
			t.Errorf("%s is answered before it is asked", s.picked)
		}
		seen[s.picked] = true
		press(s, fyne.KeyPageDown)
		if !s.answered[s.picked] {
			t.Errorf("%s: the next key does not show the answer", s.picked)
		}
		press(s, fyne.KeyPageDown)
	}
	if len(seen) != len(s.experiments) {
		t.Errorf("walked through %d of %d experiments", len(seen), len(s.experiments))
	}
	press(s, fyne.KeyPageUp)
	if s.picked != s.experiments[len(s.experiments)-1].Kind {
		t.Errorf("back from the first leads to %s", s.picked)
	}
}

// TestShowKeepsGuessAndSetting changes both and comes back.
func TestShowKeepsGuessAndSetting(t *testing.T) {
	_, s := showing(t)
	s.view.OnSetting("turns", 0)
	s.view.OnSetting("guess", 0.25)
	least := s.experiments[0].Settings[0].Least
	if got := s.outcome.(*experiment.RingOutcome).Present.Turns; float64(got) != least {
		t.Errorf("%d turns at the left end, want %g", got, least)
	}
	s.view.OnPick(2)
	s.view.OnPick(0)
	x, _ := s.experiment()
	if got, want := s.guess(x), x.Guess.At(0.25); got != want {
		t.Errorf("the guess is %g, want %g", got, want)
	}
	if got := s.outcome.(*experiment.RingOutcome).Present.Turns; float64(got) != least {
		t.Errorf("%d turns after coming back, want %g", got, least)
	}
}

// TestShowFollowsTheDesign changes the coil in its own stage.
func TestShowFollowsTheDesign(t *testing.T) {
	w, s := showing(t)
	s.pick(experiment.Approach)
	before := s.outcome.(*experiment.ApproachOutcome).FreeFrequency()
	w.enterStage(stageShape)
	w.session.Edit("turns", func(d *design.Design) { d.Secondary.Turns *= 0.8 })
	w.enterStage(stageShow)
	after := s.outcome.(*experiment.ApproachOutcome).FreeFrequency()
	if after <= before {
		t.Errorf("with fewer turns the experiment rings at %g Hz, before at %g", after, before)
	}
	if want := *w.last.Report.Resonance.Frequency; math.Abs(after/want-1) > 1e-9 {
		t.Errorf("the experiment rings at %g Hz, the results say %g", after, want)
	}
}

func TestShowLarge(t *testing.T) {
	w, s := showing(t)
	press(s, fyne.KeyF5)
	if !w.filled() {
		t.Error("F5 does not fill the window")
	}
	press(s, fyne.KeyEscape)
	if w.filled() {
		t.Error("Escape does not give the window back")
	}
}

// TestShowLargeLooks holds the layout of the projector mode, words included, at both
// usual sizes: what stands where, in which size of type, with the answer shown.
func TestShowLargeLooks(t *testing.T) {
	w, s := showing(t)
	s.pick(experiment.Ring)
	press(s, fyne.KeySpace, fyne.KeyF5)
	for name, size := range map[string]fyne.Size{"show_large_1280.xml": firstSize, "show_large_1024.xml": leastSize} {
		w.window.Resize(size)
		_, experiment := s.view.Objects()
		test.AssertObjectRendersToMarkup(t, name, experiment)
	}
}

// TestPreparedLessons reads the lessons that come with the program and goes through
// each on the example.
func TestPreparedLessons(t *testing.T) {
	_, s := showing(t)
	all := assets.Lessons()
	if len(all) != 3 {
		t.Fatalf("%d lessons, want 3", len(all))
	}
	for _, e := range all {
		l, err := lesson.Read(bytes.NewReader(e.Content))
		if err != nil {
			t.Errorf("%s: %v", e.Name, err)
			continue
		}
		if m := l.Minutes(); m < 110 || m > 130 {
			t.Errorf("%s takes %g minutes, want about two hours", e.Name, m)
		}
		s.open(l)
		items, err := s.chosen(t.Context())
		if err != nil || len(items) != len(l.Experiments()) {
			t.Errorf("%s: %d of %d experiments, %v", e.Name, len(items), len(l.Experiments()), err)
		}
		for i, item := range items {
			if _, moved := mustFind(t, s, item.step.Experiment).Within(item.step.Settings); moved {
				t.Errorf("%s, step %d: settings out of reach of the example", e.Name, i+1)
			}
		}
	}
}

func mustFind(t *testing.T, s *showStage, kind experiment.Kind) *experiment.Experiment {
	t.Helper()
	for i := range s.experiments {
		if s.experiments[i].Kind == kind {
			return &s.experiments[i]
		}
	}
	t.Fatalf("no experiment %s", kind)
	return nil
}

func TestOpenLesson(t *testing.T) {
	w := newWindow(t)
	path := filepath.Join(t.TempDir(), "two"+lesson.Extension)
	if err := os.WriteFile(path, assets.Lessons()[1].Content, 0o600); err != nil {
		t.Fatal(err)
	}
	if err := w.OpenLesson(path); err != nil {
		t.Fatal(err)
	}
	s := w.current().stage.(*showStage)
	if s.lesson == nil || s.picked != s.lesson.Experiments()[0].Experiment {
		t.Errorf("the lesson is not on: %v, %s", s.lesson, s.picked)
	}
	if err := w.OpenLesson(filepath.Join(t.TempDir(), "none.lesson.json")); err == nil {
		t.Error("a lesson that is not there opens")
	}
}

func TestAnimation(t *testing.T) {
	_, s := showing(t)
	s.pick(experiment.StandingWave)
	p, ok := s.state()
	if !ok {
		t.Fatal("nothing to draw")
	}
	content, err := animation(p)
	if err != nil {
		t.Fatal(err)
	}
	film, err := gif.DecodeAll(bytes.NewReader(content))
	if err != nil {
		t.Fatal(err)
	}
	if len(film.Image) != filmFrames || bytes.Equal(film.Image[0].Pix, film.Image[filmFrames/2].Pix) {
		t.Errorf("%d frames, want %d that differ", len(film.Image), filmFrames)
	}
}

func TestClassFiles(t *testing.T) {
	w, _ := showing(t)
	d := w.session.Design()
	files, err := classFiles(d, "secondary.turns", "3", "300", "320")
	if err != nil {
		t.Fatal(err)
	}
	if len(files) != 4 {
		t.Fatalf("%d files, want three coils and a table", len(files))
	}
	results, err := lesson.ReadResults(bytes.NewReader(files[3].content))
	if err != nil || len(results.Coils) != 3 {
		t.Fatalf("the table: %v, %v", results, err)
	}
	if name, unit := classAxis(results.Varied, nil, w.units); name != "turns of the secondary" || unit != si.Plain {
		t.Errorf("the axis is that of %q in %q", name, unit.Symbol())
	}
	if name, unit := classAxis("top_load.height_m", nil, view.Inches); name != "height of the top load" || unit != si.Inch {
		t.Errorf("of the height the axis is that of %q in %q", name, unit.Symbol())
	}
	if name, unit := classAxis("", []float64{0.01, 0.02}, view.Millimetres); name != lang.L("show.column.value") || unit != si.Millimetre {
		t.Errorf("of a table that does not say the axis is that of %q in %q", name, unit.Symbol())
	}
	for i, r := range results.Coils {
		coil, err := design.Read(bytes.NewReader(files[i].content))
		if err != nil || coil.Secondary.Turns != r.Value || !math.IsNaN(r.Measured) {
			t.Errorf("coil %d: %v, %g turns for %g in the table", i+1, err, coil.Secondary.Turns, r.Value)
		}
	}
	first := &results.Coils[0]
	first.Measured, first.Uncertainty = first.Predicted*1.01, 1e3
	value, predicted, points := classCurve(results.Coils)
	if len(value) != 3 || len(predicted) != 3 || len(points) != 1 {
		t.Errorf("curve of %d, %d values, %d points", len(value), len(predicted), len(points))
	}
	for _, bad := range [][3]string{{"1", "300", "320"}, {"3", "many", "320"}, {"3", "0", "320"}} {
		if _, err := classFiles(d, "secondary.turns", bad[0], bad[1], bad[2]); err == nil {
			t.Errorf("a set of %v is made", bad)
		}
	}
}
