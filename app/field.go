package app

import (
	"math"

	"fyne.io/fyne/v2"
	"gonum.org/v1/plot/vg"

	"coilwright/app/session"
	"coilwright/physics/si"
	"coilwright/plotting"
)

// topVolts returns the crest of the top in V that the driver brings it to, 0 while
// that is not known.
func topVolts(r *session.Result) float64 {
	if v := r.Report.Driver.TopVoltage; v != nil && *v > 0 {
		return *v
	}
	return 0
}

// readField reads potential and field under the pointer, and reports whether there is
// any: not in metal.
func (w *Window) readField(at fyne.Position, part plotting.Part) bool {
	if w.last == nil || w.last.CurvesErr != nil || w.last.Curves.Field == nil {
		return false
	}
	switch part {
	case plotting.NoPart, plotting.BenchPart, plotting.FormerPart:
	default:
		return false
	}
	r, z := w.coilFrame().At(vg.Length(at.X), vg.Length(at.Y))
	potential, outward, up := w.last.Curves.Field.At(r, z)
	strength := math.Hypot(outward, up)
	values := map[string]any{
		"Potential": si.Format(potential, si.Percent, 2),
		"PerVolt":   si.FormatNumber(strength, 3),
	}
	key := "hint.field"
	if volts := topVolts(w.last); volts > 0 {
		key = "hint.field_volts"
		values["Volts"] = si.FormatPrefixed(volts*potential, si.Volt, 3)
		values["Field"] = si.FormatPrefixed(volts*strength, si.Volt, 3)
		values["Top"] = si.FormatPrefixed(volts, si.Volt, 3)
	} else {
		values["Field"] = si.FormatPrefixed(1e3*strength, si.Volt, 3)
	}
	w.hint.Say(text(key, values))
	return true
}
