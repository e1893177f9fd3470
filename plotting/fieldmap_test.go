package plotting

import (
	"errors"
	"image"
	"math"
	"strings"
	"testing"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"coilwright/physics/design"
	"coilwright/plotting/raster"
)

// pointField is the field of a charge on the axis at a height over nothing, 1 V at 1 cm.
func pointField(height float64) func(r, z float64) (potential, outward, up float64) {
	return func(r, z float64) (potential, outward, up float64) {
		d := math.Max(math.Hypot(r, z-height), 0.003)
		return 0.01 / d, 0.01 * r / (d * d * d), 0.01 * (z - height) / (d * d * d)
	}
}

func TestFieldMapLooksAsItDid(t *testing.T) {
	g := deskCoil()
	top := g.TopLoad.Centre
	for _, test := range []struct {
		name  string
		field *FieldMap
		style Style
		size  vg.Point
	}{
		{"field", &FieldMap{At: pointField(top), Marks: []design.Spot{{R: 0.022, Z: top}, {R: 0.013, Z: top - 0.014}, {R: 0.0125, Z: top - 0.014}}}, Light(), sectionSizes[1]},
		{"field-volts", &FieldMap{At: pointField(top), Volts: 9300}, Dark(), sectionSizes[0]},
		{"field-tube", &FieldMap{At: pointField(top), Volts: 150}, Print(), sectionSizes[1]},
		{"field-coarse", &FieldMap{At: pointField(top), Volts: 4e5, Coarse: true}, Print(), sectionSizes[0]},
	} {
		img := image.NewRGBA(image.Rect(0, 0, int(test.size.X), int(test.size.Y)))
		if _, err := DrawSection(draw.New(raster.New(img, 72)), g, SectionOptions{Field: test.field}, test.style); err != nil {
			t.Fatal(err)
		}
		compare(t, "section-"+test.name, img)
	}
}

func TestFieldMapRefusesHoles(t *testing.T) {
	img := image.NewRGBA(image.Rect(0, 0, 240, 320))
	field := &FieldMap{At: func(r, z float64) (float64, float64, float64) { return math.NaN(), 0, 0 }}
	if _, err := DrawSection(draw.New(raster.New(img, 72)), deskCoil(), SectionOptions{Field: field}, Light()); !errors.Is(err, ErrNotFinite) {
		t.Errorf("a field with holes: %v, want ErrNotFinite", err)
	}
}

// The lines lie where the potential is that of their name: circles round a point charge.
func TestContour(t *testing.T) {
	var g fieldGrid
	const n, step = 60, 0.0005
	for i := range n {
		g.r = append(g.r, step*float64(i))
		g.z = append(g.z, step*float64(i))
	}
	at := pointField(0.015)
	for _, z := range g.z {
		for _, r := range g.r {
			p, _, _ := at(r, z)
			g.potential = append(g.potential, p)
		}
	}
	pieces := 0
	parity := map[[2]float64]int{} // of the pieces that meet at a place: they even out
	g.contour(g.potential, 0.8, func(cell int, r0, z0, r1, z1 float64) {
		pieces++
		for _, end := range [][2]float64{{r0, z0}, {r1, z1}} {
			parity[end] += 2*(cell%2) - 1
		}
		for _, d := range []float64{math.Hypot(r0, z0-0.015), math.Hypot(r1, z1-0.015)} {
			if math.Abs(d/0.0125-1) > 0.005 {
				t.Errorf("line of 0.8 V at %g m from the charge, want 12.5 mm (V = 1 cm/d)", d)
			}
		}
		if math.Hypot(r1-r0, z1-z0) > step*math.Sqrt2*(1+1e-9) {
			t.Errorf("a piece of the line is %g m long, longer than its cell", math.Hypot(r1-r0, z1-z0))
		}
	})
	if pieces < 50 {
		t.Errorf("%d pieces of line, want about half a circle of them", pieces)
	}
	loose := 0
	for end, sum := range parity {
		if sum != 0 && end[0] > 0 && end[1] > 0 {
			loose++
		}
	}
	if loose > 4 { // where rounding sets the ends of two pieces apart
		t.Errorf("%d of %d places join pieces of equal number: a dashed line would have holes", loose, len(parity))
	}
}

func TestFieldSteps(t *testing.T) {
	for volts, want := range map[float64][]float64{1e3: {1e3, 2e3, 5e3, 1e4, 2e4, 5e4, 1e5}, 9300: {5e3, 1e4, 2e4, 5e4, 1e5, 2e5, 5e5}} {
		for i, got := range fieldSteps(volts) {
			if math.Abs(got/want[i]-1) > 1e-9 {
				t.Errorf("steps at %g V: %v, want %v", volts, fieldSteps(volts), want)
				break
			}
		}
	}
}

// Budget of a coarse map, for a slider: 50 ms on one core.
func BenchmarkFieldMap(b *testing.B) {
	onTube := design.New()
	onTube.Secondary.FormerRelativePermittivity = 3
	for _, bench := range []struct {
		name   string
		design design.Design
		coarse bool
	}{{"coarse", design.New(), true}, {"coarse on a tube", onTube, true}, {"fine", design.New(), false}} {
		f, err := design.NewSolver().Field(b.Context(), bench.design)
		if err != nil {
			b.Fatal(err)
		}
		g, err := bench.design.Geometry()
		if err != nil {
			b.Fatal(err)
		}
		b.Run(bench.name, func(b *testing.B) {
			img := image.NewRGBA(image.Rect(0, 0, 480, 600))
			c := raster.New(img, 72)
			for b.Loop() {
				c.Reset()
				if _, err := DrawSection(draw.New(c), g, SectionOptions{Field: &FieldMap{At: f.At, Coarse: bench.coarse}}, Light()); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// Where a tube glows is told with its field, and where the line is if it is not drawn.
func TestTubeLines(t *testing.T) {
	g := deskCoil()
	top := g.TopLoad.Centre
	page := image.NewRGBA(image.Rect(0, 0, 480, 600))
	for _, test := range []struct {
		volts     float64
		near, far string
		why       string
	}{
		{2000, "", ", outside", "1 cm V/d² is 5 kV/m at 63 mm, 500 V/m at 200 mm"},
		{9e4, ", outside", ", outside", "at 42 cm and farther"},
		{0.4, ", nowhere", ", nowhere", "inside the top load"},
	} {
		c := draw.New(raster.New(page, 72))
		s := &section{Canvas: c, geometry: g, style: Light(), frame: frameSection(c.Rectangle, g, Light()).on(c.Rectangle)}
		lines, err := s.field(&FieldMap{At: pointField(top), Volts: test.volts})
		if err != nil {
			t.Fatal(err)
		}
		if !strings.HasSuffix(lines[0].words, "V/m"+test.near) || !strings.HasSuffix(lines[1].words, "V/m"+test.far) {
			t.Errorf("%g V: %s, %s; want %q and %q (%s)", test.volts, lines[0].words, lines[1].words, test.near, test.far, test.why)
		}
	}
}
