package pdf

import (
	"bytes"
	"image"
	"image/color"
	"image/png"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"

	"codeberg.org/go-fonts/dejavu/dejavusans"
	"golang.org/x/image/font/opentype"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"

	"coilwright/plotting/raster"
)

var day = time.Date(2026, 3, 14, 15, 9, 0, 0, time.UTC)

// drawAll uses everything a canvas can do: widths, dashes, colours that shine
// through, arcs, curves, turned and scaled text, an image, nested states.
func drawAll(t testing.TB, c vg.Canvas) {
	t.Helper()
	parsed, err := opentype.Parse(dejavusans.TTF)
	if err != nil {
		t.Fatal(err)
	}
	face := func(size vg.Length) font.Face {
		return font.Face{Font: font.Font{Typeface: "DejaVu Sans", Size: size}, Face: parsed}
	}
	copper, blue := color.NRGBA{R: 0xB2, G: 0x5F, B: 0x2A, A: 0xFF}, color.NRGBA{R: 0x2C, G: 0x6E, B: 0x8F, A: 0x80}

	var wave vg.Path
	wave.Move(vg.Point{X: 10, Y: 100})
	for i := range 200 {
		wave.Line(vg.Point{X: vg.Length(10 + i), Y: vg.Length(100 + 40*math.Sin(float64(i)/20))})
	}
	c.SetColor(copper)
	c.SetLineWidth(3)
	c.Stroke(wave)

	c.Push()
	c.SetColor(blue)
	c.SetLineDash([]vg.Length{8, 5}, 3)
	c.Translate(vg.Point{X: 0, Y: -30})
	c.Stroke(wave)
	c.Push()
	c.Translate(vg.Point{X: 150, Y: 60})
	c.Rotate(math.Pi / 3)
	c.Scale(2, 2)
	c.SetLineDash(nil, 0)
	var pie vg.Path
	pie.Move(vg.Point{})
	pie.Arc(vg.Point{}, 20, 0.3, 4)
	pie.Close()
	c.Fill(pie)
	c.FillString(face(9), vg.Point{X: 5, Y: 0}, "Ω 10⁻³")
	c.Pop()
	c.Pop()

	var drop vg.Path // copper, undashed and opaque again
	drop.Move(vg.Point{X: 30, Y: 20})
	drop.QuadTo(vg.Point{X: 60, Y: 70}, vg.Point{X: 90, Y: 20})
	drop.CubeTo(vg.Point{X: 80, Y: 0}, vg.Point{X: 40, Y: 0}, vg.Point{X: 30, Y: 20})
	drop.Close()
	c.Fill(drop)
	c.FillString(face(24), vg.Point{X: 10, Y: 170}, "1.902 MHz")
	c.Push()
	c.Rotate(math.Pi / 2)
	c.FillString(face(16), vg.Point{X: 20, Y: -230}, "4.1 kV −5")
	c.Pop()

	picture := image.NewRGBA(image.Rect(0, 0, 2, 2))
	for i := range picture.Pix {
		picture.Pix[i] = 0xFF // white
	}
	for y := range 2 {
		picture.SetRGBA(0, y, color.RGBA{R: 0x3E, G: 0x7D, B: 0x3A, A: 0xFF})
	}
	c.DrawImage(vg.Rectangle{Min: vg.Point{X: 180, Y: 10}, Max: vg.Point{X: 200, Y: 30}}, picture)
}

func write(t testing.TB) []byte {
	t.Helper()
	doc := New(250, 200, "everything", day)
	drawAll(t, doc.AddPage())
	var file bytes.Buffer
	if err := doc.Write(&file); err != nil {
		t.Fatal(err)
	}
	return file.Bytes()
}

func TestSameDrawingSameBytes(t *testing.T) {
	if !bytes.Equal(write(t), write(t)) {
		t.Error("the same drawing gave two different files")
	}
}

// TestPageLooksLikeThePicture has another program, poppler's pdftoppm, draw the
// page and compares it with the same drawing on the canvas for pictures.
func TestPageLooksLikeThePicture(t *testing.T) {
	program, err := exec.LookPath("pdftoppm")
	if err != nil {
		t.Skip("pdftoppm is not installed")
	}
	const dpi = 144
	folder := t.TempDir()
	path := filepath.Join(folder, "page.pdf")
	if err := os.WriteFile(path, write(t), 0o600); err != nil {
		t.Fatal(err)
	}
	if out, err := exec.Command(program, "-r", "144", "-png", "-singlefile", path, filepath.Join(folder, "page")).CombinedOutput(); err != nil {
		t.Fatalf("pdftoppm: %v\n%s", err, out)
	}
	file, err := os.Open(filepath.Join(folder, "page.png"))
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	page, err := png.Decode(file)
	if err != nil {
		t.Fatal(err)
	}
	picture := image.NewRGBA(image.Rect(0, 0, 500, 400))
	c := raster.New(picture, dpi)
	c.Clear(color.White)
	drawAll(t, c)
	if page.Bounds() != picture.Bounds() {
		t.Fatalf("the page is %v, want %v", page.Bounds(), picture.Bounds())
	}
	var sum float64
	for y := range 400 {
		for x := range 500 {
			ar, ag, ab, _ := page.At(x, y).RGBA()
			br, bg, bb, _ := picture.At(x, y).RGBA()
			for _, d := range []float64{float64(ar) - float64(br), float64(ag) - float64(bg), float64(ab) - float64(bb)} {
				sum += math.Abs(d) / 257
			}
		}
	}
	// Edges and hinting of type differ by a level or so on the whole; a wave
	// drawn without its dashes gives 1.7, text turned the wrong way 2.1.
	const tolerance = 1.3
	if mean := sum / (3 * 500 * 400); mean > tolerance {
		t.Errorf("the mean difference between page and picture is %.2f levels of 255, want at most %g", mean, tolerance)
	}
}
