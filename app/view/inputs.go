package view

import (
	"fyne.io/fyne/v2/lang"

	"coilwright/physics/design"
	"coilwright/physics/si"
)

// MainInputs returns what a coil is made of, each with its unit, for the foot
// of a page.
func MainInputs(d *design.Design, units Units) []string {
	length := func(v float64) string { return lengthOf(&v, units) }
	say := func(key string, values map[string]any) string { return lang.L("input."+key, values) }

	inputs := []string{
		say("secondary", map[string]any{
			"Turns": si.FormatTurns(d.Secondary.Turns), "Wire": d.Secondary.Wire.Gauge,
			"Insulation": lang.L("insulation." + d.Secondary.Wire.Insulation), "Former": length(d.Secondary.FormerDiameter),
		}),
	}
	if d.Secondary.Pitch > 0 {
		inputs = append(inputs, say("pitch", map[string]any{"Pitch": length(d.Secondary.Pitch)}))
	}
	switch t := d.TopLoad; t.Kind {
	case design.WireRing:
		inputs = append(inputs, say("ring", map[string]any{
			"Turns": t.Turns, "Wire": t.Wire.Gauge, "Former": length(t.FormerDiameter), "Hub": length(t.HubDiameter),
		}))
	case design.Torus:
		inputs = append(inputs, say("torus", map[string]any{"Outer": length(t.OuterDiameter), "Tube": length(t.TubeDiameter)}))
	case design.Sphere:
		inputs = append(inputs, say("sphere", map[string]any{"Diameter": length(t.Diameter)}))
	case design.Disc:
		inputs = append(inputs, say("disc", map[string]any{"Diameter": length(t.Diameter), "Thickness": length(t.Thickness)}))
	}
	if d.TopLoad.Kind != design.NoTopLoad {
		inputs = append(inputs, say("above", map[string]any{"Height": length(d.TopLoad.Height)}))
	}
	if p := d.Primary; p.Kind != design.NoPrimary {
		inputs = append(inputs, say("primary", map[string]any{
			"Kind": lang.L("primary." + p.Kind), "Turns": si.FormatTurns(p.Turns), "Wire": p.Wire.Gauge, "Inner": length(p.InnerDiameter),
		}))
	}
	return append(inputs, lang.L(grounds[groundOf(d)]))
}
