package view

import (
	"math"

	"fyne.io/fyne/v2/lang"

	"coilwright/physics/design"
	"coilwright/physics/driver"
)

// causeKeys are the keys of the design that cure what may be wrong with a driver,
// by the code of the cause: what its words name first.
var causeKeys = map[string]string{
	driver.CauseRating:   "driver.supply_v",
	driver.CauseSense:    "driver.sense",
	driver.CauseCoupling: "primary.inner_diameter_m",
	driver.CauseBias:     "driver.base_resistor_ohm",
	driver.CauseClamp:    "driver.clamp",
	driver.CauseDevice:   "driver.device",
	driver.CauseLosses:   "primary.inner_diameter_m",
}

// DriveItems returns what is wrong with a driver, the likeliest first; nil: nothing
// is, or it is not known yet.
func DriveItems(v *design.Drive) []Item {
	if v == nil {
		return nil
	}
	var items []Item
	for _, c := range v.Causes { // none of them states a length
		items = append(items, Item{Text: Millimetres.Say(c.Text), Problem: true, Key: causeKeys[c.Code]})
	}
	if outOfTuneOf(v) {
		items = append(items, Item{Text: lang.L("drive.out_of_tune"), Problem: true, Key: "primary.tap_turns"})
	}
	return items
}

// outOfTune is how far tank and coil may be apart before it is the first thing to
// mend.
const outOfTune = 0.03

// outOfTuneOf says whether the tank of a spark gap is out of tune with the coil.
func outOfTuneOf(v *design.Drive) bool {
	return v.Tuning != nil && v.Gap != nil && math.Abs(v.Tuning.Off) > outOfTune
}

// codeBurns is the caution that every driver has: no control cures it.
const codeBurns = "driver_burns"

// cautionKey returns the key whose change cures what a caution is about, empty: there
// is none. A circuit that is refused names no key, but it is the driver's.
func cautionKey(c design.Caution) string {
	switch c.Code {
	case codeBurns:
		return ""
	case design.CodeCircuit:
		return "driver"
	}
	return c.Key
}
