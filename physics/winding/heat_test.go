package winding

import (
	"math"
	"testing"
)

// tightRing is 21 turns of AWG 16 on 15.875 mm between the flats of a #6-32 nut.
func tightRing() Ring {
	const d, former, hub, n = 1.290848e-3, 0.015875, 7.798e-3, 21
	return Ring{
		WireName: "AWG 16", WireDiameter: d, FormerDiameter: former, Turns: n, SpareTurns: RingSpareTurns, MarkEvery: 5, Tail: 0.05,
		HubDiameter: hub, OuterDiameter: hub + 2*former + 4*d,
		GapAtHub: (hub+d)*math.Sin(math.Pi/n) - d, HubLimit: math.Pi / math.Asin(d/(hub+d)),
	}
}

// TestHubOf weighs nuts. The mass of a steel hex machine screw nut #6-32 is
// about 1.1 g by its volume; brass is 8 % heavier.
func TestHubOf(t *testing.T) {
	for _, test := range []struct {
		diameter float64
		name     string
	}{{7.798e-3, "#6-32 nut"}, {8.95e-3, "#6-32 nut"}, {7.89e-3, "M5 nut"}, {10e-3, "M6 nut"}, {30e-3, ""}} {
		h := HubOf(test.diameter)
		if h.Name != test.name {
			t.Errorf("HubOf(%g) = %q, want %q", test.diameter, h.Name, test.name)
		}
		if !(h.Mass > 0 && h.Area > 0) {
			t.Errorf("HubOf(%g) = %+v", test.diameter, h)
		}
	}
	// Volume of a hexagon 7.798 mm wide and 2.7435 mm thick with a hole of half
	// its width: 52.66 mm² less 11.94 mm², times the thickness, is 111.7 mm³.
	if got, want := HubOf(7.798e-3).Mass, 111.7e-9*8410; math.Abs(got/want-1) > 0.002 {
		t.Errorf("a #6-32 nut weighs %g kg, want %g", got, want)
	}
}

// bar computes the heat that a closed bar takes up from one end by explicit
// steps in time, which shares no formula with the code.
func bar(fourier float64) float64 {
	const cells = 200
	var u [cells + 1]float64
	dt := 0.4 / (cells * cells)
	for s := 0.0; s < fourier; s += dt {
		var next [cells + 1]float64
		for i := range u {
			left, right := 1.0, u[i]
			if i > 0 {
				left = u[i-1]
			}
			if i < cells {
				right = u[i+1]
			}
			next[i] = u[i] + dt*cells*cells*(left-2*u[i]+right)
		}
		u = next
	}
	sum := 0.0
	for _, v := range u {
		sum += v
	}
	return sum / (cells + 1)
}

func TestSoakedAgainstSteps(t *testing.T) {
	for _, fourier := range []float64{0.02, 0.1, 0.5, 2} {
		if got, want := soaked(fourier), bar(fourier); math.Abs(got-want) > 0.01 {
			t.Errorf("soaked(%g) = %.4f, want %.4f (explicit steps)", fourier, got, want)
		}
	}
	// Before heat has reached the far end it is that of an endless bar,
	// 2√(αt/πL²): Carslaw and Jaeger, section 2.4.
	if got, want := soaked(0.01), 2*math.Sqrt(0.01/math.Pi); math.Abs(got-want) > 2e-3 {
		t.Errorf("soaked(0.01) = %g, want %g", got, want)
	}
}

// TestHeatTellsIronFromTorch weighs the copper of a ring by hand: 21 turns of
// 53.94 mm of AWG 16 are 13.18 g.
func TestHeatTellsIronFromTorch(t *testing.T) {
	r := tightRing()
	h := r.heat()
	want := 211 * (13.18e-3*386 + HubOf(r.HubDiameter).Mass*380)
	if math.Abs(h.All/want-1) > 2e-3 {
		t.Errorf("heating it all takes %g J, want %g J", h.All, want)
	}
	if h.IronWillDo() || !math.IsInf(h.IronTime, 1) {
		t.Errorf("30 W hold a ring that loses %.3g W: %g s", h.Hold, h.IronTime)
	}
	r.IronPower = 150
	if h := r.heat(); !h.IronWillDo() {
		t.Errorf("150 W take %g s, want under %g s", h.IronTime, patience)
	}
	small := Ring{WireName: "AWG 28", WireDiameter: 0.32e-3, FormerDiameter: 5e-3, Turns: 8, MarkEvery: 5, HubDiameter: 3e-3, OuterDiameter: 14.3e-3}
	if h := small.heat(); !h.IronWillDo() {
		t.Errorf("30 W take %g s on a tiny ring that needs %g J", h.IronTime, h.All)
	}
	// What is supplied by then is what has been taken up and lost.
	r.IronPower = 100
	g := r.heat()
	if supplied := 50 * g.IronTime; supplied < g.HubAlone || supplied > g.All+g.Hold*g.IronTime {
		t.Errorf("by %g s 50 W have supplied %g J of %g J and %g W", g.IronTime, supplied, g.All, g.Hold)
	}
}

func TestSolderOrder(t *testing.T) {
	for turns := 3; turns <= 40; turns++ {
		order := SolderOrder(turns)
		seen := map[int]bool{}
		for _, n := range order {
			seen[n] = n >= 1 && n <= turns
		}
		if len(order) != turns || len(seen) != turns || order[0] != 1 || order[1] != 1+turns/2 {
			t.Errorf("SolderOrder(%d) = %v", turns, order)
		}
	}
}
