package view

import (
	"math"
	"slices"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/lang"

	"coilwright/physics/design"
	"coilwright/physics/si"
)

// Words of a reading, in the order they are offered.
var (
	readingQuantities = []string{"frequency", "quality_factor", "inductance", "resistance", "capacitance", "turns", "dimension", "gap", "supply_current", "temperature"}
	readingSetups     = []string{"bare", "with_top_load", "with_primary", "running"}
	probePlaces       = []string{"none", "near_top", "on_top", "foot"}
	readingDimensions = []string{
		"secondary.winding_height_m", "secondary.former_diameter_m", "secondary.wire.overall_diameter_m", "secondary.pitch_m",
		"secondary.base_height_m", "secondary.wire_length_m", "top_load.outer_diameter_m", "top_load.height_m",
		"top_load.hub_diameter_m", "top_load.former_diameter_m",
	}
)

// dimensionName is what a dimension is called; a key that is not offered stands
// as it is.
func dimensionName(key string) string {
	if slices.Contains(readingDimensions, key) {
		return lang.L("bench.dimension." + key)
	}
	return key
}

// readingCard is everything about one reading.
type readingCard struct {
	*Card
	owner   *Readings
	reading design.Measurement
	fields  []*readingRow
	value   *readingRow
}

// readingRow is one row of the card: a picker or an entry.
type readingRow struct {
	*Row
	picker  *Picker
	entry   *Entry
	applies func(design.Measurement) bool // nil: always
	index   func(design.Measurement) int
	pick    func(*design.Measurement, int)
	text    func(design.Measurement) (text, unit string)
	take    func(*design.Measurement, string) error
	showing bool
}

func newReadingCard(owner *Readings) *readingCard {
	c := &readingCard{Card: newCard(lang.L("card.reading")), owner: owner}
	c.pick("bench.quantity", named("bench.quantity.", readingQuantities),
		func(m design.Measurement) int { return slices.Index(readingQuantities, m.Quantity) },
		func(m *design.Measurement, i int) { setReadingQuantity(m, readingQuantities[i]) }, nil)
	c.pick("bench.dimension", named("bench.dimension.", readingDimensions),
		func(m design.Measurement) int { return slices.Index(readingDimensions, m.Key) },
		func(m *design.Measurement, i int) { m.Key = readingDimensions[i] },
		func(m design.Measurement) bool { return m.Quantity == "dimension" })
	c.pick("bench.part", []string{lang.L("bench.part.coil"), lang.L("bench.part.top_load")},
		func(m design.Measurement) int {
			if m.Key == keyTopLoadAlone {
				return 1
			}
			return 0
		},
		func(m *design.Measurement, i int) { m.Key = []string{"", keyTopLoadAlone}[i] },
		func(m design.Measurement) bool { return m.Quantity == "capacitance" })
	c.addElectrodes()
	c.value = c.typed("bench.value",
		func(m design.Measurement) (string, string) { return c.number(m, m.Value) },
		func(m *design.Measurement, text string) (err error) {
			v, err := c.parse(*m, text)
			if err == nil && !(v > 0) && m.Quantity != "temperature" {
				return refusal(lang.L("bench.not_positive"))
			}
			if err == nil {
				m.Value = v
			}
			return err
		}, nil)
	c.typed("bench.uncertainty",
		func(m design.Measurement) (string, string) {
			text, unit := c.number(m, m.Uncertainty)
			if m.Uncertainty == 0 {
				text = lang.L("bench.usual")
			}
			return text, unit
		},
		func(m *design.Measurement, text string) error {
			if text = strings.TrimSpace(text); text == "" || text == lang.L("bench.usual") {
				m.Uncertainty = 0
				return nil
			}
			v, err := c.parse(*m, text)
			if rest, ok := strings.CutSuffix(text, "%"); ok {
				v, err = si.ParseIn(rest, si.Plain)
				v *= math.Abs(m.Value) / 100
			}
			if err == nil && v < 0 {
				return refusal(lang.L("bench.not_positive"))
			}
			if err == nil {
				m.Uncertainty = v
			}
			return err
		}, nil)
	c.pick("bench.setup", named("bench.setup.", readingSetups),
		func(m design.Measurement) int { return slices.Index(readingSetups, m.Setup) },
		func(m *design.Measurement, i int) { setReadingSetup(m, readingSetups[i]) }, ofField)
	c.addAround()
	c.typed("bench.meter",
		func(m design.Measurement) (string, string) {
			if m.AtFrequency == nil {
				return "", si.Kilohertz.Symbol()
			}
			return decimal(si.Kilohertz.Of(*m.AtFrequency), 0, 3), si.Kilohertz.Symbol()
		},
		func(m *design.Measurement, text string) error {
			if strings.TrimSpace(text) == "" {
				m.AtFrequency = nil
				return nil
			}
			v, err := si.ParseIn(text, si.Kilohertz)
			if err == nil && !(v > 0) {
				return refusal(lang.L("bench.not_positive"))
			}
			if err == nil {
				m.AtFrequency = &v
			}
			return err
		}, func(m design.Measurement) bool { return m.Quantity == "inductance" })
	c.pick("bench.probe", named("bench.probe.", probePlaces),
		func(m design.Measurement) int { return max(slices.Index(probePlaces, m.ProbePlace), 0) },
		func(m *design.Measurement, i int) { m.ProbePlace = probePlaces[i] }, ofResonance)
	c.typed("bench.farads",
		func(m design.Measurement) (string, string) {
			return decimal(si.Picofarad.Of(m.ProbeCapacitance), 1, 3), si.Picofarad.Symbol()
		},
		func(m *design.Measurement, text string) error {
			v, err := si.ParseIn(text, si.Picofarad)
			if err == nil && v < 0 {
				return refusal(lang.L("bench.not_positive"))
			}
			if err == nil {
				m.ProbeCapacitance = v
			}
			return err
		}, func(m design.Measurement) bool { return ofResonance(m) && m.ProbePlace != "none" })
	c.typed("bench.date", func(m design.Measurement) (string, string) { return m.Date, "" },
		func(m *design.Measurement, text string) error { m.Date = text; return nil }, nil)
	c.typed("bench.instrument", func(m design.Measurement) (string, string) { return m.Instrument, "" },
		func(m *design.Measurement, text string) error { m.Instrument = text; return nil }, nil)
	c.typed("bench.note", func(m design.Measurement) (string, string) { return m.Note, "" },
		func(m *design.Measurement, text string) error { m.Note = text; return nil }, nil)
	return c
}

// keyTopLoadAlone is the key of a capacitance that is the top load's alone.
const keyTopLoadAlone = "top_load.capacitance_f"

// ofField says whether a reading depends on what stands there.
func ofField(m design.Measurement) bool {
	return !slices.Contains([]string{"resistance", "turns", "dimension", "temperature"}, m.Quantity)
}

// ofResonance says whether a probe on the coil counts.
func ofResonance(m design.Measurement) bool {
	return m.Quantity == "frequency" || m.Quantity == "quality_factor" || m.Quantity == "capacitance"
}

// setReadingQuantity changes what was read; what does not go with it is put back.
func setReadingQuantity(m *design.Measurement, quantity string) {
	if m.Quantity == quantity {
		return
	}
	m.Quantity, m.Key, m.AtFrequency = quantity, "", nil
	m.Uncertainty = 0
	switch quantity {
	case "dimension":
		m.Key = readingDimensions[0]
	case "gap":
		m.Key = "needles"
	}
	m.Value = firstReading[quantity]
}

// firstReading is where typing begins, SI.
var firstReading = map[string]float64{
	"frequency": 1e6, "quality_factor": 100, "inductance": 1e-3, "resistance": 10, "capacitance": 5e-12, "turns": 100,
	"dimension": 0.05, "gap": 0.005, "supply_current": 0.2, "temperature": 20,
}

func named(prefix string, words []string) []string {
	out := make([]string, len(words))
	for i, w := range words {
		out[i] = lang.L(prefix + w)
	}
	return out
}

// number prints a value in the reading's unit.
func (c *readingCard) number(m design.Measurement, v float64) (text, unit string) {
	u := readingUnit(m, c.owner.units)
	const most = 6
	return decimal(u.Of(v), 0, most), readingSymbol(m, u)
}

// parse reads a value in the reading's unit.
func (c *readingCard) parse(m design.Measurement, text string) (float64, error) {
	if m.Quantity == "temperature" {
		text = strings.TrimSuffix(strings.TrimSpace(text), celsius)
	}
	return si.ParseIn(strings.TrimSuffix(strings.TrimSpace(text), "%"), readingUnit(m, c.owner.units))
}

// pick adds a row with a few words to pick from.
func (c *readingCard) pick(key string, words []string, index func(design.Measurement) int, pick func(*design.Measurement, int), applies func(design.Measurement) bool) {
	r := &readingRow{picker: NewPicker(words), applies: applies, index: index, pick: pick}
	r.Row = newRow(key, lang.L("row."+key), r.picker, nil)
	r.picker.onFocus, r.picker.onHover = r.focused, r.hint
	r.picker.OnChanged = func(string) {
		if i := r.picker.SelectedIndex(); i >= 0 && !r.showing {
			c.owner.edit(func(m *design.Measurement) { r.pick(m, i) })
		}
	}
	c.add(r)
}

// typed adds a row with an entry and returns it.
func (c *readingCard) typed(key string, text func(design.Measurement) (string, string), take func(*design.Measurement, string) error, applies func(design.Measurement) bool) *readingRow {
	r := &readingRow{entry: NewEntry(true), applies: applies, text: text, take: take}
	r.Row = newRow(key, lang.L("row."+key), r.entry, nil)
	r.entry.OnFocus = r.focused
	r.entry.OnRefused = r.refuseFor
	r.entry.OnCommit = func(typed string) error {
		changed := c.reading
		if err := r.take(&changed, typed); err != nil {
			return err
		}
		c.owner.edit(func(m *design.Measurement) { *m = changed })
		return nil
	}
	c.add(r)
	return r
}

func (c *readingCard) add(r *readingRow) {
	r.OnHint = c.owner.hint
	r.OnSay = func(text string) {
		if c.owner.OnSay != nil {
			c.owner.OnSay(text)
		}
	}
	r.OnFocus = func(row *Row) { c.owner.reveal(row) }
	r.OnWheel = func(e *fyne.ScrollEvent) { c.owner.scroll.Scrolled(e) }
	c.fields = append(c.fields, r)
	c.rows.Add(r.Row)
}

// show puts a reading on screen, and the rows that apply to it.
func (c *readingCard) show(m design.Measurement) {
	c.reading = m
	first, _ := ReadingWords(m, c.owner.units)
	c.sumUp(first)
	for _, r := range c.fields {
		applies := r.applies == nil || r.applies(m)
		if applies != r.Visible() {
			setVisible(r.Row, applies)
		}
		if !applies {
			continue
		}
		if r.entry != nil {
			r.entry.ShowValue(r.text(m))
			continue
		}
		r.showing = true
		if i := r.index(m); i < 0 {
			r.picker.ClearSelected()
		} else if i != r.picker.SelectedIndex() {
			r.picker.SetSelectedIndex(i)
		}
		r.showing = false
	}
	c.Panel.Refresh()
}
