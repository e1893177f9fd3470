package app

import (
	"fmt"
	"math"
	"strings"

	"fyne.io/fyne/v2/lang"

	"coilwright/app/view"
	"coilwright/physics/experiment"
	"coilwright/physics/si"
)

// showWords is what is said of an experiment: in the window, on the hand-out and on
// the teacher's page.
type showWords struct {
	title, question, answer, how string
}

// kindTitle is what an experiment is called.
func kindTitle(kind experiment.Kind) string {
	switch kind {
	case experiment.Ring:
		return lang.L("show.ring.title")
	case experiment.StandingWave:
		return lang.L("show.wave.title")
	case experiment.Beat:
		return lang.L("show.beat.title")
	case experiment.Humps:
		return lang.L("show.humps.title")
	case experiment.Approach:
		return lang.L("show.approach.title")
	case experiment.Wire:
		return lang.L("show.wire.title")
	case experiment.ShortedTurn:
		return lang.L("show.shorted.title")
	case experiment.StartUp:
		return lang.L("show.start.title")
	}
	return lang.L("show.spectrum.title")
}

// wordsOf says what an outcome is about, with its numbers.
func wordsOf(kind experiment.Kind, o experiment.Outcome, units view.Units) showWords {
	w := showWords{title: kindTitle(kind)}
	switch o := o.(type) {
	case *experiment.RingOutcome:
		w.ring(o)
	case *experiment.WaveOutcome:
		w.wave(o)
	case *experiment.BeatOutcome:
		w.beat(o)
	case *experiment.HumpsOutcome:
		w.humps(o)
	case *experiment.ApproachOutcome:
		w.approach(o, units)
	case *experiment.WireOutcome:
		w.wire(o)
	case *experiment.ShortedOutcome:
		w.shorted(o, units)
	case *experiment.StartOutcome:
		w.start(o)
	case *experiment.SpectrumOutcome:
		w.spectrum(o)
	}
	return w
}

func shareText(v float64) string     { return si.Format(v, si.Percent, 3) }
func ratioText(v float64) string     { return fmt.Sprintf("%.3g", v) }
func frequencyText(v float64) string { return si.FormatPrefixed(v, si.Hertz, 4) }

// bench prints a length as the window does.
func lengthText(v float64, units view.Units) string {
	if units == view.Inches {
		return si.Format(v, si.Inch, 3)
	}
	return si.Format(v, si.Millimetre, 3)
}

func (w *showWords) ring(o *experiment.RingOutcome) {
	w.question = text("show.ring.question", map[string]any{"Turns": o.Present.Turns})
	w.answer = text("show.ring.answer", map[string]any{
		"Share": shareText(o.Answer()), "Wire": si.Format(o.Solution.Capacitance, si.Picofarad, 3),
		"Smooth": si.Format(o.SmoothCapacitance, si.Picofarad, 3), "Ratio": ratioText(o.GradientRatio()),
	})
	w.how = lang.L("show.ring.how")
}

func (w *showWords) wave(o *experiment.WaveOutcome) {
	values := map[string]any{"Mode": o.Mode, "Half": shareText(o.Half), "Frequency": frequencyText(o.Frequency)}
	w.question = text("show.wave.question", values)
	w.answer = text("show.wave.answer", values)
	if o.Half < 0 {
		w.answer = text("show.wave.answer_against", values)
	}
	w.how = lang.L("show.wave.how")
}

func (w *showWords) beat(o *experiment.BeatOutcome) {
	values := map[string]any{
		"Coupling": ratioText(o.Circuit.Primary.Coupling), "Tuning": shareText(o.Discharge.TuningRatio), "Swings": ratioText(o.Answer()),
		"Low": frequencyText(o.Discharge.Splitting[0]), "High": frequencyText(o.Discharge.Splitting[1]), "Most": shareText(o.MostShare),
	}
	w.question = text("show.beat.question", values)
	w.answer = text("show.beat.answer", values)
	if math.IsNaN(o.Answer()) {
		w.answer = text("show.beat.answer_never", values)
	}
	w.how = lang.L("show.beat.how")
}

func (w *showWords) humps(o *experiment.HumpsOutcome) {
	values := map[string]any{"Coupling": ratioText(o.Circuit.Primary.Coupling), "Apart": shareText(o.Answer())}
	w.question = text("show.humps.question", values)
	w.how = lang.L("show.humps.how")
	if len(o.Humps) < 2 {
		w.answer = text("show.humps.answer_one", values)
		return
	}
	values["Low"], values["High"] = frequencyText(o.Humps[0].Frequency), frequencyText(o.Humps[len(o.Humps)-1].Frequency)
	w.answer = text("show.humps.answer", values)
}

func (w *showWords) approach(o *experiment.ApproachOutcome, units view.Units) {
	values := map[string]any{
		"Distance": lengthText(o.PresentDistance, units), "Share": shareText(o.Answer()), "Free": frequencyText(o.FreeFrequency()), "Near": frequencyText(o.PresentFrequency()),
	}
	w.question = text("show.approach.question", values)
	w.answer = text("show.approach.answer", values)
	if ratio, ok := o.GradientRatio(); ok {
		values["Ratio"] = ratioText(ratio)
		w.answer = text("show.approach.answer_field", values)
	}
	w.how = lang.L("show.approach.how")
}

func (w *showWords) wire(o *experiment.WireOutcome) {
	values := map[string]any{
		"Pitch": si.Format(o.Pitch, si.Millimetre, 3), "Frequency": frequencyText(o.Frequency), "Best": shareText(o.Best),
		"Diameter": si.Format(o.BestDiameter(), si.Millimetre, 3), "Least": si.Format(o.BestValue, si.Ohm, 3),
		"Skin": si.FormatPrefixed(o.SkinDepth, si.Metre, 3), "Present": shareText(o.Present), "Resistance": si.Format(o.PresentValue, si.Ohm, 3),
	}
	w.question = text("show.wire.question", values)
	w.answer = text("show.wire.answer", values)
	w.how = lang.L("show.wire.how")
}

func (w *showWords) shorted(o *experiment.ShortedOutcome, units view.Units) {
	values := map[string]any{
		"Height": lengthText(o.PresentHeight, units), "Share": shareText(o.Answer()), "Closed": frequencyText(o.PresentUnbroken),
		"Slotted": frequencyText(o.PresentSlotted), "Wire": frequencyText(o.OfWire),
	}
	w.question = text("show.shorted.question", values)
	w.answer = text("show.shorted.answer", values)
	if o.OfWire > 0 {
		w.answer = text("show.shorted.answer_wire", values)
	}
	w.how = lang.L("show.shorted.how")
}

func (w *showWords) start(o *experiment.StartOutcome) {
	values := map[string]any{
		"Coupling": ratioText(o.Circuit.Primary.Coupling), "Swings": si.FormatNumber(o.Answer(), 2), "Voltage": si.FormatPrefixed(o.Running.TopCrest, si.Volt, 3),
		"Time": si.FormatPrefixed(o.GrowthTime(), si.Second, 3),
	}
	w.question = text("show.start.question", values)
	switch {
	case !math.IsNaN(o.Answer()):
		w.answer = text("show.start.answer", values)
	case o.Circuit.Sense < 0:
		w.answer = text("show.start.answer_reversed", values)
	case o.Start.Grows():
		w.answer = text("show.start.answer_weak", values)
	default:
		w.answer = text("show.start.answer_never", values)
	}
	w.how = lang.L("show.start.how")
}

func (w *showWords) spectrum(o *experiment.SpectrumOutcome) {
	values := map[string]any{"Frequency": frequencyText(o.Frequency), "Distance": shareText(o.Distance), "Band": o.ISM.String()}
	w.question = text("show.spectrum.question", values)
	var names []string
	for _, s := range o.Here {
		names = append(names, s.String())
	}
	if values["Who"] = strings.Join(names, ", "); len(names) == 0 {
		values["Who"] = lang.L("show.spectrum.nobody")
	}
	w.answer = text("show.spectrum.answer", values)
	w.how = lang.L("show.spectrum.how")
}

// settingName is what a setting is called beside its slider.
func settingName(name string) string {
	switch name {
	case "turns":
		return lang.L("show.setting.turns")
	case "mode":
		return lang.L("show.setting.mode")
	case "top_load":
		return lang.L("show.setting.top_load")
	case "coupling":
		return lang.L("show.setting.coupling")
	case "tuning":
		return lang.L("show.setting.tuning")
	case "distance":
		return lang.L("show.setting.distance")
	case "share":
		return lang.L("show.setting.share")
	case "frequency":
		return lang.L("show.setting.frequency")
	case "height":
		return lang.L("show.setting.height")
	case "sense":
		return lang.L("show.setting.sense")
	}
	return lang.L("show.setting.guess")
}
