package view

import (
	"fyne.io/fyne/v2/lang"

	"coilwright/app/session"
	"coilwright/physics/design"
	"coilwright/physics/si"
)

// Ends of the sliders of the primary; what is typed may lie beyond.
const (
	primaryTurnsLow, primaryTurnsHigh = 1, 30
	primaryWireLow, primaryWireHigh   = 0.4e-3, 6e-3  // m
	primaryInnerLow, primaryInnerHigh = 10e-3, 200e-3 // m
	primaryPitchHigh                  = 20e-3         // m
	coneHigh                          = 80            // degrees
	leastTap                          = 0.25          // turns
)

// primaryCard is the driven winding at the foot.
type primaryCard struct {
	*cardRows
}

func newPrimaryCard(editor Editor) *primaryCard {
	c := &primaryCard{newCardRows(lang.L("card.primary"))}
	kinds := []string{design.NoPrimary, design.Cylinder, design.Spiral, design.Cone}
	var options []choiceOption
	for _, kind := range kinds {
		options = append(options, choiceOption{lang.L("primary." + kind), func(d *design.Design) { d.SetPrimaryKind(kind) }})
	}
	c.add(newChoice(editor, "primary.kind", options, func(d *design.Design) int {
		for i, kind := range kinds {
			if kind == d.Primary.Kind {
				return i
			}
		}
		return -1
	}), nil)
	wound := func(d *design.Design) bool { return d.Primary.Kind != design.NoPrimary }
	c.add(newQuantity(editor, quantitySpec{
		key: "primary.turns", measure: fewTurnsMeasure{}, low: primaryTurnsLow, high: primaryTurnsHigh,
		get: func(d *design.Design) float64 { return d.Primary.Turns },
		set: func(d *design.Design, v float64) { d.Primary.Turns = v },
	}), wound)
	c.add(newQuantity(editor, quantitySpec{
		key: "primary.tap_turns", measure: fewTurnsMeasure{}, low: leastTap, high: primaryTurnsHigh, even: true,
		last: func(d *design.Design) float64 { return max(d.Primary.Turns, 2*leastTap) },
		get:  turnsInUse,
		set: func(d *design.Design, v float64) {
			d.Primary.TapTurns = v
			if v == d.Primary.Turns {
				d.Primary.TapTurns = 0 // all of them, also when there are more
			}
		},
	}), wound)
	c.add(newGauge(editor, gaugeSpec{
		key: "primary.wire.gauge", low: primaryWireLow, high: primaryWireHigh,
		wire: func(d *design.Design) *design.Wire { return &d.Primary.Wire },
	}), wound)
	c.add(newInsulation(editor, "primary.wire.insulation", func(d *design.Design) *design.Wire { return &d.Primary.Wire }), wound)
	c.add(newQuantity(editor, quantitySpec{
		key: "primary.inner_diameter_m", measure: bodyLength, low: primaryInnerLow, high: primaryInnerHigh,
		get: func(d *design.Design) float64 { return d.Primary.InnerDiameter },
		set: func(d *design.Design, v float64) { d.Primary.InnerDiameter = v },
	}), wound)
	c.add(newQuantity(editor, quantitySpec{
		key: "primary.pitch_m", measure: bodyLength, high: primaryPitchHigh, even: true,
		get: func(d *design.Design) float64 { return d.Primary.Pitch },
		set: func(d *design.Design, v float64) { d.Primary.Pitch = v },
	}), wound)
	c.add(newQuantity(editor, quantitySpec{
		key: "primary.cone_angle_deg", measure: degreeMeasure{}, high: coneHigh, even: true,
		get: func(d *design.Design) float64 { return d.Primary.ConeAngle },
		set: func(d *design.Design, v float64) { d.Primary.ConeAngle = v },
	}), func(d *design.Design) bool { return d.Primary.Kind == design.Cone })
	c.add(newQuantity(editor, quantitySpec{
		key: "primary.base_height_m", measure: bodyLength, high: overTableHigh, even: true,
		get: func(d *design.Design) float64 { return d.Primary.BaseHeight },
		set: func(d *design.Design, v float64) { d.Primary.BaseHeight = v },
	}), wound)
	return c
}

// turnsInUse returns the turns up to the tap.
func turnsInUse(d *design.Design) float64 {
	if d.Primary.TapTurns == 0 {
		return d.Primary.Turns
	}
	return d.Primary.TapTurns
}

func (c *primaryCard) showResult(r *session.Result, _ Units) {
	p := r.Design.Primary
	kind := lang.L("primary." + p.Kind)
	if p.Kind == design.NoPrimary {
		c.sumUp(kind)
		return
	}
	turns, _ := fewTurnsMeasure{}.format(p.Turns, Millimetres)
	parts := []string{kind, lang.L("summary.turns", map[string]any{"Turns": turns})}
	if p.TapTurns > 0 {
		used, _ := fewTurnsMeasure{}.format(p.TapTurns, Millimetres)
		parts[1] = lang.L("summary.tapped", map[string]any{"Turns": turns, "Used": used})
	}
	if r.Err == nil && r.Report.Primary.Inductance != nil {
		parts = append(parts, quantity(r.Report.Primary.Inductance, si.Henry))
	}
	if r.Err == nil && r.Report.Primary.Coupling != nil {
		parts = append(parts, lang.L("summary.coupling", map[string]any{"K": quantity(r.Report.Primary.Coupling, si.Plain)}))
	}
	c.sumUp(join(parts...))
}
