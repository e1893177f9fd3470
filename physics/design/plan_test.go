package design

import (
	"errors"
	"math"
	"strings"
	"testing"

	"coilwright/assets"
	"coilwright/physics/si"
	"coilwright/physics/winding"
)

// TestPlanOfTheTightRing is the tightest ring wound in practice: 21 turns of
// AWG 16 wound on 15.875 mm, closed between the flats of a #6-32 nut (common
// practice for the count; ASME B18.2.2 for the nut, 7.671 to 7.925 mm).
func TestPlanOfTheTightRing(t *testing.T) {
	d := New()
	d.TopLoad.Kind = WireRing
	d.TopLoad.Wire = Wire{Gauge: "AWG 16", Insulation: Bare}
	d.TopLoad.FormerDiameter, d.TopLoad.HubDiameter, d.TopLoad.Turns = 0.015875, 7.798e-3, 21
	p, err := WindingPlan(d, winding.DefaultSettings(), si.Millimetre)
	if err != nil {
		t.Fatal(err)
	}
	var text strings.Builder
	for _, s := range p.Ring.Steps {
		text.WriteString(s.Text.String())
	}
	for _, says := range []string{"0.0638\u202fmm between the wires", "#6-32 nut", "every 17.1°"} {
		if !strings.Contains(text.String(), says) {
			t.Errorf("the plan does not say %q: %s", says, text.String())
		}
	}
	// 24 turns of √((π·17.1658)² + 1.2908²) mm and two tails of 60 mm.
	if want := 24*math.Hypot(math.Pi*0.0171658, 0.0012908) + 0.12; math.Abs(p.Ring.CutLength/want-1) > 1e-5 {
		t.Errorf("the cut is %g m, want %g m", p.Ring.CutLength, want)
	}

	d.TopLoad.Wire.Gauge, d.TopLoad.Turns = "AWG 12", 22
	if _, err := WindingPlan(d, winding.DefaultSettings(), si.Millimetre); err == nil || !strings.Contains(err.Error(), "12.4 mm") {
		t.Errorf("22 turns of AWG 12 give %v, want a refusal that names a hub of 12.4 mm", err)
	}
}

// TestPlanAgreesWithReport holds net lengths of the plan against the report,
// which computes them elsewhere.
func TestPlanAgreesWithReport(t *testing.T) {
	for _, example := range assets.Examples() {
		e := read(t, string(example.Content))
		p, err := WindingPlan(e, winding.DefaultSettings(), si.Inch)
		if err != nil {
			t.Errorf("%s: %v", e.Name, err)
			continue
		}
		r, err := Evaluate(t.Context(), e)
		if err != nil {
			t.Fatal(err)
		}
		if got, want := p.Secondary.CutLength-2*winding.SecondaryTail, *r.Secondary.WireLength; math.Abs(got/want-1) > 1e-12 {
			t.Errorf("%s: the plan winds %g m, the report has %g m", e.Name, got, want)
		}
		if (p.Ring == nil) != (e.TopLoad.Kind != WireRing) || (p.Primary == nil) != (e.Primary.Kind == NoPrimary) {
			t.Errorf("%s: ring %v, primary %v", e.Name, p.Ring != nil, p.Primary != nil)
		}
		if p.Ring != nil {
			n := float64(e.TopLoad.Turns)
			if got, want := (p.Ring.CutLength-2*winding.RingTail)*n/(n+winding.RingSpareTurns), *r.TopLoad.WireLength; math.Abs(got/want-1) > 1e-12 {
				t.Errorf("%s: the plan's ring has %g m, the report %g m", e.Name, got, want)
			}
		}
	}
}

func TestPlanRefusesSettings(t *testing.T) {
	for _, change := range []func(*winding.Settings){
		func(s *winding.Settings) { s.RingSpareTurns = -1 },
		func(s *winding.Settings) { s.MarkEvery = 0 },
		func(s *winding.Settings) { s.Yield = math.NaN() },
		func(s *winding.Settings) { s.IronPower = 0 },
		func(s *winding.Settings) { s.Spool = math.Inf(1) },
		func(s *winding.Settings) { s.Speed = -1 },
		func(s *winding.Settings) { s.SolderMelts = 2000 },
		func(s *winding.Settings) { s.Tail = -1 },
	} {
		s := winding.DefaultSettings()
		change(&s)
		if _, err := WindingPlan(New(), s, si.Millimetre); !errors.Is(err, winding.ErrPlan) {
			t.Errorf("WindingPlan with %+v gives %v, want ErrPlan", s, err)
		}
	}
}
