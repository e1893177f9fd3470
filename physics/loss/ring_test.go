package loss

import (
	"errors"
	"math"
	"testing"
)

func looseRing() Ring {
	return Ring{Radius: 0.05, TurnRadius: 0.01, WireRadius: 0.0002, Turns: 4, Conductivity: 58e6}
}

// TestRingCharging: with even charge on wires far apart the current rises evenly from the
// equator to the hub, and P = R' N ω²λ² r_t³ π³/3.
func TestRingCharging(t *testing.T) {
	const f, charge = 1e6, 1e-9
	r := looseRing()
	got, err := RingChargingLoss(r, charge, f, func(float64) float64 { return 7 })
	if err != nil {
		t.Fatal(err)
	}
	wire, err := NewRoundWire(f, r.WireRadius, r.Conductivity)
	if err != nil {
		t.Fatal(err)
	}
	line := charge / (float64(r.Turns) * 2 * math.Pi * r.TurnRadius)
	want := wire.ResistanceAC * float64(r.Turns) * math.Pow(2*math.Pi*f*line, 2) * math.Pow(r.TurnRadius*math.Pi, 3) / 3
	if math.Abs(got/want-1) > 1e-3 {
		t.Errorf("RingChargingLoss = %g W, want %g (even charge, closed form)", got, want)
	}
	if _, err := RingChargingLoss(r, charge, f, func(float64) float64 { return 0 }); !errors.Is(err, ErrInput) {
		t.Errorf("no charge: error %v", err)
	}
	r.Turns = 0
	if _, err := RingChargingLoss(r, charge, f, math.Cos); !errors.Is(err, ErrInput) {
		t.Errorf("no turns: error %v", err)
	}
}

// TestRingCrowding: turns that touch at the hub lose more than turns apart with the same
// current, and less than if they touched all round.
func TestRingCrowding(t *testing.T) {
	const f, charge = 1e6, 1e-9
	tight := Ring{Radius: 0.0127, TurnRadius: 0.0076, WireRadius: 0.00065, Turns: 19, Conductivity: 58e6}
	wide := tight
	wide.Radius = 1
	even := func(float64) float64 { return 1 }
	a, err := RingChargingLoss(tight, charge, f, even)
	if err != nil {
		t.Fatal(err)
	}
	b, err := RingChargingLoss(wide, charge, f, even)
	if err != nil {
		t.Fatal(err)
	}
	most, err := EndlessRow(1, tight.WireRadius/SkinDepth(f, 58e6), 1)
	if err != nil {
		t.Fatal(err)
	}
	if !(a > 1.2*b && a < most*b) {
		t.Errorf("tight ring loses %g W, loose one %g", a, b)
	}
}

func TestRingEddy(t *testing.T) {
	const f = 1e6
	r := looseRing()
	got, err := RingEddyLoss(r, farCoil(2), nil, f)
	if err != nil {
		t.Fatal(err)
	}
	across, along := wireInField(r.WireRadius, r.Conductivity, f)
	// In an even field along the axis both parts have a mean square of 1/2.
	want := float64(r.Turns) * math.Pi * r.TurnRadius * (across + along)
	if math.Abs(got/want-1) > 1e-3 {
		t.Errorf("RingEddyLoss = %g W, want %g (even field)", got, want)
	}
}

// TestRingRefinement is the reason for ringPoints: a field and a charge as they are on
// top of a coil, integrated by ten thousand steps.
func TestRingRefinement(t *testing.T) {
	const f = 1e6
	r := Ring{Radius: 0.0127, TurnRadius: 0.0076, WireRadius: 0.00065, Turns: 19, Height: 0.014, Conductivity: 58e6}
	sources := []RingCurrent{{0.0125, 0, 1}, {0.0125, -0.005, 3}}
	got, err := RingEddyLoss(r, sources, nil, f)
	if err != nil {
		t.Fatal(err)
	}
	across, along := wireInField(r.WireRadius, r.Conductivity, f)
	const n = 10000
	want := 0.0
	for i := range n {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / n)
		hr, hz := fieldOf(sources, nil, r.Radius+r.TurnRadius*cos, r.Height+r.TurnRadius*sin)
		normal, tangent := hr*cos+hz*sin, hz*cos-hr*sin
		want += (across*normal*normal + along*tangent*tangent) * 2 * math.Pi / n * r.TurnRadius * float64(r.Turns)
	}
	if math.Abs(got/want-1) > 1e-3 {
		t.Errorf("RingEddyLoss = %g W, want %g (fine steps)", got, want)
	}
}
