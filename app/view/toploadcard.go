package view

import (
	"math"

	"fyne.io/fyne/v2/lang"

	"coilwright/app/session"
	"coilwright/physics/design"
	"coilwright/physics/si"
	"coilwright/physics/topload"
)

// Ends of the sliders of the top load, m; what is typed may lie beyond.
const (
	ringWireLow, ringWireHigh     = 0.5e-3, 4.2e-3
	ringFormerLow, ringFormerHigh = 4e-3, 60e-3
	hubLow, hubHigh               = 3e-3, 60e-3
	bodyLow, bodyHigh             = 10e-3, 300e-3
	tubeLow, tubeHigh             = 3e-3, 100e-3
	discLow, discHigh             = 0.5e-3, 20e-3
	overWindingHigh               = 100e-3
	ringTurnsLow, ringTurnsHigh   = 3, 60
)

// topLoadCard is the body on the upper end of the winding.
type topLoadCard struct {
	*cardRows
}

func newTopLoadCard(editor Editor) *topLoadCard {
	c := &topLoadCard{newCardRows(lang.L("card.top_load"))}
	kinds := []string{design.NoTopLoad, design.WireRing, design.Torus, design.Sphere, design.Disc}
	var options []choiceOption
	for _, kind := range kinds {
		options = append(options, choiceOption{lang.L("top_load." + kind), func(d *design.Design) { d.SetTopLoadKind(kind) }})
	}
	c.add(newChoice(editor, "top_load.kind", options, func(d *design.Design) int {
		for i, kind := range kinds {
			if kind == d.TopLoad.Kind {
				return i
			}
		}
		return -1
	}), nil)

	of := func(kinds ...string) func(*design.Design) bool {
		return func(d *design.Design) bool {
			for _, kind := range kinds {
				if d.TopLoad.Kind == kind {
					return true
				}
			}
			return false
		}
	}
	ring := of(design.WireRing)
	c.add(newQuantity(editor, quantitySpec{
		key: "top_load.turns", measure: wholeTurnsMeasure{}, low: ringTurnsLow, high: ringTurnsHigh, even: true,
		get: func(d *design.Design) float64 { return float64(d.TopLoad.Turns) },
		set: func(d *design.Design, v float64) { d.TopLoad.Turns = int(math.Round(v)) },
	}), ring)
	c.add(newGauge(editor, gaugeSpec{
		key: "top_load.wire.gauge", low: ringWireLow, high: ringWireHigh,
		wire: func(d *design.Design) *design.Wire { return &d.TopLoad.Wire },
	}), ring)
	c.add(newQuantity(editor, quantitySpec{
		key: "top_load.former_diameter_m", measure: bodyLength, low: ringFormerLow, high: ringFormerHigh,
		get: func(d *design.Design) float64 { return d.TopLoad.FormerDiameter },
		set: func(d *design.Design, v float64) { d.TopLoad.FormerDiameter = v },
	}), ring)
	nut := newNutChoice(editor)
	c.add(nut.choice, ring)
	c.add(nut.seat, func(d *design.Design) bool { return ring(d) && nut.index(d) >= 0 })
	c.add(newQuantity(editor, quantitySpec{
		key: "top_load.hub_diameter_m", measure: bodyLength, low: hubLow, high: hubHigh,
		get: func(d *design.Design) float64 { return d.TopLoad.HubDiameter },
		set: func(d *design.Design, v float64) { d.TopLoad.HubDiameter = v },
	}), ring)
	c.add(newQuantity(editor, quantitySpec{
		key: "top_load.outer_diameter_m", measure: bodyLength, low: bodyLow, high: bodyHigh,
		get: func(d *design.Design) float64 { return d.TopLoad.OuterDiameter },
		set: func(d *design.Design, v float64) { d.TopLoad.OuterDiameter = v },
	}), of(design.Torus))
	c.add(newQuantity(editor, quantitySpec{
		key: "top_load.tube_diameter_m", measure: bodyLength, low: tubeLow, high: tubeHigh,
		get: func(d *design.Design) float64 { return d.TopLoad.TubeDiameter },
		set: func(d *design.Design, v float64) { d.TopLoad.TubeDiameter = v },
	}), of(design.Torus))
	c.add(newQuantity(editor, quantitySpec{
		key: "top_load.diameter_m", measure: bodyLength, low: bodyLow, high: bodyHigh,
		get: func(d *design.Design) float64 { return d.TopLoad.Diameter },
		set: func(d *design.Design, v float64) { d.TopLoad.Diameter = v },
	}), of(design.Sphere, design.Disc))
	c.add(newQuantity(editor, quantitySpec{
		key: "top_load.thickness_m", measure: bodyLength, low: discLow, high: discHigh,
		get: func(d *design.Design) float64 { return d.TopLoad.Thickness },
		set: func(d *design.Design, v float64) { d.TopLoad.Thickness = v },
	}), of(design.Disc))
	c.add(newChoice(editor, "top_load.closed", []choiceOption{
		{lang.L("closed.unbroken"), func(d *design.Design) { d.TopLoad.Closed = true }},
		{lang.L("closed.slotted"), func(d *design.Design) { d.TopLoad.Closed = false }},
	}, func(d *design.Design) int {
		if d.TopLoad.Closed {
			return 0
		}
		return 1
	}), of(design.Torus, design.Sphere, design.Disc))
	c.add(newQuantity(editor, quantitySpec{
		key: "top_load.height_m", measure: bodyLength, high: overWindingHigh, even: true,
		get: func(d *design.Design) float64 { return d.TopLoad.Height },
		set: func(d *design.Design, v float64) { d.TopLoad.Height = v },
	}), of(design.WireRing, design.Torus, design.Sphere, design.Disc))
	c.addOnTop(editor)
	return c
}

func (c *topLoadCard) showResult(r *session.Result, units Units) {
	kind := lang.L("top_load." + r.Design.TopLoad.Kind)
	if r.Err != nil || r.Design.TopLoad.Kind == design.NoTopLoad {
		c.sumUp(kind)
		return
	}
	c.sumUp(join(kind,
		lang.L("summary.across", map[string]any{"Length": lengthOf(r.Report.TopLoad.OuterDiameter, units)}),
		quantity(r.Report.TopLoad.Capacitance, si.Farad)))
}

// nutChoice offers the hub of a ring by the nut it is closed on.
type nutChoice struct {
	choice, seat *Choice
	nuts         []topload.Nut
	picked       int // the nut picked last, of those of the same size
}

// sameHub is how near a hub must be to that of a nut to be shown as that nut:
// a micrometre, far below what a calliper reads.
const sameHub = 1e-6 // m

const tenth = 1e-4 // m, a tenth of a millimetre

func newNutChoice(editor Editor) *nutChoice {
	n := &nutChoice{nuts: topload.Nuts(), picked: -1}
	options := []choiceOption{{lang.L("hub.measured"), func(d *design.Design) {
		// A calliper reads tenths; the next one is no nut's.
		d.TopLoad.HubDiameter = math.Round(d.TopLoad.HubDiameter/tenth) * tenth
		if n.index(d) >= 0 {
			d.TopLoad.HubDiameter += tenth
		}
	}}}
	for i, nut := range n.nuts {
		options = append(options, choiceOption{lang.L("hub.nut", map[string]any{"Name": nut.Name}), func(d *design.Design) {
			onCorners := n.onCorners(d)
			n.picked = i
			d.TopLoad.HubDiameter = hubOf(nut, onCorners)
		}})
	}
	n.choice = newChoice(editor, "top_load.hub", options, func(d *design.Design) int { return n.index(d) + 1 })
	n.seat = newChoice(editor, "top_load.seat", []choiceOption{
		{lang.L("hub.flats"), func(d *design.Design) { n.sit(d, false) }},
		{lang.L("hub.corners"), func(d *design.Design) { n.sit(d, true) }},
	}, func(d *design.Design) int {
		if n.onCorners(d) {
			return 1
		}
		return 0
	})
	return n
}

func (n *nutChoice) sit(d *design.Design, onCorners bool) {
	if i := n.index(d); i >= 0 {
		d.TopLoad.HubDiameter = hubOf(n.nuts[i], onCorners)
	}
}

// index returns the nut that has the design's hub, -1 for none.
func (n *nutChoice) index(d *design.Design) int {
	has := func(i int) bool {
		hub := d.TopLoad.HubDiameter
		return math.Abs(hubOf(n.nuts[i], false)-hub) < sameHub || math.Abs(hubOf(n.nuts[i], true)-hub) < sameHub
	}
	if n.picked >= 0 && has(n.picked) {
		return n.picked
	}
	for i := range n.nuts {
		if has(i) {
			return i
		}
	}
	return -1
}

func (n *nutChoice) onCorners(d *design.Design) bool {
	i := n.index(d)
	return i >= 0 && math.Abs(hubOf(n.nuts[i], true)-d.TopLoad.HubDiameter) < sameHub
}

func hubOf(n topload.Nut, onCorners bool) float64 {
	if onCorners {
		return n.HubOnCorners()
	}
	return n.HubBetweenFlats()
}
