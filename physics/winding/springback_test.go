package winding

import (
	"bytes"
	"encoding/csv"
	"errors"
	"math"
	"os"
	"strconv"
	"testing"
)

// TestSpringBackTable holds the growth of a loop of AWG 16 wound on 15.875 mm
// against a table printed to 0.1 %; its file says where it is from. The sheet is
// no wire, but the same theory with another section: it springs by 1.5 over
// 16/3π as much, the ratio of the shape factors.
func TestSpringBackTable(t *testing.T) {
	content, err := os.ReadFile("testdata/springback.csv")
	if err != nil {
		t.Fatal(err)
	}
	r := csv.NewReader(bytes.NewReader(content))
	r.Comment = '#'
	rows, err := r.ReadAll()
	if err != nil || len(rows) != 5 {
		t.Fatalf("%d rows, %v", len(rows), err)
	}
	const d, former = 1.2908e-3, 15.875e-3
	const radius = (former + d) / 2
	for _, row := range rows[1:] {
		var v [3]float64
		for i := range v {
			if v[i], err = strconv.ParseFloat(row[i], 64); err != nil {
				t.Fatal(err)
			}
		}
		yield := v[0] * 1e6
		got, err := SpringBack(d, radius, yield, CopperModulus)
		if err != nil || math.Abs(100*(got-1)-v[2]) > 0.06 {
			t.Errorf("SpringBack(%g MPa) = 1 + %.3f %%, %v, want %g %%", v[0], 100*(got-1), err, v[2])
		}
		x := former / 2 * yield / (CopperModulus * d)
		if sheet := 1/(4*x*x*x-3*x+1) - 1; math.Abs(100*sheet-v[1]) > 0.06 {
			t.Errorf("the sheet formula gives %.3f %% at %g MPa, the table %g %%", 100*sheet, v[0], v[1])
		}
	}
	thick, err := SpringBack(2.0525e-3, (former+2.0525e-3)/2, 70e6, CopperModulus)
	thin, _ := SpringBack(d, radius, 70e6, CopperModulus)
	if ratio := (thick - 1) / (thin - 1); err != nil || math.Abs(ratio-0.65) > 0.02 {
		t.Errorf("AWG 12 opens %.3f times as far as AWG 16, %v, want about 0.65", ratio, err)
	}
}

// TestShapeFactor compares the moment of a wire that has yielded all through
// with that at which it begins to yield: 16/3π = 1.70 for a solid round bar
// (Timoshenko, Strength of Materials, part II, plastic bending; from memory).
func TestShapeFactor(t *testing.T) {
	const d, radius, yield = 1e-3, 5e-3, 1e6
	growth, err := SpringBack(d, radius, yield, CopperModulus)
	if err != nil {
		t.Fatal(err)
	}
	full := (1 - 1/growth) * CopperModulus * math.Pi / 64 * math.Pow(d, 4) / radius
	first := yield * math.Pi / 32 * d * d * d
	if got, want := full/first, 16/(3*math.Pi); math.Abs(got/want-1) > 1e-4 {
		t.Errorf("the shape factor is %.5f, want %.5f", got, want)
	}
}

// stripMoment integrates the moment of a bent wire by strips across it, which shares
// no formula with the code.
func stripMoment(a, radius, yield, modulus float64) float64 {
	const strips = 400000
	sum, step := 0.0, 2*a/strips
	for i := range strips {
		y := -a + (float64(i)+0.5)*step
		stress := math.Max(-yield, math.Min(yield, modulus*y/radius))
		sum += stress * y * 2 * math.Sqrt(a*a-y*y) * step
	}
	return sum
}

func TestSpringBackAgainstStrips(t *testing.T) {
	for _, test := range []struct{ diameter, radius, yield float64 }{
		{1.29e-3, 8.6e-3, 75e6},               // yielded all through
		{1.29e-3, 50e-3, 300e6},               // a core of a fifth
		{0.5e-3, 100e-3, 250e6},               // nearly all of it elastic
		{2.05e-3, 4e-3, 33e6},                 // below the switch to the series
		{1e-3, 0.5e-3 / 1e-3, 117e6 * 0.0011}, // just above it
	} {
		a := test.diameter / 2
		moment := stripMoment(a, test.radius, test.yield, CopperModulus)
		want := 1 / (1 - moment*test.radius/(CopperModulus*math.Pi/4*a*a*a*a))
		got, err := SpringBack(test.diameter, test.radius, test.yield, CopperModulus)
		if err != nil || math.Abs((got-1)/(want-1)-1) > 1e-6 {
			t.Errorf("SpringBack(%+v) = 1 + %.9g, %v, want 1 + %.9g (strips)", test, got-1, err, want-1)
		}
	}
}

func TestSpringBackLimits(t *testing.T) {
	if _, err := SpringBack(1e-3, 1, 200e6, CopperModulus); !errors.Is(err, ErrElastic) || !errors.Is(err, ErrPlan) {
		t.Errorf("a bend of 1 m radius gives %v, want ErrElastic", err)
	}
	if got, err := SpringBack(1e-3, 0.01, 0, CopperModulus); err != nil || got != 1 {
		t.Errorf("copper that yields at once springs by %g, %v, want not at all", got, err)
	}
	for _, yield := range []float64{20e6, 75e6, 300e6} {
		growth, err := SpringBack(1.29e-3, 8.6e-3, yield, CopperModulus)
		if err != nil {
			t.Fatal(err)
		}
		if back, err := YieldFrom(1.29e-3, 8.6e-3, growth, CopperModulus); err != nil || math.Abs(back/yield-1) > 1e-9 {
			t.Errorf("YieldFrom gives %g Pa back, %v, want %g", back, err, yield)
		}
	}
	for _, growth := range []float64{0.9, math.NaN(), math.Inf(1)} {
		if y, err := YieldFrom(1e-3, 0.01, growth, CopperModulus); err == nil {
			t.Errorf("YieldFrom(growth %g) = %g Pa, want an error", growth, y)
		}
	}
}

// TestFormerForTheLoop winds on the former the plan asks for and lets go.
func TestFormerForTheLoop(t *testing.T) {
	r := clubRing()
	s, err := r.spring()
	if err != nil {
		t.Fatal(err)
	}
	wound := (s.FormerToUse + r.WireDiameter) / 2
	growth, err := SpringBack(r.WireDiameter, wound, SoftYield, CopperModulus)
	if got := 2*wound*growth - r.WireDiameter; err != nil || math.Abs(got-r.FormerDiameter) > 1e-9 {
		t.Errorf("wound on %g m a turn comes off %g m inside, %v, want %g m", s.FormerToUse, got, err, r.FormerDiameter)
	}
	r.MeasuredLoop = 1.03 * r.FormerDiameter
	s, err = r.spring()
	if err != nil || s.LoopInside != r.MeasuredLoop && math.Abs(s.LoopInside-r.MeasuredLoop) > 1e-12 || !s.Measured {
		t.Errorf("a measured loop of %g m gives %+v, %v", r.MeasuredLoop, s, err)
	}
}
