package winding

import (
	"errors"
	"math"
	"strings"
	"testing"

	"coilwright/physics/si"
)

// clubRing is 19 turns of AWG 14 on a 14 mm former round a 10 mm hub.
func clubRing() Ring {
	const d, former, hub, n = 1.62773e-3, 0.014, 0.010, 19
	return Ring{
		WireName: "AWG 14", WireDiameter: d, FormerDiameter: former, Turns: n,
		SpareTurns: RingSpareTurns, Tail: RingTail, MarkEvery: RingMarkEvery,
		HubDiameter: hub, OuterDiameter: hub + 2*former + 4*d,
		GapAtHub: (hub+d)*math.Sin(math.Pi/n) - d, HubLimit: math.Pi / math.Asin(d/(hub+d)),
	}
}

// clubSecondary is 310 turns of AWG 32 on a 25 mm former.
func clubSecondary() Secondary {
	const overall = 0.22226e-3
	return Secondary{
		WireName: "AWG 32", BareDiameter: 0.20194e-3, OverallDiameter: overall, FormerDiameter: 0.025,
		Turns: 310, Pitch: 1.03 * overall, Tail: SecondaryTail, MarkEvery: SecondaryMarkEvery,
	}
}

// polygon measures a helix of one turn by chords, which shares no formula with
// the code: a chord is short of its arc by φ²/24.
func polygon(diameter, pitch float64) float64 {
	const corners = 100000
	rise := pitch / corners
	s, c := math.Sincos(2 * math.Pi / corners)
	x, y := diameter/2*(c-1), diameter/2*s
	return corners * math.Sqrt(x*x+y*y+rise*rise)
}

func TestRingLengths(t *testing.T) {
	r := clubRing()
	turn := polygon(r.FormerDiameter+r.WireDiameter, r.WireDiameter)
	for _, test := range []struct {
		name      string
		got, want float64 // m
		source    string
	}{
		{"turn", r.TurnLength(), turn, "polygon of 100000 corners"},
		{"cut", r.CutLength(), 22*turn + 2*0.060, "19 turns, 3 spare, two tails of 60 mm"},
	} {
		if math.Abs(test.got/test.want-1) > 1e-8 {
			t.Errorf("%s: %.9g m, want %.9g m (%s)", test.name, test.got, test.want, test.source)
		}
	}
}

func TestRingCount(t *testing.T) {
	r := clubRing()
	tallies, err := r.Count()
	if err != nil || len(tallies) != 22 {
		t.Fatalf("Count() has %d turns, %v, want 22", len(tallies), err)
	}
	turn := polygon(r.FormerDiameter+r.WireDiameter, r.WireDiameter)
	for i, got := range tallies {
		n := float64(i + 1)
		want := Tally{
			Turn: n, WireUsed: 0.060 + n*turn, LengthOnFormer: n * 1.62773e-3,
			RingAngle: math.Min(n*2*math.Pi/19, 2*math.Pi), Mark: i == 4 || i == 9 || i == 14 || i == 19, Spare: i >= 19,
		}
		if got.Turn != want.Turn || got.Mark != want.Mark || got.Spare != want.Spare || math.Abs(got.WireUsed-want.WireUsed) > 1e-9 ||
			math.Abs(got.LengthOnFormer-want.LengthOnFormer) > 1e-12 || math.Abs(got.RingAngle-want.RingAngle) > 1e-12 {
			t.Errorf("Count()[%d] = %+v, want %+v", i, got, want)
		}
	}
}

func TestRingSteps(t *testing.T) {
	steps, err := clubRing().Steps(si.Millimetre)
	if err != nil {
		t.Fatal(err)
	}
	kinds := make([]string, len(steps))
	for i, s := range steps {
		kinds[i] = string(s.Kind)
	}
	const want = "cut grip wind wind wind wind spare slide open drop close space bind solder cool straighten check"
	if got := strings.Join(kinds, " "); got != want {
		t.Errorf("the steps are %s, want %s", got, want)
	}
	for _, test := range []struct {
		step  int
		turns float64
		on    float64 // m on the former
		angle float64 // rad
		says  []string
	}{
		{0, 0, 0, 0, []string{"1.21\u202fm of AWG 14", "14\u202fmm former", "19 turns and 3 spare", "60\u202fmm"}},
		{2, 5, 5 * 1.62773e-3, 5 * 2 * math.Pi / 19, []string{"turn 5 and mark it", "14 to go", "8.14\u202fmm long", "306\u202fmm of wire"}},
		{5, 19, 19 * 1.62773e-3, 2 * math.Pi, []string{"turn 19, the last"}},
		{6, 22, 22 * 1.62773e-3, 2 * math.Pi, []string{"3 spare turns, to turn 22"}},
		{7, 22, 0, 2 * math.Pi, []string{"22 turns", "5th turn"}},
		{9, 19, 0, 2 * math.Pi, []string{"behind turn 19", "993\u202fmm of wire"}},
		{10, 19, 0, 2 * math.Pi, []string{"hub of 10\u202fmm", "44.5\u202fmm"}},
		{11, 19, 0, 2 * math.Pi, []string{"every 18.9°", "0.286\u202fmm between the wires at the hub", "5.43\u202fmm at the rim"}},
		{13, 19, 0, 2 * math.Pi, []string{"then turn 10,", "let the ring cool"}},
		{16, 19, 0, 2 * math.Pi, []string{"19 turns", "44.5\u202fmm", "10\u202fmm"}},
	} {
		s := steps[test.step]
		if s.Turns != test.turns || math.Abs(s.LengthOnFormer-test.on) > 1e-12 || math.Abs(s.RingAngle-test.angle) > 1e-12 {
			t.Errorf("step %d stands at %g turns, %g m, %g rad, want %g, %g, %g", test.step, s.Turns, s.LengthOnFormer, s.RingAngle, test.turns, test.on, test.angle)
		}
		for _, says := range test.says {
			if !strings.Contains(s.Text.String(), says) {
				t.Errorf("step %d says %q, want it to say %q", test.step, s.Text, says)
			}
		}
	}
}

// TestTightRing is the tightest ring that is wound in practice.
func TestTightRing(t *testing.T) {
	const d, former, hub, n = 1.290848e-3, 0.015875, 7.798e-3, 21
	r := Ring{
		WireName: "AWG 16", WireDiameter: d, FormerDiameter: former, Turns: n, MarkEvery: 5, Tail: 0.05,
		HubDiameter: hub, OuterDiameter: hub + 2*former + 4*d,
		GapAtHub: (hub+d)*math.Sin(math.Pi/n) - d, HubLimit: math.Pi / math.Asin(d/(hub+d)),
	}
	steps, err := r.Steps(si.Inch)
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range steps {
		if s.Kind == Spare || s.Kind == Drop {
			t.Errorf("a ring without spare turns has the step %q", s.Text)
		}
	}
	// Common practice for the count; ASME B18.2.2 for a #6-32 nut, 7.671 to
	// 7.925 mm over the flats: 0.064 mm between the wires.
	space := steps[len(steps)-6]
	if space.Kind != Space || !strings.Contains(space.Text.String(), "0.00251\u202fin between the wires at the hub") {
		t.Errorf("%s: %q, want a gap of 0.0637 mm, 0.00251 in", space.Kind, space.Text)
	}
	r.Turns = 23
	if _, err := r.Steps(si.Inch); !errors.Is(err, ErrPlan) {
		t.Errorf("23 turns give %v, want ErrPlan: the hub holds 22", err)
	}
	// 22 turns of AWG 12 need a hub of d/sin(π/22) − d = 12.37 mm there, and
	// 14.99 fit (common practice for the count; the closest packing of circles).
	const thick = 2.052526e-3
	r = Ring{
		WireName: "AWG 12", WireDiameter: thick, FormerDiameter: former, Turns: 22, MarkEvery: 5, HubDiameter: hub, OuterDiameter: hub + 2*former + 4*thick,
		GapAtHub: (hub+thick)*math.Sin(math.Pi/22) - thick, HubLimit: math.Pi / math.Asin(thick/(hub+thick)),
	}
	if _, err := r.Steps(si.Millimetre); !errors.Is(err, ErrPlan) || !strings.Contains(err.Error(), "holds 14") || !strings.Contains(err.Error(), "12.4\u202fmm") {
		t.Errorf("22 turns of AWG 12 give %v, want a refusal that names 14 turns and a hub of 12.4 mm", err)
	}
}

func TestSecondary(t *testing.T) {
	s := clubSecondary()
	turn := polygon(s.FormerDiameter+s.OverallDiameter, s.Pitch)
	if got, want := s.WireLength(), 310*turn; math.Abs(got/want-1) > 1e-8 {
		t.Errorf("WireLength() = %.9g m, want %.9g m (polygon of 100000 corners)", got, want)
	}
	s.Turns = 310.25
	tallies, err := s.Count()
	if err != nil || len(tallies) != 311 {
		t.Fatalf("Count() has %d tallies, %v, want 311: 310 turns and a quarter", len(tallies), err)
	}
	last := tallies[310]
	if last.Turn != 310.25 || math.Abs(last.WireUsed-(0.1+310.25*turn)) > 1e-7 || math.Abs(last.LengthOnFormer-310.25*s.Pitch) > 1e-12 || last.Mark || last.RingAngle != 0 {
		t.Errorf("the last tally is %+v, want 310.25 turns, %g m", last, 0.1+310.25*turn)
	}
	for i, tally := range tallies[:310] {
		if tally.Mark != ((i+1)%50 == 0) {
			t.Errorf("turn %d: mark %v", i+1, tally.Mark)
		}
	}
}

func TestSecondarySteps(t *testing.T) {
	s := clubSecondary()
	steps, err := s.Steps(si.Millimetre)
	if err != nil {
		t.Fatal(err)
	}
	var wound []float64
	for _, step := range steps {
		if step.Kind == Wind {
			wound = append(wound, step.Turns)
		}
	}
	if len(wound) != 7 || wound[0] != 50 || wound[5] != 300 || wound[6] != 310 {
		t.Errorf("the marks stand at %v, want 50 to 300 and 310", wound)
	}
	end := steps[len(steps)-1]
	if math.Abs(end.WireUsed-s.CutLength()) > 1e-12 || math.Abs(end.LengthOnFormer-310*s.Pitch) > 1e-12 {
		t.Errorf("the end stands at %g m of wire, %g m on the former, want %g and %g", end.WireUsed, end.LengthOnFormer, s.CutLength(), 310*s.Pitch)
	}
	// 24.56 m of AWG 32 at 0.53833 Ω/m (58 MS/m, IEC 60028) and 0.28473 g/m.
	s.Pitch = 2 * s.OverallDiameter
	apart, err := s.Steps(si.Millimetre)
	if err != nil {
		t.Fatal(err)
	}
	if text := apart[len(apart)-3].Text.String(); !strings.Contains(text, "a turn every 0.445\u202fmm") {
		t.Errorf("a spaced winding ends with %q, want its pitch", text)
	}
	for i, says := range map[int]string{0: "71.0\u202fmm above", 1: "24.77\u202fm of AWG 32, which is 7.05\u202fg", len(steps) - 3: "13.2\u202fΩ"} {
		if !strings.Contains(steps[i].Text.String(), says) {
			t.Errorf("step %d says %q, want it to say %q", i, steps[i].Text.String(), says)
		}
	}
}

// TestLengthTexts reads lengths the way they are cut and measured.
func TestLengthTexts(t *testing.T) {
	for _, test := range []struct {
		unit       si.Unit
		metres     float64
		length, up string
	}{
		{si.Millimetre, 0.0445, "44.5\u202fmm", "50\u202fmm"},
		{si.Millimetre, 1.2007, "1.20\u202fm", "1.21\u202fm"},
		{si.Inch, 0.0445, "1.75\u202fin", "2\u202fin"},
		{si.Inch, 1.2007, "3.94\u202fft", "4\u202fft"},
		{si.Inch, 24.77, "81.3\u202fft", "81.3\u202fft"}, // 81.27 ft
	} {
		r := rule{test.unit}
		if got, up := r.length(test.metres), r.up(test.metres); got != test.length || up != test.up {
			t.Errorf("%g m is %q, to cut %q, want %q, %q", test.metres, got, up, test.length, test.up)
		}
	}
}

// TestStepsGrow holds for both parts that the work only ever goes on, and that
// every text is a sentence.
func TestStepsGrow(t *testing.T) {
	ring, err := clubRing().Steps(si.Millimetre)
	if err != nil {
		t.Fatal(err)
	}
	secondary, err := clubSecondary().Steps(si.Inch)
	if err != nil {
		t.Fatal(err)
	}
	for _, steps := range [][]Step{ring, secondary} {
		for i, s := range steps {
			if e := s.Expect; e.Name.Empty() || e.Tool == "" || !(e.Value > 0) || math.IsInf(e.Value, 0) {
				t.Errorf("step %d (%s) has nothing to check: %+v", i, s.Kind, e)
			}
			if !strings.HasSuffix(s.Text.String(), ".") || strings.Contains(s.Text.String(), "%!") || strings.Contains(s.Text.String(), "  ") {
				t.Errorf("step %d: %q is no sentence", i, s.Text)
			}
			if i > 0 && s.Kind != Slide && s.Kind != Drop && (s.Turns < steps[i-1].Turns || s.WireUsed < steps[i-1].WireUsed) {
				t.Errorf("step %d (%s) goes back to %g turns, %g m", i, s.Kind, s.Turns, s.WireUsed)
			}
		}
	}
}

// TestCutIsCheckedAsCut holds for ring and primary that the check of a cut says the
// number that was cut to, which is rounded up.
func TestCutIsCheckedAsCut(t *testing.T) {
	for _, unit := range []si.Unit{si.Millimetre, si.Inch} {
		for _, part := range []interface{ Steps(si.Unit) ([]Step, error) }{clubRing(), clubPrimary()} {
			steps, err := part.Steps(unit)
			if err != nil {
				t.Fatal(err)
			}
			for _, s := range steps {
				if s.Kind == Cut && !strings.Contains(s.Text.String(), "Cut "+s.Expect.Number(unit)+" of ") {
					t.Errorf("%q is checked by %q", s.Text, s.Expect.Words(unit))
				}
			}
		}
	}
}

func TestRefuses(t *testing.T) {
	for _, change := range []func(*Ring){
		func(r *Ring) { r.WireDiameter = 0 },
		func(r *Ring) { r.FormerDiameter = math.NaN() },
		func(r *Ring) { r.OuterDiameter = math.Inf(1) },
		func(r *Ring) { r.HubDiameter = -0.001 },
		func(r *Ring) { r.Tail = -1 },
		func(r *Ring) { r.Turns = 2 },
		func(r *Ring) { r.SpareTurns = -1 },
		func(r *Ring) { r.MarkEvery = 0 },
		func(r *Ring) { r.HubLimit = 18.9 },
	} {
		r := clubRing()
		change(&r)
		if _, err := r.Count(); !errors.Is(err, ErrPlan) {
			t.Errorf("Count() of %+v = %v, want ErrPlan", r, err)
		}
	}
	for _, change := range []func(*Secondary){
		func(s *Secondary) { s.Pitch = 0 },
		func(s *Secondary) { s.BareDiameter = -1 },
		func(s *Secondary) { s.Turns = math.NaN() },
		func(s *Secondary) { s.Turns = 0.5 },
		func(s *Secondary) { s.Turns = 1e9 },
		func(s *Secondary) { s.MarkEvery = 0 },
	} {
		s := clubSecondary()
		change(&s)
		if _, err := s.Count(); !errors.Is(err, ErrPlan) {
			t.Errorf("Count() of %+v = %v, want ErrPlan", s, err)
		}
	}
}

// TestHeatOfAnUnknownHub: a hub that is no listed nut is told as the cylinder that it is
// taken for; a nut by its name.
func TestHeatOfAnUnknownHub(t *testing.T) {
	for _, test := range []struct {
		diameter float64 // m
		want     string
	}{{0.0078, "The #6-32 nut alone"}, {0.0500, "solid brass cylinder half as high as wide, alone"}} {
		r := Ring{HubDiameter: test.diameter}
		if got := r.heatText(Heat{}).String(); !strings.HasPrefix(got, "The ") || !strings.Contains(got, test.want) {
			t.Errorf("a hub of %g m: %s; want %q", test.diameter, got, test.want)
		}
	}
}
