package view

import (
	"math"

	"fyne.io/fyne/v2/lang"
	"fyne.io/fyne/v2/widget"

	"coilwright/app/session"
	"coilwright/physics/design"
	"coilwright/physics/si"
)

// tolerance is a half-width by which a number of the coil may miss.
type tolerance struct {
	key     string // of the design
	misses  string // key of the number that it is about
	measure measure
	at      func(*design.Tolerances) **float64
}

// tolerances are all there are, in the order of the cards: the winding from its
// former outward, the top load, the room.
var tolerances = []tolerance{
	{"tolerances.secondary_turns", "secondary.turns", missedTurnsMeasure{}, func(t *design.Tolerances) **float64 { return &t.SecondaryTurns }},
	{"tolerances.overall_diameter", "secondary.wire.overall_diameter_m", thinLength, func(t *design.Tolerances) **float64 { return &t.OverallDiameter }},
	{"tolerances.secondary_former_m", "secondary.former_diameter_m", pitchLength, func(t *design.Tolerances) **float64 { return &t.SecondaryFormer }},
	{"tolerances.pitch", "secondary.pitch_m", thinLength, func(t *design.Tolerances) **float64 { return &t.Pitch }},
	{"tolerances.base_height_m", "secondary.base_height_m", pitchLength, func(t *design.Tolerances) **float64 { return &t.BaseHeight }},
	{"tolerances.permittivity", "secondary.former_relative_permittivity", permittivityMeasure{}, func(t *design.Tolerances) **float64 { return &t.Permittivity }},
	{"tolerances.ring_former_m", "top_load.former_diameter_m", pitchLength, func(t *design.Tolerances) **float64 { return &t.RingFormer }},
	{"tolerances.hub_m", "top_load.hub_diameter_m", pitchLength, func(t *design.Tolerances) **float64 { return &t.Hub }},
	{"tolerances.top_height_m", "top_load.height_m", pitchLength, func(t *design.Tolerances) **float64 { return &t.TopHeight }},
	{"tolerances.temperature_c", "room.air_temperature_c", kelvinMeasure, func(t *design.Tolerances) **float64 { return &t.Temperature }},
}

// kelvinMeasure is a difference of temperatures.
var kelvinMeasure = scaledMeasure{si.Kelvin, 1, 0, 2}

// missedTurnsMeasure is by how many turns a count may miss.
type missedTurnsMeasure struct{ turnsMeasure }

func (missedTurnsMeasure) step(Units) float64 { return 0.1 }

// packingKey is the number that has no tolerance of its own: a close winding's
// pitch has.
const packingKey = "secondary.packing"

// missMeasure returns how the half-width of a number of the coil is written; nil:
// it has none.
func missMeasure(key string) measure {
	if key == packingKey {
		return turnsMeasure{}
	}
	for _, t := range tolerances {
		if t.misses == key {
			return t.measure
		}
	}
	return nil
}

// ToleranceOf returns the key of the design that says how far a number of the
// coil may miss.
func ToleranceOf(key string) string {
	for _, t := range tolerances {
		if t.misses == key || key == packingKey && t.misses == "secondary.pitch_m" {
			return t.key
		}
	}
	return "tolerances"
}

// toleranceCard is how far the coil may come out other than drawn. Its rows show
// what is usual until the design states something else.
type toleranceCard struct {
	*cardRows
	asUsual *Button

	shown *design.Design // the design on screen
	usual design.Tolerances
}

func newToleranceCard(editor Editor) *toleranceCard {
	c := &toleranceCard{cardRows: newCardRows(lang.L("card.tolerances"))}
	for _, t := range tolerances {
		c.addTolerance(editor, t)
	}
	c.asUsual = NewButton(lang.L("tolerances.as_usual"), nil, func() {
		editor.Edit(lang.L("edit.tolerances"), func(d *design.Design) { d.Tolerances = design.Tolerances{} })
	})
	c.asUsual.Importance = widget.MediumImportance
	all := &setting{Row: newRow("tolerances.all", lang.L("row.tolerances.all"), c.asUsual, nil), key: "tolerances.all"}
	c.asUsual.OnHint = all.hint
	c.add(all, func(d *design.Design) bool { return statedTolerances(d) > 0 })
	return c
}

// toleranceReach is how far a slider goes, in usual half-widths, and
// toleranceSteps how far at least, in smallest steps.
const (
	toleranceReach = 4
	toleranceSteps = 10
)

func (c *toleranceCard) addTolerance(editor Editor, t tolerance) {
	usual := func(d *design.Design) float64 {
		all := c.usualOf(d)
		if v := *t.at(&all); v != nil {
			return *v
		}
		return 0
	}
	stated := func(d *design.Design) bool { return *t.at(&d.Tolerances) != nil }
	c.add(newQuantity(editor, quantitySpec{
		key: t.key, measure: t.measure, even: true,
		last: func(d *design.Design) float64 {
			return math.Max(toleranceReach*usual(d), toleranceSteps*t.measure.step(Millimetres))
		},
		get:   func(d *design.Design) float64 { return **t.at(&d.Tolerances) },
		set:   func(d *design.Design, v float64) { *t.at(&d.Tolerances) = &v },
		spare: &spare{usual: usual, stated: stated, leave: func(d *design.Design) { *t.at(&d.Tolerances) = nil }},
	}), func(d *design.Design) bool { return stated(d) || usual(d) > 0 })
}

// usualOf returns what is usual for a design: looking up its wire takes longer
// than a row should, so that of the design on screen is kept.
func (c *toleranceCard) usualOf(d *design.Design) design.Tolerances {
	if d == c.shown {
		return c.usual
	}
	return d.UsualTolerances()
}

func (c *toleranceCard) show(d *design.Design) {
	c.shown, c.usual = d, d.UsualTolerances()
	c.cardRows.show(d)
}

// statedTolerances counts those that a design states.
func statedTolerances(d *design.Design) int {
	count := 0
	for _, t := range tolerances {
		if *t.at(&d.Tolerances) != nil {
			count++
		}
	}
	return count
}

func (c *toleranceCard) showResult(r *session.Result, units Units) {
	stated := lang.L("summary.usual")
	if n := statedTolerances(&r.Design); n > 0 {
		stated = lang.N("summary.stated", n, map[string]any{"Count": n})
	}
	if r.Err != nil || r.Quick {
		c.sumUp(stated)
		return
	}
	frequency, band := readFrequency(r, units)
	c.sumUp(join(stated, frequency+" "+band))
}
