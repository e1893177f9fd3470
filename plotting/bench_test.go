package plotting

import (
	"fmt"
	"image"
	"testing"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg/draw"

	"coilwright/physics/design"
	"coilwright/plotting/raster"
)

// live are the three figures of the window.
func live(style Style) ([]*plot.Plot, error) {
	turns, err := TurnsFigure(turnsCurve(), Units{}, style)
	if err != nil {
		return nil, err
	}
	size, err := SizeFigure(sizeCurve(), Units{}, style)
	if err != nil {
		return nil, err
	}
	count, err := CountFigure(countCurve(), Units{}, style)
	return []*plot.Plot{turns, size, count}, err
}

// BenchmarkFigure draws each figure at 700 × 450 logical pixels: its budget is
// 1.3 ms at 1x.
func BenchmarkFigure(b *testing.B) {
	plots, err := live(Light())
	if err != nil {
		b.Fatal(err)
	}
	for i, name := range []string{"turns", "size", "count"} {
		for _, scale := range []int{1, 2} {
			b.Run(fmt.Sprintf("%s/%dx", name, scale), func(b *testing.B) {
				c := raster.New(image.NewRGBA(image.Rect(0, 0, 700*scale, 450*scale)), 72*float64(scale))
				b.ReportAllocs()
				for b.Loop() {
					Render(plots[i], c)
				}
			})
		}
	}
}

// BenchmarkThreeFigures builds and draws all three, as a slider step does: its
// budget is 8 ms at 1x, the aim 4.
func BenchmarkThreeFigures(b *testing.B) {
	for _, scale := range []int{1, 2} {
		b.Run(fmt.Sprintf("%dx", scale), func(b *testing.B) {
			var canvases []*raster.Canvas
			for range 3 {
				canvases = append(canvases, raster.New(image.NewRGBA(image.Rect(0, 0, 700*scale, 450*scale)), 72*float64(scale)))
			}
			b.ReportAllocs()
			for b.Loop() {
				plots, err := live(Light())
				if err != nil {
					b.Fatal(err)
				}
				for i, p := range plots {
					Render(p, canvases[i])
				}
			}
		})
	}
}

// BenchmarkSection draws the coil with its voltage: its budget is 3 ms at 392 ×
// 640 logical pixels. Turns that are just told apart cost most.
func BenchmarkSection(b *testing.B) {
	finest := deskCoil()
	finest.Winding.Turns = 130
	finest.Winding.Pitch = (finest.Winding.Top - finest.Winding.Bottom) / 130
	finest.Winding.OverallDiameter = finest.Winding.Pitch / 1.03
	for _, coil := range []struct {
		name     string
		geometry design.Geometry
	}{{"texture", deskCoil()}, {"finest", finest}, {"thick", handCoil()}} {
		for _, scale := range []int{1, 2} {
			b.Run(fmt.Sprintf("%s/%dx", coil.name, scale), func(b *testing.B) {
				c := raster.New(image.NewRGBA(image.Rect(0, 0, 392*scale, 640*scale)), 72*float64(scale))
				options := SectionOptions{Voltage: quarterWave(coil.geometry), VoltageTop: "4.1 kV"}
				style := Light()
				b.ReportAllocs()
				for b.Loop() {
					c.Reset()
					if _, err := DrawSection(draw.New(c), coil.geometry, options, style); err != nil {
						b.Fatal(err)
					}
				}
			})
		}
	}
}
