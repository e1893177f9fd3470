package view

import (
	"fyne.io/fyne/v2/lang"

	"coilwright/app/session"
	"coilwright/physics/design"
)

// Ends of the sliders of the secondary; what is typed may lie beyond.
const (
	turnsLow, turnsHigh       = 10, 2000
	wireLow, wireHigh         = 0.05e-3, 1.3e-3 // m
	formerLow, formerHigh     = 5e-3, 120e-3    // m
	pitchLow, pitchHigh       = 0.05e-3, 5e-3   // m
	windingLow, windingHigh   = 5e-3, 500e-3    // m
	overTableHigh             = 150e-3          // m
	countedLow, countedHigh   = 2, 100
	countedFirst              = 10           // turns to lay a ruler along
	measuredLow, measuredHigh = 1e-3, 100e-3 // m
)

// Ways of giving how far apart the turns lie.
const (
	byTouching = iota
	byPitch
	byHeight
	byCounting
)

// secondaryCard is the resonant winding.
type secondaryCard struct {
	*cardRows
	given   int     // how the pitch is given, where the winding is spaced
	counted float64 // turns that a ruler was laid along
}

func newSecondaryCard(editor Editor) *secondaryCard {
	c := &secondaryCard{cardRows: newCardRows(lang.L("card.secondary")), given: byPitch, counted: countedFirst}
	c.add(newQuantity(editor, quantitySpec{
		key: "secondary.turns", measure: turnsMeasure{}, low: turnsLow, high: turnsHigh,
		get: func(d *design.Design) float64 { return d.Secondary.Turns },
		set: c.setTurns,
	}), nil)
	c.add(newGauge(editor, gaugeSpec{
		key: "secondary.wire.gauge", low: wireLow, high: wireHigh,
		wire: func(d *design.Design) *design.Wire { return &d.Secondary.Wire },
	}), nil)
	c.add(newInsulation(editor, "secondary.wire.insulation", func(d *design.Design) *design.Wire { return &d.Secondary.Wire }), nil)
	c.add(newQuantity(editor, quantitySpec{
		key: "secondary.former_diameter_m", measure: bodyLength, low: formerLow, high: formerHigh,
		get: func(d *design.Design) float64 { return d.Secondary.FormerDiameter },
		set: func(d *design.Design, v float64) { d.Secondary.FormerDiameter = v },
	}), nil)
	c.add(c.newSpacing(editor), nil)
	c.add(newQuantity(editor, quantitySpec{
		key: "secondary.pitch_m", measure: pitchLength, low: pitchLow, high: pitchHigh,
		get: func(d *design.Design) float64 { return d.Secondary.Pitch },
		set: func(d *design.Design, v float64) { d.Secondary.Pitch = v },
	}), c.isGiven(byPitch))
	c.add(newQuantity(editor, quantitySpec{
		key: "secondary.winding_height", checked: "secondary.pitch_m", measure: bodyLength, low: windingLow, high: windingHigh,
		get: func(d *design.Design) float64 { return d.Secondary.Turns * d.Secondary.Pitch },
		set: func(d *design.Design, v float64) { d.Secondary.Pitch = v / d.Secondary.Turns },
	}), c.isGiven(byHeight))
	c.add(newQuantity(editor, quantitySpec{
		key: "secondary.counted_turns", checked: "secondary.pitch_m", measure: wholeTurnsMeasure{}, low: countedLow, high: countedHigh, even: true,
		get:   func(*design.Design) float64 { return c.counted },
		set:   func(d *design.Design, v float64) { d.Secondary.Pitch *= c.counted / v },
		after: func(v float64) { c.counted = v },
	}), c.isGiven(byCounting))
	c.add(newQuantity(editor, quantitySpec{
		key: "secondary.counted_length", checked: "secondary.pitch_m", measure: pitchLength, low: measuredLow, high: measuredHigh,
		get: func(d *design.Design) float64 { return c.counted * d.Secondary.Pitch },
		set: func(d *design.Design, v float64) { d.Secondary.Pitch = v / c.counted },
	}), c.isGiven(byCounting))
	c.add(newQuantity(editor, quantitySpec{
		key: "secondary.base_height_m", measure: bodyLength, high: overTableHigh, even: true,
		get: func(d *design.Design) float64 { return d.Secondary.BaseHeight },
		set: func(d *design.Design, v float64) { d.Secondary.BaseHeight = v },
	}), nil)
	c.addFormer(editor)
	return c
}

// setTurns keeps the winding height where that is what is given.
func (c *secondaryCard) setTurns(d *design.Design, turns float64) {
	if d.Secondary.Pitch > 0 && c.given == byHeight && turns > 0 {
		d.Secondary.Pitch *= d.Secondary.Turns / turns
	}
	d.Secondary.Turns = turns
}

// isGiven says whether the pitch is given in one of the ways.
func (c *secondaryCard) isGiven(way int) func(*design.Design) bool {
	return func(d *design.Design) bool { return c.way(d) == way }
}

func (c *secondaryCard) way(d *design.Design) int {
	if d.Secondary.Pitch == 0 {
		return byTouching
	}
	return c.given
}

// newSpacing returns the choice of how the pitch is given. A close winding that
// becomes a spaced one keeps its height.
func (c *secondaryCard) newSpacing(editor Editor) *Choice {
	spaced := func(way int) func(*design.Design) {
		return func(d *design.Design) {
			c.given = way
			if d.Secondary.Pitch == 0 {
				d.Secondary.Pitch = d.Secondary.ClosePitch()
			}
		}
	}
	spacing := newChoice(editor, "secondary.spacing", []choiceOption{
		{lang.L("spacing.close"), func(d *design.Design) { d.Secondary.Pitch = 0 }},
		{lang.L("spacing.pitch"), spaced(byPitch)},
		{lang.L("spacing.height"), spaced(byHeight)},
		{lang.L("spacing.counted"), spaced(byCounting)},
	}, c.way)
	return spacing
}

func (c *secondaryCard) showResult(r *session.Result, units Units) {
	if r.Err != nil {
		c.sumUp("")
		return
	}
	s := r.Report.Secondary
	spacing := lang.L("summary.spaced")
	if r.Design.Secondary.Pitch == 0 {
		spacing = lang.L("summary.close_wound")
	}
	c.sumUp(join(spacing,
		lang.L("summary.high", map[string]any{"Length": lengthOf(s.WindingHeight, units)}),
		lang.L("summary.wire", map[string]any{"Length": wireLength(s.WireLength, units)})))
}
