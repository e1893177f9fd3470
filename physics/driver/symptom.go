package driver

import (
	"math"

	"coilwright/physics/sentence"
)

// Symptom is what is seen at an exciter that does not do what it should.
type Symptom string

// Symptoms.
const (
	NoGlowCold    Symptom = "no_glow_cold"    // nothing glows and nothing gets warm
	NoGlowHot     Symptom = "no_glow_hot"     // nothing glows and the transistor gets hot
	LampNoVoltage Symptom = "lamp_no_voltage" // the clamp's lamp is lit, but the top has no voltage
	NearHandOnly  Symptom = "near_hand_only"  // it runs only with a hand near
	StopsWarm     Symptom = "stops_warm"      // it runs for a minute and stops
	HotAndHigh    Symptom = "hot_and_high"    // hot, and at a frequency far too high
)

// Symptoms returns all symptoms in the order in which they are asked for.
func Symptoms() []Symptom {
	return []Symptom{NoGlowCold, NoGlowHot, LampNoVoltage, NearHandOnly, StopsWarm, HotAndHigh}
}

// Seen is what is computed of the exciter at which a symptom is seen.
type Seen struct {
	Start      Start
	Running    Running
	SecondMode float64 // Hz, of the coil; 0: not known
	Free       bool    // the foot returns to a board that stands free
}

// Finding is the one check that decides what a symptom comes from, and what to
// do about it.
type Finding struct {
	Symptom Symptom
	Check   sentence.Text
	Cure    sentence.Text
}

// Explain returns the check that decides and the cure for a symptom, with the
// numbers of this circuit. Which cause goes with which symptom is common
// practice, no source. A symptom that is not in the list is a programmer's
// error: it panics.
func (x Exciter) Explain(symptom Symptom, seen Seen) Finding {
	f := Finding{Symptom: symptom}
	bias := seen.Start.CollectorCurrent * 1e3 // mA
	heat := x.HeatTime(seen.Running)
	switch symptom {
	case NoGlowCold:
		f.Check = sentence.New("Measure the supply current. Without oscillation this circuit draws about %s mA.", few(bias))
		f.Cure = sentence.New("Far less: no bias reaches the transistor. Look for a broken joint, the base resistor (%s), a transistor put in the wrong way round, an empty battery. "+
			"About that: it is awake but does not oscillate, so swap the two wires of the primary, then bring the primary closer.", inOhms(x.BaseResistor))
	case NoGlowHot:
		f.Check = sentence.New("Switch off, swap the two wires of the primary, and try again for two seconds.")
		f.Cure = sentence.New("It runs now: they were the wrong way round, and the bias of %s mA only made heat. It is as hot as before: measure between collector and emitter with the supply off; a few ohms both ways mean that the transistor is dead. "+
			"If it is alive, look for a break in the secondary: no reading from foot to top.", few(bias))
	case LampNoVoltage:
		f.Check = sentence.New("Switch off, take the secondary's foot off the base, and switch on again.")
		through := math.Max(0, x.Supply-lampVoltage) / x.BaseResistor * 1e3
		f.Cure = sentence.New("Still lit: the lamp is the wrong way round and takes the base's current, at most %s mA; its anode goes to ground, its cathode to the base. "+
			"Dark: it does oscillate, but weakly, or the primary with the transistor's capacitance by itself. Bring the primary closer, and see that the secondary is not shorted by a scratched turn or bridged by the former.", few(through))
	case NearHandOnly:
		f.Check = sentence.New("Join the circuit's ground to a metal sheet of some 20 cm on a side, or to earth, and take the hand away.")
		f.Cure = sentence.New("It runs by itself now: the foot had nothing to push against. Leave the sheet, a counterpoise, under the board; a battery that stands free is too small for one. ")
		if !seen.Free {
			f.Cure = sentence.Join("", f.Cure, sentence.New("This design takes the foot for earthed: choose a board that stands free to see what that does."))
		} else {
			f.Cure = sentence.Join("", f.Cure, sentence.New("A larger board in the design shows the same."))
		}
		f.Cure = sentence.Join("", f.Cure, sentence.New(" It still does not run: it is at the edge of starting; more coupling or a smaller base resistor takes it over."))
	case StopsWarm:
		f.Check = sentence.New("Measure the supply's voltage at the board while it runs, until it stops.")
		f.Cure = sentence.New("It falls: the battery sags; this circuit wants %s mA. It holds: heat. ", few(seen.Running.SupplyCurrent*1e3))
		switch most := x.SafePower(); {
		case heat > 0:
			f.Cure = sentence.Join("", f.Cure, sentence.New("The transistor turns %s W into heat and, bare, would be at its limit after about %s s: lower the supply, use a heat sink or bursts.", few(seen.Running.DevicePower), few(heat)))
		case most > 0:
			f.Cure = sentence.Join("", f.Cure, sentence.New("Computed, the transistor turns %s W into heat and bears %s W; if it is too hot to touch, something loads the coil or the part is another one.", few(seen.Running.DevicePower), few(most)))
		default:
			f.Cure = sentence.Join("", f.Cure, sentence.New("Lower the supply, use a heat sink or bursts."))
		}
	case HotAndHigh:
		f.Check = sentence.New("Hold a receiver or a probe near, read the frequency, and take the secondary's foot off the base.")
		f.Cure = sentence.New("It should run at about %.3g MHz. ", x.expected(seen)/1e6)
		if seen.SecondMode > 0 {
			f.Cure = sentence.Join("", f.Cure, sentence.New("Near %.3g MHz: the coil swings in its second mode; less coupling, or some tens of picofarads from collector to ground, bring it back. ", seen.SecondMode/1e6))
		}
		f.Cure = sentence.Join("", f.Cure, sentence.New("It goes on without the secondary, somewhere near %s MHz: the primary rings with the transistor's capacitance. Shorten the leads, put 10 to 47 ohm in series with the base close to the transistor, and bring the primary closer.", few(x.primaryRing()/1e6)))
	default:
		panic("driver: there is no symptom " + string(symptom))
	}
	return f
}

// lampVoltage is what a red lamp keeps for itself, in V, from memory.
const lampVoltage = 1.8

// expected returns the frequency in Hz at which the exciter should run.
func (x Exciter) expected(seen Seen) float64 {
	if seen.Running.Frequency > 0 {
		return seen.Running.Frequency
	}
	return x.Coil.Frequency()
}

// primaryRing returns the frequency in Hz of the primary with what hangs at the
// collector, by the device's capacitance without bias: a real one rings higher.
func (x Exciter) primaryRing() float64 {
	c := x.CollectorCapacity
	if x.Device.IsMOSFET() {
		c += x.Device.Model["CGDMIN"] + x.Device.Model["CJO"]
	} else {
		c += x.Device.Model["CJC"]
	}
	return 1 / (2 * math.Pi * math.Sqrt(x.Primary.Inductance*math.Max(c, leastCollector)))
}

// leastCollector is the capacitance in F of a few centimetres of lead, from
// memory.
const leastCollector = 2e-12
