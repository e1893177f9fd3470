package view

import (
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/lang"
	fynetheme "fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"coilwright/app/session"
	"coilwright/app/theme"
	"coilwright/physics/design"
	"coilwright/physics/si"
)

// thinLength suits what a wire's thickness misses by.
var thinLength = lengthMeasure{lengthSteps{0.001, 4, 4}, lengthSteps{0.00005, 5, 5}}

// NewBehind returns what lies behind frequency and quality factor of a result: which
// input makes the frequency uncertain, what the coil loses and where, what shorted
// turns cost. onTolerances is asked for where the inputs' tolerances are stated.
func NewBehind(r *session.Result, units Units, onTolerances func()) *fyne.Container {
	rows := container.NewVBox()
	behindFrequency(rows, r, units)
	state := NewButton(lang.L("behind.tolerances"), nil, onTolerances)
	state.Importance = widget.MediumImportance
	rows.Add(container.NewHBox(state))
	behindQuality(rows, r)
	return rows
}

func heading(rows *fyne.Container, key string) {
	t := NewText(lang.L(key), fynetheme.ColorNameForeground, theme.SizeNameTitleText)
	t.style.Bold = true
	if len(rows.Objects) > 0 {
		rows.Add(widget.NewSeparator())
	}
	rows.Add(t)
}

func sentences(rows *fyne.Container, text string) {
	label := widget.NewLabel(text)
	label.Wrapping = fyne.TextWrapWord
	rows.Add(label)
}

func behindFrequency(rows *fyne.Container, r *session.Result, units Units) {
	heading(rows, "behind.frequency")
	f := r.Report.Resonance
	if f.Frequency == nil || f.FrequencyLow == nil || f.FrequencyHigh == nil || f.ModelError == nil {
		sentences(rows, lang.L("behind.no_frequency"))
		return
	}
	sentences(rows, lang.L("behind.band", map[string]any{
		"Frequency": quantity(f.Frequency, si.Hertz), "Low": quantity(f.FrequencyLow, si.Hertz), "High": quantity(f.FrequencyHigh, si.Hertz),
		"Model": si.Format(*f.ModelError, si.Percent, 2),
	}))
	most := 0.0
	for _, in := range f.FrequencyInputs {
		most = max(most, *in.Sigma)
	}
	for _, in := range f.FrequencyInputs {
		rows.Add(newShare(inputName(in, units), *in.Sigma/most, "± "+si.Format(*in.Sigma / *f.Frequency, si.Percent, 2)))
	}
}

// inputName names an input and by how much it may miss.
func inputName(in design.FrequencyInput, units Units) string {
	name := lang.L("edit." + in.Key)
	m := missMeasure(in.Key)
	if m == nil || in.HalfWidth == nil {
		return name
	}
	text, unit := m.format(*in.HalfWidth, units)
	return lang.L("behind.input", map[string]any{"Input": name, "HalfWidth": strings.TrimSpace(text + " " + unit)})
}

func behindQuality(rows *fyne.Container, r *session.Result) {
	heading(rows, "behind.quality")
	l := r.Report.Losses
	if l.QualityFactorComputed == nil {
		sentences(rows, lang.L("behind.no_quality"))
		return
	}
	values := map[string]any{"Computed": si.FormatNumber(*l.QualityFactorComputed, digits-1), "Resistance": quantity(r.Report.Secondary.ResistanceAC, si.Ohm), "DC": quantity(r.Report.Secondary.ResistanceDC, si.Ohm)}
	text := lang.L("behind.most", values)
	if l.QualityFactorMeasured != nil {
		values["Measured"] = si.FormatNumber(*l.QualityFactorMeasured, digits-1)
		text = lang.L("behind.measured", values)
	}
	sentences(rows, text)
	shorted := "behind.share.body"
	if r.Design.TopLoad.Kind == design.WireRing {
		shorted = "behind.share.hub"
	}
	for _, part := range []struct {
		key   string
		share *float64
	}{
		{"behind.share.direct", l.Direct},
		{"behind.share.skin", l.Skin},
		{"behind.share.proximity", l.Proximity},
		{"behind.share.ring", l.Ring},
		{shorted, l.Shorted},
		{"behind.share.plane", l.Plane},
		{"behind.share.former", l.Former},
		{"behind.share.insulation", l.Insulation},
	} {
		if part.share != nil {
			rows.Add(newShare(lang.L(part.key), *part.share, si.Format(*part.share, si.Percent, 2)))
		}
	}
	if v := l.TopVoltagePerRootWatt; v != nil {
		sentences(rows, lang.L("behind.watt", map[string]any{"Voltage": si.FormatPrefixed(*v, si.Volt, digits-1), "Double": si.FormatPrefixed(2**v, si.Volt, digits-1)}))
	}
	heading(rows, "behind.shorted")
	none := true
	for _, turn := range []struct {
		key          string
		share, shift *float64
	}{{shorted, l.Shorted, l.ShortedShift}, {"behind.share.plane", l.Plane, l.PlaneShift}} {
		if turn.share == nil || turn.shift == nil {
			continue
		}
		none = false
		sentences(rows, lang.L("behind.turn", map[string]any{
			"Part": lang.L(turn.key), "Share": si.Format(*turn.share, si.Percent, 2), "Shift": percentOf(*turn.shift),
		}))
	}
	if none {
		sentences(rows, lang.L("behind.no_turn"))
	}
}

// percentOf writes a small ratio with its sign, two digits of it.
func percentOf(ratio float64) string {
	if ratio < 0 {
		return "−" + si.Format(-ratio, si.Percent, 2)
	}
	return "+" + si.Format(ratio, si.Percent, 2)
}
