package wire

import (
	"math"
	"testing"
)

// TestPublishedResistance compares with printed tables of ohms per 1000 feet.
func TestPublishedResistance(t *testing.T) {
	// The charts took diameters rounded to 0.1 mil, and print three figures at
	// worst, 16.2 Ω.
	const rounded, printed = 0.05 * 1e-3 * inch, 0.05 / 16.2
	const thousandFeet = 304.8
	for n, want := range published(t, 2) {
		g, err := numbered(AWG, n)
		if err != nil {
			t.Fatal(err)
		}
		tol := 2*rounded/g.Diameter + printed
		if got := ResistanceDC(thousandFeet, g.Diameter, 20); math.Abs(got/want-1) > tol {
			t.Errorf("1000 ft of AWG %d are %.5g Ω, want %.4g Ω within %g (magnet-wire charts, testdata/awg.csv)", n, got, want, tol)
		}
	}
}

func TestCopper(t *testing.T) {
	for _, test := range []struct {
		name      string
		got, want float64
		tol       float64 // relative
		source    string
	}{
		{"resistivity at 20 °C", Resistivity(20), 17.241e-9, 3e-5, "IEC 60028: 17.241 nΩm"},
		{"rise to 100 °C", Resistivity(100) / Resistivity(20), 1.3144, 1e-12, "1 + 80 × 0.00393"},
		{"1 mm², 1 m", ResistanceDC(1, math.Sqrt(4/math.Pi)*1e-3, 20), 1.0 / 58, 1e-12, "IEC 60028: 1/58 Ω"},
		{"AWG 10, 1000 ft", Mass(304.8, 2.58819e-3) / 0.45359237, 31.43, 2e-4, "31.43 lb: Kuphaldt, Lessons In Electric Circuits, vol. 5"},
		{"AWG 2/0, 1000 ft", Mass(304.8, 0.3648*inch) / 0.45359237, 402.8, 3e-4, "402.8 lb: Kuphaldt, Lessons In Electric Circuits, vol. 5"},
	} {
		if math.Abs(test.got/test.want-1) > test.tol {
			t.Errorf("%s: %.6g, want %.6g within %g (%s)", test.name, test.got, test.want, test.tol, test.source)
		}
	}
}

// TestHelixLength measures a helix as a polygon with very many corners.
func TestHelixLength(t *testing.T) {
	for _, test := range []struct{ turns, diameter, pitch float64 }{
		{1, 0.025, 0.0002},
		{310.25, 0.0252, 0.00023},
		{2.5, 0.01, 0.05}, // a steep one, where the pitch counts
	} {
		const corners = 200000
		length := 0.0
		at := func(i int) (x, y, z float64) {
			turn := test.turns * float64(i) / corners
			s, c := math.Sincos(2 * math.Pi * turn)
			return test.diameter / 2 * c, test.diameter / 2 * s, test.pitch * turn
		}
		for i := range corners {
			x0, y0, z0 := at(i)
			x1, y1, z1 := at(i + 1)
			length += math.Sqrt((x1-x0)*(x1-x0) + (y1-y0)*(y1-y0) + (z1-z0)*(z1-z0))
		}
		// A chord is short of its arc by φ²/24 to first order.
		phi := 2 * math.Pi * test.turns / corners
		if got := HelixLength(test.turns, test.diameter, test.pitch); math.Abs(got/length-1) > phi*phi/23+1e-10 {
			t.Errorf("HelixLength(%g, %g, %g) = %.9g m, want %.9g m (polygon of %d corners)", test.turns, test.diameter, test.pitch, got, length, corners)
		}
	}
}
