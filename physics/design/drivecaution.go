package design

import (
	"math"
	"slices"
	"strings"

	"coilwright/physics/driver"
	"coilwright/physics/sentence"
)

// Limits above which a driver's supply calls for a caution.
const (
	supplyCaution = 30.0  // V; common practice, no source
	mainsCaution  = 100.0 // V, of a bus that comes from rectified mains; common practice
	bleedTo       = 30.0  // V
	bleedWithin   = 5.0   // s; common practice
)

// driverCode begins the codes of all cautions about a driver.
const driverCode = "driver_"

// SetDriver puts the cautions about a driver in the place of those about another,
// in the report of a coil that is the same with both.
func (r *Report) SetDriver(d Driver) {
	others := slices.DeleteFunc(slices.Clone(r.Cautions), func(c Caution) bool { return strings.HasPrefix(c.Code, driverCode) })
	r.Cautions = append(others, driverCautions(&d)...)
}

// driverCautions says where a driver can hurt.
func driverCautions(d *Driver) (all []Caution) {
	if d.Kind == NoDriver {
		return nil
	}
	say := func(code, key string, text sentence.Text) {
		all = append(all, Caution{Code: code, Key: key, Text: text})
	}
	supply, key := d.Supply, "driver.supply_v"
	if d.Kind == HalfBridge {
		supply, key = d.Bus, "driver.bus_v"
	}
	switch {
	case d.Kind == SparkGap:
		if energy := driver.Stored(d.TankCapacitance, d.FiringVoltage); energy > 0 {
			text := sentence.New("The tank holds %.3g J at %.4g V and keeps it after the supply is off. ", energy, d.FiringVoltage)
			if d.FiringVoltage > bleedTo {
				// R = t/(C ln(V/V')), from the time at one ohm.
				ohms := bleedWithin / driver.BleedTime(d.TankCapacitance, 1, d.FiringVoltage, bleedTo)
				text = sentence.Join("", text, sentence.New("A bleeder of at most %.0f megohm across it, rated for this voltage, brings it under %g V in %g s; ", math.Max(1, math.Floor(ohms/1e6)), bleedTo, bleedWithin))
			}
			say(driverCode+"tank", "driver.tank_capacitance_f", sentence.New("%sshort it with an insulated lead all the same before touching. Its supply can kill: leave it to people who are trained for it, and follow local rules.", text))
		}
	case supply >= mainsCaution:
		say(driverCode+"mains", key, sentence.New("A supply of %.4g V can kill. Straight from the mains everything is live, the coil and its earth too: use an isolating transformer, a fuse and a residual-current device, leave it to licensed people, and follow local rules.", supply))
	case supply > supplyCaution:
		say(driverCode+"supply", key, sentence.New("A supply of %.4g V can hurt by itself: switch off and let the capacitors run empty before touching the circuit, and fit a fuse.", supply))
	}
	say(driverCode+"burns", "driver", sentence.New("The top burns without a shock being felt: radio-frequency burns go deep. Keep hands away while it runs, switch off before changing anything, and keep people with implants and their electronics at a distance."))
	return all
}
