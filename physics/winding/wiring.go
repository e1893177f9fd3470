package winding

import (
	"coilwright/physics/sentence"
	"coilwright/physics/si"
)

// Driver is the circuit that feeds a coil.
type Driver int

// Drivers.
const (
	NoDriver Driver = iota
	Exciter         // one transistor that takes its feedback from the secondary's foot
	HalfBridge
	SparkGap
)

// Circuit is what the wires of a coil are joined to.
type Circuit struct {
	Driver   Driver
	Primary  bool          // there is one
	Tap      float64       // turns in use; 0: all of them
	Reversed bool          // the exciter's primary, the other way round than [Wiring] has it
	Base     bool          // the half bridge feeds the secondary's foot
	Clamp    sentence.Text // part that protects the exciter's base; empty: none
	TopLoad  bool
	Board    bool // the foot returns to a board that stands free, not to earth
}

// Wiring says which end goes where, how to tell that the sense is right, and
// what to keep in mind, a sentence or two each. Common practice, no source.
func Wiring(c Circuit) []sentence.Text {
	var w []sentence.Text
	say := func(texts ...sentence.Text) { w = append(w, texts...) }
	say(sentence.New("Winding sense: looked at from above, wind secondary and primary the same way round, from the lower or inner end (START) to the upper or outer one (END), and mark the sense with an arrow on both formers."))
	if c.TopLoad {
		say(sentence.New("Secondary, upper end: to the hub of the top load, soldered or screwed, straight up and at least 10\u202fmm from the winding."))
	} else {
		say(sentence.New("Secondary, upper end: ends in the air, with no sharp point unless sparks are wanted from it."))
	}
	foot := sentence.New("to earth: a metal sheet under the coil or an earth wire of its own, not the earth of the mains socket")
	if c.Board {
		foot = sentence.New("to the common line of the circuit board")
	}
	end := sentence.New("END")
	if c.Tap > 0 {
		end = sentence.New("tap at turn %s", si.FormatTurns(c.Tap))
	}
	switch c.Driver {
	case Exciter:
		say(exciterWiring(c, end)...)
	case HalfBridge:
		if c.Base {
			say(sentence.New("Secondary, lower end: to the output of the half bridge, through its series capacitor if it has one; the bridge's common line is the coil's earth."))
		} else {
			say(sentence.New("Secondary, lower end: %s.", foot))
			say(sentence.New("Primary START: to the output of the half bridge, through the series capacitor if there is one. Primary %s: to the middle of the two capacitors across the supply.", end))
		}
		say(sentence.New("Swap test: with a bridge that is clocked from outside the sense makes no difference; with one that follows the secondary's current, a coil that does not start has its current transformer or its primary the wrong way round: swap one of them, not both."))
		say(sentence.New("Bring the supply up slowly from a source that limits its current. Capacitors stay charged: discharge them and check with a meter before touching anything. What hangs on the mains belongs to those who are licensed for it."))
	case SparkGap:
		say(sentence.New("Secondary, lower end: %s.", foot))
		say(sentence.New("Primary START: to earth and one side of the supply. Primary %s: through the tank capacitor to the spark gap, whose other side goes back to START; the supply stands across the gap.", end))
		say(sentence.New("Swap test: the sense makes no difference to a spark gap; the tap does: move it by a quarter of a turn at a time, with the supply off and the capacitor shorted."))
		say(sentence.New("The tank capacitor can kill. Short it with an insulated hook before every touch, leave a bleeder resistor across it, wear ear and eye protection for the gap, and leave mains transformers to those who are licensed for them."))
	default:
		say(sentence.New("Secondary, lower end: %s.", foot))
		if c.Primary {
			say(sentence.New("Primary: the design states no driver. Leave START and END long and marked until there is one."))
		}
		say(sentence.New("Swap test: none without a driver."))
	}
	say(sentence.New("Radio-frequency burns go deep and hardly hurt at first: switch off before touching the coil, its leads or anything near it, keep it away from people with pacemakers or other implants and from electronics, and follow the rules of your country for interference and safety."))
	return w
}

// exciterWiring is that of the one-transistor circuit.
func exciterWiring(c Circuit, end sentence.Text) []sentence.Text {
	protection := sentence.New("a diode from emitter to base protects the base: without one the transistor may die when it is switched on")
	if !c.Clamp.Empty() {
		protection = sentence.New("the %s stands between base and emitter, its cathode at the base", c.Clamp)
	}
	start := sentence.New("START")
	supply, collector := start, end
	if c.Reversed {
		supply, collector = end, start
	}
	return []sentence.Text{
		sentence.New("Secondary, lower end (START): to the base of the transistor (the gate of a MOSFET), where the resistor from the supply arrives too; %s.", protection),
		sentence.New("Primary %s: to the supply. Primary %s: to the collector (the drain of a MOSFET). The emitter (the source) goes to the negative line.", supply, collector),
		sentence.New("Swap test: if it draws current but does not ring, swap the two ends of the primary, once; if it rings neither way, check the coupling and the base resistor. Do not leave it on while it does not ring: the transistor heats."),
	}
}
