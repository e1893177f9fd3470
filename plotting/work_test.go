package plotting

import (
	"image"
	"image/color"
	"math"
	"testing"

	"gonum.org/v1/plot/vg/draw"

	"coilwright/physics/design"
	"coilwright/physics/winding"
	"coilwright/plotting/raster"
)

// worked draws work on a picture.
func worked(t *testing.T, w Work) *image.RGBA {
	t.Helper()
	picture := image.NewRGBA(image.Rect(0, 0, 900, 300))
	DrawWork(draw.New(raster.New(picture, 72)), w, Light())
	return picture
}

// extent returns how wide the pixels of a colour reach on a row, and how many
// there are in all.
func extent(picture *image.RGBA, ink color.NRGBA, left, right int) (width, count int) {
	low, high := math.MaxInt, -1
	for y := range picture.Rect.Dy() {
		for x := left; x < right; x++ {
			c := picture.RGBAAt(x, y)
			if c.R == ink.R && c.G == ink.G && c.B == ink.B {
				low, high = min(low, x), max(high, x)
				count++
			}
		}
	}
	return max(0, high-low+1), count
}

// TestWorkIsToScale measures the wound part of the secondary: twice the turns
// are twice as long, and all of them as long as the winding is to its former.
func TestWorkIsToScale(t *testing.T) {
	g := handCoil() // 55 turns, each of which can be seen
	style := Light()
	widths := map[float64]int{}
	for _, turns := range []float64{0, 11, 22, 55} {
		w, _ := extent(worked(t, Work{Part: SecondaryPart, Kind: winding.Wind, Turns: turns, Geometry: g}), style.Wire, 0, 900)
		widths[turns] = w
	}
	former := worked(t, Work{Part: SecondaryPart, Kind: winding.Wind, Geometry: g})
	tube, _ := extent(former, style.Former, 0, 900)
	scale := float64(tube) / (g.Former.Top - g.Former.Bottom)
	if widths[0] != 0 {
		t.Errorf("without a turn copper reaches over %d pixels", widths[0])
	}
	for _, turns := range []float64{11, 22, 55} {
		want := turns * g.Winding.Pitch * scale
		if got := float64(widths[turns]); math.Abs(got-want) > 4 {
			t.Errorf("%g turns reach over %g pixels, want %.1f", turns, got, want)
		}
	}
}

// TestRingClosesWithTheTurns sees more copper in the ring with every turn, and
// the former go when the coil slides off.
func TestRingClosesWithTheTurns(t *testing.T) {
	g, style := deskCoil(), Light()
	before := 0
	for _, turns := range []float64{5, 10, 19} {
		_, count := extent(worked(t, Work{Part: RingPart, Kind: winding.Wind, Turns: turns, Spare: 3, Geometry: g}), style.Wire, 0, 900)
		if count <= before {
			t.Errorf("%g turns show %d pixels of copper, fewer turns %d", turns, count, before)
		}
		before = count
	}
	on, _ := extent(worked(t, Work{Part: RingPart, Kind: winding.Spare, Turns: 22, Spare: 3, Geometry: g}), style.Former, 0, 900)
	off, _ := extent(worked(t, Work{Part: RingPart, Kind: winding.Slide, Turns: 22, Spare: 3, Geometry: g}), style.Former, 0, 900)
	if on == 0 || off != 0 {
		t.Errorf("the former reaches over %d pixels while winding and %d once it is out", on, off)
	}
	if spare, _ := extent(worked(t, Work{Part: RingPart, Kind: winding.Spare, Turns: 22, Spare: 3, Geometry: g}), style.Spare, 0, 900); spare == 0 {
		t.Error("spare turns do not show")
	}
	if joints, _ := extent(worked(t, Work{Part: RingPart, Kind: winding.Solder, Turns: 19, Geometry: g}), style.Second, 0, 900); joints == 0 {
		t.Error("joints do not show")
	}
}

func TestPrimaryFollowsTheTurns(t *testing.T) {
	g, style := deskCoil(), Light()
	flat := g
	flat.Primary.Places = nil
	for i := range 4 {
		flat.Primary.Places = append(flat.Primary.Places, design.Spot{R: 0.023 + 0.003*float64(i), Z: 0.01})
	}
	for name, geometry := range map[string]design.Geometry{"cylinder": g, "spiral": flat} {
		before := -1
		for _, turns := range []float64{0, 1, 2, 4} {
			_, count := extent(worked(t, Work{Part: PrimaryWound, Kind: winding.Wind, Turns: turns, Geometry: geometry}), style.Wire, 0, 900)
			if count <= before {
				t.Errorf("%s: %g turns show %d pixels of copper, fewer turns %d", name, turns, count, before)
			}
			before = count
		}
	}
}

// TestWiringNamesEnds draws on a watched canvas and finds every name inside the
// page.
func TestWiringNamesEnds(t *testing.T) {
	for _, g := range []design.Geometry{deskCoil(), handCoil()} {
		picture := image.NewRGBA(image.Rect(0, 0, 420, 520))
		c := draw.New(raster.New(picture, 72))
		if err := DrawWiring(c, g, Units{}, Light()); err != nil {
			t.Fatal(err)
		}
		if _, count := extent(picture, Light().Second, 0, 420); count < 200 {
			t.Errorf("only %d pixels of names and arrow", count)
		}
		if _, count := extent(picture, Light().Second, 418, 420); count != 0 {
			t.Error("a name reaches the edge of the page")
		}
	}
}
