package plotting

import (
	"errors"
	"image"
	"math"
	"strings"
	"sync"
	"testing"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"coilwright/physics/design"
	"coilwright/plotting/raster"
)

// samples are figures of every kind there is.
var samples = []struct {
	name string
	make func(Style) (*plot.Plot, error)
}{
	{"turns", func(s Style) (*plot.Plot, error) { return TurnsFigure(turnsCurve(), Units{}, s) }},
	{"turns-bare", func(s Style) (*plot.Plot, error) { return TurnsFigure(bareTurnsCurve(), Units{}, s) }},
	{"size", func(s Style) (*plot.Plot, error) { return SizeFigure(sizeCurve(), Units{}, s) }},
	{"size-torus-inch", func(s Style) (*plot.Plot, error) { return SizeFigure(torusCurve(), Units{Inch: true}, s) }},
	{"size-none", func(s Style) (*plot.Plot, error) {
		return SizeFigure(design.SizeCurve{Kind: design.NoTopLoad}, Units{}, s)
	}},
	{"height", func(s Style) (*plot.Plot, error) { return HeightFigure(heightCurve(), Units{}, s) }},
	{"height-disc-inch", func(s Style) (*plot.Plot, error) { return HeightFigure(discHeightCurve(), Units{Inch: true}, s) }},
	{"count", func(s Style) (*plot.Plot, error) { return CountFigure(countCurve(), Units{}, s) }},
	{"count-secondary-inch", func(s Style) (*plot.Plot, error) { return CountFigure(secondaryCount(), Units{Inch: true}, s) }},
}

// sample returns one of them.
func sample(name string) func(Style) (*plot.Plot, error) {
	for _, s := range samples {
		if s.name == name {
			return s.make
		}
	}
	panic("no sample " + name)
}

var styles = []struct {
	name  string
	style Style
}{{"light", Light()}, {"dark", Dark()}, {"print", Print()}}

// Sizes of a figure in points: the smallest window, a low one, the usual one, a
// large one.
var figureSizes = []vg.Point{{X: 260, Y: 150}, {X: 300, Y: 110}, {X: 530, Y: 205}, {X: 700, Y: 450}}

func TestFiguresLookAsTheyDid(t *testing.T) {
	for _, sample := range samples {
		for _, style := range styles {
			for _, size := range []vg.Point{figureSizes[0], figureSizes[3]} {
				p, err := sample.make(style.style)
				if err != nil {
					t.Fatalf("%s: %v", sample.name, err)
				}
				img := image.NewRGBA(image.Rect(0, 0, int(size.X), int(size.Y)))
				Render(p, raster.New(img, 72))
				width := "large"
				if size == figureSizes[0] {
					width = "small"
				}
				compare(t, sample.name+"-"+style.name+"-"+width, img)
			}
		}
	}
}

// TestNothingIsCutOff measures the ink of every text of every figure: inside
// the canvas, clear of every other text and of every curve.
func TestNothingIsCutOff(t *testing.T) {
	for _, sample := range samples {
		for _, style := range styles {
			for _, size := range figureSizes {
				p, err := sample.make(style.style)
				if err != nil {
					t.Fatalf("%s: %v", sample.name, err)
				}
				w := newWatcher(size.X, size.Y)
				Draw(p, draw.New(w))
				inspect(t, sample.name+" "+style.name, w, style.style)
			}
		}
	}
}

// TestPresentAnywhere moves the present design along the whole curve, where a
// label has least room at the ends, with targets low and high.
func TestPresentAnywhere(t *testing.T) {
	style := Light()
	for _, size := range figureSizes[2:] {
		for i := range turnsCurve().Turns {
			for _, target := range []float64{0, 0.4e6, 1.4e6, 3e6} {
				curve := turnsCurve()
				curve.Target = target
				curve.PresentTurns, curve.Present, curve.PresentBare = curve.Turns[i], curve.WithTopLoad[i], curve.Bare[i]
				p, err := TurnsFigure(curve, Units{}, style)
				if err != nil {
					t.Fatal(err)
				}
				w := newWatcher(size.X, size.Y)
				Draw(p, draw.New(w))
				inspect(t, "frequency at "+style.turns(curve.PresentTurns), w, style)
				if got := presentTexts(w, style); !strings.Contains(got, "MHz") {
					t.Errorf("at %g turns the present design reads %q, want its frequency", curve.PresentTurns, got)
				}
			}
		}
		for i := range sizeCurve().OuterDiameter {
			curve := sizeCurve()
			curve.PresentDiameter, curve.Present, curve.PresentSmooth = curve.OuterDiameter[i], curve.Capacitance[i], curve.Smooth[i]
			curve.BuildableFrom = curve.PresentDiameter
			p, err := SizeFigure(curve, Units{}, style)
			if err != nil {
				t.Fatal(err)
			}
			w := newWatcher(size.X, size.Y)
			Draw(p, draw.New(w))
			inspect(t, "size", w, style)
		}
		for i := range heightCurve().Height {
			curve := heightCurve()
			curve.PresentHeight, curve.Present, curve.PresentShading = curve.Height[i], curve.Frequency[i], curve.Shading[i]
			p, err := HeightFigure(curve, Units{}, style)
			if err != nil {
				t.Fatal(err)
			}
			w := newWatcher(size.X, size.Y)
			Draw(p, draw.New(w))
			inspect(t, "height", w, style)
			if got := presentTexts(w, style); !strings.Contains(got, "MHz") {
				t.Errorf("at %g m the present design reads %q, want its frequency", curve.PresentHeight, got)
			}
		}
	}
}

// presentTexts are the words about the present design.
func presentTexts(w *watcher, style Style) string {
	var out []string
	for _, text := range w.texts[1:] { // the title has the same colour
		if text.ink == style.Ink {
			out = append(out, text.text)
		}
	}
	return strings.Join(out, " ")
}

func inspect(t *testing.T, name string, w *watcher, style Style) {
	t.Helper()
	// An edge may round to the next pixel.
	page := vg.Rectangle{Max: vg.Point{X: w.width + 0.5, Y: w.height + 0.5}, Min: vg.Point{X: -0.5, Y: -0.5}}
	for i, text := range w.texts {
		if !within(text.box, page) {
			t.Errorf("%s at %g × %g: %q at %v is cut off", name, w.width, w.height, text.text, text.box)
		}
		for _, other := range w.texts[:i] {
			if meets(text.box, []vg.Rectangle{other.box}) {
				t.Errorf("%s at %g × %g: %q lies on %q", name, w.width, w.height, text.text, other.text)
			}
		}
		for _, line := range w.lines {
			if line.width == style.CurveWidth && line.crosses(text.box) {
				t.Errorf("%s at %g × %g: a curve runs through %q", name, w.width, w.height, text.text)
				break
			}
		}
	}
}

// TestFiguresOfRealCoils draws what package design computes of coils with every
// kind of top load, one of which cannot be built.
func TestFiguresOfRealCoils(t *testing.T) {
	loads := []design.TopLoad{
		{Kind: design.NoTopLoad},
		{Kind: design.WireRing, Height: 0.014, Wire: design.Wire{Gauge: "1.60 mm", Insulation: design.Bare}, FormerDiameter: 0.014, Turns: 19, HubDiameter: 0.010},
		{Kind: design.WireRing, Height: 0.014, Wire: design.Wire{Gauge: "1.60 mm", Insulation: design.Bare}, FormerDiameter: 0.014, Turns: 40, HubDiameter: 0.010},
		{Kind: design.Torus, Height: 0.03, OuterDiameter: 0.12, TubeDiameter: 0.03, Closed: true},
		{Kind: design.Sphere, Height: 0.03, Diameter: 0.05, Closed: true},
		{Kind: design.Disc, Height: 0.01, Diameter: 0.10, Thickness: 0.002, Closed: true},
	}
	for _, load := range loads {
		d := design.Design{
			Secondary: design.Secondary{
				FormerDiameter: 0.025, FormerWall: 0.0015, FormerRelativePermittivity: 1, Turns: 300,
				Wire: design.Wire{Gauge: "0.20 mm", Insulation: design.Single}, BaseHeight: 0.018,
			},
			TopLoad:         load,
			Primary:         design.Primary{Kind: design.NoPrimary},
			Driver:          design.Driver{Kind: design.NoDriver},
			Room:            design.Room{Ground: design.Floor, FloorDepth: 0.75, Foot: design.Earthed, AirTemperature: 20, AirPressure: 101325},
			TargetFrequency: 3e6,
		}
		for _, vary := range []design.SizeVariation{design.VaryFormer, design.VaryHub} {
			curves, err := design.ComputeCurves(t.Context(), d, design.CurveOptions{Vary: vary})
			if err != nil {
				t.Fatalf("%s: %v", load.Kind, err)
			}
			s := Sheet{Curves: curves}
			for _, style := range styles {
				plots, err := s.figures(style.style)
				if err != nil {
					t.Fatalf("%s: %v", load.Kind, err)
				}
				for _, size := range figureSizes {
					for _, p := range append(plots, heights(t, d, style.style)...) {
						w := newWatcher(size.X, size.Y)
						Draw(p, draw.New(w))
						inspect(t, load.Kind+" "+style.name+" "+p.Title.Text, w, style.style)
					}
				}
			}
		}
	}
}

// heights is the height figure of a design, none if the design cannot be built.
func heights(t *testing.T, d design.Design, style Style) []*plot.Plot {
	t.Helper()
	if design.Check(d) != nil {
		return nil
	}
	curve, err := design.ComputeHeightCurve(t.Context(), d)
	if err != nil {
		t.Fatal(err)
	}
	p, err := HeightFigure(curve, Units{}, style)
	if err != nil {
		t.Fatal(err)
	}
	return []*plot.Plot{p}
}

func TestFiguresSayWhatTheyShow(t *testing.T) {
	const nb = "\u202f" // the narrow space before a unit
	tooSmall := sizeCurve()
	tooSmall.BuildableFrom, tooSmall.BuildableTo = 0, 0.06
	far := countCurve()
	far.HubLimit = 80
	former := sizeCurve()
	former.Vary = design.VaryFormer
	hopeless := former
	hopeless.BuildableFrom = 0.080
	slow := turnsCurve()
	slow.Present = 0.8297e6
	for _, test := range []struct {
		name string
		make func(Style) (*plot.Plot, error)
		want []string
		not  []string
	}{
		{"former too thin", func(s Style) (*plot.Plot, error) { return SizeFigure(former, Units{}, s) }, []string{"former too thin"}, []string{"turns do not fit"}},
		{"no former helps", func(s Style) (*plot.Plot, error) { return SizeFigure(hopeless, Units{}, s) }, []string{"turns do not fit"}, nil},
		{"under a megahertz", func(s Style) (*plot.Plot, error) { return TurnsFigure(slow, Units{}, s) }, []string{"frequency (kHz)", "310 turns · 829.7" + nb + "kHz"}, nil},
		{"turns", sample("turns"), []string{"Frequency against turns", "frequency (MHz)", "turns of the secondary", "with top load", "without top load", "target 1.72" + nb + "MHz"}, nil},
		{"without a top load", sample("turns-bare"), []string{"without top load"}, []string{"with top load", "target"}},
		{"size", sample("size"), []string{"Capacitance against ring size", "ring, outside diameter (mm)", "capacitance (pF)", "19 turns of wire", "smooth ring", "turns do not fit", "44.5" + nb + "mm · 1.98" + nb + "pF"}, nil},
		{"torus in inches", sample("size-torus-inch"), []string{"torus, outside diameter (in)", "1.75" + nb + "in · 1.98" + nb + "pF"}, []string{"smooth ring", "turns do not fit"}},
		{"no top load", sample("size-none"), []string{"no top load"}, []string{"capacitance (pF)"}},
		{"too large", func(s Style) (*plot.Plot, error) { return SizeFigure(tooSmall, Units{}, s) }, []string{"too large"}, []string{"turns do not fit"}},
		{"height", sample("height"), []string{"Frequency against height of the ring", "ring, height over the winding (mm)", "frequency (MHz)", "frequency", "share of its capacitance added", "14.0" + nb + "mm · 3.867" + nb + "MHz", "42" + nb + "% added", "0", "20", "100 %"}, nil},
		{"height of a disc in inches", sample("height-disc-inch"), []string{"disc, height over the winding (in)", "frequency (kHz)", "0.551" + nb + "in · 386.7" + nb + "kHz"}, []string{"frequency (MHz)"}},
		{"height of nothing", func(s Style) (*plot.Plot, error) { return HeightFigure(design.HeightCurve{}, Units{}, s) }, []string{"no top load"}, []string{"frequency (MHz)"}},
		{"count", sample("count"), []string{"Winding count of the ring", "wire used (m)", "19 close the ring · 0.971" + nb + "m", "hub holds 22", "3 spare", "5", "10", "15", "20", "½ filled"}, nil},
		{"hub far away", func(s Style) (*plot.Plot, error) { return CountFigure(far, Units{}, s) }, []string{"hub holds 80 →"}, nil},
		{"secondary in feet", sample("count-secondary-inch"), []string{"Winding count of the secondary", "wire used (ft)", "310 turns · 81.0" + nb + "ft"}, []string{"hub", "½ filled"}},
	} {
		p, err := test.make(Light())
		if err != nil {
			t.Fatalf("%s: %v", test.name, err)
		}
		w := newWatcher(700, 450)
		Draw(p, draw.New(w))
		for _, text := range test.want {
			if !w.found(text) {
				t.Errorf("%s: no %q among %q", test.name, text, words(w))
			}
		}
		for _, text := range test.not {
			if w.found(text) {
				t.Errorf("%s: %q is there, want it absent", test.name, text)
			}
		}
	}
}

func words(w *watcher) []string {
	var out []string
	for _, t := range w.texts {
		out = append(out, t.text)
	}
	return out
}

func TestFiguresRefuseWhatIsNoNumber(t *testing.T) {
	for _, bad := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
		for name, spoil := range map[string]func(*design.TurnsCurve){
			"turns":         func(c *design.TurnsCurve) { c.Turns[0] = bad },
			"with top load": func(c *design.TurnsCurve) { c.WithTopLoad[3] = bad },
			"bare":          func(c *design.TurnsCurve) { c.Bare[3] = bad },
			"present":       func(c *design.TurnsCurve) { c.Present = bad },
			"present turns": func(c *design.TurnsCurve) { c.PresentTurns = bad },
			"present bare":  func(c *design.TurnsCurve) { c.PresentBare = bad },
			"target":        func(c *design.TurnsCurve) { c.Target = bad },
		} {
			c := turnsCurve()
			spoil(&c)
			if _, err := TurnsFigure(c, Units{}, Light()); !errors.Is(err, ErrNotFinite) {
				t.Errorf("TurnsFigure with %s %g: error %v, want ErrNotFinite", name, bad, err)
			}
		}
		for name, spoil := range map[string]func(*design.SizeCurve){
			"diameter":    func(c *design.SizeCurve) { c.OuterDiameter[0] = bad },
			"capacitance": func(c *design.SizeCurve) { c.Capacitance[2] = bad },
			"smooth":      func(c *design.SizeCurve) { c.Smooth[2] = bad },
			"bound":       func(c *design.SizeCurve) { c.BuildableFrom = bad },
			"other bound": func(c *design.SizeCurve) { c.BuildableTo = bad },
			"present":     func(c *design.SizeCurve) { c.Present = bad },
		} {
			c := sizeCurve()
			spoil(&c)
			if _, err := SizeFigure(c, Units{}, Light()); !errors.Is(err, ErrNotFinite) {
				t.Errorf("SizeFigure with %s %g: error %v, want ErrNotFinite", name, bad, err)
			}
		}
		for name, spoil := range map[string]func(*design.HeightCurve){
			"height":          func(c *design.HeightCurve) { c.Height[0] = bad },
			"frequency":       func(c *design.HeightCurve) { c.Frequency[2] = bad },
			"shading":         func(c *design.HeightCurve) { c.Shading[2] = bad },
			"present height":  func(c *design.HeightCurve) { c.PresentHeight = bad },
			"present":         func(c *design.HeightCurve) { c.Present = bad },
			"present shading": func(c *design.HeightCurve) { c.PresentShading = bad },
		} {
			c := heightCurve()
			spoil(&c)
			if _, err := HeightFigure(c, Units{}, Light()); !errors.Is(err, ErrNotFinite) {
				t.Errorf("HeightFigure with %s %g: error %v, want ErrNotFinite", name, bad, err)
			}
		}
		for name, spoil := range map[string]func(*design.CountCurve){
			"turn":    func(c *design.CountCurve) { c.Turn[0] = bad },
			"wire":    func(c *design.CountCurve) { c.WireUsed[2] = bad },
			"fill":    func(c *design.CountCurve) { c.Fill[2] = bad },
			"closing": func(c *design.CountCurve) { c.Closing = bad },
			"hub":     func(c *design.CountCurve) { c.HubLimit = bad },
			"marks":   func(c *design.CountCurve) { c.MarkEvery = bad },
		} {
			c := countCurve()
			spoil(&c)
			if _, err := CountFigure(c, Units{}, Light()); !errors.Is(err, ErrNotFinite) {
				t.Errorf("CountFigure with %s %g: error %v, want ErrNotFinite", name, bad, err)
			}
		}
	}
}

func TestFiguresRefuseWhatIsNoCurve(t *testing.T) {
	for name, spoil := range map[string]func(*design.TurnsCurve){
		"nothing": func(c *design.TurnsCurve) { *c = design.TurnsCurve{} },
		"one point": func(c *design.TurnsCurve) {
			c.Turns, c.Bare, c.WithTopLoad = c.Turns[:1], c.Bare[:1], c.WithTopLoad[:1]
		},
		"columns differ":   func(c *design.TurnsCurve) { c.Bare = c.Bare[1:] },
		"does not ascend":  func(c *design.TurnsCurve) { c.Turns[4] = c.Turns[3] },
		"top load differs": func(c *design.TurnsCurve) { c.WithTopLoad = c.WithTopLoad[1:] },
	} {
		c := turnsCurve()
		spoil(&c)
		if _, err := TurnsFigure(c, Units{}, Light()); !errors.Is(err, ErrNoCurve) {
			t.Errorf("%s: error %v, want ErrNoCurve", name, err)
		}
	}
}

// TestFrameMapsThePointer looks for the mark of the present design where the
// frame says it is.
func TestFrameMapsThePointer(t *testing.T) {
	curve := turnsCurve()
	p, err := TurnsFigure(curve, Units{}, Light())
	if err != nil {
		t.Fatal(err)
	}
	for _, scale := range []float64{1, 1.5, 2} {
		img := image.NewRGBA(image.Rect(0, 0, int(530*scale), int(205*scale)))
		frame := Render(p, raster.New(img, 72*scale))
		x, y := frame.Place(curve.PresentTurns, curve.Present)
		want := Light().Wire
		if got := img.RGBAAt(int(float64(x)*scale), int(float64(y)*scale)); got.R != want.R || got.G != want.G || got.B != want.B {
			t.Errorf("at %g the pixel under the mark is %v, want copper %v", scale, got, want)
		}
		turns, frequency, inside := frame.At(x, y)
		if math.Abs(turns-curve.PresentTurns) > 1e-9*turns || math.Abs(frequency-curve.Present) > 1e-9*frequency || !inside {
			t.Errorf("At(Place) = %g, %g, %v, want %g, %g, true", turns, frequency, inside, curve.PresentTurns, curve.Present)
		}
		if _, _, inside := frame.At(1, 1); inside {
			t.Error("the corner of the figure counts as inside the frame")
		}
	}
}

// TestFrameAgreesWithTheGrid finds the grid lines of 1 to 4 MHz and 100 to 600
// turns where the frame says they are.
func TestFrameAgreesWithTheGrid(t *testing.T) {
	p, err := TurnsFigure(turnsCurve(), Units{}, Light())
	if err != nil {
		t.Fatal(err)
	}
	w := newWatcher(530, 205)
	frame := Draw(p, draw.New(w))
	var levels, uprights []vg.Length // from the top left corner
	for _, line := range w.lines {
		if line.ink != Light().Grid {
			continue
		}
		if a, b := line.points[0], line.points[1]; a.Y == b.Y {
			levels = append(levels, w.height-a.Y)
		} else {
			uprights = append(uprights, a.X)
		}
	}
	if len(levels) != 4 || len(uprights) != 6 {
		t.Fatalf("%d level and %d upright lines, want 4 and 6", len(levels), len(uprights))
	}
	const slack = 1e-6 // points
	for i, level := range levels {
		if _, y := frame.Place(0, float64(i+1)*1e6); math.Abs(float64(y-level)) > slack {
			t.Errorf("%d MHz is at %g by the frame, its line at %g", i+1, y, level)
		}
	}
	for i, upright := range uprights {
		if x, _ := frame.Place(float64(i+1)*100, 0); math.Abs(float64(x-upright)) > slack {
			t.Errorf("%d turns are at %g by the frame, their line at %g", 100*(i+1), x, upright)
		}
	}
}

// TestCurveKeepsToItsPoints bends a line between points far apart.
func TestCurveKeepsToItsPoints(t *testing.T) {
	k := curve{x: []float64{0, 1, 2, 3, 10}, y: []float64{5, 1, 1, 4, 0}}
	page := pageMap{x: func(v float64) vg.Length { return vg.Length(50 * v) }, y: func(v float64) vg.Length { return vg.Length(50 * v) }}
	line := page.curve(k)
	next := 0
	for i, p := range line {
		if next < len(k.x) && p == page.at(k.x[next], k.y[next]) {
			next++
			continue
		}
		// Between two points a monotone curve stays between their values.
		lo, hi := 50*math.Min(k.y[next-1], k.y[next]), 50*math.Max(k.y[next-1], k.y[next])
		if y := float64(p.Y); y < lo-1e-9 || y > hi+1e-9 {
			t.Errorf("point %d of the line is at %g, want between %g and %g", i, y, lo, hi)
		}
	}
	if next != len(k.x) {
		t.Errorf("the line runs through %d of the points, want all %d", next, len(k.x))
	}
}

func TestFiguresDrawAtOnce(t *testing.T) {
	plots, err := live(Light())
	if err != nil {
		t.Fatal(err)
	}
	render := func(p *plot.Plot, width int) []uint8 {
		img := image.NewRGBA(image.Rect(0, 0, width, 200))
		Render(p, raster.New(img, 72))
		return img.Pix
	}
	var wait sync.WaitGroup
	for i, p := range plots {
		for _, width := range []int{260, 400, 530} { // one plot in several sizes at once
			want := render(p, width)
			wait.Go(func() {
				if got := render(p, width); string(got) != string(want) {
					t.Errorf("figure %d at %d: drawn beside others it differs", i, width)
				}
			})
		}
	}
	wait.Wait()
}
