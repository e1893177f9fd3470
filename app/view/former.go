package view

import (
	"fyne.io/fyne/v2/lang"

	"coilwright/physics/design"
	"coilwright/physics/dielectric"
	"coilwright/physics/si"
)

// Ends of the sliders of the former; what is typed may lie beyond.
const (
	wallHigh         = 10e-3 // m
	permittivityLow  = 1
	permittivityHigh = 10
	tangentHigh      = 0.1
	varnishHigh      = 0.2e-3 // m
	enamel           = 3.5    // relative permittivity of enamel; common practice, no source
)

// addFormer adds the rows of what the winding lies on and is covered with.
func (c *secondaryCard) addFormer(editor Editor) {
	materials := dielectric.Materials()
	var options []choiceOption
	for _, m := range materials {
		options = append(options, choiceOption{lang.L("material." + m.Name), func(d *design.Design) {
			d.Secondary.FormerRelativePermittivity, d.Secondary.FormerLossTangent = m.RelativePermittivity, m.LossTangent
		}})
	}
	c.add(newChoice(editor, "secondary.material", options, func(d *design.Design) int {
		for i, m := range materials {
			if d.Secondary.FormerRelativePermittivity == m.RelativePermittivity && d.Secondary.FormerLossTangent == m.LossTangent {
				return i
			}
		}
		return -1
	}), nil)
	c.add(newQuantity(editor, quantitySpec{
		key: "secondary.former_wall_m", measure: bodyLength, high: wallHigh, even: true,
		get: func(d *design.Design) float64 { return d.Secondary.FormerWall },
		set: func(d *design.Design, v float64) { d.Secondary.FormerWall = v },
	}), nil)
	solid := func(d *design.Design) bool { return d.Secondary.FormerRelativePermittivity > 1 }
	c.add(newQuantity(editor, quantitySpec{
		key: "secondary.former_relative_permittivity", measure: permittivityMeasure{}, low: permittivityLow, high: permittivityHigh, even: true,
		get: func(d *design.Design) float64 { return d.Secondary.FormerRelativePermittivity },
		set: func(d *design.Design, v float64) { d.Secondary.FormerRelativePermittivity = v },
	}), solid)
	c.add(newQuantity(editor, quantitySpec{
		key: "secondary.former_loss_tangent", measure: tangentMeasure{}, high: tangentHigh, even: true,
		get: func(d *design.Design) float64 { return d.Secondary.FormerLossTangent },
		set: func(d *design.Design, v float64) { d.Secondary.FormerLossTangent = v },
	}), solid)
	c.add(newChoice(editor, "secondary.enamel", []choiceOption{
		{lang.L("enamel.out"), func(d *design.Design) { d.Secondary.EnamelRelativePermittivity = 0 }},
		{lang.L("enamel.counted"), func(d *design.Design) { d.Secondary.EnamelRelativePermittivity = enamel }},
	}, func(d *design.Design) int {
		switch d.Secondary.EnamelRelativePermittivity {
		case 0, 1:
			return 0
		case enamel:
			return 1
		}
		return -1
	}), func(d *design.Design) bool { return d.Secondary.Wire.Insulation != design.Bare })
	c.add(newQuantity(editor, quantitySpec{
		key: "secondary.varnish_thickness_m", measure: pitchLength, high: varnishHigh, even: true,
		get: func(d *design.Design) float64 { return d.Secondary.VarnishThickness },
		set: func(d *design.Design, v float64) { d.Secondary.VarnishThickness = v },
	}), nil)
}

// permittivityMeasure is a relative permittivity, tangentMeasure a loss tangent.
type permittivityMeasure struct{}

func (permittivityMeasure) parse(text string, _ Units) (float64, error) {
	return si.ParseIn(text, si.Plain)
}

func (permittivityMeasure) format(value float64, _ Units) (string, string) {
	return decimal(value, 2, 4), ""
}

func (permittivityMeasure) step(Units) float64 { return 0.05 }

type tangentMeasure struct{ permittivityMeasure }

func (tangentMeasure) format(value float64, _ Units) (string, string) {
	return decimal(value, 3, 6), ""
}

func (tangentMeasure) step(Units) float64 { return 0.001 }
