package driver

import (
	"context"
	"strings"
	"testing"
)

// causes settles an exciter and asks what is wrong with it.
func causes(t *testing.T, x Exciter) ([]Cause, Start, Running) {
	t.Helper()
	s, err := x.Start()
	if err != nil {
		t.Fatal(err)
	}
	r, err := x.Settle(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	list, err := x.Causes(context.Background(), s, r)
	if err != nil {
		t.Fatal(err)
	}
	return list, s, r
}

// Each circuit has one thing wrong with it, and the first cause names that.
func TestCausesNameWhatIsWrong(t *testing.T) {
	slow := found(t, "Slow 3 A NPN")
	for _, test := range []struct {
		name   string
		change func(*Exciter)
		code   string // of the first cause; empty: none
		text   string
	}{
		{"runs", func(*Exciter) {}, "", ""},
		{"reversed", func(x *Exciter) { x.Sense = -1 }, CauseSense, "Swap the two wires of the primary"},
		{"far away", func(x *Exciter) { x.Primary.Coupling = 0.002 }, CauseCoupling, "Bring the primary closer"},
		{"hardly any bias", func(x *Exciter) { x.BaseResistor = 30e6 }, CauseBias, "smaller base resistor"},
		{"slow transistor", func(x *Exciter) { x.Device, x.Breakdown, x.Primary.Coupling = slow, 115, 0.05 }, CauseCoupling, ""},
		{"too much supply", func(x *Exciter) { x.Supply = 20 }, CauseRating, "allowed"},
		{"no coil to speak of", func(x *Exciter) { x.Coil.Resistance = 40e3 }, CauseLosses, "may lose too much"},
	} {
		x := handSized(t)
		test.change(&x)
		list, _, _ := causes(t, x)
		if test.code == "" {
			if len(list) > 0 {
				t.Errorf("%s: %+v, want no cause", test.name, list)
			}
			continue
		}
		if len(list) == 0 || list[0].Code != test.code || !strings.Contains(list[0].Text.String(), test.text) {
			t.Errorf("%s: %+v, want first %q with %q", test.name, list, test.code, test.text)
		}
	}
}

// What a cause asks for cures: the circuit is changed by a little more than it
// says, and grows; by a little less, and does not.
func TestCuresOfSilence(t *testing.T) {
	grows := func(x Exciter) bool {
		s, err := x.Start()
		if err != nil {
			t.Fatal(err)
		}
		return s.Grows()
	}
	x := handSized(t)
	x.Primary.Coupling, x.Device, x.Breakdown = 0.002, found(t, "Slow 3 A NPN"), 115
	list, _, _ := causes(t, x)
	seen := map[string]bool{}
	for _, c := range list {
		seen[c.Code] = true
		switch c.Code {
		case CauseCoupling:
			more, less := x, x
			more.Primary.Coupling, less.Primary.Coupling = 1.01*c.Need, 0.99*c.Need
			if !grows(more) || grows(less) {
				t.Errorf("coupling %g is no border of growth", c.Need)
			}
		case CauseDevice:
			y := x
			y.Device = found(t, "BD139")
			if strings.Contains(c.Text.String(), "BD139") != grows(y) {
				t.Errorf("%q, but grows with BD139: %v", c.Text, grows(y))
			}
		}
	}
	if !seen[CauseCoupling] {
		t.Errorf("causes %+v", list)
	}
	x = handSized(t)
	x.BaseResistor = 30e6
	list, _, _ = causes(t, x)
	more, less := x, x
	more.BaseResistor, less.BaseResistor = 0.99*list[0].Need, 1.01*list[0].Need
	if list[0].Code != CauseBias || !grows(more) || grows(less) {
		t.Errorf("base resistor %g is no border of growth: %+v", list[0].Need, list)
	}
}

// A circuit that grows and stays weak: every cure was tried, and what is named
// comes to full output.
func TestCuresOfWeakness(t *testing.T) {
	exciters, _, _ := references(t)
	weak := 0
	for _, reference := range exciters {
		x := reference.exciter()
		s, err := x.Start()
		if err != nil {
			t.Fatal(err)
		}
		if !s.Grows() || reference.Reference.Starts {
			continue
		}
		weak++
		r, err := x.Settle(context.Background())
		if err != nil {
			t.Fatal(err)
		}
		list, err := x.Causes(context.Background(), s, r)
		if err != nil {
			t.Fatal(err)
		}
		for _, c := range list {
			y := x
			switch c.Code {
			case CauseCoupling:
				y.Primary.Coupling = c.Need
			case CauseBias:
				y.BaseResistor = c.Need
			default:
				continue
			}
			if r, err := y.Settle(context.Background()); err != nil || !r.Starts() {
				t.Errorf("%s: %q leads to state %s, error %v", reference.ID, c.Text, r.State, err)
			}
		}
	}
	if weak == 0 {
		t.Error("no reference circuit is weak")
	}
}

func TestOtherStorage(t *testing.T) {
	x := handSized(t)
	if _, ok := x.OtherStorage(); ok {
		t.Error("the storage time of 1N4148 is taken for unknown")
	}
	led := found(t, "Red LED fast")
	x.Clamp = &led
	y, ok := x.OtherStorage()
	if !ok || y.Clamp.Name != "Red LED slow" || x.Clamp.Name != "Red LED fast" {
		t.Errorf("%v, clamps %q and %q", ok, y.Clamp.Name, x.Clamp.Name)
	}
}

// Every symptom has a check and a cure with the numbers of the circuit.
func TestExplain(t *testing.T) {
	x := handSized(t)
	_, s, r := causes(t, x)
	seen := Seen{Start: s, Running: r, SecondMode: 15e6}
	for _, test := range []struct {
		symptom Symptom
		want    string
	}{
		{NoGlowCold, "22 kilohm"},
		{NoGlowHot, "swap the two wires of the primary"},
		{LampNoVoltage, "at most 0.15 mA"}, // (5 - 1.8) V through 22 kilohm
		{NearHandOnly, "takes the foot for earthed"},
		{StopsWarm, "the battery sags"},
		{HotAndHigh, "Near 15 MHz: the coil swings in its second mode"},
	} {
		f := x.Explain(test.symptom, seen)
		if f.Check.Empty() || !strings.Contains(f.Check.String()+f.Cure.String(), test.want) {
			t.Errorf("%s: %+v, want %q", test.symptom, f, test.want)
		}
	}
	if len(Symptoms()) != 6 {
		t.Errorf("%d symptoms", len(Symptoms()))
	}
	seen.Running.DevicePower = 5 // far beyond 1.3 W
	if f := x.Explain(StopsWarm, seen); !strings.Contains(f.Cure.String(), "at its limit after about") {
		t.Errorf("hot: %q", f.Cure)
	}
	seen.Free = true
	if f := x.Explain(NearHandOnly, seen); strings.Contains(f.Cure.String(), "takes the foot for earthed") {
		t.Errorf("on a free board: %q", f.Cure)
	}
}
