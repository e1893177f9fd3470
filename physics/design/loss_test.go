package design

import (
	"math"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/floats/scalar"

	"coilwright/physics/loss"
)

// cautionOf returns the text of the caution with a code, empty if there is none.
func cautionOf(r Report, code string) string {
	at := slices.IndexFunc(r.Cautions, func(c Caution) bool { return c.Code == code })
	if at < 0 {
		return ""
	}
	return r.Cautions[at].Text.String()
}

// sumOfShares is 1 where nothing was left out.
func sumOfShares(l LossReport) float64 {
	sum := 0.0
	for _, share := range []*float64{l.Direct, l.Skin, l.Proximity, l.Ring, l.Shorted, l.Plane} {
		sum += orZero(share)
	}
	return sum
}

// meanSquare returns the mean along the winding of the square of the current over the
// foot's, by the trapezoidal rule over the profile for the drawing.
func meanSquare(t *testing.T, d Design) float64 {
	t.Helper()
	curves, err := NewSolver().Curves(t.Context(), d, CurveOptions{})
	if err != nil {
		t.Fatal(err)
	}
	p, sum := curves.Profile, 0.0
	for i := range p.Height[1:] {
		a, b := p.Current[i], p.Current[i+1]
		sum += (a*a + a*b + b*b) / 3 * (p.Height[i+1] - p.Height[i])
	}
	return sum / (p.Height[len(p.Height)-1] - p.Height[0])
}

// The losses of the report obey what follows from its other numbers.
func TestLossesBalance(t *testing.T) {
	ring := read(t, desk)
	metal, torus, bare := ring, ring, ring
	metal.Room.Ground, metal.Room.FloorDepth = MetalPlane, 0
	torus.TopLoad = TopLoad{Kind: Torus, OuterDiameter: 0.06, TubeDiameter: 0.015, Height: 0.014, Closed: true}
	bare.TopLoad = TopLoad{Kind: NoTopLoad}
	half := ring
	half.Secondary.Turns = 310.5
	for _, test := range []struct {
		name string
		d    Design
		tol  float64 // between whole numbers of turns parts are interpolated, not their ratios
	}{{"ring", ring, 1e-6}, {"metal plane", metal, 1e-6}, {"torus", torus, 1e-6}, {"bare", bare, 1e-6}, {"half a turn", half, 1e-5}} {
		r := evaluated(t, test.d)
		l := r.Losses
		if sum := sumOfShares(l); !scalar.EqualWithinRel(sum, 1, 1e-12) {
			t.Errorf("%s: the shares add up to %g", test.name, sum)
		}
		// Q = ωL/R at the foot, R that of all losses: loss by field, loss by energy.
		q, lf := orZero(r.Resonance.QualityFactor), orZero(r.Resonance.FootInductance)
		copper := *l.Direct + *l.Skin + *l.Proximity + orZero(l.Ring)
		all := 2 * math.Pi * *r.Resonance.Frequency * lf / q
		if got := orZero(r.Secondary.ResistanceAC); !scalar.EqualWithinRel(got, copper*all, test.tol) {
			t.Errorf("%s: ac_resistance_ohm = %.8g, by the energy %.8g", test.name, got, copper*all)
		}
		// What the current would lose if it were direct needs no field at all.
		want := *r.Secondary.ResistanceDC * meanSquare(t, test.d)
		if got := *l.Direct * all; !scalar.EqualWithinRel(got, want, 0.005) {
			t.Errorf("%s: %.6g Ω as with direct current, want %.6g (profile of the current and R₀)", test.name, got, want)
		}
		// One watt keeps up U with the energy CU²/2, of which ω/Q goes each second.
		u := orZero(l.TopVoltagePerRootWatt)
		if watt := 2 * math.Pi * *r.Resonance.Frequency / q * *r.Resonance.TopCapacitance * u * u / 2; !scalar.EqualWithinRel(watt, 1, 1e-12) {
			t.Errorf("%s: %g V at the top take %g W", test.name, u, watt)
		}
	}
}

// A winding with a pitch of three and a third times its wire, its current made even by a large ball far
// above it, has the proximity factor that Medhurst measured.
func TestLossesMeetMedhurst(t *testing.T) {
	d := New()
	d.SetPrimaryKind(NoPrimary)
	d.Room.Ground = Open
	d.Secondary = Secondary{
		FormerDiameter: 0.048, FormerWall: 0.002, FormerRelativePermittivity: 1,
		Turns: 40, Wire: Wire{Gauge: "1.0 mm", Insulation: Bare}, Pitch: 1e-3 / 0.3, BaseHeight: 0.1,
	}
	d.TopLoad = TopLoad{Kind: Sphere, Diameter: 0.3, Height: 0.5, Closed: false}
	r := evaluated(t, d)
	if even := meanSquare(t, d); !(even > 0.95) {
		t.Fatalf("the current falls to a mean square of %g: it is not even", even)
	}
	l := r.Losses
	got := (*l.Direct + *l.Skin + *l.Proximity) / (*l.Direct + *l.Skin)
	thick := 1e-3 / loss.SkinDepth(*r.Resonance.Frequency, 58e6)
	table, err := loss.Medhurst(40*1e-3/0.3/0.049, 1/0.3, thick, 40)
	if err != nil {
		t.Fatal(err)
	}
	if !table.InRange || !scalar.EqualWithinRel(got, table.Value, 0.03) {
		t.Errorf("proximity factor %.4g, want %.4g within 3 %% (Medhurst, Wireless Engineer 24 (1947) 80, in range: %v)", got, table.Value, table.InRange)
	}
}

// All lengths times k and copper that resists k times as much, by its temperature: the
// same ratio of wire to skin depth at 1/k of the frequency, and so the same Q.
func TestLossesScale(t *testing.T) {
	at := func(k float64, gauge string) Report {
		d := New()
		d.SetPrimaryKind(NoPrimary)
		d.TopLoad = TopLoad{Kind: NoTopLoad}
		d.Room.Ground = Open
		d.Room.AirTemperature = 20 + (k-1)/0.00393 // IEC 60028
		d.Secondary = Secondary{
			FormerDiameter: k * 0.025, FormerRelativePermittivity: 1, Turns: 120.5,
			Wire: Wire{Gauge: gauge, Insulation: Bare}, Pitch: k * 0.00025, BaseHeight: k * 0.02,
		}
		return evaluated(t, d)
	}
	one, more := at(1, "0.20 mm"), at(1.25, "0.25 mm")
	if a, b := *one.Resonance.QualityFactor, *more.Resonance.QualityFactor; !scalar.EqualWithinRel(a, b, 1e-9) {
		t.Errorf("Q = %.12g, scaled %.12g", a, b)
	}
	if a, b := *one.Secondary.ResistanceAC, *more.Secondary.ResistanceAC; !scalar.EqualWithinRel(a, b, 1e-9) {
		t.Errorf("R = %.12g Ω, scaled %.12g Ω", a, b)
	}
}

// Q neither jumps at a whole number of turns nor leaves what lies on both sides.
func TestLossesAreContinuousInTurns(t *testing.T) {
	at := func(turns float64) float64 {
		d := read(t, desk)
		d.Secondary.Turns = turns
		return *evaluated(t, d).Resonance.QualityFactor
	}
	below, middle, above := at(40), at(40.5), at(41)
	if !((middle-below)*(above-middle) > 0) {
		t.Errorf("Q = %g, %g, %g at 40, 40.5 and 41 turns", below, middle, above)
	}
	for _, turns := range []float64{40 - 1e-7, 40 + 1e-7} {
		if got := at(turns); !scalar.EqualWithinRel(got, below, 1e-6) {
			t.Errorf("Q = %g at %.8g turns and %g at 40", got, turns, below)
		}
	}
}

// What a shorted turn does to the frequency is the difference to the slotted coil.
func TestShortedTurn(t *testing.T) {
	closed := read(t, desk)
	closed.TopLoad = TopLoad{Kind: Torus, OuterDiameter: 0.06, TubeDiameter: 0.02, Height: 0.012, Closed: true}
	slotted := closed
	slotted.TopLoad.Closed = false
	with, without := evaluated(t, closed), evaluated(t, slotted)
	want := *with.Resonance.Frequency / *without.Resonance.Frequency - 1
	if got := orZero(with.Losses.ShortedShift); !(want > 0) || !scalar.EqualWithinRel(got, want, 1e-6) {
		t.Errorf("shorted_turn_frequency_change = %g, want %g (slotted coil)", got, want)
	}
	if with.Losses.Shorted == nil || !(*with.Losses.Shorted > 0) || without.Losses.Shorted != nil || without.Losses.ShortedShift != nil {
		t.Errorf("closed %v, slotted %v of the loss", orZero(with.Losses.Shorted), without.Losses.Shorted)
	}
	if text := cautionOf(with, "shorted_turn"); !strings.Contains(text, "unbroken top load is a shorted turn") {
		t.Errorf("caution of the closed torus: %q", text)
	}
	if text := cautionOf(without, "shorted_turn"); text != "" {
		t.Errorf("caution of the slotted torus: %q", text)
	}
}

// The same for a metal plane against a floor that lets magnetic fields through.
func TestMetalPlaneLoses(t *testing.T) {
	metal := read(t, desk)
	metal.Room.Ground, metal.Room.FloorDepth = MetalPlane, 0
	floor := metal
	floor.Room.Ground = Floor
	with, without := evaluated(t, metal), evaluated(t, floor)
	want := *with.Resonance.Frequency / *without.Resonance.Frequency - 1
	if got := orZero(with.Losses.PlaneShift); !(want > 0) || !scalar.EqualWithinRel(got, want, 1e-6) {
		t.Errorf("metal_plane_frequency_change = %g, want %g (floor)", got, want)
	}
	if !(orZero(with.Losses.Plane) > 0) || without.Losses.Plane != nil {
		t.Errorf("metal plane takes %v, floor %v of the loss", orZero(with.Losses.Plane), without.Losses.Plane)
	}
}

// A measured Q stands for the computed one, if it is of the coil as drawn.
func TestMeasuredQuality(t *testing.T) {
	d := read(t, desk)
	computed := *evaluated(t, d).Resonance.QualityFactor
	reading := func(value float64, setup string) Measurement {
		return Measurement{Quantity: "quality_factor", Value: value, Setup: setup, ProbePlace: "none"}
	}
	for _, test := range []struct {
		name     string
		readings []Measurement
		want     float64 // 0: the computed one
		caution  string
	}{
		{"none", nil, 0, ""},
		{"of the bare coil", []Measurement{reading(150, "bare")}, 0, ""},
		{"under its driver", []Measurement{reading(150, "running")}, 0, ""},
		{"with top load", []Measurement{reading(150, "with_top_load")}, 150, "at most"},
		{"the last one", []Measurement{reading(150, "with_top_load"), reading(140, "with_primary"), reading(90, "bare")}, 140, "at most"},
		{"more than can be", []Measurement{reading(900, "with_top_load")}, 900, "the reading or the dimensions are off"},
		{"of something else", []Measurement{{Quantity: "frequency", Value: 4e6, Setup: "with_top_load", ProbePlace: "none"}}, 0, ""},
		{"nothing", []Measurement{reading(0, "with_top_load")}, 0, ""},
	} {
		d.Measurements = test.readings
		r := evaluated(t, d)
		want := test.want
		if want == 0 {
			want = computed
		}
		if got := *r.Resonance.QualityFactor; got != want || *r.Losses.QualityFactorComputed != computed {
			t.Errorf("%s: Q = %g, want %g; computed %g, want %g", test.name, got, want, *r.Losses.QualityFactorComputed, computed)
		}
		if got := r.Losses.QualityFactorMeasured; (got != nil) != (test.want > 0) || got != nil && *got != test.want {
			t.Errorf("%s: measured Q = %g, want %g", test.name, orZero(got), test.want)
		}
		if text := cautionOf(r, "measured_quality_factor"); (text == "") != (test.caution == "") || !strings.Contains(text, test.caution) {
			t.Errorf("%s: caution %q, want one with %q", test.name, text, test.caution)
		}
		quick, err := NewSolver().Quick(t.Context(), d)
		if err != nil {
			t.Fatal(err)
		}
		if got := orZero(quick.Resonance.QualityFactor); got != test.want {
			t.Errorf("%s: Quick says %g, want %g", test.name, got, test.want)
		}
	}
	bare := read(t, smallest)
	if l := evaluated(t, bare).Losses; l.Ring != nil || l.Shorted != nil || l.ShortedShift != nil || l.Plane != nil || l.PlaneShift != nil {
		t.Errorf("a bare winding has parts it has not: %+v", l)
	}
	// Without a top load it is the bare coil, and with_primary needs one.
	d.TopLoad = TopLoad{Kind: NoTopLoad}
	d.SetPrimaryKind(NoPrimary)
	d.Measurements = []Measurement{reading(120, "bare"), reading(140, "with_primary"), reading(150, "with_top_load")}
	if got := d.MeasuredQuality(); got == nil || got.Value != 120 {
		t.Errorf("bare coil: measured %+v, want 120", got)
	}
}

func TestLossCautions(t *testing.T) {
	d := read(t, desk)
	if text := cautionOf(evaluated(t, d), "quality_factor"); !strings.Contains(text, "is the most that") {
		t.Errorf("caution of the quality factor: %q", text)
	}
	// Wire thicker than its coil: no losses, but a report.
	d = read(t, smallest)
	d.Secondary.Wire = Wire{Gauge: "5 mm", Insulation: Bare}
	d.Secondary.FormerDiameter, d.Secondary.FormerWall, d.Secondary.Turns, d.Secondary.BaseHeight = 0.001, 0, 3, 0.1
	r := evaluated(t, d)
	if text := cautionOf(r, "no_quality_factor"); text == "" || r.Resonance.QualityFactor != nil || r.Secondary.ResistanceAC != nil {
		t.Errorf("a coil narrower than two wires: Q %v, caution %q", r.Resonance.QualityFactor, text)
	}
}

// BenchmarkLosses450 is the losses alone once the modes are there.
func BenchmarkLosses450(b *testing.B) {
	s, d := NewSolver(), benchDesign(b)
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		b.StopTimer()
		d.Secondary.BaseHeight = 0.018 + 1e-4*float64(i%moves)
		l, problems := layOut(&d)
		if len(problems) > 0 {
			b.Fatal(problems)
		}
		if _, err := s.resonator.modes(b.Context(), &d, &l); err != nil {
			b.Fatal(err)
		}
		b.StartTimer()
		var r Report
		if err := s.addLosses(b.Context(), &d, &l, &r); err != nil {
			b.Fatal(err)
		}
	}
}
