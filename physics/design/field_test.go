package design

import (
	"context"
	"errors"
	"math"
	"testing"

	"coilwright/physics/breakdown"
	"coilwright/physics/electrostatics"
	"coilwright/physics/si"
)

func fieldOf(t testing.TB, d Design) *Field {
	t.Helper()
	f, err := NewSolver().Field(context.Background(), d)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// loneBall is a ball of 2 cm radius so far above a short winding that it is alone.
func loneBall() Design {
	d := underTop(Sphere)
	d.Room.Ground = Open
	d.Secondary.Turns, d.TopLoad.Diameter, d.TopLoad.Height = 10, 0.04, 3
	return d
}

// Round a lone ball the field is that of a point charge: V R/d and V R/d².
func TestFieldOfABall(t *testing.T) {
	f := fieldOf(t, loneBall())
	for _, distance := range []float64{0.021, 0.03, 0.1} { // farther off the winding begins to count
		potential, outward, up := f.At(distance, f.centre.Z)
		if math.Abs(potential/(0.02/distance)-1) > 0.01 || math.Abs(outward/(0.02/distance/distance)-1) > 0.01 || math.Abs(up) > 0.02*outward {
			t.Errorf("%g m from a ball: %g V, %g and %g V/m per volt, want %g V and %g V/m (point charge)", distance, potential, outward, up, 0.02/distance, 0.02/distance/distance)
		}
		left, _, _ := f.At(-distance, f.centre.Z)
		if left != potential {
			t.Errorf("at -%g m %g V, at %g m %g V", distance, left, distance, potential)
		}
	}
	// Streamers from a ball of 2 cm at 60 kV: the mean field to s is V/(R + s).
	s, err := f.Sparks(60e3)
	if err != nil || math.Abs(s.Long-(60e3/4.5e5-0.02)) > 0.004 || math.Abs(s.Short-(60e3/12.5e5-0.02)) > 0.002 {
		t.Errorf("Sparks(60 kV) = %+v, %v, want 28 and 113 mm (V/(R+s) = 12.5 and 4.5 kV/cm)", s, err)
	}
	// A field of 1 kV/m with 10 kV on it: √(V R/E).
	got, err := f.Distance(10e3, 1000)
	if want := math.Sqrt(10e3 * 0.02 / 1000); err != nil || math.Abs(got/want-1) > 0.02 {
		t.Errorf("Distance(10 kV, 1 kV/m) = %g m, %v, want %g (√(VR/E))", got, err, want)
	}
	near, far, err := f.TubeDistance(10e3)
	if err != nil || math.Abs(far/near-math.Sqrt(breakdown.TubeFieldHigh/breakdown.TubeFieldLow)) > 0.1 {
		t.Errorf("TubeDistance(10 kV) = %g, %g m, %v", near, far, err)
	}
	for _, volts := range []float64{0, -1, math.NaN(), math.Inf(1), 2 * MostTopVoltage} {
		if _, err := f.Sparks(volts); !errors.Is(err, ErrVoltage) {
			t.Errorf("Sparks(%g): %v, want it refused", volts, err)
		}
		if _, err := f.Distance(volts, 1); !errors.Is(err, ErrVoltage) {
			t.Errorf("Distance(%g): %v, want it refused", volts, err)
		}
	}
}

// The potential of every part is the one that it was solved for.
func TestFieldOfTheDeskCoil(t *testing.T) {
	d := read(t, desk)
	f := fieldOf(t, d)
	if got, _, _ := f.At(0, f.centre.Z); math.Abs(got-1) > 0.05 {
		t.Errorf("potential in the middle of the ring %g V, want about 1", got)
	}
	if got, _, _ := f.At(0.1, -0.75+1e-9); math.Abs(got) > 1e-6 {
		t.Errorf("potential on the floor %g V", got)
	}
	// A foot on a board: the board is below earth, the top less than a volt above.
	d.Room.Foot, d.Room.CircuitDiameter = Circuit, 0.06
	f = fieldOf(t, d)
	ratio := *evaluated(t, d).Resonance.CircuitVoltageRatio
	if got, _, _ := f.At(0.01, 0.0005); math.Abs(got+ratio) > 0.05 {
		t.Errorf("potential just over the board %g V, want %g", got, -ratio)
	}
	if got, _, _ := f.At(0, f.centre.Z); math.Abs(got-(1-ratio)) > 0.05 {
		t.Errorf("potential in the ring %g V, want %g", got, 1-ratio)
	}
}

// A ball near a ball against boundary elements of both: frequency by the energy that
// the second takes at the voltage of the first, gradient by the peak.
func TestNearMeetsBoundaryElements(t *testing.T) {
	f := fieldOf(t, loneBall())
	for _, distance := range []float64{0.25, 0.5} {
		got, err := f.Near(Near{Kind: NearHand, Distance: distance, Above: true})
		if err != nil {
			t.Fatal(err)
		}
		apart := 0.02 + distance + HandRadius
		system, err := electrostatics.NewSystem([]electrostatics.Conductor{
			electrostatics.SphereConductor(0, 0.02), electrostatics.SphereConductor(apart, HandRadius),
		}, nil, electrostatics.Refinement{Order: 8, Panels: 3, Gap: 2})
		if err != nil {
			t.Fatal(err)
		}
		both, err := system.Solve([]float64{1, 0})
		if err != nil {
			t.Fatal(err)
		}
		alone := 4 * math.Pi * si.Epsilon0 * 0.02
		more := both.Total[0] - alone // F
		want := -more / (4 * f.modes.Energy)
		if math.Abs(got.Frequency/want-1) > 0.1 {
			t.Errorf("hand at %g m: frequency changes by %.4g, want %.4g (two balls)", distance, got.Frequency, want)
		}
		peak, _, _ := system.PeakGradient(both.Charge)
		// On the axis the facing pole has the mean change and the uneven part, and the
		// mean round the axis at the poles is what Gradient says.
		if math.Abs(got.Gradient/(peak/50-1)-1) > 0.25 {
			t.Errorf("hand at %g m: gradient changes by %.4g, want %.4g (two balls)", distance, got.Gradient, peak/50-1)
		}
	}
}

func TestNear(t *testing.T) {
	d := read(t, desk)
	f := fieldOf(t, d)
	for _, kind := range []NearKind{NearHand, NearTube, NearTubeHeld} {
		for _, above := range []bool{true, false} {
			last := 0.0
			for _, distance := range []float64{1, 0.5, 0.3, 0.2, 0.1} {
				e, err := f.Near(Near{kind, distance, above})
				if err != nil {
					t.Fatal(err)
				}
				if !(e.Frequency < last) || !(e.Facing >= e.Gradient) {
					t.Errorf("kind %d, above %v, %g m: %+v after %g: nearer should lower the frequency more", kind, above, distance, e, last)
				}
				last = e.Frequency
			}
		}
	}
	held, _ := f.Near(Near{NearTubeHeld, 0.2, false})
	loose, _ := f.Near(Near{NearTube, 0.2, false})
	if !(held.Frequency < loose.Frequency) {
		t.Errorf("a held tube shifts by %g, a loose one by %g", held.Frequency, loose.Frequency)
	}
	d.Room.CeilingHeight = 0.3
	f = fieldOf(t, d)
	for _, n := range []Near{{NearHand, 0.2, true}, {NearTubeHeld, 0.1, true}, {NearHand, 0, true}, {NearHand, math.NaN(), false}} {
		if _, err := f.Near(n); !errors.Is(err, ErrNear) {
			t.Errorf("%+v: %v, want it refused", n, err)
		}
	}
}

// Gaps: a primary that is close to the upper turns flashes over first and says so.
func TestGapsOfTheCoil(t *testing.T) {
	gap := func(d Design, name string) Gap {
		t.Helper()
		for _, g := range evaluated(t, d).Air.Gaps {
			if g.Name == name {
				return g
			}
		}
		t.Fatalf("no gap is called %s", name)
		return Gap{}
	}
	warned := func(d Design) bool {
		for _, c := range evaluated(t, d).Cautions {
			if c.Code == "flash_over" {
				return true
			}
		}
		return false
	}
	d := read(t, desk)
	low := gap(d, GapPrimaryWinding)
	if warned(d) {
		t.Error("the desk coil is said to flash over")
	}
	d.Primary.BaseHeight, d.Primary.InnerDiameter = 0.065, 0.031
	high := gap(d, GapPrimaryWinding)
	if !(*high.FlashOver < *low.FlashOver/3) || !warned(d) {
		t.Errorf("a primary round the upper turns flashes over at %g V, at the foot at %g V, warned: %v", *high.FlashOver, *low.FlashOver, warned(d))
	}
	for _, g := range evaluated(t, d).Air.Gaps {
		if !(*g.FlashOverLow <= *g.FlashOver && *g.FlashOver <= *g.FlashOverTop) || math.Abs(*g.Gradient**g.Length-*g.Voltage) > 1e-9 {
			t.Errorf("%s: %+v", g.Name, g)
		}
	}
	// Along the winding the voltage rises by one in all, more steeply than on average.
	if g := gap(d, GapAlongWinding); !(*g.Gradient > 1/0.0724) {
		t.Errorf("along the winding at most %g 1/m, on average %g", *g.Gradient, 1/0.0724)
	}
}

func BenchmarkFieldOf450Turns(b *testing.B) {
	d := New()
	d.Secondary.Turns = 450
	s := NewSolver()
	b.ReportAllocs()
	for b.Loop() {
		if _, err := s.Field(context.Background(), d); err != nil {
			b.Fatal(err)
		}
	}
}
