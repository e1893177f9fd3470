package view

import (
	"slices"

	"fyne.io/fyne/v2/lang"

	"coilwright/app/session"
	"coilwright/physics/design"
	"coilwright/physics/driver"
	"coilwright/physics/si"
)

// scaledMeasure is a quantity that is shown in one unit.
type scaledMeasure struct {
	unit           si.Unit
	least          float64 // smallest sensible step, in the unit
	decimals, most int
}

func (m scaledMeasure) parse(text string, _ Units) (float64, error) { return si.ParseIn(text, m.unit) }

func (m scaledMeasure) format(value float64, _ Units) (string, string) {
	return decimal(m.unit.Of(value), m.decimals, m.most), m.unit.Symbol()
}

func (m scaledMeasure) step(Units) float64 { return m.unit.SI(m.least) }

// Measures of a driver.
var (
	supplyMeasure    = scaledMeasure{si.Volt, 0.1, 1, 3}
	sparkMeasure     = scaledMeasure{si.Kilovolt, 0.1, 1, 3}
	smallOhmMeasure  = scaledMeasure{si.Ohm, 0.1, 1, 3}
	baseOhmMeasure   = scaledMeasure{si.Kiloohm, 0.1, 1, 4}
	chokeMeasure     = scaledMeasure{si.Microhenry, 0.1, 1, 3}
	tankMeasure      = scaledMeasure{si.Nanofarad, 0.1, 1, 4}
	drivenMeasure    = scaledMeasure{si.Kilohertz, 1, 0, 3}
	rateMeasure      = scaledMeasure{si.Hertz, 1, 0, 3}
	delayMeasure     = scaledMeasure{si.Nanosecond, 1, 0, 2}
	burstMeasure     = scaledMeasure{si.Millisecond, 0.1, 1, 4}
	perWattMeasure   = numberMeasure{1, 0, 2}
	breakdownMeasure = scaledMeasure{si.Volt, 1, 0, 2}
)

// numberMeasure is a number without a unit that the list of units has.
type numberMeasure struct {
	least          float64
	decimals, most int
}

func (numberMeasure) parse(text string, _ Units) (float64, error) { return si.ParseIn(text, si.Plain) }

func (m numberMeasure) format(value float64, _ Units) (string, string) {
	return decimal(value, m.decimals, m.most), ""
}

func (m numberMeasure) step(Units) float64 { return m.least }

// driverCard is what feeds the primary. Its rows are those of the kind.
type driverCard struct {
	*cardRows
	onOwn func(device bool) // the parameters of a part of one's own are asked for
}

func newDriverCard(editor Editor) *driverCard {
	c := &driverCard{cardRows: newCardRows(lang.L("card.driver"))}
	kinds := []string{design.NoDriver, design.FeedbackExciter, design.HalfBridge, design.SparkGap}
	var options []choiceOption
	for _, kind := range kinds {
		options = append(options, choiceOption{lang.L("driver." + kind), func(d *design.Design) { d.SetDriverKind(kind) }})
	}
	c.add(newChoice(editor, "driver.kind", options, func(d *design.Design) int { return slices.Index(kinds, d.Driver.Kind) }), nil)
	c.addExciter(editor)
	c.addBridge(editor)
	c.addGap(editor)
	some := func(d *design.Design) bool { return d.Driver.Kind != design.NoDriver }
	c.optional(editor, "driver.burst_on_s", burstMeasure, burstLow, burstHigh, some, func(d *design.Driver) **float64 { return &d.BurstOn })
	c.optional(editor, "driver.burst_rate_hz", rateMeasure, rateLow, rateHigh, some, func(d *design.Driver) **float64 { return &d.BurstRate })
	return c
}

// Ends of the sliders of a driver, SI; what is typed may lie beyond.
const (
	supplyLow, supplyHigh       = 1, 30
	innerOhmLow, innerOhmHigh   = 0, 20
	baseOhmLow, baseOhmHigh     = 470, 4.7e6
	emitterLow, emitterHigh     = 0, 100
	smallFaradHigh              = 330e-12
	chokeHigh                   = 100e-6
	gateOhmHigh                 = 1e6
	busLow, busHigh             = 5, 200
	seriesLow, seriesHigh       = 0.1e-9, 100e-9
	sourceOhmHigh               = 10
	drivenHigh                  = 10e6
	delayHigh                   = 500e-9
	sparkLow, sparkHigh         = 1e3, 20e3
	tankLow, tankHigh           = 0.1e-9, 100e-9
	arcHigh                     = 10
	rateLow, rateHigh           = 1, 1000
	burstLow, burstHigh         = 0.1e-3, 1
	perWattHigh                 = 250
	breakdownLow, breakdownHigh = 20, 200
)

func kindIs(kind string) func(*design.Design) bool {
	return func(d *design.Design) bool { return d.Driver.Kind == kind }
}

func (c *driverCard) addExciter(editor Editor) {
	exciter := kindIs(design.FeedbackExciter)
	gate := func(d *design.Design) bool { return exciter(d) && isMOSFET(d.Driver.Device) }
	bipolar := func(d *design.Design) bool { return exciter(d) && !isMOSFET(d.Driver.Device) }

	batteries := driver.Batteries()
	var supplies []choiceOption
	for _, b := range batteries {
		supplies = append(supplies, choiceOption{lang.L("driver.battery_" + b.Code), func(d *design.Design) {
			d.Driver.Supply, d.Driver.SupplyResistance = b.Voltage, b.Resistance
		}})
	}
	c.add(newChoice(editor, "driver.battery", supplies, func(d *design.Design) int {
		return slices.IndexFunc(batteries, func(b driver.Battery) bool {
			return b.Voltage == d.Driver.Supply && b.Resistance == d.Driver.SupplyResistance
		})
	}), exciter)
	c.number(editor, "driver.supply_v", supplyMeasure, supplyLow, supplyHigh, false, exciter, func(d *design.Driver) *float64 { return &d.Supply })
	c.number(editor, "driver.supply_resistance_ohm", smallOhmMeasure, innerOhmLow, innerOhmHigh, true, exciter, func(d *design.Driver) *float64 { return &d.SupplyResistance })
	c.add(c.partChoice(editor, "driver.device", true, func(d *design.Driver) *design.Part { return &d.Device }), exciter)
	c.number(editor, "driver.base_resistor_ohm", baseOhmMeasure, baseOhmLow, baseOhmHigh, false, exciter, func(d *design.Driver) *float64 { return &d.BaseResistor })
	c.add(c.partChoice(editor, "driver.clamp", false, func(d *design.Driver) *design.Part { return &d.Clamp }), exciter)
	c.add(newChoice(editor, "driver.sense", []choiceOption{
		{lang.L("driver.same"), func(d *design.Design) { d.Driver.Sense = 1 }},
		{lang.L("driver.reversed"), func(d *design.Design) { d.Driver.Sense = -1 }},
	}, func(d *design.Design) int {
		if d.Driver.Sense < 0 {
			return 1
		}
		return 0
	}), exciter)
	c.optional(editor, "driver.emitter_resistor_ohm", smallOhmMeasure, emitterLow, emitterHigh, exciter, func(d *design.Driver) **float64 { return &d.EmitterResistor })
	c.optional(editor, "driver.collector_capacitance_f", picofaradMeasure{}, 0, smallFaradHigh, exciter, func(d *design.Driver) **float64 { return &d.CollectorCapacity })
	c.optional(editor, "driver.base_capacitance_f", picofaradMeasure{}, 0, smallFaradHigh, bipolar, func(d *design.Driver) **float64 { return &d.BaseCapacitance })
	c.optional(editor, "driver.gate_resistor_ohm", baseOhmMeasure, 0, gateOhmHigh, gate, func(d *design.Driver) **float64 { return &d.GateResistor })
	c.optional(editor, "driver.supply_choke_h", chokeMeasure, 0, chokeHigh, exciter, func(d *design.Driver) **float64 { return &d.SupplyChoke })
	c.optional(editor, "driver.breakdown_voltage_v", breakdownMeasure, breakdownLow, breakdownHigh, exciter, func(d *design.Driver) **float64 { return &d.BreakdownVoltage })
	c.optional(editor, "driver.thermal_resistance_k_w", perWattMeasure, 0, perWattHigh, exciter, func(d *design.Driver) **float64 { return &d.ThermalResistance })
}

func (c *driverCard) addBridge(editor Editor) {
	bridge := kindIs(design.HalfBridge)
	feeds := []string{design.FeedUntuned, design.FeedSeriesTuned, design.FeedBase}
	var options []choiceOption
	for _, feed := range feeds {
		options = append(options, choiceOption{lang.L("driver.feed_" + feed), func(d *design.Design) {
			d.Driver.Feed = feed
			if feed == design.FeedSeriesTuned && d.Driver.SeriesCapacitance == 0 {
				d.Driver.SeriesCapacitance = seriesStart
			}
		}})
	}
	c.number(editor, "driver.bus_v", supplyMeasure, busLow, busHigh, false, bridge, func(d *design.Driver) *float64 { return &d.Bus })
	c.add(newChoice(editor, "driver.feed", options, func(d *design.Design) int { return slices.Index(feeds, d.Driver.Feed) }), bridge)
	c.number(editor, "driver.series_capacitance_f", tankMeasure, seriesLow, seriesHigh, false,
		func(d *design.Design) bool { return bridge(d) && d.Driver.Feed == design.FeedSeriesTuned }, func(d *design.Driver) *float64 { return &d.SeriesCapacitance })
	c.number(editor, "driver.source_resistance_ohm", smallOhmMeasure, 0, sourceOhmHigh, true, bridge, func(d *design.Driver) *float64 { return &d.SourceResistance })
	c.number(editor, "driver.frequency_hz", drivenMeasure, 0, drivenHigh, true, bridge, func(d *design.Driver) *float64 { return &d.Frequency })
	c.number(editor, "driver.loop_delay_s", delayMeasure, 0, delayHigh, true, bridge, func(d *design.Driver) *float64 { return &d.LoopDelay })
	c.number(editor, "driver.dead_time_s", delayMeasure, 0, delayHigh, true, bridge, func(d *design.Driver) *float64 { return &d.DeadTime })
}

// seriesStart is the series capacitance in F that a tuned primary begins with.
const seriesStart = 10e-9

func (c *driverCard) addGap(editor Editor) {
	gap := kindIs(design.SparkGap)
	c.number(editor, "driver.firing_voltage_v", sparkMeasure, sparkLow, sparkHigh, false, gap, func(d *design.Driver) *float64 { return &d.FiringVoltage })
	c.number(editor, "driver.tank_capacitance_f", tankMeasure, tankLow, tankHigh, false, gap, func(d *design.Driver) *float64 { return &d.TankCapacitance })
	c.number(editor, "driver.arc_resistance_ohm", smallOhmMeasure, 0, arcHigh, true, gap, func(d *design.Driver) *float64 { return &d.ArcResistance })
	c.number(editor, "driver.repetition_hz", rateMeasure, 0, rateHigh, true, gap, func(d *design.Driver) *float64 { return &d.Repetition })
}

// number adds a row with a number that is always stated.
func (c *driverCard) number(editor Editor, key string, m measure, low, high float64, even bool, applies func(*design.Design) bool, at func(*design.Driver) *float64) {
	c.add(newQuantity(editor, quantitySpec{
		key: key, measure: m, low: low, high: high, even: even,
		get: func(d *design.Design) float64 { return *at(&d.Driver) },
		set: func(d *design.Design, v float64) { *at(&d.Driver) = v },
	}), applies)
}

// optional adds a row with a number that need not be stated; 0 stands for that.
func (c *driverCard) optional(editor Editor, key string, m measure, low, high float64, applies func(*design.Design) bool, at func(*design.Driver) **float64) {
	c.add(newQuantity(editor, quantitySpec{
		key: key, measure: m, low: low, high: high, even: low == 0,
		get: func(d *design.Design) float64 {
			if p := *at(&d.Driver); p != nil {
				return *p
			}
			return 0
		},
		set: func(d *design.Design, v float64) {
			*at(&d.Driver) = nil
			if v != 0 {
				*at(&d.Driver) = &v
			}
		},
	}), applies)
}

// partChoice is a row with the parts of the list, a part of one's own and, for a
// diode, none.
func (c *driverCard) partChoice(editor Editor, key string, device bool, at func(*design.Driver) *design.Part) *Choice {
	var options []choiceOption
	var names []string
	if !device {
		options = append(options, choiceOption{lang.L("driver.no_clamp"), func(d *design.Design) { *at(&d.Driver) = design.Part{} }})
		names = append(names, "")
	}
	for _, p := range driver.Parts() {
		if (p.Type == driver.Diode) == device || p.Model["BV"] == gateZener {
			continue
		}
		options = append(options, choiceOption{p.Name, func(d *design.Design) { *at(&d.Driver) = design.Part{Name: p.Name} }})
		names = append(names, p.Name)
	}
	own := len(options)
	options = append(options, choiceOption{lang.L("driver.own"), func(*design.Design) {
		if c.onOwn != nil {
			c.onOwn(device)
		}
	}})
	return newChoice(editor, key, options, func(d *design.Design) int {
		p := at(&d.Driver)
		if p.Type != "" {
			return own
		}
		if i := slices.Index(names, p.Name); i >= 0 {
			return i
		}
		if found, err := driver.Find(p.Name); err == nil { // by another of its names
			return slices.Index(names, found.Name)
		}
		return -1
	})
}

// gateZener tells a gate's protection, in V, from clamps.
const gateZener = 12

// isMOSFET says whether a part is driven by a gate.
func isMOSFET(p design.Part) bool {
	if p.Type != "" {
		return driver.Stated(driver.Type(p.Type), nil).IsMOSFET()
	}
	found, err := driver.Find(p.Name)
	return err == nil && found.IsMOSFET()
}

// showResult sums up the driver in one line.
func (c *driverCard) showResult(r *session.Result, _ Units) {
	d := &r.Design.Driver
	parts := []string{lang.L("driver." + d.Kind)}
	switch d.Kind {
	case design.FeedbackExciter:
		name := d.Device.Name
		if name == "" {
			name = lang.L("driver.own")
		}
		parts = append(parts, volts(d.Supply), name)
	case design.HalfBridge:
		parts = append(parts, volts(d.Bus), lang.L("driver.feed_"+d.Feed))
	case design.SparkGap:
		parts = append(parts, volts(d.FiringVoltage), si.FormatPrefixed(d.TankCapacitance, si.Farad, 3))
	}
	c.sumUp(join(parts...))
}

// volts words a supply in a summary.
func volts(v float64) string {
	text, unit := supplyMeasure.format(v, Millimetres)
	return text + " " + unit
}

// NewDriveCards returns the column with the driver and the primary it feeds.
// onOwn is called when the parameters of a device (or of a clamp) of one's own
// are asked for.
func NewDriveCards(editor Editor, onOwn func(device bool)) *Cards {
	d := newDriverCard(editor)
	d.onOwn = onOwn
	return newCards([]namedCard{{"driver", d}, {"primary", newPrimaryCard(editor)}})
}
