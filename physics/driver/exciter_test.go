package driver

import (
	"context"
	"errors"
	"math"
	"strings"
	"testing"
)

func TestRefusedCircuits(t *testing.T) {
	diode := found(t, "1N4148")
	for _, test := range []struct {
		name   string
		change func(*Exciter)
		want   string
	}{
		{"no coil", func(x *Exciter) { x.Coil.Inductance = 0 }, "the coil's inductance is 0 H"},
		{"no coupling", func(x *Exciter) { x.Primary.Coupling = 0 }, "without coupling nothing is fed back"},
		{"more than all", func(x *Exciter) { x.Primary.Coupling = 1 }, "between 0 and 1"},
		{"negative resistance", func(x *Exciter) { x.Primary.Resistance = -1 }, "must not be negative"},
		{"no supply", func(x *Exciter) { x.Supply = 0 }, "the supply is 0 V"},
		{"no bias", func(x *Exciter) { x.BaseResistor = 0 }, "the base resistor is 0 ohm"},
		{"no device", func(x *Exciter) { x.Device = Part{} }, "is no transistor"},
		{"a diode for a transistor", func(x *Exciter) { x.Device = diode }, "1N4148 is no transistor"},
		{"a transistor for a clamp", func(x *Exciter) { p := x.Device; x.Clamp = &p }, "BD139 is no diode"},
		{"no sense", func(x *Exciter) { x.Sense = 0 }, "must be 1 or -1"},
		{"not a number", func(x *Exciter) { x.Coil.Capacitance = math.NaN() }, "the coil's capacitance is NaN"},
	} {
		x := handSized(t)
		test.change(&x)
		_, startErr := x.Start()
		_, err := x.Settle(context.Background())
		if err == nil || startErr == nil || !strings.Contains(err.Error(), test.want) || !(errors.Is(err, ErrCircuit) || errors.Is(err, ErrPart)) {
			t.Errorf("%s: error %v, want %q", test.name, err, test.want)
		}
	}
}

func TestCancelled(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := handSized(t).Settle(ctx); !errors.Is(err, context.Canceled) {
		t.Errorf("error %v", err)
	}
}

// The example starts, inside every rating; the wrong way round it does not.
func TestHandSized(t *testing.T) {
	x := handSized(t)
	r, err := x.Settle(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	if !r.Starts() {
		t.Errorf("state %s, top %.4g V", r.State, r.TopCrest)
	}
	if list := x.BeyondPart(r); len(list) > 0 {
		t.Errorf("beyond the ratings: %v", list)
	}
	// Power is conserved: what the supply gives is lost in the parts, the base
	// resistor, the supply's own and the emitter's resistance, which lose little.
	lost := r.CoilPower + r.PrimaryPower + r.DevicePower + r.ClampPower
	if lost > 1.03*r.InputPower || lost < 0.85*r.InputPower {
		t.Errorf("%.4g W go in, %.4g W are lost", r.InputPower, lost)
	}
	// The crest follows from the power into the coil: 5 % for harmonics of the
	// foot's current and for the change of the frequency against the mode's.
	near(t, "energy check", EnergyCheck(x.Coil, r.CoilPower, r.Frequency), r.TopCrest, 0.05)
	if len(r.Waveform) < 2*coarseSteps || len(r.Envelope) != r.Cycles {
		t.Errorf("%d samples, %d crests of %d periods", len(r.Waveform), len(r.Envelope), r.Cycles)
	}

	x.Sense = -1
	s, err := x.Start()
	if err != nil || s.Grows() {
		t.Errorf("reversed: growth %g 1/s, error %v", s.Growth, err)
	}
	if r, err := x.Settle(context.Background()); err != nil || r.State != StateNone || r.Frequency != 0 {
		t.Errorf("reversed: state %s at %g Hz, error %v", r.State, r.Frequency, err)
	}
}

// Twice every resistance and inductance and half of every capacitance and
// current scale leave voltages and frequency as they are.
func TestImpedanceScaling(t *testing.T) {
	x := handSized(t)
	y := x
	const k = 2.0
	scale := func(p Part, per map[string]float64) Part {
		p = Stated(p.Type, p.Model)
		for name, power := range per {
			if v, ok := p.Model[name]; ok {
				p.Model[name] = v * math.Pow(k, power)
			}
		}
		return p
	}
	per := map[string]float64{"IS": -1, "IKF": -1, "ISE": -1, "ISC": -1, "IKR": -1, "ITF": -1, "IBV": -1, "RB": 1, "RC": 1, "RE": 1, "RS": 1, "CJE": -1, "CJC": -1, "CJO": -1}
	y.Device = scale(x.Device, per)
	clamp := scale(*x.Clamp, per)
	y.Clamp = &clamp
	x.Breakdown, y.Breakdown = 0, 0 // its law is in volts and siemens
	y.Coil.Inductance, y.Coil.Capacitance, y.Coil.Resistance = k*x.Coil.Inductance, x.Coil.Capacitance/k, k*x.Coil.Resistance
	y.Primary.Inductance, y.Primary.Resistance = k*x.Primary.Inductance, k*x.Primary.Resistance
	y.SupplyResistance, y.BaseResistor, y.EmitterResistor, y.CollectorCapacity = k*x.SupplyResistance, k*x.BaseResistor, k*x.EmitterResistor, x.CollectorCapacity/k
	a, err := x.Start()
	if err != nil {
		t.Fatal(err)
	}
	b, err := y.Start()
	if err != nil {
		t.Fatal(err)
	}
	near(t, "growth", b.Growth, a.Growth, 1e-6)
	near(t, "frequency", b.Frequency, a.Frequency, 1e-6)
	near(t, "base", b.BaseVoltage, a.BaseVoltage, 1e-6)
	near(t, "current", k*b.CollectorCurrent, a.CollectorCurrent, 1e-6)
}

// Without a transistor to speak of, the linearised circuit is a damped coil:
// its rate is -R/(2L).
func TestGrowthOfPassiveCoil(t *testing.T) {
	x := handSized(t)
	x.Device = Stated(NPN, map[string]float64{"IS": 1e-25})
	x.Clamp = nil
	x.Primary.Coupling = 1e-6
	x.BaseResistor, x.LowerBaseResistor = 1e-3, 1e-3 // the foot held by almost nothing
	x.CollectorCapacity, x.SupplyResistance = 0, 0
	x.Primary.Resistance = 1e3 // its own branch dies away quickly
	s, err := x.Start()
	if err != nil {
		t.Fatal(err)
	}
	near(t, "growth", s.Growth, -(x.Coil.Resistance+0.5e-3)/(2*x.Coil.Inductance), 1e-4)
	near(t, "frequency", s.Frequency, x.Coil.Frequency()*math.Sqrt(1-1/(4*x.Coil.QUnloaded()*x.Coil.QUnloaded())), 1e-4)
}

// Every optional part of the circuit can be there at once, with a MOSFET too.
func TestOptions(t *testing.T) {
	zener := found(t, "12 V zener")
	for _, device := range []string{"BD139", "IRF510"} {
		x := handSized(t)
		x.Device = found(t, device)
		x.GateZener = &zener
		x.SupplyChoke, x.BaseCapacitance, x.EmitterResistor = 1e-6, 1e-12, 0.1
		if x.Device.IsMOSFET() {
			x.Supply, x.BaseResistor, x.LowerBaseResistor = 9, 11.76e3, 8.8e3
		}
		if _, err := x.Start(); err != nil {
			t.Errorf("%s: %v", device, err)
		}
		r, err := x.Settle(context.Background())
		if err != nil {
			t.Errorf("%s: %v", device, err)
		}
		if !(r.TopCrest >= 0) || !(r.DevicePower > 0) {
			t.Errorf("%s: top %g V, device %g W", device, r.TopCrest, r.DevicePower)
		}
	}
}

func TestBeyondPart(t *testing.T) {
	x := handSized(t)
	r := Running{CollectorCrest: 140, CollectorBase: 150, BaseReverse: 9, CollectorPeak: 2, DevicePower: 3, ClampPeak: 1}
	var text []string
	for _, e := range x.BeyondPart(r) {
		text = append(text, e.String())
	}
	all := strings.Join(text, "\n")
	for _, want := range []string{"collector-base voltage 150 V, allowed 100 V", "reverse base voltage 9 V, allowed 5 V", "collector current 2 A, allowed 1.5 A", "power in free air 3 W", "junction temperature 320 °C", "1N4148: current 1 A"} {
		if !strings.Contains(all, want) {
			t.Errorf("missing %q in\n%s", want, all)
		}
	}
	// A tenth of the time: a tenth of the heat.
	x.Thermal.BurstOn, x.Thermal.BurstRate = 0.01, 10
	near(t, "temperature in bursts", x.Temperature(r), 20+100*3*0.1, 1e-9)
	x.Thermal.Resistance = 10
	near(t, "temperature on a heat sink", x.Temperature(r), 20+10*3*0.1, 1e-9)
	x.Breakdown = 0
	if list := x.BeyondPart(Running{}); len(list) != 1 || !strings.Contains(list[0].String(), "no real part lacks") {
		t.Errorf("without breakdown: %v", list)
	}
}

// 10 kV on 6 pF at 1.5 MHz with Q 150 need 18.8 W.
func TestEnergyCheck(t *testing.T) {
	w := 2 * math.Pi * 1.5e6
	c := Coil{Inductance: 1 / (w * w * 6e-12), Capacitance: 6e-12, TopToFoot: 1}
	c.Resistance = w * c.Inductance / 150
	near(t, "V = √(2PQ/(ωC)) of 18.85 W", EnergyCheck(c, 18.85, 1.5e6), 10e3, 1e-3)
}
