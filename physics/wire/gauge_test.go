package wire

import (
	"encoding/csv"
	"errors"
	"math"
	"os"
	"strconv"
	"testing"

	"coilwright/physics/si"
)

const inch = 0.0254 // m

func TestParse(t *testing.T) {
	for _, test := range []struct {
		text   string
		name   string
		want   float64 // m
		tol    float64 // relative
		source string
	}{
		{"AWG 36", "AWG 36", 0.005 * inch, 1e-15, "ASTM B258: exact"},
		{"AWG 4/0", "AWG 4/0", 0.46 * inch, 1e-15, "ASTM B258: exact"},
		{"AWG 0000", "AWG 4/0", 0.46 * inch, 1e-15, "ASTM B258: exact"},
		{"awg 2/0", "AWG 2/0", 0.3648 * inch, 2e-4, "Kuphaldt, Lessons In Electric Circuits, vol. 5, 4 figures"},
		{"AWG 0", "AWG 1/0", 0.3249 * inch, 2e-4, "Kuphaldt, Lessons In Electric Circuits, vol. 5, 4 figures"},
		{"awg32", "AWG 32", 0.00795 * inch, 7e-4, "0.0080 in rounded from 0.00795, ASTM B258 table, from memory"},
		{"32 AWG", "AWG 32", 0.00795 * inch, 7e-4, "the same"},
		{"AWG 56", "AWG 56", 0.00049 * inch, 0.011, "ASTM B258: rounded to 0.00001 in, from memory"},
		{"SWG 36", "SWG 36", 0.0076 * inch, 1e-15, "BS 3737"},
		{"swg8", "SWG 8", 0.160 * inch, 1e-15, "BS 3737"},
		{"SWG 7/0", "SWG 7/0", 0.5 * inch, 1e-15, "BS 3737"},
		{"SWG 0", "SWG 1/0", 0.324 * inch, 1e-15, "BS 3737, 8.2296 mm"},
		{"SWG 22", "SWG 22", 0.028 * inch, 1e-15, "BS 3737"},
		{"SWG 34", "SWG 34", 0.0092 * inch, 1e-15, "BS 3737"},
		{"SWG 50", "SWG 50", 0.001 * inch, 1e-15, "BS 3737"},
		{"0.20 mm", "0.20 mm", 0.2e-3, 0, "as typed"},
		{"0,315mm", "0.315 mm", 0.315e-3, 0, "decimal comma"},
		{"1 mm", "1.00 mm", 1e-3, 0, "as typed"},
		{"200 µm", "0.20 mm", 0.2e-3, 0, "as typed"},
		{"8 mil", "0.2032 mm", 0.008 * inch, 1e-15, "25.4 mm to the inch"},
	} {
		g, err := Parse(test.text)
		if err != nil || g.Name != test.name || math.Abs(g.Diameter-test.want) > test.tol*test.want {
			t.Errorf("Parse(%q) = %q %.9g m, %v, want %q %.9g m within %g (%s)",
				test.text, g.Name, g.Diameter, err, test.name, test.want, test.tol, test.source)
		}
	}
}

func TestParseRefuses(t *testing.T) {
	for _, text := range []string{
		"", "32", "AWG", "AWG 57", "AWG 5/0", "AWG 32.5", "AWG -1", "AWG +3", "AWG 0/0", "SWG 51", "SWG 8/0", "BWG 20",
		"0.2", "0 mm", "-0.2 mm", "0.001 mm", "30 mm", "NaN mm", "5 MHz", "AWG 32 mm", "AWG 1e3",
	} {
		if g, err := Parse(text); !errors.Is(err, ErrGauge) {
			t.Errorf("Parse(%q) = %q, %v, want ErrGauge", text, g.Name, err)
		}
	}
}

// published returns a column of the published wire table by gauge number.
func published(t *testing.T, column int) map[int]float64 {
	t.Helper()
	f, err := os.Open("../../testdata/awg.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	values := map[int]float64{}
	for _, row := range rows[1:] {
		if row[column] == "" {
			continue
		}
		n, err := strconv.Atoi(row[0])
		if err != nil {
			t.Fatal(err)
		}
		if values[n], err = strconv.ParseFloat(row[column], 64); err != nil {
			t.Fatal(err)
		}
	}
	if len(values) == 0 {
		t.Fatal("the published table is empty")
	}
	return values
}

// TestPublishedDiameters compares with a table of four printed figures.
func TestPublishedDiameters(t *testing.T) {
	const tol = 5.1e-4 // half of the last of 4 figures at worst, 0.5/1000
	for n, want := range published(t, 1) {
		g, err := numbered(AWG, n)
		if err != nil {
			t.Fatal(err)
		}
		if got := g.Diameter / inch; math.Abs(got/want-1) > tol {
			t.Errorf("AWG %d is %.5f in, want %.4g in (Kuphaldt, Lessons In Electric Circuits, vol. 5)", n, got, want)
		}
	}
}

// TestSWGKnots holds that the sizes between knots are whole ten-thousandths of
// an inch, so that no gauge is cut off by integer division.
func TestSWGKnots(t *testing.T) {
	for i := 1; i < len(swgKnots); i++ {
		a, b := swgKnots[i-1], swgKnots[i]
		if (b.diameter-a.diameter)%(b.number-a.number) != 0 {
			t.Errorf("SWG %d to %d: %d ten-thousandths of an inch do not divide into %d steps", a.number, b.number, b.diameter-a.diameter, b.number-a.number)
		}
	}
}

func TestStandard(t *testing.T) {
	for _, test := range []struct {
		system      System
		count       int
		first, last string
		source      string
	}{
		{AWG, 60, "AWG 56", "AWG 4/0", "ASTM B258"},
		{SWG, 57, "SWG 50", "SWG 7/0", "BS 3737"},
		{Metric, 8 + 2*40 + 1, "0.02 mm", "5.00 mm", "ISO 3: 40 numbers a decade from 0.05 to 5 mm"},
	} {
		gauges := Standard(test.system)
		if len(gauges) != test.count || gauges[0].Name != test.first || gauges[len(gauges)-1].Name != test.last {
			t.Errorf("Standard(%v) has %d sizes from %s to %s, want %d from %s to %s (%s)", test.system,
				len(gauges), gauges[0].Name, gauges[len(gauges)-1].Name, test.count, test.first, test.last, test.source)
		}
		for i, g := range gauges {
			if i > 0 && g.Diameter <= gauges[i-1].Diameter {
				t.Errorf("Standard(%v): %s does not follow %s", test.system, g.Name, gauges[i-1].Name)
			}
			if back, err := Parse(g.Name); err != nil || back != g {
				t.Errorf("Parse(%q) = %v, %v, want %v", g.Name, back, err, g)
			}
		}
	}
}

// TestPreferredNumbers checks the copied list against what it stands for.
func TestPreferredNumbers(t *testing.T) {
	for i, got := range r40 {
		want := 100 * math.Pow(10, float64(i)/40)
		if math.Abs(float64(got)/want-1) > 0.0127 {
			t.Errorf("r40[%d] = %d, want %.2f within 1.27 %% (ISO 3)", i, got, want)
		}
	}
}

func TestNearest(t *testing.T) {
	for _, test := range []struct {
		system   System
		diameter float64 // m
		want     string
		source   string
	}{
		{AWG, 0.2e-3, "AWG 32", "0.2019 mm, ASTM B258"},
		{SWG, 0.2e-3, "SWG 36", "0.193 mm against 0.213 mm, BS 3737"},
		{Metric, 1.6277e-3, "1.60 mm", "1.6 against 1.7, ISO 3"},
		{AWG, 1, "AWG 4/0", "thicker than all"},
		{AWG, 1e-6, "AWG 56", "thinner than all"},
	} {
		if got := Nearest(test.system, test.diameter).Name; got != test.want {
			t.Errorf("Nearest(%v, %g) = %s, want %s (%s)", test.system, test.diameter, got, test.want, test.source)
		}
	}
}

func FuzzParse(f *testing.F) {
	for _, text := range []string{"AWG 32", "awg2/0", "SWG 36", "0.20 mm", "1/64 in", "32 AWG", "AWG 0000"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		g, err := Parse(text)
		if err != nil {
			if !errors.Is(err, ErrGauge) {
				t.Errorf("Parse(%q) fails with %v, want ErrGauge", text, err)
			}
			return
		}
		if !(g.Diameter > 0 && g.Diameter < 0.03) {
			t.Errorf("Parse(%q) = %g m", text, g.Diameter)
		}
		if back, err := Parse(g.Name); err != nil || back != g {
			t.Errorf("Parse(%q) = %v, %v, want %v", g.Name, back, err, g)
		}
		if _, err := si.ParseIn(g.Name, si.Millimetre); (err == nil) != (g.System == Metric) {
			t.Errorf("%q is of the %v system", g.Name, g.System)
		}
	})
}
