package driver

import (
	"math"

	"coilwright/physics/sentence"
)

// Excess is a value beyond what a part's maker allows.
type Excess struct {
	Part     string
	Quantity sentence.Text
	Value    float64
	Limit    float64
	Unit     string

	collector bool // of the collector or the drain
}

// String words the excess with its numbers.
func (e Excess) String() string { return e.Words().String() }

// Words is String for any reader.
func (e Excess) Words() sentence.Text {
	if e.Limit == 0 {
		return sentence.New("%s: %s", e.Part, e.Quantity)
	}
	return sentence.New("%s: %s %.3g %s, allowed %.3g %s", e.Part, e.Quantity, e.Value, e.Unit, e.Limit, e.Unit)
}

// BeyondPart lists what goes beyond the ratings of the device and the clamp in
// the settled state; a rating that is not known is not compared. A breakdown
// voltage of 0 is listed too: no real part has none.
//
// The collector is held against the collector-base rating, since the base is
// below the emitter when the collector is highest. Currents are crests, held
// against what the maker allows for long; powers are means, over bursts too.
func (x Exciter) BeyondPart(r Running) []Excess {
	var list []Excess
	device := x.Device.Rating
	add := func(part Part, quantity sentence.Text, value, limit float64, unit string) {
		if limit > 0 && value > limit {
			list = append(list, Excess{Part: part.Name, Quantity: quantity, Value: value, Limit: limit, Unit: unit})
		}
	}
	overVoltage := func(quantity sentence.Text, value, limit float64) {
		if add(x.Device, quantity, value, limit, "V"); value > limit && limit > 0 {
			list[len(list)-1].collector = true
		}
	}
	if x.Breakdown == 0 {
		list = append(list, Excess{Part: x.Device.Name, Quantity: sentence.New("computed without breakdown, which no real part lacks (collector up to %.3g V)", r.CollectorCrest), Value: r.CollectorCrest})
	}
	duty := x.Thermal.Duty()
	if x.Device.IsMOSFET() {
		overVoltage(sentence.New("drain voltage"), r.CollectorCrest, device.CollectorEmitter)
		add(x.Device, sentence.New("gate voltage"), r.BaseReverse, device.Reverse, "V")
		add(x.Device, sentence.New("drain current"), r.CollectorPeak, device.Current, "A")
	} else {
		overVoltage(sentence.New("collector-base voltage"), r.CollectorBase, device.CollectorBase)
		add(x.Device, sentence.New("reverse base voltage"), r.BaseReverse, device.Reverse, "V")
		add(x.Device, sentence.New("collector current"), r.CollectorPeak, device.Current, "A")
	}
	if x.Thermal.Resistance == 0 { // in free air
		add(x.Device, sentence.New("power in free air"), r.DevicePower*duty, device.Power, "W")
	}
	add(x.Device, sentence.New("junction temperature"), x.Temperature(r), device.Junction, "°C")
	if x.Clamp != nil {
		add(*x.Clamp, sentence.New("current"), r.ClampPeak, x.Clamp.Rating.Current, "A")
		add(*x.Clamp, sentence.New("power"), r.ClampPower*duty, x.Clamp.Rating.Power, "W")
	}
	return list
}

// Temperature returns the device's temperature in °C once it is warm: that of
// the air and the mean power times the thermal resistance, bursts counted by
// their duty. It is NaN if no thermal resistance is known.
func (x Exciter) Temperature(r Running) float64 {
	resistance := x.thermalResistance()
	if resistance == 0 {
		return math.NaN()
	}
	return x.Thermal.Air + resistance*r.DevicePower*x.Thermal.Duty()
}

func (x Exciter) thermalResistance() float64 {
	if x.Thermal.Resistance > 0 {
		return x.Thermal.Resistance
	}
	return x.Device.Rating.ThermalResistance
}

// EnergyCheck returns the top crest in V at which a coil loses the power in W
// that flows into it, at a frequency in Hz:
//
//	V = √(2 P Q/(ω C)) · ratio,   Q = 1/(ω C R),
//
// with C, R and ratio those of the coil. Q is its quality factor at that frequency,
// at resonance its own. A top voltage well above V is wrong; harmonics of the foot's
// current put it a little below.
func EnergyCheck(c Coil, power, frequency float64) float64 {
	reactance := 1 / (2 * math.Pi * frequency * c.Capacitance)
	return c.TopToFoot * reactance * math.Sqrt(2*power/c.Resistance)
}

// Stored returns the energy in J of a capacitance in F at a voltage in V.
func Stored(farads, volts float64) float64 { return farads * volts * volts / 2 }

// BleedTime returns how long in s a resistor in ohm takes to bring a capacitor
// of so many farads from one voltage in V down to another.
func BleedTime(farads, ohms, from, to float64) float64 {
	return farads * ohms * math.Log(from/to)
}
