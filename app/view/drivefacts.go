package view

import (
	"errors"
	"math"

	"fyne.io/fyne/v2/lang"

	"coilwright/app/session"
	"coilwright/physics/design"
	"coilwright/physics/driver"
	"coilwright/physics/si"
)

// driveFact is one answer about a driver; its texts are drive.KEY and
// hint.drive_KEY.
type driveFact struct {
	key, value string
	alarm      bool // beyond what a part is made for, or the answer that matters is no
}

// driveFacts words what is known of a driver.
func driveFacts(r *session.DriveResult) []driveFact {
	v := &r.Drive
	switch r.Design.Driver.Kind {
	case design.FeedbackExciter:
		return exciterFacts(v)
	case design.HalfBridge:
		return bridgeFacts(v)
	case design.SparkGap:
		return gapFacts(v)
	}
	return nil
}

// driveDigits is how many significant digits answers about a driver are shown
// with: models of devices are good to some per cent.
const driveDigits = 3

func drivenNumber(value *float64, unit si.Unit) string {
	if value == nil {
		return noNumber
	}
	return si.FormatPrefixed(*value, unit, driveDigits)
}

func exciterFacts(v *design.Drive) []driveFact {
	out := &v.Report
	starts := driveFact{key: "starts", value: lang.L("drive.not_yet")}
	switch {
	case out.State != nil:
		starts.value = lang.L("drive.state_" + *out.State)
		starts.alarm = *out.State != string(driver.StateFull)
	case out.GrowthRate != nil && *out.GrowthRate > 0:
		starts.value = lang.L("drive.grows")
	case out.GrowthRate != nil:
		starts.value, starts.alarm = lang.L("drive.no_growth"), true
	}
	facts := []driveFact{
		starts,
		{key: "frequency", value: quantity(out.Frequency, si.Hertz)},
		{key: "top", value: topRange(out)},
		{key: "energy_check", value: drivenNumber(out.EnergyCheck, si.Volt)},
		{key: "current", value: drivenNumber(out.SupplyCurrentMean, si.Ampere)},
		{key: "power", value: powers(v)},
	}
	if x, r := v.Exciter, v.Running; x != nil && r != nil {
		facts = append(facts,
			limited("voltage", r.CollectorBase, x.Device.Rating.CollectorBase, x.Device.Rating.CollectorEmitter, si.Volt),
			limited("peak", r.CollectorPeak, x.Device.Rating.Current, 0, si.Ampere),
			limited("base", r.BaseReverse, x.Device.Rating.Reverse, 0, si.Volt),
		)
		heat := driveFact{key: "heat", value: drivenNumber(out.DevicePower, si.Watt)}
		if t := out.DeviceTemperature; t != nil {
			heat.value = join(heat.value, lang.L("drive.celsius", map[string]any{"Celsius": decimal(math.Round(*t), 0, 0)}))
			heat.alarm = x.Device.Rating.Junction > 0 && *t > x.Device.Rating.Junction
		}
		if v.HeatTime > 0 {
			heat.value = join(heat.value, lang.L("drive.bears", map[string]any{"Time": si.FormatPrefixed(v.HeatTime, si.Second, 2)}))
		}
		facts = append(facts, heat)
	}
	facts = append(facts, driveFact{key: "settles", value: drivenNumber(out.SettlingTime, si.Second)})
	if v.RunTime > 0 {
		facts = append(facts, driveFact{key: "lasts", value: duration(v.RunTime)})
	}
	return append(facts, detunedFacts(v)...)
}

// limited is a value beside what the part is made for; the second limit counts
// where the first is not known.
func limited(key string, value, limit, other float64, unit si.Unit) driveFact {
	if limit == 0 {
		limit = other
	}
	f := driveFact{key: key, value: si.FormatPrefixed(value, unit, driveDigits)}
	if limit > 0 {
		f.value = lang.L("drive.of", map[string]any{"Value": f.value, "Limit": si.FormatPrefixed(limit, unit, driveDigits)})
		f.alarm = value > limit
	}
	return f
}

// topRange is the top voltage, as a range where the clamp is not known well.
func topRange(out *design.DriverReport) string {
	if out.TopVoltageLow == nil || out.TopVoltageHigh == nil || *out.TopVoltageHigh == 0 {
		return drivenNumber(out.TopVoltage, si.Volt)
	}
	return lang.L("drive.range", map[string]any{
		"Low": si.FormatPrefixed(*out.TopVoltageLow, si.Volt, driveDigits), "High": si.FormatPrefixed(*out.TopVoltageHigh, si.Volt, driveDigits),
	})
}

// powers is what goes in, and what of it the coil gets.
func powers(v *design.Drive) string {
	out := &v.Report
	value := drivenNumber(out.InputPower, si.Watt)
	if out.InputPower != nil && v.MeanPower > 0 && v.MeanPower < *out.InputPower {
		value = lang.L("drive.in_bursts", map[string]any{"Mean": si.FormatPrefixed(v.MeanPower, si.Watt, driveDigits), "On": value})
	}
	if out.CoilPower == nil {
		return value
	}
	return lang.L("drive.to_coil", map[string]any{"All": value, "Coil": si.FormatPrefixed(*out.CoilPower, si.Watt, driveDigits)})
}

func bridgeFacts(v *design.Drive) []driveFact {
	out := &v.Report
	facts := []driveFact{
		{key: "frequency", value: quantity(out.Frequency, si.Hertz)},
		{key: "top", value: drivenNumber(out.TopVoltage, si.Volt)},
		{key: "energy_check", value: drivenNumber(out.EnergyCheck, si.Volt)},
		{key: "gain", value: drivenNumber(out.Gain, si.Plain)},
		{key: "q_loaded", value: drivenNumber(out.QLoaded, si.Plain)},
		{key: "current", value: drivenNumber(out.SupplyCurrentMean, si.Ampere)},
		{key: "peak", value: drivenNumber(out.DeviceCurrent, si.Ampere)},
		{key: "power", value: powers(v)},
	}
	lock := driveFact{key: "lock", value: lang.L("drive.no_lock"), alarm: v.Bridge != nil}
	if v.Lock != nil {
		soft := lang.L("drive.hard")
		if v.Lock.Soft {
			soft = lang.L("drive.soft")
		}
		lock.value, lock.alarm = join(quantity(&v.Lock.Frequency, si.Hertz), soft), false
	}
	facts = append(facts, lock)
	facts = append(facts, tuningFacts(v)...)
	return append(facts, detunedFacts(v)...)
}

func gapFacts(v *design.Drive) []driveFact {
	out := &v.Report
	facts := []driveFact{
		{key: "top", value: drivenNumber(out.TopVoltage, si.Volt)},
		{key: "peak_time", value: drivenNumber(out.PeakTime, si.Second)},
		{key: "notch", value: drivenNumber(out.FirstNotch, si.Second)},
	}
	if out.EnergyTransferred != nil {
		facts = append(facts, driveFact{key: "transferred", value: si.Format(*out.EnergyTransferred, si.Percent, driveDigits)})
	}
	facts = append(facts, driveFact{key: "tank", value: drivenNumber(out.TankEnergy, si.Joule)})
	if len(out.Splitting) == 2 {
		facts = append(facts, driveFact{key: "splitting", value: lang.L("drive.pair", map[string]any{
			"Low": quantity(&out.Splitting[0], si.Hertz), "High": quantity(&out.Splitting[1], si.Hertz)})})
	}
	if g := v.Gap; g != nil {
		facts = append(facts,
			driveFact{key: "bound", value: drivenNumber(&v.Bound, si.Volt)},
			driveFact{key: "special", value: lang.L("drive.coupling", map[string]any{
				"K": si.FormatNumber(g.SpecialCouple, driveDigits), "Now": si.FormatNumber(v.Circuit.Primary.Coupling, driveDigits)})},
		)
	}
	facts = append(facts, tuningFacts(v)...)
	return append(facts, detunedFacts(v)...)
}

// tuningFacts say how far tank and coil are apart and which tap brings them
// together.
func tuningFacts(v *design.Drive) []driveFact {
	t := v.Tuning
	if t == nil {
		return nil
	}
	facts := []driveFact{{key: "tuning", value: lang.L("drive.pair", map[string]any{
		"Low": quantity(&t.Tank, si.Hertz), "High": quantity(&t.Coil, si.Hertz)})}}
	tap := driveFact{key: "tap", value: lang.L("drive.no_tap"), alarm: true}
	if t.Tap > 0 {
		turns := decimal(math.Round(t.Tap*100)/100, 0, 2)
		tap.value = lang.L("drive.turns", map[string]any{"Turns": turns, "Most": decimal(t.Most, 0, 2)})
		tap.alarm = t.Most > 0 && t.Tap > t.Most
	}
	return append(facts, tap)
}

// detunedFacts say what something near the top does.
func detunedFacts(v *design.Drive) (facts []driveFact) {
	for _, near := range v.Detuned {
		facts = append(facts, driveFact{key: "near_" + near.Code, value: drivenNumber(&near.TopVoltage, si.Volt)})
	}
	return facts
}

// duration words how long a battery lasts.
func duration(seconds float64) string {
	const minute, hour = 60, 3600
	if seconds < hour {
		return lang.L("drive.minutes", map[string]any{"Minutes": decimal(math.Round(seconds/minute), 0, 0)})
	}
	return lang.L("drive.hours", map[string]any{"Hours": si.FormatNumber(seconds/hour, 2)})
}

// driveAdvice is the one thing to do first, in plain words.
func driveAdvice(r *session.DriveResult) (text string, alarm bool) {
	v := &r.Drive
	switch {
	case r.Design.Driver.Kind == design.NoDriver:
		return lang.L("drive.none"), false
	case errors.Is(r.Err, driver.ErrNotSettled):
		return lang.L("drive.unsettled", map[string]any{"Reason": Millimetres.Reason(r.Err)}), true
	case r.Err != nil:
		return lang.L("drive.unsolved", map[string]any{"Reason": Millimetres.Reason(r.Err)}), true
	case len(v.Causes) > 0:
		return Millimetres.Say(v.Causes[0].Text), true
	case outOfTuneOf(v):
		return lang.L("drive.out_of_tune"), true
	case r.Done || v.Judged:
		return lang.L("drive.well_" + r.Design.Driver.Kind), false
	}
	return lang.L("drive.working"), false
}
