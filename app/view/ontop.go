package view

import (
	"fyne.io/fyne/v2/lang"

	"coilwright/physics/design"
)

// Ends of the sliders of what hangs on the top load, m; what is typed may lie beyond.
const (
	leadLow, leadHigh       = 0.1e-3, 3e-3
	sleeveHigh              = 5e-3
	rodLow, rodHigh         = 5e-3, 150e-3
	tipRadiusLow            = 0.05e-3
	rodTipHigh, spikeHigh   = 2e-3, 1e-3
	spikeLow, spikeLongHigh = 0.1e-3, 10e-3
)

// What a lead, a breakout point and a wire end are at first.
var (
	firstLead     = design.Lead{Wire: design.Wire{Gauge: "AWG 24", Insulation: design.Bare}}
	firstBreakout = design.Breakout{Length: 30e-3, TipRadius: 0.5e-3}
	firstTip      = design.Tip{Length: 1e-3, Radius: 0.2e-3}
)

// addOnTop adds the rows of the lead up to the top load and of what sticks out of it,
// which decide where the air gives way first.
func (c *topLoadCard) addOnTop(editor Editor) {
	there := func(d *design.Design) bool { return d.TopLoad.Kind != design.NoTopLoad }
	lead := func(text, place string) choiceOption {
		return choiceOption{text, func(d *design.Design) {
			l := &d.TopLoad.Lead
			if l.Wire.Gauge == "" {
				*l = firstLead
			}
			l.Place = place
		}}
	}
	places := []string{"", design.OnAxis, design.Outside}
	c.add(newChoice(editor, "top_load.lead.place", []choiceOption{
		{lang.L("lead.none"), func(d *design.Design) { d.TopLoad.Lead.Place = "" }},
		lead(lang.L("lead.axis"), design.OnAxis), lead(lang.L("lead.outside"), design.Outside),
	}, func(d *design.Design) int {
		for i, place := range places {
			if d.TopLoad.Lead.Place == place {
				return i
			}
		}
		return -1
	}), there)
	leads := func(d *design.Design) bool { return there(d) && d.TopLoad.Lead.Place != "" }
	c.add(newGauge(editor, gaugeSpec{
		key: "top_load.lead.wire.gauge", low: leadLow, high: leadHigh,
		wire: func(d *design.Design) *design.Wire { return &d.TopLoad.Lead.Wire },
	}), leads)
	c.add(newQuantity(editor, quantitySpec{
		key: "top_load.lead.sleeve_m", measure: thinLength, high: sleeveHigh, even: true,
		get: func(d *design.Design) float64 { return d.TopLoad.Lead.Sleeve },
		set: func(d *design.Design, v float64) { d.TopLoad.Lead.Sleeve = v },
	}), leads)

	rod := func(d *design.Design) bool { return there(d) && d.TopLoad.Breakout != design.Breakout{} }
	c.add(newChoice(editor, "top_load.breakout", []choiceOption{
		{lang.L("breakout.none"), func(d *design.Design) { d.TopLoad.Breakout = design.Breakout{} }},
		{lang.L("breakout.rod"), func(d *design.Design) { d.TopLoad.Breakout = firstBreakout }},
	}, oneIf(rod)), there)
	c.add(newQuantity(editor, quantitySpec{
		key: "top_load.breakout.length_m", measure: bodyLength, low: rodLow, high: rodHigh,
		get: func(d *design.Design) float64 { return d.TopLoad.Breakout.Length },
		set: func(d *design.Design, v float64) { d.TopLoad.Breakout.Length = v },
	}), rod)
	c.add(newQuantity(editor, quantitySpec{
		key: "top_load.breakout.tip_radius_m", measure: thinLength, low: tipRadiusLow, high: rodTipHigh,
		get: func(d *design.Design) float64 { return d.TopLoad.Breakout.TipRadius },
		set: func(d *design.Design, v float64) { d.TopLoad.Breakout.TipRadius = v },
	}), rod)

	spike := func(d *design.Design) bool { return there(d) && d.TopLoad.Tip != design.Tip{} }
	c.add(newChoice(editor, "top_load.tip", []choiceOption{
		{lang.L("tip.none"), func(d *design.Design) { d.TopLoad.Tip = design.Tip{} }},
		{lang.L("tip.spike"), func(d *design.Design) { d.TopLoad.Tip = firstTip }},
	}, oneIf(spike)), there)
	c.add(newQuantity(editor, quantitySpec{
		key: "top_load.tip.length_m", measure: thinLength, low: spikeLow, high: spikeLongHigh,
		get: func(d *design.Design) float64 { return d.TopLoad.Tip.Length },
		set: func(d *design.Design, v float64) { d.TopLoad.Tip.Length = v },
	}), spike)
	c.add(newQuantity(editor, quantitySpec{
		key: "top_load.tip.radius_m", measure: thinLength, low: tipRadiusLow, high: spikeHigh,
		get: func(d *design.Design) float64 { return d.TopLoad.Tip.Radius },
		set: func(d *design.Design, v float64) { d.TopLoad.Tip.Radius = v },
	}), spike)
}

// oneIf picks the second of two options where something holds.
func oneIf(holds func(*design.Design) bool) func(*design.Design) int {
	return func(d *design.Design) int {
		if holds(d) {
			return 1
		}
		return 0
	}
}
