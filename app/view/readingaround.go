package view

import (
	"slices"
	"strings"

	"fyne.io/fyne/v2/lang"

	"coilwright/physics/comparison"
	"coilwright/physics/design"
	"coilwright/physics/si"
)

// readingNear is what may have stood near, in the order it is offered, by the word
// of a key and that of a text.
var readingNear = []struct{ word, text string }{
	{comparison.NothingNear, "drawn"}, {comparison.MetalNear, "metal"}, {comparison.FloorNear, "floor"},
	{comparison.OpenNear, "open"}, {comparison.CeilingNear, "ceiling"}, {comparison.HandNear, "hand"},
}

// firstDistance is where typing a distance begins, m.
var firstDistance = map[string]float64{comparison.FloorNear: 0.75, comparison.CeilingNear: 0.5, comparison.HandNear: 0.2}

// around returns how a reading was taken; a key that is not understood says nothing.
func around(m design.Measurement) comparison.Circumstances {
	c, err := comparison.CircumstancesOf(m)
	if err != nil {
		return comparison.Circumstances{}
	}
	return c
}

// setAround changes how a reading was taken.
func setAround(m *design.Measurement, f func(*comparison.Circumstances)) {
	c := around(*m)
	f(&c)
	m.Key = c.Key()
}

// setReadingSetup changes the setup; a supply does not go with one that has no driver.
func setReadingSetup(m *design.Measurement, setup string) {
	c := around(*m)
	m.Setup = setup
	if m.Quantity == comparison.Frequency {
		if !comparison.UnderDriver(*m) {
			c.Supply = 0
		}
		m.Key = c.Key()
	}
}

// addElectrodes adds the row of what a gap is between.
func (c *readingCard) addElectrodes() {
	c.typed("bench.electrodes", func(m design.Measurement) (string, string) { return around(m).Electrodes, "" },
		func(m *design.Measurement, text string) error {
			text = strings.TrimSpace(strings.ReplaceAll(text, ";", " "))
			setAround(m, func(c *comparison.Circumstances) { c.Electrodes = text })
			return nil
		},
		func(m design.Measurement) bool { return m.Quantity == comparison.Gap })
}

// addAround adds the rows of the supply and of what stood near.
func (c *readingCard) addAround() {
	c.typed("bench.supply",
		func(m design.Measurement) (string, string) {
			if v := around(m).Supply; v > 0 {
				return decimal(v, 0, 3), si.Volt.Symbol()
			}
			return lang.L("bench.near.drawn"), ""
		},
		func(m *design.Measurement, text string) error {
			v, err := 0.0, error(nil)
			if text = strings.TrimSpace(text); text != "" && text != lang.L("bench.near.drawn") {
				if v, err = si.ParseIn(text, si.Volt); err == nil && !(v > 0) {
					err = refusal(lang.L("bench.not_positive"))
				}
			}
			if err == nil {
				setAround(m, func(c *comparison.Circumstances) { c.Supply = v })
			}
			return err
		}, comparison.UnderDriver)
	names := make([]string, len(readingNear))
	for i, n := range readingNear {
		names[i] = lang.L("bench.near." + n.text)
	}
	c.pick("bench.near", names,
		func(m design.Measurement) int {
			word := around(m).Near
			for i, n := range readingNear {
				if n.word == word {
					return i
				}
			}
			return 0
		},
		func(m *design.Measurement, i int) {
			word := readingNear[i].word
			setAround(m, func(c *comparison.Circumstances) { c.Near, c.Distance = word, firstDistance[word] })
		}, comparison.InRoom)
	c.typed("bench.distance",
		func(m design.Measurement) (string, string) {
			u := c.length()
			return decimal(u.Of(around(m).Distance), 0, 3), u.Symbol()
		},
		func(m *design.Measurement, text string) error {
			v, err := si.ParseIn(text, c.length())
			if err == nil && !(v > 0) {
				return refusal(lang.L("bench.not_positive"))
			}
			if err == nil {
				setAround(m, func(c *comparison.Circumstances) { c.Distance = v })
			}
			return err
		}, func(m design.Measurement) bool { return comparison.InRoom(m) && around(m).Distance > 0 })
}

// length is the unit that lengths are typed in.
func (c *readingCard) length() si.Unit {
	if c.owner.units == Inches {
		return si.Inch
	}
	return si.Millimetre
}

// aroundWords tells how a reading was taken, for the list of readings.
func aroundWords(m design.Measurement, units Units) []string {
	c := around(m)
	var parts []string
	if c.Supply > 0 {
		parts = append(parts, plainly(c.Supply, si.Volt))
	}
	i := slices.IndexFunc(readingNear, func(n struct{ word, text string }) bool { return n.word == c.Near })
	if c.Near == comparison.NothingNear || i < 0 {
		return parts
	}
	words := lang.L("bench.near." + readingNear[i].text)
	if c.Distance > 0 {
		unit := si.Millimetre
		if units == Inches {
			unit = si.Inch
		}
		words += " " + plainly(c.Distance, unit)
	}
	return append(parts, words)
}

// plainly writes a value as it was typed.
func plainly(v float64, unit si.Unit) string {
	return decimal(unit.Of(v), 0, 3) + "\u202f" + unit.Symbol()
}
