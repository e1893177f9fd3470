package plotting

import (
	"flag"
	"image"
	"image/png"
	"math"
	"os"
	"path/filepath"
	"testing"
)

var update = flag.Bool("update", false, "write the pictures anew; look at them before and after")

// sameShare is the share of pixels that may differ from the kept picture, and
// sameLevel by how many levels of 255 a pixel must to count: other processors
// round differently in the last digit, which moves the edge of a line by less
// than that.
const (
	sameShare = 0.002
	sameLevel = 24
)

// compare holds a picture against the kept one.
func compare(t *testing.T, name string, got *image.RGBA) {
	t.Helper()
	path := filepath.Join("testdata", name+".png")
	if *update {
		save(t, path, got)
		return
	}
	file, err := os.Open(path)
	if err != nil {
		save(t, filepath.Join("testdata", "failed", name+".png"), got)
		t.Errorf("%v; run with -update and look", err)
		return
	}
	defer file.Close()
	want, err := png.Decode(file)
	if err != nil {
		t.Fatal(err)
	}
	if want.Bounds() != got.Bounds() {
		t.Errorf("%s is %v, want %v", name, got.Bounds(), want.Bounds())
		return
	}
	differing := 0
	r := got.Bounds()
	for y := r.Min.Y; y < r.Max.Y; y++ {
		for x := r.Min.X; x < r.Max.X; x++ {
			ar, ag, ab, _ := got.At(x, y).RGBA()
			br, bg, bb, _ := want.At(x, y).RGBA()
			for _, d := range []float64{float64(ar) - float64(br), float64(ag) - float64(bg), float64(ab) - float64(bb)} {
				if math.Abs(d)/257 > sameLevel {
					differing++
					break
				}
			}
		}
	}
	if share := float64(differing) / float64(r.Dx()*r.Dy()); share > sameShare {
		save(t, filepath.Join("testdata", "failed", name+".png"), got)
		t.Errorf("%s: %.2f %% of the pixels differ, want at most %.2f %%", name, 100*share, 100*sameShare)
	}
}

func save(t *testing.T, path string, img image.Image) {
	t.Helper()
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		t.Fatal(err)
	}
	file, err := os.Create(path)
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	encoder := png.Encoder{CompressionLevel: png.BestCompression}
	if err := encoder.Encode(file, img); err != nil {
		t.Fatal(err)
	}
}
