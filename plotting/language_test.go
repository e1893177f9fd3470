package plotting

import (
	"math"
	"regexp"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"coilwright/physics/design"
	"coilwright/physics/experiment"
	"coilwright/physics/si"
)

// foreign is a language of its own making: every word of some length is marked and
// 40 % longer.
func foreign(english string) string {
	return regexp.MustCompile(`%[.\d]*[a-z]|[A-Za-z]{3,}`).ReplaceAllStringFunc(english, func(word string) string {
		if strings.HasPrefix(word, "%") {
			return word
		}
		return "†" + word + strings.Repeat("ø", max(0, int(math.Round(0.4*float64(len(word))))-1))
	})
}

// englishWord is what only a text holds: units and names of parts are shorter or
// in capitals.
var englishWord = regexp.MustCompile(`[a-z]{4,}`)

// isReading says whether a word is the name that a user gave to a reading.
func isReading(word string) bool {
	return slices.ContainsFunc(deskReadings(), func(r Reading) bool { return r.Name == word })
}

// TestNothingStaysEnglish draws everything there is in another language. Names that
// a user gave stay.
func TestNothingStaysEnglish(t *testing.T) {
	style := Light()
	style.Language = foreign
	look := func(name string, size vg.Point, draws func(draw.Canvas) error) {
		t.Helper()
		w := newWatcher(size.X, size.Y)
		if err := draws(draw.New(w)); err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		page := vg.Rectangle{Min: vg.Point{X: -0.5, Y: -0.5}, Max: size.Add(vg.Point{X: 0.5, Y: 0.5})} // an edge may round
		for _, text := range w.texts {
			if !within(text.box, page) {
				t.Errorf("%s at %v: %q is cut off", name, size, text.text)
			}
			if englishWord.MatchString(text.text) && !strings.Contains(text.text, "†") && !isReading(text.text) {
				t.Errorf("%s: %q is not translated", name, text.text)
			}
		}
	}
	figure := func(name string, p *plot.Plot, err error) {
		t.Helper()
		for _, size := range figureSizes {
			look(name, size, func(c draw.Canvas) error {
				Draw(p, c)
				return err
			})
		}
	}
	for _, sample := range samples {
		p, err := sample.make(style)
		figure(sample.name, p, err)
	}
	for _, sample := range measuredSamples(t) {
		p, err := sample.draw(style)
		figure(sample.name, p, err)
	}
	all, g := outcomes(t)
	for kind, o := range all {
		guess := 0.4
		p, err := ExperimentFigure(o, &guess, true, Units{Inch: true}, style)
		figure(string(kind), p, err)
		look(string(kind), vg.Point{X: 560, Y: 360}, func(c draw.Canvas) error {
			return DrawExperiment(c, o, g, 0.7, true, Units{Inch: true}, style)
		})
	}
	far := *all[experiment.Approach].(*experiment.ApproachOutcome)
	far.PresentDistance *= 1e3
	look("a plate out of sight", vg.Point{X: 560, Y: 360}, func(c draw.Canvas) error {
		return DrawExperiment(c, &far, g, 0.7, true, Units{}, style)
	})
	for name, options := range someCircuits() {
		options.Driver.Device.Name, options.Driver.Clamp.Name = "", "" // models of one's own
		for _, values := range []*design.CircuitFile{options.Values, nil} {
			options.Values = values
			look(name, vg.Point{X: 560, Y: 380}, func(c draw.Canvas) error {
				DrawCircuit(c, options, style)
				return nil
			})
		}
	}
	top := g.TopLoad.Top()
	for _, ground := range []string{design.MetalPlane, design.Open, design.Floor} {
		for _, depth := range []float64{0, 0.75} {
			g := g
			g.Room.Ground, g.Room.FloorDepth = ground, depth
			for _, volts := range []float64{0, 4e5} {
				look("field", vg.Point{X: 400, Y: 500}, func(c draw.Canvas) error {
					_, err := DrawSection(c, g, SectionOptions{Units: Units{Inch: true}, Field: &FieldMap{At: pointField(top), Volts: volts}}, style)
					return err
				})
			}
			line := []Level{{g.Winding.Bottom, 0.1}, {g.Winding.Top, 1}}
			look("section", vg.Point{X: 400, Y: 500}, func(c draw.Canvas) error {
				_, err := DrawSection(c, g, SectionOptions{Units: Units{Inch: true}, Voltage: line, Current: line}, style)
				return err
			})
			look("wiring", vg.Point{X: 400, Y: 500}, func(c draw.Canvas) error { return DrawWiring(c, g, Units{}, style) })
		}
	}
	p, err := ClassFigure([]float64{1, 2}, []float64{1e6, 2e6}, nil, foreign("turns"), si.Plain, style)
	figure("class", p, err)
}
