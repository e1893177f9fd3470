package plotting

import (
	"bytes"
	"image"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"coilwright/physics/experiment"
	"coilwright/physics/si"
	"coilwright/plotting/raster"

	"gonum.org/v1/plot/vg/draw"
)

var classDay = time.Date(2026, 3, 14, 0, 0, 0, 0, time.UTC)

// pdfText returns the words of a PDF file, read by Poppler's pdftotext.
func pdfText(t *testing.T, file []byte) string {
	t.Helper()
	if _, err := exec.LookPath("pdftotext"); err != nil {
		t.Skip("pdftotext is not installed")
	}
	path := filepath.Join(t.TempDir(), "page.pdf")
	if err := os.WriteFile(path, file, 0o600); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command("pdftotext", "-layout", path, "-").Output()
	if err != nil {
		t.Fatal(err)
	}
	return string(out)
}

func TestHandout(t *testing.T) {
	all, g := outcomes(t)
	h := Handout{
		Title: "Why a coil rings", Intro: "Guess first, then look.", Answers: "Answers", Rows: 8,
		Table:  []string{"coil", "turns", "measured", "spread", "note"},
		Footer: Footer{Name: "Physics club", Date: classDay}, Cautions: []string{"Who switches on? Nobody else."},
	}
	for _, kind := range []experiment.Kind{experiment.Ring, experiment.StandingWave, experiment.Beat} {
		p, err := ExperimentFigure(all[kind], nil, false, Units{}, Print())
		if err != nil {
			t.Fatal(err)
		}
		h.Items = append(h.Items, HandoutItem{
			Title: string(kind), Question: "How much of " + strings.Repeat("the whole ", 20) + "is it?", Answer: "It is so much.", How: "Solved by turns.",
			Figure: p, Picture: func(c draw.Canvas) error { return DrawExperiment(c, all[kind], g, 0.7, false, Units{}, Print()) },
		})
	}
	var first, second bytes.Buffer
	for _, out := range []*bytes.Buffer{&first, &second} {
		if err := WriteHandout(out, h); err != nil {
			t.Fatal(err)
		}
	}
	if !bytes.Equal(first.Bytes(), second.Bytes()) {
		t.Error("the same hand-out gives different bytes")
	}
	text := pdfText(t, first.Bytes())
	pages := strings.Split(strings.TrimRight(text, "\f"), "\f")
	if len(pages) != 4 {
		t.Fatalf("%d pages, want 2 of experiments, 1 of the table, 1 of answers", len(pages))
	}
	for i, words := range [][]string{
		{"Why a coil rings", "Guess first", "standing_wave", "page 1 of 4"}, {"beat", "page 2 of 4"},
		{"measured", "Who switches on", "2026-03-14"}, {"Answers", "It is so much", "Solved by turns"},
	} {
		for _, w := range words {
			if !strings.Contains(pages[i], w) {
				t.Errorf("page %d does not say %q", i+1, w)
			}
		}
	}
	if strings.Contains(pages[0]+pages[1], "It is so much") {
		t.Error("the answer stands beside the question")
	}
}

func TestCardAndTeachersPage(t *testing.T) {
	card := Card{Title: "Before it runs", Lines: []string{"One person switches on.", "Implants, pumps, hearing aids: another room."}, Footer: Footer{Name: "Physics club", Date: classDay}}
	var out bytes.Buffer
	if err := WriteCard(&out, card); err != nil {
		t.Fatal(err)
	}
	if text := pdfText(t, out.Bytes()); !strings.Contains(text, "Implants") {
		t.Errorf("the card says %q", text)
	}
	card.Lines = slicesOf("A very long caution that goes on and on, over the whole width of the card and farther.", 60)
	if err := WriteCard(&out, card); err == nil {
		t.Error("a card that is too full is written")
	}
	plan := TeachersPage{
		Title: "Two hours", Before: []string{"Charge the battery."}, Footer: Footer{Name: "Physics club", Date: classDay},
		Words: TeachersWords{Before: "The day before", WrongIdea: "Often believed:", Answer: "Answer:"},
	}
	for range 14 {
		plan.Steps = append(plan.Steps, TeachersStep{From: "0:00", To: "0:10", Title: "Ring", Notes: "Show it.", Answer: "96 %.", WrongIdea: "Half."})
	}
	out.Reset()
	if err := WriteTeachersPage(&out, plan); err != nil {
		t.Fatal(err)
	}
	text := pdfText(t, out.Bytes())
	for _, w := range []string{"The day before", "Often believed: Half.", "0:00 – 0:10", "page 2 of 2"} {
		if !strings.Contains(text, w) {
			t.Errorf("the teacher's page does not say %q", w)
		}
	}
}

func slicesOf(s string, n int) []string {
	all := make([]string, n)
	for i := range all {
		all[i] = s
	}
	return all
}

func TestClassFigure(t *testing.T) {
	value := []float64{280, 300, 320, 340}
	predicted := []float64{1.5e6, 1.42e6, 1.35e6, 1.29e6}
	points := []ClassPoint{{280, 1.49e6, 8e3}, {300, 1.40e6, 1.2e4}, {320, 1.36e6, math.NaN()}, {340, 1.28e6, 5e3}}
	p, err := ClassFigure(value, predicted, points, "turns", si.Plain, Light())
	if err != nil {
		t.Fatal(err)
	}
	c := raster.New(image.NewRGBA(image.Rect(0, 0, 480, 280)), 72)
	Render(p, c)
	compare(t, "class", c.Image())
	points[0].Frequency = math.NaN()
	if _, err := ClassFigure(value, predicted, points, "turns", si.Plain, Light()); err == nil {
		t.Error("a point that is no number is drawn")
	}
}
