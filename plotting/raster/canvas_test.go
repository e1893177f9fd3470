package raster

import (
	"image"
	"image/color"
	"math"
	"sync"
	"testing"

	"codeberg.org/go-fonts/dejavu/dejavusans"
	"golang.org/x/image/font/opentype"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/vgimg"
)

var ink = color.NRGBA{R: 30, G: 60, B: 90, A: 255}

func blank(w, h int) *image.RGBA {
	img := image.NewRGBA(image.Rect(0, 0, w, h))
	New(img, 72).Clear(color.White)
	return img
}

func sans(t testing.TB, size vg.Length) font.Face {
	t.Helper()
	face, err := opentype.Parse(dejavusans.TTF)
	if err != nil {
		t.Fatal(err)
	}
	return font.Face{Font: font.Font{Typeface: "Sans", Size: size}, Face: face}
}

// drawCurves draws strokes and fills of every kind that do not lie on whole
// pixels.
func drawCurves(c vg.Canvas) {
	c.SetColor(ink)
	c.SetLineWidth(2)
	var wave vg.Path
	for i := range 200 {
		p := vg.Point{X: vg.Length(i), Y: vg.Length(60 + 30*math.Sin(float64(i)/15))}
		if i == 0 {
			wave.Move(p)
			continue
		}
		wave.Line(p)
	}
	c.Stroke(wave)

	c.SetLineDash([]vg.Length{7, 3}, 2)
	wave = append(vg.Path(nil), wave...)
	c.Push()
	c.Translate(vg.Point{X: 10, Y: 40})
	c.Rotate(0.1)
	c.Stroke(wave)
	c.Pop()
	c.SetLineDash(nil, 0)

	var dot vg.Path
	dot.Move(vg.Point{X: 165.3, Y: 30.6})
	dot.Arc(vg.Point{X: 150.3, Y: 30.6}, 15, 0, 2*math.Pi)
	dot.Close()
	c.SetColor(color.NRGBA{R: 200, G: 90, B: 40, A: 150})
	c.Fill(dot)

	var blob vg.Path
	blob.Move(vg.Point{X: 20, Y: 20})
	blob.QuadTo(vg.Point{X: 60, Y: 5}, vg.Point{X: 80, Y: 30})
	blob.CubeTo(vg.Point{X: 90, Y: 60}, vg.Point{X: 30, Y: 70}, vg.Point{X: 20, Y: 20})
	blob.Close()
	c.Fill(blob)
	c.Stroke(blob)
}

// meanDifference is the mean over all pixels and channels, in levels of 255.
func meanDifference(a, b image.Image) float64 {
	var sum float64
	r := a.Bounds()
	for y := r.Min.Y; y < r.Max.Y; y++ {
		for x := r.Min.X; x < r.Max.X; x++ {
			ar, ag, ab, _ := a.At(x, y).RGBA()
			br, bg, bb, _ := b.At(x, y).RGBA()
			for _, d := range []float64{float64(ar) - float64(br), float64(ag) - float64(bg), float64(ab) - float64(bb)} {
				sum += math.Abs(d) / 257
			}
		}
	}
	return sum / float64(3*r.Dx()*r.Dy())
}

// TestCanvasAgreesWithStockCanvas compares with vgimg, the image canvas that
// comes with gonum/plot.
func TestCanvasAgreesWithStockCanvas(t *testing.T) {
	for _, dpi := range []float64{72, 144} {
		w, h := int(220*dpi/72), int(140*dpi/72)
		ours := blank(w, h)
		drawCurves(New(ours, dpi))

		stock := vgimg.NewWith(vgimg.UseWH(220, 140), vgimg.UseDPI(int(dpi)), vgimg.UseBackgroundColor(color.White))
		drawCurves(stock)

		// Antialiased edges of two rasterisers differ by a few levels; a shape
		// that is missing or 1 pixel off gives more than 2.
		const tolerance = 0.6
		if got := meanDifference(ours, stock.Image()); got > tolerance {
			t.Errorf("at %g dpi the mean difference to vgimg is %.2f levels, want at most %g", dpi, got, tolerance)
		}
	}
}

func TestUprightLinesLieOnWholePixels(t *testing.T) {
	img := blank(40, 40)
	c := New(img, 72)
	c.SetColor(ink)
	c.SetLineWidth(1)
	var grid vg.Path
	grid.Move(vg.Point{X: 10.3, Y: 0})
	grid.Line(vg.Point{X: 10.3, Y: 40})
	c.Stroke(grid)
	for y := range 40 {
		for x := range 40 {
			want := color.RGBA{255, 255, 255, 255}
			if x == 10 {
				want = color.RGBA{ink.R, ink.G, ink.B, 255}
			}
			if got := img.RGBAAt(x, y); got != want {
				t.Fatalf("pixel %d, %d = %v, want %v (a line of one pixel at 10)", x, y, got, want)
			}
		}
	}
}

func TestDashesAddUp(t *testing.T) {
	for _, test := range []struct {
		name        string
		pattern     []vg.Length
		offset      vg.Length
		x0, x1      vg.Length
		wantDark    int
		dark, light []int // columns
		source      string
	}{
		{"from the left edge", []vg.Length{6, 4}, 0, 0, 100, 60, []int{0, 5, 10}, []int{6, 9}, "10 periods of 6 drawn"},
		{"shifted", []vg.Length{6, 4}, 6, 0, 100, 60, []int{4, 9}, []int{0, 3}, "starts with the gap"},
		{"odd pattern", []vg.Length{5}, 0, 0, 100, 50, []int{0, 4, 10}, []int{5, 9}, "5 drawn, 5 left out"},
		{"from far outside", []vg.Length{6, 4}, 0, -1e6, 100, 60, []int{0, 5}, []int{6, 9}, "a million is whole periods"},
	} {
		img := blank(100, 10)
		c := New(img, 72)
		c.SetColor(ink)
		c.SetLineWidth(2)
		c.SetLineDash(test.pattern, test.offset)
		var line vg.Path
		line.Move(vg.Point{X: test.x0, Y: 5})
		line.Line(vg.Point{X: test.x1, Y: 5})
		c.Stroke(line)
		dark := func(x int) bool { return img.RGBAAt(x, 5).R < 128 }
		got := 0
		for x := range 100 {
			if dark(x) {
				got++
			}
		}
		if got != test.wantDark {
			t.Errorf("%s: %d dark columns, want %d (%s)", test.name, got, test.wantDark, test.source)
		}
		for _, x := range test.dark {
			if !dark(x) {
				t.Errorf("%s: column %d is light, want dark", test.name, x)
			}
		}
		for _, x := range test.light {
			if dark(x) {
				t.Errorf("%s: column %d is dark, want light", test.name, x)
			}
		}
	}
}

// TestDrawingStaysInsideTheImage draws far over every edge of a part of a
// larger image and expects the rest of it untouched.
func TestDrawingStaysInsideTheImage(t *testing.T) {
	whole := blank(120, 90)
	part := whole.SubImage(image.Rect(30, 20, 90, 70)).(*image.RGBA)
	c := New(part, 72)
	face := sans(t, 12)
	c.SetColor(ink)
	for _, far := range []vg.Length{40, 1e3, 1e5, 1e9} {
		var shape vg.Path
		shape.Move(vg.Point{X: -far, Y: -far})
		shape.Line(vg.Point{X: far, Y: far + 1})
		shape.Line(vg.Point{X: far, Y: -far / 2})
		c.SetLineWidth(3)
		c.Stroke(shape)
		shape.Close()
		c.Fill(shape)
		var rect vg.Path
		rect.Move(vg.Point{X: -far, Y: 10})
		rect.Line(vg.Point{X: far, Y: 10})
		rect.Line(vg.Point{X: far, Y: 20})
		rect.Line(vg.Point{X: -far, Y: 20})
		rect.Close()
		c.Fill(rect)
		c.FillString(face, vg.Point{X: -far, Y: 5}, "outside")
		c.FillString(face, vg.Point{X: 50, Y: 45}, "across the edge")
	}
	painted := 0
	for y := range 90 {
		for x := range 120 {
			clean := whole.RGBAAt(x, y) == color.RGBA{255, 255, 255, 255}
			if inside := (image.Point{x, y}).In(part.Rect); !inside && !clean {
				t.Fatalf("pixel %d, %d outside the part was painted", x, y)
			} else if inside && !clean {
				painted++
			}
		}
	}
	if painted < part.Rect.Dx()*part.Rect.Dy()/4 {
		t.Errorf("%d pixels painted inside the part, want at least a quarter of it", painted)
	}
}

// TestPartOfAnImageLooksAsTheWhole draws the same into an image, and shifted
// into a part of a larger one that shows only the middle of it.
func TestPartOfAnImageLooksAsTheWhole(t *testing.T) {
	const left, top, width, height = 50, 30, 90, 61
	alone := blank(220, 140)
	larger := blank(300, 200)
	part := larger.SubImage(image.Rect(10, 20, 10+width, 20+height)).(*image.RGBA)
	for _, img := range []*image.RGBA{alone, part} {
		c := New(img, 72)
		if img == part {
			c.Translate(vg.Point{X: -left, Y: height + top - 140})
		}
		drawCurves(c)
		c.Fill(vg.Rectangle{Min: vg.Point{X: 60, Y: 60}, Max: vg.Point{X: 70, Y: 90}}.Path())
		c.FillString(sans(t, 14), vg.Point{X: 100, Y: 100}, "4.1 MHz")
	}
	// A line cut at the edge may start a 64th of a pixel elsewhere.
	const tolerance = 12
	for y := range height {
		for x := range width {
			got, want := part.RGBAAt(x+10, y+20), alone.RGBAAt(x+left, y+top)
			if d := math.Abs(float64(got.R) - float64(want.R)); d > tolerance {
				t.Fatalf("pixel %d, %d = %v in the part, want %v", x, y, got, want)
			}
		}
	}
}

// TestTextInEveryDirection compares kept runs with the same text filled from
// its outlines.
func TestTextInEveryDirection(t *testing.T) {
	face := sans(t, 30)
	for quarters := range 4 {
		kept, filled := blank(240, 240), blank(240, 240)
		for _, img := range []*image.RGBA{kept, filled} {
			c := New(img, 72)
			c.SetColor(color.Black)
			c.Translate(vg.Point{X: 120, Y: 120})
			c.Rotate(float64(quarters) * math.Pi / 2)
			if img == kept {
				c.FillString(face, vg.Point{}, "Ω 10⁻³")
			} else {
				c.fillGlyphs(face, vg.Point{}, "Ω 10⁻³")
			}
		}
		if blankDiff := meanDifference(kept, blank(240, 240)); blankDiff < 2 {
			t.Errorf("%d quarter turns: the text covers %.1f levels, want at least 2", quarters, blankDiff)
		}
		// Glyphs of a kept run start on quarters of a pixel; a run 1 pixel off
		// gives more than 1.5.
		const tolerance = 0.6
		if got := meanDifference(kept, filled); got > tolerance {
			t.Errorf("%d quarter turns: mean difference to the outlines %.2f levels, want at most %g", quarters, got, tolerance)
		}
	}
}

func TestCanvasesDrawAtOnce(t *testing.T) {
	face := sans(t, 11)
	want := blank(220, 140)
	paint := func(img *image.RGBA) {
		c := New(img, 72)
		drawCurves(c)
		for i := range 20 {
			c.FillString(face, vg.Point{X: vg.Length(i), Y: vg.Length(6 * i)}, string(rune('a'+i))+" 1.902 MHz")
		}
	}
	paint(want)
	var wait sync.WaitGroup
	for range 4 {
		wait.Go(func() {
			for range 5 {
				img := blank(220, 140)
				paint(img)
				if d := meanDifference(img, want); d != 0 {
					t.Errorf("a canvas beside others differs by %g levels, want 0", d)
				}
			}
		})
	}
	wait.Wait()
}

func BenchmarkCurve(b *testing.B) {
	c := New(blank(700, 450), 72)
	c.SetColor(ink)
	c.SetLineWidth(2)
	var wave vg.Path
	wave.Move(vg.Point{X: 0, Y: 225})
	for i := range 500 {
		wave.Line(vg.Point{X: vg.Length(i) * 1.4, Y: vg.Length(225 + 200*math.Sin(float64(i)/60))})
	}
	b.ReportAllocs()
	for b.Loop() {
		c.Stroke(wave)
	}
}

// BenchmarkHatch strokes the near level lines of a winding.
func BenchmarkHatch(b *testing.B) {
	c := New(blank(392, 640), 72)
	c.SetColor(ink)
	c.SetLineWidth(2.5)
	var lines vg.Path
	for y := vg.Length(100.0); y < 450; y += 4 {
		lines.Move(vg.Point{X: 130, Y: y})
		lines.Line(vg.Point{X: 260, Y: y + 2})
	}
	b.ReportAllocs()
	for b.Loop() {
		c.Stroke(lines)
	}
}
