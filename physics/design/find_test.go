package design

import (
	"context"
	"errors"
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/floats/scalar"

	"coilwright/assets"
)

// promised is how near to its target a found design rings.
const promised = 1e-4

// foundBy searches and holds that the result is what it says it is.
func foundBy(t *testing.T, d Design, target Target, key string) Found {
	t.Helper()
	f, err := Find(context.Background(), d, target, key)
	if err != nil {
		t.Fatalf("%s of %s: %v", key, d.Name, err)
	}
	r := evaluated(t, f.Design)
	got := *r.Resonance.Frequency
	if target.Quantity == TargetCapacitance {
		got = *r.TopLoad.Capacitance
	}
	if !scalar.EqualWithinRel(got, f.Reached, 1e-9) || !scalar.EqualWithinRel(got, target.Value*(1+f.Difference), 1e-9) {
		t.Errorf("%s of %s: reports %g, found %g with a difference of %g", key, d.Name, got, f.Reached, f.Difference)
	}
	if value, err := Number(f.Design, f.Key); err != nil || value != f.Value {
		t.Errorf("the design has %g at %s, found %g, %v", value, f.Key, f.Value, err)
	}
	return f
}

// A design spoilt in one number finds back to it.
func TestFindGoesBack(t *testing.T) {
	for _, test := range []struct {
		key  string
		by   float64
		want float64 // relative, of the value found: findTolerance over the least sensitivity
	}{
		{"secondary.turns", 1.3, 1e-4},
		{"secondary.turns", 0.4, 1e-4},
		{"secondary.former_diameter_m", 0.8, 1e-4},
		{"secondary.pitch_m", 1.5, 1e-3},
		{"secondary.base_height_m", 1.4, 1e-2},
		{"top_load.height_m", 2, 1e-2},
		{"top_load.hub_diameter_m", 1.5, 1e-2},
		{"top_load.former_diameter_m", 0.7, 1e-3},
	} {
		d := read(t, desk)
		d.Primary = Primary{Kind: NoPrimary}
		d.Secondary.Pitch = 0.00025
		target := Target{Value: *evaluated(t, d).Resonance.Frequency}
		before, err := Number(d, test.key)
		if err != nil {
			t.Fatal(err)
		}
		if err := Set(&d, test.key, test.by*before); err != nil {
			t.Fatal(err)
		}
		f := foundBy(t, d, target, test.key)
		if math.Abs(f.Difference) > promised || !scalar.EqualWithinRel(f.Value, before, test.want) {
			t.Errorf("%s: found %g, it was %g; the frequency differs by %g", test.key, f.Value, before, f.Difference)
		}
		if f.Design.TargetFrequency != target.Value {
			t.Errorf("the design found carries a target of %g Hz", f.Design.TargetFrequency)
		}
	}
}

// Every example can be tuned up and down by its turns.
func TestFindTurnsOfEveryExample(t *testing.T) {
	for _, e := range assets.Examples() {
		d := read(t, string(e.Content))
		present := *evaluated(t, d).Resonance.Frequency
		for _, share := range []float64{0.9, 1.1} {
			if f := foundBy(t, d, Target{Value: share * present}, "turns"); math.Abs(f.Difference) > promised {
				t.Errorf("%s at %g turns misses by %g", d.Name, f.Value, f.Difference)
			}
		}
	}
}

func TestFindWholeTurnsOfARing(t *testing.T) {
	d := read(t, desk)
	d.TopLoad.HubDiameter = 0.02
	d.TopLoad.Turns = 12
	target := Target{TargetCapacitance, *evaluated(t, d).TopLoad.Capacitance * 1.005}
	d.TopLoad.Turns = 30
	f := foundBy(t, d, target, "ring turns")
	if !f.Whole || math.Abs(f.Difference) > 0.05 {
		t.Errorf("found %+v", f)
	}
	for _, by := range []int{-1, 1} {
		e := f.Design
		e.TopLoad.Turns += by
		if other := *evaluated(t, e).TopLoad.Capacitance/target.Value - 1; math.Abs(other) < math.Abs(f.Difference) {
			t.Errorf("%d turns miss by %g, those found, %g, by %g", e.TopLoad.Turns, other, f.Value, f.Difference)
		}
	}
}

// The capacitance of a sphere is 4 pi eps0 r: 20 mm across hold 1.1126 pF.
func TestFindCapacitance(t *testing.T) {
	d := read(t, desk)
	d.SetTopLoadKind(Sphere)
	const want = 0.020                              // m
	const perMetre = 2 * math.Pi * 8.8541878188e-12 // F, CODATA 2022
	f := foundBy(t, d, Target{TargetCapacitance, want * perMetre}, "top_load.diameter_m")
	if !scalar.EqualWithinRel(f.Value, want, promised) {
		t.Errorf("a sphere of %g F is %g m wide, want %g m (4 pi eps0 r)", f.Reached, f.Value, want)
	}
}

// A coil that cannot be built is found when the key can mend it.
func TestFindMends(t *testing.T) {
	d := read(t, desk)
	d.TopLoad.Turns = 40
	c := Target{TargetCapacitance, 1.9e-12}
	if f := foundBy(t, d, c, "top_load.turns"); f.Value > 22 {
		t.Errorf("found %g turns on a hub that holds 22", f.Value)
	}
	var problems Problems
	if _, err := Find(context.Background(), d, c, "top_load.former_diameter_m"); !errors.As(err, &problems) {
		t.Errorf("a ring too tight gives %v whatever its former", err)
	}
}

func TestFindUnreachable(t *testing.T) {
	d := read(t, desk)
	for _, test := range []struct {
		key    string
		target Target
		want   string // in the message
	}{
		{"turns", Target{Value: 300e6}, "nearest with 1"},
		{"top_load.hub_diameter_m", Target{Value: 8e6}, "do not fit"},
		{"secondary.former_diameter_m", Target{Value: 500e3}, "the primary would cut into the secondary"},
		{"driver.supply_v", Target{Value: 2e6}, "leaves it at"},
		{"room.air_temperature_c", Target{Value: 2e6}, "leaves it at"},
		{"secondary.turns", Target{TargetCapacitance, 50e-12}, "leaves it at"},
		{"top_load.turns", Target{TargetCapacitance, 50e-12}, "do not fit on a 10 mm hub"},
	} {
		if strings.HasPrefix(test.key, "driver.") {
			d.SetDriverKind(FeedbackExciter)
		}
		_, err := Find(context.Background(), d, test.target, test.key)
		var unreachable *UnreachableError
		if !errors.As(err, &unreachable) || !errors.Is(err, ErrUnreachable) {
			t.Errorf("%s: %v", test.key, err)
			continue
		}
		if strings.Contains(err.Error(), "\n") || strings.Contains(err.Error(), "NaN") || !strings.Contains(err.Error(), test.want) {
			t.Errorf("%s: %q is no plain sentence with %q", test.key, err, test.want)
		}
		if problems := Check(unreachable.Nearest.Design); len(problems) > 0 {
			t.Errorf("%s: the nearest cannot be built: %v", test.key, problems)
		}
	}
}

func TestFindRefuses(t *testing.T) {
	d := read(t, desk)
	for _, bad := range []float64{0, -1, math.NaN(), math.Inf(1)} {
		if _, err := Find(context.Background(), d, Target{Value: bad}, "turns"); !errors.Is(err, ErrNoTarget) {
			t.Errorf("a target of %g gives %v", bad, err)
		}
	}
	if _, err := Find(context.Background(), d, Target{Value: 1e6}, "colour"); !errors.Is(err, ErrNoNumber) {
		t.Errorf("no key gives %v", err)
	}
	d.TopLoad = TopLoad{Kind: NoTopLoad}
	if _, err := Find(context.Background(), d, Target{TargetCapacitance, 1e-12}, "turns"); !errors.Is(err, ErrNoTarget) {
		t.Errorf("the capacitance of nothing gives %v", err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := Find(ctx, d, Target{Value: 1e6}, "turns"); !errors.Is(err, context.Canceled) {
		t.Errorf("a cancelled search gives %v", err)
	}
}

func TestKeyOf(t *testing.T) {
	d := read(t, desk)
	for _, test := range []struct{ name, want string }{
		{"secondary.turns", keyTurns},
		{"turns", keyTurns},
		{" Turns ", keyTurns},
		{"pitch", keyPitch},
		{"former", keyFormer},
		{"ring-turns", keyRingTurns},
		{"ring former", keyRingFormer},
		{"hub", keyHub},
		{"hub_diameter", keyHub},
		{"hub_diameter_m", keyHub},
		{"tap", "primary.tap_turns"},
		{"former_wall", "secondary.former_wall_m"},
	} {
		if got, err := KeyOf(d, test.name); err != nil || got != test.want {
			t.Errorf("KeyOf(%q) = %q, %v, want %q", test.name, got, err, test.want)
		}
	}
	for _, test := range []struct{ name, want string }{
		{"base_height", "primary.base_height_m"}, // or the secondary's
		{"colour", "secondary.turns"},
		{"", "secondary.turns"},
		{"secondary", "secondary.turns"},
		{"board", "this design has no room.circuit_diameter_m"},
	} {
		if _, err := KeyOf(d, test.name); !errors.Is(err, ErrNoNumber) || !strings.Contains(err.Error(), test.want) {
			t.Errorf("KeyOf(%q) gives %v, want it to name %s", test.name, err, test.want)
		}
	}
}

func BenchmarkFindTurns(b *testing.B) {
	d, err := Read(strings.NewReader(desk))
	if err != nil {
		b.Fatal(err)
	}
	s := NewSolver()
	b.ReportAllocs()
	for b.Loop() {
		if _, err := s.Find(context.Background(), d, Target{Value: 3e6}, keyTurns); err != nil {
			b.Fatal(err)
		}
	}
}

// A search gives up before it proposes a winding that nobody can build.
func TestFindStopsAtTallWindings(t *testing.T) {
	d := read(t, desk)
	_, err := Find(context.Background(), d, Target{Quantity: TargetFrequency, Value: 500e3}, "secondary.pitch_m")
	var unreachable *UnreachableError
	if !errors.As(err, &unreachable) {
		t.Fatalf("%v, want that the target cannot be reached", err)
	}
	if height := *evaluated(t, unreachable.Nearest.Design).Secondary.WindingHeight; height > 10 {
		t.Errorf("the nearest winding is %g m tall", height)
	}
}
