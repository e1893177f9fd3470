package plotting

import (
	"errors"
	"image"
	"math"
	"strings"
	"testing"

	"gonum.org/v1/plot/vg/draw"

	"coilwright/physics/design"
	"coilwright/physics/driver"
	"coilwright/physics/experiment"
	"coilwright/plotting/raster"
)

// clubCoil is a coil of an invented physics club with everything that the
// experiments ask for.
const clubCoil = `{
 "format": "coilwright-design", "version": 1,
 "secondary": {"former_diameter_m": 0.07, "turns": 55, "wire": {"gauge": "AWG 25", "insulation": "single"}, "base_height_m": 0.025},
 "top_load": {"kind": "wire_ring", "height_m": 0.017, "wire": {"gauge": "AWG 14", "insulation": "bare"},
  "former_diameter_m": 0.02134, "turns": 24, "hub_diameter_m": 0.01254},
 "primary": {"kind": "cylinder", "turns": 3, "inner_diameter_m": 0.096, "pitch_m": 0.004, "wire": {"gauge": "AWG 18", "insulation": "bare"}, "base_height_m": 0.02},
 "driver": {"kind": "feedback_exciter", "supply_v": 9, "supply_resistance_ohm": 1.5, "device": "PN2222A", "base_resistor_ohm": 10000, "clamp": "1N4148", "sense": 1},
 "room": {"ground": "floor", "floor_depth_m": 0.75}
}`

// outcomes makes every experiment on the club's coil.
func outcomes(t testing.TB) (map[experiment.Kind]experiment.Outcome, design.Geometry) {
	t.Helper()
	d, err := design.Read(strings.NewReader(clubCoil))
	if err != nil {
		t.Fatal(err)
	}
	b, err := experiment.NewBench(t.Context(), d)
	if err != nil {
		t.Fatal(err)
	}
	all := map[experiment.Kind]experiment.Outcome{}
	for _, x := range experiment.All(b) {
		if all[x.Kind], err = x.Run(t.Context(), b, nil); err != nil {
			t.Fatal(err)
		}
	}
	// The start of an exciter feels the last digit of everything: a made-up one keeps
	// the kept pictures.
	all[experiment.StartUp] = madeUpStart()
	g, err := d.Geometry()
	if err != nil {
		t.Fatal(err)
	}
	return all, g
}

// madeUpStart grows to 1600 V and settles.
func madeUpStart() *experiment.StartOutcome {
	o := &experiment.StartOutcome{
		Circuit: driver.Exciter{Supply: 9, Sense: 1},
		Start:   driver.Start{Growth: 1e6},
		Running: driver.Running{State: driver.StateFull, TopCrest: 1600},
	}
	for i := range 80 {
		x := float64(i + 1)
		o.Running.Envelope = append(o.Running.Envelope, driver.Crest{Time: x * 0.2e-6, Top: 1600 / (1 + 40*math.Exp(-x/3.2))})
	}
	return o
}

func TestExperimentPictures(t *testing.T) {
	all, g := outcomes(t)
	for kind, o := range all {
		for name, style := range map[string]Style{"light": Light(), "dark": Dark()} {
			c := raster.New(image.NewRGBA(image.Rect(0, 0, 560, 360)), 72)
			if err := DrawExperiment(draw.New(c), o, g, 0.7, true, Units{}, style); err != nil {
				t.Errorf("%s: %v", kind, err)
			}
			compare(t, "experiment_"+string(kind)+"_"+name, c.Image())
		}
	}
}

func TestExperimentFigures(t *testing.T) {
	all, _ := outcomes(t)
	guess := map[experiment.Kind]float64{
		experiment.Ring: 0.5, experiment.StandingWave: 0.4, experiment.Beat: 5, experiment.Humps: 0.1, experiment.Approach: 0.02,
		experiment.Wire: 0.4, experiment.ShortedTurn: 0.02, experiment.StartUp: 30, experiment.Spectrum: 0.9,
	}
	for kind, o := range all {
		g := guess[kind]
		p, err := ExperimentFigure(o, &g, true, Units{}, Light())
		if err != nil {
			t.Errorf("%s: %v", kind, err)
			continue
		}
		c := raster.New(image.NewRGBA(image.Rect(0, 0, 480, 280)), 72)
		Render(p, c)
		compare(t, "experiment_"+string(kind)+"_figure", c.Image())
	}
}

func TestExperimentFigureRefusesHoles(t *testing.T) {
	all, _ := outcomes(t)
	o := all[experiment.Ring].(*experiment.RingOutcome)
	o.Gradient[2] = math.NaN()
	if _, err := ExperimentFigure(o, nil, true, Units{}, Light()); !errors.Is(err, ErrNotFinite) {
		t.Errorf("a hole in a curve gives %v", err)
	}
}

func BenchmarkExperimentPicture(b *testing.B) {
	all, g := outcomes(b)
	for _, kind := range []experiment.Kind{experiment.StandingWave, experiment.Wire, experiment.Beat, experiment.Ring, experiment.ShortedTurn} {
		b.Run(string(kind), func(b *testing.B) {
			// The picture of a window of 1280 by 800: budget 8 ms.
			c := raster.New(image.NewRGBA(image.Rect(0, 0, 800, 500)), 72)
			b.ReportAllocs()
			for b.Loop() {
				c.Reset()
				if err := DrawExperiment(draw.New(c), all[kind], g, 0.7, false, Units{}, Light()); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
