package plotting

import (
	"math"
	"strings"
	"testing"

	"coilwright/physics/si"
)

func TestTicks(t *testing.T) {
	for _, test := range []struct {
		name   string
		ticks  ticks
		lo, hi float64 // SI
		want   string
	}{
		{"megahertz", ticks{unit: si.Megahertz, count: 5}, 0, 4e6, "0 1 2 3 4"},
		{"halves", ticks{unit: si.Picofarad, count: 5}, 1e-12, 3.5e-12, "1.0 1.5 2.0 2.5 3.0 3.5"},
		{"fives", ticks{unit: si.Millimetre, count: 8}, 0.030, 0.070, "30 35 40 45 50 55 60 65 70"},
		{"inches", ticks{unit: si.Inch, count: 4}, 0.0254, 0.0508, "1.0 1.5 2.0"},
		{"through zero, true minus", ticks{unit: si.Plain, count: 5}, -1, 1, "−1.0 −0.5 0.0 0.5 1.0"},
		{"turns are whole", ticks{unit: si.Plain, count: 8, whole: true}, 0, 3, "0 1 2 3"},
		{"off the grid", ticks{unit: si.Plain, count: 5}, 63, 611, "200 400 600"},
		{"rounding at the ends", ticks{unit: si.Megahertz, count: 3}, 0.1e6, 0.3e6, "0.1 0.2 0.3"},
		{"no range", ticks{unit: si.Plain, count: 5}, 1, 1, ""},
		{"no count", ticks{unit: si.Plain}, 0, 1, ""},
		{"endless", ticks{unit: si.Plain, count: 5}, 0, math.Inf(1), ""},
	} {
		var labels []string
		for _, tick := range test.ticks.Ticks(test.lo, test.hi) {
			labels = append(labels, tick.Label)
		}
		if got := strings.Join(labels, " "); got != test.want {
			t.Errorf("%s: Ticks(%g, %g) = %q, want %q", test.name, test.lo, test.hi, got, test.want)
		}
	}
}

func TestNiceAbove(t *testing.T) {
	for _, test := range []struct{ v, want float64 }{
		{1, 1}, {1.01, 2}, {2, 2}, {2.3, 5}, {5.1, 10}, {0.003, 0.005}, {70, 100}, {1e-12, 1e-12},
	} {
		if got := niceAbove(test.v); math.Abs(got-test.want) > 1e-9*test.want {
			t.Errorf("niceAbove(%g) = %g, want %g", test.v, got, test.want)
		}
	}
}
