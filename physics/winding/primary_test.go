package winding

import (
	"errors"
	"math"
	"strings"
	"testing"

	"coilwright/physics/sentence"
	"coilwright/physics/si"
)

func clubPrimary() Primary {
	return Primary{
		WireName: "AWG 16", BareDiameter: 1.29085e-3, OverallDiameter: 1.29085e-3, InnerDiameter: 0.046,
		Turns: 4, Pitch: 0.004, Slope: math.Pi / 2, Tail: PrimaryTail,
	}
}

// chords measures the primary's wire by chords from point to point.
func chords(p Primary, turns float64) float64 {
	const pieces = 200000
	at := func(n float64) (x, y, z float64) {
		r := p.InnerDiameter/2 + (n-0.5)*p.Pitch*math.Cos(p.Slope)
		s, c := math.Sincos(2 * math.Pi * n)
		return r * c, r * s, n * p.Pitch * math.Sin(p.Slope)
	}
	sum := 0.0
	x, y, z := at(0)
	for i := 1; i <= pieces; i++ {
		u, v, w := at(turns * float64(i) / pieces)
		sum += math.Sqrt((u-x)*(u-x) + (v-y)*(v-y) + (w-z)*(w-z))
		x, y, z = u, v, w
	}
	return sum
}

func TestPrimaryLength(t *testing.T) {
	for _, slope := range []float64{0, 0.3, 1, math.Pi / 2, math.Pi/2 - 1e-6} {
		for _, turns := range []float64{0.25, 4, 9.5} {
			p := clubPrimary()
			p.Slope, p.Turns = slope, turns
			if got, want := p.LengthTo(turns), chords(p, turns); math.Abs(got/want-1) > 1e-7 {
				t.Errorf("slope %g, %g turns: %.9g m, want %.9g m (chords)", slope, turns, got, want)
			}
		}
	}
}

func TestPrimarySteps(t *testing.T) {
	p := clubPrimary()
	p.Turns, p.TapTurns, p.Slope = 5, 3.5, 0
	steps, err := p.Steps(si.Millimetre)
	if err != nil {
		t.Fatal(err)
	}
	var wound []float64
	tapped := false
	for _, s := range steps {
		if s.Kind == Wind {
			wound = append(wound, s.Turns)
		}
		if s.Kind == Tap {
			tapped = strings.Contains(s.Text.String(), "turn 3.5") && math.Abs(s.Expect.Value-chords(p, 3.5)) < 1e-6
		}
	}
	if len(wound) != 6 || wound[3] != 3.5 || wound[5] != 5 || !tapped {
		t.Errorf("the stops are %v, tap %v, want 1 2 3 3.5 4 5 and a tap at 3.5", wound, tapped)
	}
	for _, change := range []func(*Primary){
		func(p *Primary) { p.Turns = 0 },
		func(p *Primary) { p.TapTurns = 6 },
		func(p *Primary) { p.Slope = 2 },
		func(p *Primary) { p.InnerDiameter = 0.001 },
		func(p *Primary) { p.Pitch = math.NaN() },
	} {
		q := p
		change(&q)
		if _, err := q.Steps(si.Millimetre); !errors.Is(err, ErrPlan) {
			t.Errorf("Steps() of %+v = %v, want ErrPlan", q, err)
		}
		if _, err := q.Count(); !errors.Is(err, ErrPlan) {
			t.Errorf("Count() of %+v = %v, want ErrPlan", q, err)
		}
	}
}

func TestWiring(t *testing.T) {
	for _, test := range []struct {
		circuit Circuit
		says    []string
	}{
		{Circuit{Driver: Exciter, Primary: true, TopLoad: true, Clamp: sentence.Literal("1N4148")}, []string{"Primary START: to the supply", "1N4148", "swap the two ends"}},
		{Circuit{Driver: Exciter, Primary: true, Reversed: true}, []string{"Primary END: to the supply", "protects the base"}},
		{Circuit{Driver: Exciter, Primary: true, Tap: 2.5}, []string{"Primary tap at turn 2.5: to the collector"}},
		{Circuit{Driver: HalfBridge, Base: true}, []string{"output of the half bridge"}},
		{Circuit{Driver: HalfBridge, Primary: true, Board: true}, []string{"common line of the circuit board"}},
		{Circuit{Driver: SparkGap, Primary: true}, []string{"tank capacitor can kill", "bleeder"}},
		{Circuit{}, []string{"none without a driver"}},
	} {
		text := sentence.Join("\n", Wiring(test.circuit)...).String()
		for _, says := range append(test.says, "same way round", "Swap test", "burns") {
			if !strings.Contains(text, says) {
				t.Errorf("Wiring(%+v) does not say %q:\n%s", test.circuit, says, text)
			}
		}
	}
}
