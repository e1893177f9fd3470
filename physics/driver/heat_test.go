package driver

import (
	"math"
	"testing"
)

// The bare device follows the first-order law of a body that loses heat in
// proportion to its temperature: integrated in small steps, it passes its
// limit at the time that HeatTime gives.
func TestHeatTime(t *testing.T) {
	x := handSized(t) // BD139: 100 K/W, 0.5 J/K, 150 °C
	r := Running{DevicePower: 3}
	got := x.HeatTime(r)
	temperature, time := 20.0, 0.0
	const step = 1e-3
	for temperature < 150 {
		temperature += (3 - (temperature-20)/100) / 0.5 * step
		time += step
	}
	near(t, "time to 150 °C", got, time, 1e-3)
	near(t, "power at the limit", x.SafePower(), 1.3, 1e-12)
	x.Thermal.BurstOn, x.Thermal.BurstRate = 0.01, 20 // 0.6 W
	if got := x.HeatTime(r); got != 0 {
		t.Errorf("in bursts: %g s, want no limit", got)
	}
	if got := x.HeatTime(Running{}); got != 0 {
		t.Errorf("cold: %g s, want no limit", got)
	}
	x = handSized(t)
	x.Device.Rating.HeatCapacity = 0
	if got := x.HeatTime(r); got != 0 {
		t.Errorf("unknown capacity: %g s", got)
	}
}

func TestBatteries(t *testing.T) {
	seen := map[string]bool{}
	for _, b := range Batteries() {
		if b.Code == "" || seen[b.Code] || b.What == "" || !(b.Voltage > 0) || !(b.Resistance > 0) || b.Source == "" {
			t.Errorf("%+v", b)
		}
		switch b.Status {
		case "seen", "from memory", "assumption":
		default:
			t.Errorf("%s: status %q", b.Code, b.Status)
		}
		seen[b.Code] = true
	}
	block := Batteries()[0]
	near(t, "hours at 100 mA", block.RunTime(0.1)/3600, 5.5, 1e-12) // 0.55 Ah
	if got := (Battery{}).RunTime(1); got != 0 {
		t.Errorf("a supply that does not run out: %g s", got)
	}
	if got := block.RunTime(0); got != 0 || math.IsInf(got, 0) {
		t.Errorf("without current: %g s", got)
	}
}

// Off resonance too, a sine of the foot's current loses the power that the check
// is asked with.
func TestEnergyCheckOffResonance(t *testing.T) {
	b := Bridge{Coil: Coil{5e-3, 7.5e-12, 100, 1.08}, Primary: Primary{7.5e-6, 0.1, 0.14}, Feed: SeriesTuned, SeriesCapacitance: 5e-9, SourceResistance: 0.5, Amplitude: 12}
	for _, f := range []float64{0, 0.7e6, 0.9e6} {
		b.Frequency = f
		d, err := b.Solve()
		if err != nil {
			t.Fatal(err)
		}
		near(t, "top crest", EnergyCheck(b.Coil, d.CoilPower, d.Frequency), d.TopCrest, 1e-9)
	}
}
