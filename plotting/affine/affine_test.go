package affine

import (
	"math"
	"testing"
)

func TestMapOrder(t *testing.T) {
	// A drawing that says "shift, then turn, then scale" means: the point is
	// scaled first, turned next, shifted last.
	m := Identity.Translate(10, 20).Rotate(math.Pi/2).Scale(2, 3)
	for _, test := range []struct {
		name         string
		x, y         float64
		wantX, wantY float64
		source       string
	}{
		{"origin", 0, 0, 10, 20, "the shift alone"},
		{"x axis", 1, 0, 10, 22, "2 along x, turned to y, shifted"},
		{"y axis", 0, 1, 7, 20, "3 along y, turned to -x, shifted"},
	} {
		x, y := m.Apply(test.x, test.y)
		if math.Abs(x-test.wantX) > 1e-12 || math.Abs(y-test.wantY) > 1e-12 {
			t.Errorf("%s: Apply(%g, %g) = %g, %g, want %g, %g (%s)", test.name, test.x, test.y, x, y, test.wantX, test.wantY, test.source)
		}
	}
	if got, want := m.Magnification(), math.Sqrt(6); math.Abs(got-want) > 1e-12 {
		t.Errorf("Magnification() = %g, want %g (root of 2 × 3)", got, want)
	}
}
