package topload

import (
	"errors"
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/floats/scalar"
)

// awg returns the bare diameter in m of an AWG number, by the formula of ASTM
// B258: 0.005 in x 92^((36-n)/39).
func awg(n float64) float64 { return 0.005 * 0.0254 * math.Pow(92, (36-n)/39) }

func nut(t *testing.T, name string) Nut {
	t.Helper()
	for _, n := range Nuts() {
		if n.Name == name {
			return n
		}
	}
	t.Fatalf("no nut %q", name)
	return Nut{}
}

func TestMaxTurns(t *testing.T) {
	six := nut(t, "#6-32")
	for _, test := range []struct {
		name string
		wire float64 // m
		hub  float64 // m
		want int
		// 21 turns of AWG 16 are wound on a #6-32 nut: common practice, no source.
		source string
	}{
		{"AWG 16 between the flats of #6-32", awg(16), six.HubBetweenFlats(), 22, "pi/asin(d/(hub+d)) with ASTM B258 and ASME B18.2.2, 22.04 by hand"},
		{"AWG 16 on the corners of #6-32", awg(16), six.HubOnCorners(), 24, "the same, 24.8 by hand"},
		{"AWG 12 between the flats of #6-32", awg(12), six.HubBetweenFlats(), 14, "the same, 14.97 by hand"},
		{"AWG 12 on a hub of 7.9 mm", awg(12), 7.9e-3, 15, "the same, 15.14 by hand"},
		{"AWG 14 between the flats of #6-32", awg(14), six.HubBetweenFlats(), 18, "the same, 18.1 by hand"},
		{"three equal circles round a point", 2e-3, 2e-3*2/math.Sqrt(3) - 2e-3, 3, "equilateral triangle"},
		{"six equal circles round a seventh", 1e-3, 1e-3, 6, "hexagonal packing"},
		{"no hub", 1e-3, 0, 2, "two circles side by side"},
	} {
		r := Ring{WireDiameter: test.wire, FormerDiameter: 15e-3, HubDiameter: test.hub, Turns: 5}
		if got := r.MaxTurns(); got != test.want {
			t.Errorf("%s: MaxTurns() = %d (limit %.4f), want %d (%s)", test.name, got, r.TurnLimit(), test.want, test.source)
		}
	}
}

func TestHubFor(t *testing.T) {
	// 22 turns of AWG 12 need a hub of about 12.4 mm: 2.0525/sin(pi/22) -
	// 2.0525 = 12.37 mm, by hand with the ASTM B258 diameter.
	r := Ring{WireDiameter: awg(12), FormerDiameter: 15.875e-3}
	if got := r.HubFor(22); !scalar.EqualWithinAbs(got, 12.37e-3, 0.01e-3) {
		t.Errorf("HubFor(22) of AWG 12 = %.3f mm, want 12.37 mm", got*1e3)
	}
	// It is the inverse of the limit, and on it the gap is nothing.
	for turns := 3; turns <= 200; turns++ {
		r.Turns, r.HubDiameter = turns, r.HubFor(turns)
		if got := r.MaxTurns(); got != turns {
			t.Errorf("MaxTurns() on HubFor(%d) = %d", turns, got)
		}
		if gap := r.GapAtHub(); math.Abs(gap) > 1e-15 {
			t.Errorf("GapAtHub() on HubFor(%d) = %g m, want 0", turns, gap)
		}
	}
	for turns := range 3 {
		if got := r.HubFor(turns); got != 0 {
			t.Errorf("HubFor(%d) = %g, want 0", turns, got)
		}
	}
}

func TestRingDimensions(t *testing.T) {
	r := Ring{WireDiameter: 2e-3, FormerDiameter: 16e-3, HubDiameter: 10e-3, Turns: 12}
	for _, test := range []struct {
		name      string
		got, want float64 // m
	}{
		{"Radius", r.Radius(), 15e-3},
		{"TurnRadius", r.TurnRadius(), 9e-3},
		{"OuterDiameter", r.OuterDiameter(), 50e-3},
		{"OuterDiameter from the radii", r.OuterDiameter(), 2 * (r.Radius() + r.TurnRadius() + r.WireDiameter/2)},
		{"HoleDiameter from the radii", r.HoleDiameter(), 2 * (r.Radius() - r.TurnRadius() - r.WireDiameter/2)},
		{"Height", r.Height(), 20e-3},
		{"TurnAngle", r.TurnAngle(), math.Pi / 6},
		{"WireLength", r.WireLength(), 12 * math.Sqrt(math.Pow(math.Pi*18e-3, 2)+4e-6)},
		{"GapAtHub", r.GapAtHub(), closestApproach(r)},
	} {
		if !scalar.EqualWithinRel(test.got, test.want, 1e-6) {
			t.Errorf("%s = %g m, want %g m", test.name, test.got, test.want)
		}
	}
	r.Turns = 1
	if !math.IsInf(r.GapAtHub(), 1) {
		t.Errorf("GapAtHub() of one turn = %g, want +Inf", r.GapAtHub())
	}
}

// closestApproach searches the least distance between the centrelines of two
// neighbouring turns on a grid, less the wire.
func closestApproach(r Ring) float64 {
	const n = 360
	least := math.Inf(1)
	sin, cos := math.Sincos(2 * math.Pi / float64(r.Turns))
	for i := range n {
		s1, c1 := math.Sincos(2 * math.Pi * float64(i) / n)
		x1, z1 := r.Radius()+r.TurnRadius()*c1, r.TurnRadius()*s1
		for j := range n {
			s2, c2 := math.Sincos(2 * math.Pi * float64(j) / n)
			x2, z2 := r.Radius()+r.TurnRadius()*c2, r.TurnRadius()*s2
			dx, dy, dz := x2*cos-x1, x2*sin, z2-z1
			least = math.Min(least, math.Sqrt(dx*dx+dy*dy+dz*dz))
		}
	}
	return least - r.WireDiameter
}

func TestCheck(t *testing.T) {
	good := Ring{WireDiameter: awg(16), FormerDiameter: 15.875e-3, HubDiameter: nut(t, "#6-32").HubBetweenFlats(), Turns: 21}
	if err := good.Check("AWG 16"); err != nil {
		t.Errorf("21 turns of AWG 16 on a #6-32 nut: %v", err)
	}
	for _, test := range []struct {
		name   string
		change func(*Ring)
		wire   string
		want   string
	}{
		{"too many turns", func(r *Ring) { r.WireDiameter, r.HubDiameter = awg(12), 7.9e-3 }, "AWG 12",
			"21 turns of AWG 12 do not fit on a 7.9 mm hub: at most 15, or a hub of at least 11.8 mm"},
		{"no name", func(r *Ring) { r.WireDiameter, r.HubDiameter = 2e-3, 7.9e-3 }, "",
			"21 turns of 2 mm wire do not fit on a 7.9 mm hub: at most 15, or a hub of at least 11.5 mm"},
		{"former", func(r *Ring) { r.FormerDiameter = 2e-3 }, "AWG 16",
			"AWG 16 does not bend round a 2 mm former: take one of at least 2.6 mm"},
	} {
		r := good
		test.change(&r)
		err := r.Check(test.wire)
		var no *UnbuildableError
		if !errors.As(err, &no) || err.Error() != test.want {
			t.Errorf("%s: Check = %v, want %q", test.name, err, test.want)
			continue
		}
		if err := no.Nearest.Check(test.wire); err != nil {
			t.Errorf("%s: the nearest ring cannot be built either: %v", test.name, err)
		}
	}
	for _, change := range []func(*Ring){
		func(r *Ring) { r.WireDiameter = 0 },
		func(r *Ring) { r.WireDiameter = math.NaN() },
		func(r *Ring) { r.FormerDiameter = math.Inf(1) },
		func(r *Ring) { r.FormerDiameter = -1 },
		func(r *Ring) { r.HubDiameter = -1e-3 },
		func(r *Ring) { r.Turns = 0 },
	} {
		r := good
		change(&r)
		if err := r.Check(""); !errors.Is(err, ErrShape) {
			t.Errorf("Check of %+v = %v, want ErrShape", r, err)
		}
	}
}

func TestNuts(t *testing.T) {
	six := nut(t, "#6-32")
	if got := six.HubBetweenFlats(); !scalar.EqualWithinAbs(got, 7.80e-3, 0.005e-3) {
		t.Errorf("#6-32 %s = %.3f mm, want 7.80 mm (ASME B18.2.2)", PressedBetweenFlats, got*1e3)
	}
	if got := six.HubOnCorners(); !scalar.EqualWithinAbs(got, 8.95e-3, 0.005e-3) {
		t.Errorf("#6-32 %s = %.3f mm, want 8.95 mm (ASME B18.2.2)", RestingOnCorners, got*1e3)
	}
	for _, n := range Nuts() {
		// A hexagon's corners lie 2/sqrt(3) times as far apart as its flats;
		// the rounding of the corners takes away at most a few per cent.
		full := 2 / math.Sqrt(3)
		if n.CornersMax > full*n.FlatsMax*1.005 || n.CornersMin < full*n.FlatsMin*0.95 {
			t.Errorf("%s: corners %g to %g m do not belong to flats %g to %g m", n.Name, n.CornersMin, n.CornersMax, n.FlatsMin, n.FlatsMax)
		}
		if n.FlatsMin >= n.FlatsMax || n.ThickMin >= n.ThickMax || n.CornersMin >= n.CornersMax {
			t.Errorf("%s: limits in the wrong order: %+v", n.Name, n)
		}
		if strings.TrimSpace(n.Source) == "" || (n.Status != statusSeen && n.Status != statusMemory) {
			t.Errorf("%s: source %q, status %q", n.Name, n.Source, n.Status)
		}
	}
}
