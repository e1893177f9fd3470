package plotting

import (
	"errors"
	"image"
	"math"
	"testing"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"coilwright/physics/design"
	"coilwright/plotting/raster"
)

// coils are shapes of every kind, some at the edge of what fits a page.
var coils = []struct {
	name string
	make func() design.Geometry
}{
	{"desk", deskCoil},
	{"hand", handCoil},
	{"space-wound", func() design.Geometry {
		g := handCoil()
		w := &g.Winding
		w.Turns, w.Pitch = 12.5, 0.003
		w.Top = w.Bottom + w.Turns*w.Pitch
		g.Former.Top, g.TopLoad.Centre = w.Top+0.01, w.Top+0.014
		g.Room = design.Surroundings{Ground: design.Open, CircuitRadius: 0.03}
		return g
	}},
	{"no-top-load", func() design.Geometry {
		g := deskCoil()
		g.TopLoad = design.Body{Kind: design.NoTopLoad}
		g.Room, g.Primary.InUse = design.Surroundings{Ground: design.MetalPlane, Ceiling: 0.11}, 3
		return g
	}},
	{"torus", func() design.Geometry {
		return topped(design.Body{Kind: design.Torus, Centre: 0.02, Inner: 0.06, Outer: 0.06, TubeRadius: 0.015})
	}},
	{"sphere", func() design.Geometry {
		return topped(design.Body{Kind: design.Sphere, Centre: 0.03, TubeRadius: 0.025})
	}},
	{"disc", func() design.Geometry {
		g := topped(design.Body{Kind: design.Disc, Centre: 0.012, Outer: 0.05, TubeRadius: 0.003})
		g.Room.FloorDepth = 0.015
		return g
	}},
	{"tall", func() design.Geometry {
		g := deskCoil()
		w := &g.Winding
		w.Turns = 5000
		w.Top = w.Bottom + w.Turns*w.Pitch
		g.Former.Top, g.TopLoad.Centre = w.Top+0.01, w.Top+0.014
		return g
	}},
	{"flat", func() design.Geometry {
		g := topped(design.Body{Kind: design.Torus, Centre: 0.05, Inner: 0.4, Outer: 0.4, TubeRadius: 0.1})
		g.Primary.Places = []design.Spot{{R: 0.2, Z: 0.01}, {R: 0.3, Z: 0.02}}
		return g
	}},
}

// topped is the desk coil with another body, its centre counted from the
// winding's edge.
func topped(b design.Body) design.Geometry {
	g := deskCoil()
	b.Centre += g.Winding.Top
	g.TopLoad = b
	return g
}

var sectionSizes = []vg.Point{{X: 240, Y: 320}, {X: 392, Y: 640}, {X: 700, Y: 450}}

func TestSectionLooksAsItDid(t *testing.T) {
	for i, coil := range coils[:7] {
		style := styles[i%len(styles)]
		size := sectionSizes[1]
		if i%2 == 1 {
			size = sectionSizes[0]
		}
		img := image.NewRGBA(image.Rect(0, 0, int(size.X), int(size.Y)))
		g := coil.make()
		options := SectionOptions{Units: Units{Inch: i == 3}}
		if i != 1 {
			options.Voltage, options.VoltageTop = quarterWave(g), "4.1 kV"
		}
		if _, err := DrawSection(draw.New(raster.New(img, 72)), g, options, style.style); err != nil {
			t.Fatal(err)
		}
		compare(t, "section-"+coil.name+"-"+style.name, img)
	}
}

// TestSectionKeepsItsWords looks for words that are cut off or lie on others,
// for every coil in every size: alone, with its voltage and with its current.
func TestSectionKeepsItsWords(t *testing.T) {
	for _, coil := range coils {
		for _, size := range sectionSizes {
			for _, inch := range []bool{false, true} {
				wave := quarterWave(coil.make())
				for _, options := range []SectionOptions{{}, {Voltage: wave, VoltageTop: "4.1 kV"}, {Current: falling(wave)}, {Field: &FieldMap{At: pointField(coil.make().Winding.Top), Volts: 9300}}} {
					w := newWatcher(size.X, size.Y)
					options.Units.Inch = inch
					if _, err := DrawSection(draw.New(w), coil.make(), options, Light()); err != nil {
						t.Fatal(err)
					}
					inspect(t, "section of "+coil.name, w, Light())
				}
			}
		}
	}
}

// falling is a current that belongs to a voltage.
func falling(wave []Level) []Level {
	var out []Level
	for _, l := range wave {
		out = append(out, Level{l.Height, math.Sqrt(1 - l.Fraction*l.Fraction)})
	}
	return out
}

// TestProfileFillsTheScale: the largest value stands at 1, wherever it is.
func TestProfileFillsTheScale(t *testing.T) {
	p := design.ProfileCurve{
		Height:  []float64{0, 1, 2},
		Voltage: []float64{0, 0.4, 1},
		Current: []float64{1, 1.6, 0.8},
	}
	for name, c := range map[string]struct{ got, want []Level }{
		"voltage": {VoltageAlong(p), []Level{{0, 0}, {1, 0.4}, {2, 1}}},
		"current": {CurrentAlong(p), []Level{{0, 0.625}, {1, 1}, {2, 0.5}}},
		"nothing": {CurrentAlong(design.ProfileCurve{}), nil},
	} {
		if len(c.got) != len(c.want) {
			t.Errorf("%s: %v, want %v", name, c.got, c.want)
			continue
		}
		for i := range c.got {
			if c.got[i].Height != c.want[i].Height || math.Abs(c.got[i].Fraction-c.want[i].Fraction) > 1e-12 {
				t.Errorf("%s: %v, want %v", name, c.got, c.want)
			}
		}
	}
}

// TestSectionIsToScale finds edges of the former and the board in the picture.
func TestSectionIsToScale(t *testing.T) {
	for _, coil := range coils[:3] {
		g := coil.make()
		img := image.NewRGBA(image.Rect(0, 0, 784, 1280))
		style := Light()
		frame, err := DrawSection(draw.New(raster.New(img, 144)), g, SectionOptions{}, style)
		if err != nil {
			t.Fatal(err)
		}
		// Just under the winding only the former is drawn.
		_, y := frame.Place(0, (g.Former.Bottom+g.Winding.Bottom)/2)
		first, last := 0, 0
		for x := range img.Rect.Dx() {
			if p := img.RGBAAt(x, int(2*y)); p.R == style.Former.R && p.G == style.Former.G && p.B == style.Former.B {
				if first == 0 {
					first = x
				}
				last = x
			}
		}
		width := float64(last-first+1) / 2 // points
		want := 2 * g.Former.Outer * float64(frame.Scale)
		if math.Abs(width-want) > 2 { // its outline is a line of 1 point, half of it inside at each side
			t.Errorf("%s: the former is %g points wide, want %.4g (2 × %g m at %g points to the metre)", coil.name, width, want, g.Former.Outer, float64(frame.Scale))
		}
		if middle := float64(first+last+1) / 4; math.Abs(middle-float64(frame.AxisX)) > 0.5 {
			t.Errorf("%s: the former's middle is at %g points, want the axis at %g", coil.name, middle, float64(frame.AxisX))
		}
	}
}

// TestSectionScales doubles every length of a coil: the drawing halves its
// scale and looks the same but for its numbers.
func TestSectionScales(t *testing.T) {
	single, double := deskCoil(), deskCoil()
	f, w, b := &double.Former, &double.Winding, &double.TopLoad
	for _, length := range []*float64{
		&f.Inner, &f.Outer, &f.Bottom, &f.Top, &w.Radius, &w.Bottom, &w.Top, &w.Pitch, &w.BareDiameter, &w.OverallDiameter,
		&b.Centre, &b.Inner, &b.Outer, &b.TubeRadius, &b.TurnRadius, &b.WireDiameter, &b.HubRadius, &double.Primary.WireDiameter,
	} {
		*length *= 2
	}
	for i := range double.Primary.Places {
		double.Primary.Places[i].R *= 2
		double.Primary.Places[i].Z *= 2
	}
	frames := make([]SectionFrame, 2)
	for i, g := range []design.Geometry{single, double} {
		var err error
		if frames[i], err = DrawSection(draw.New(newWatcher(392, 640)), g, SectionOptions{}, Light()); err != nil {
			t.Fatal(err)
		}
	}
	if ratio := float64(frames[0].Scale / frames[1].Scale); math.Abs(ratio-2) > 1e-9 {
		t.Errorf("the scale falls by %g, want 2", ratio)
	}
	x0, y0 := frames[0].Place(single.TopLoad.Outer, single.TopLoad.Centre)
	x1, y1 := frames[1].Place(double.TopLoad.Outer, double.TopLoad.Centre)
	if distance(vg.Point{X: x0, Y: y0}, vg.Point{X: x1, Y: y1}) > 1e-6 {
		t.Errorf("the ring moves from %g, %g to %g, %g", x0, y0, x1, y1)
	}
}

func TestSectionFrameFindsParts(t *testing.T) {
	g := deskCoil()
	frame, err := DrawSection(draw.New(newWatcher(392, 640)), g, SectionOptions{}, Light())
	if err != nil {
		t.Fatal(err)
	}
	for _, test := range []struct {
		name string
		r, z float64 // m
		want Part
	}{
		{"middle of the winding", 0, 0.05, WindingPart},
		{"left edge of the winding", -g.Winding.Radius, 0.05, WindingPart},
		{"ring, right", g.TopLoad.OuterRadius(), g.TopLoad.Centre, TopLoadPart},
		{"ring, left", -g.TopLoad.OuterRadius(), g.TopLoad.Centre, TopLoadPart},
		{"hub", 0, g.TopLoad.Centre, HubPart},
		{"second turn of the primary", -0.023, 0.014, PrimaryPart},
		{"under the winding", 0, 0.0100, FormerPart},
		{"bench", 0.028, 0, BenchPart},
		{"air", 0.030, 0.06, NoPart},
	} {
		x, y := frame.Place(test.r, test.z)
		if got := frame.Part(x, y); got != test.want {
			t.Errorf("%s: Part = %d, want %d", test.name, got, test.want)
		}
		if r, z := frame.At(x, y); math.Abs(r-test.r) > 1e-12 || math.Abs(z-test.z) > 1e-12 {
			t.Errorf("%s: At(Place) = %g, %g, want %g, %g", test.name, r, z, test.r, test.z)
		}
	}
}

// TestFineWindingHasNoBeat looks up the middle of windings around and far beyond
// what pixels can show: lines stand out equally everywhere and the tone is even.
func TestFineWindingHasNoBeat(t *testing.T) {
	for turns := 80.0; turns <= 1200; turns += 5 {
		g := deskCoil()
		g.Winding.Turns = turns
		g.Winding.Pitch = (g.Winding.Top - g.Winding.Bottom) / turns
		g.Winding.OverallDiameter = g.Winding.Pitch / 1.03
		img := image.NewRGBA(image.Rect(0, 0, 392, 640))
		frame, err := DrawSection(draw.New(raster.New(img, 72)), g, SectionOptions{}, Light())
		if err != nil {
			t.Fatal(err)
		}
		_, top := frame.Place(0, g.Winding.Top)
		_, bottom := frame.Place(0, g.Winding.Bottom)
		const window = 24 // pixels: what an eye takes as one tone
		var tones, contrasts []float64
		for y := int(top) + 8; y+window < int(bottom)-8; y += window / 4 {
			var sum, squares float64
			for dy := range window {
				v := float64(img.RGBAAt(int(frame.AxisX), y+dy).G)
				sum += v
				squares += v * v
			}
			mean := sum / window
			tones = append(tones, mean)
			contrasts = append(contrasts, math.Sqrt(squares/window-mean*mean))
		}
		// Part of a line more or less at the ends of a window is 8 levels.
		if lo, hi := extremes(tones); hi-lo > 9 {
			t.Errorf("%g turns: the tone of the winding varies by %.1f levels of 255, want at most 9", turns, hi-lo)
		}
		if lo, hi := extremes(contrasts); lo < 0.7*hi {
			t.Errorf("%g turns: the contrast of its lines varies from %.1f to %.1f levels, want within 30 %%", turns, lo, hi)
		}
	}
}

func TestSectionRefusesVoltagesThatAreNone(t *testing.T) {
	for _, bad := range []float64{math.NaN(), math.Inf(1)} {
		levels := quarterWave(deskCoil())
		levels[3].Fraction = bad
		_, err := DrawSection(draw.New(newWatcher(392, 640)), deskCoil(), SectionOptions{Voltage: levels}, Light())
		if !errors.Is(err, ErrNotFinite) {
			t.Errorf("fraction %g: error %v, want ErrNotFinite", bad, err)
		}
	}
}
