package comparison

import (
	"fmt"
	"math"
	"strings"
	"unicode"

	"coilwright/physics/design"
	"coilwright/physics/si"
)

// shown is how many significant digits a reading is told with.
const shown = 4

// inputNames are what the inputs are called in a sentence.
var inputNames = map[string]string{
	"secondary.turns":                        "the count of turns",
	"secondary.base_height_m":                "the height of the winding over the table",
	"top_load.height_m":                      "the height of the top load",
	"top_load.hub_diameter_m":                "the hub of the ring",
	"top_load.former_diameter_m":             "the size of the ring's turns",
	"secondary.former_relative_permittivity": "the former's permittivity",
	"secondary.former_diameter_m":            "the former's diameter",
	"secondary.wire.overall_diameter_m":      "the thickness of wire and enamel",
	"secondary.pitch_m":                      "the pitch of the winding",
	keyPacking:                               "how tightly the turns lie",
	keyTemperature:                           "the room's temperature",
	keyFloor:                                 "how far away the earthed floor is",
	KeyProbe:                                 "the probe's capacitance",
	KeyHand:                                  "how near the hand was",
	KeyModel:                                 "the model's own error",
	KeyHidden:                                "a hand, lead or probe at the top that is not in the design",
}

// InputName returns what an input is called in a sentence.
func InputName(key string) string {
	if name, ok := inputNames[key]; ok {
		return name
	}
	return key
}

// unitOf is the unit of a reading's value.
func unitOf(m design.Measurement) si.Unit {
	switch m.Quantity {
	case Frequency:
		return si.Hertz
	case Inductance:
		return si.Henry
	case Resistance:
		return si.Ohm
	case Capacitance:
		return si.Farad
	case Gap:
		return si.Millimetre
	case SupplyCurrent:
		return si.Ampere
	case Temperature:
		return si.Celsius
	case Dimension:
		return unitOfKey(m.Key)
	}
	return si.Plain
}

// unitOfKey is the unit of an input by the end of its key.
func unitOfKey(key string) si.Unit {
	switch {
	case key == KeyProbe, key == KeyHand, key == KeyModel:
		return si.Percent
	case strings.HasSuffix(key, "_m"):
		return si.Millimetre
	case strings.HasSuffix(key, "_f"):
		return si.Farad
	}
	return si.Plain
}

// number prints a value of a unit.
func number(v float64, unit si.Unit, digits int) string {
	switch unit {
	case si.Hertz, si.Henry, si.Ohm, si.Farad, si.Ampere:
		return si.FormatPrefixed(v, unit, digits)
	case si.Celsius:
		return strings.Replace(fmt.Sprintf("%.1f °C", v), "-", "−", 1)
	}
	return si.Format(v, unit, digits)
}

// spread prints what lies to either side of a value, with two digits, in the
// unit the value is printed in.
func spread(value, half float64, unit si.Unit) string {
	whole := number(value, unit, shown)
	if half <= 0 {
		return whole
	}
	if unit == si.Celsius {
		return fmt.Sprintf("%.1f ± %.1f °C", value, half)
	}
	at := strings.IndexFunc(whole, unicode.IsSpace)
	suffix := ""
	if at >= 0 {
		suffix = whole[at:]
	}
	scale := scaleOf(unit, suffix)
	scaled, off := value/scale, half/scale
	places := max(0, 1-int(math.Floor(math.Log10(off))))
	return strings.Replace(fmt.Sprintf("%.*f ± %.*f", places, scaled, places, off), "-", "−", 1) + suffix
}

// scaleOf returns how much of the SI unit the unit printed behind a number is.
func scaleOf(unit si.Unit, suffix string) float64 {
	one, err := si.ParseIn("1"+suffix, unit)
	if err != nil || one <= 0 {
		return 1
	}
	return one
}

// words tells a row in a sentence.
func (r *Row) words() string {
	unit := unitOf(r.Reading)
	text := fmt.Sprintf("%s measured, %s predicted: ", spread(r.Measured, sigmas*r.Sigma, unit), spread(r.Predicted, r.Half(), unit))
	switch r.Verdict {
	case Agrees:
		return text + "they agree."
	case WithinOne:
		cause := InputName(r.Causes[0].Key)
		return text + fmt.Sprintf("within what %s explains.", cause)
	case WithinAll:
		if len(r.Causes) == 0 {
			return text + "within what the prediction itself may be wrong by."
		}
		causes := InputName(r.Causes[0].Key)
		if len(r.Causes) > 1 {
			causes += " and " + InputName(r.Causes[1].Key)
		}
		return text + fmt.Sprintf("within what all tolerances together explain, above all %s.", causes)
	}
	side := "higher"
	if r.Deviation < 0 {
		side = "lower"
	}
	if ratio := r.Measured / r.Predicted; ratio > severalTimes {
		return strings.TrimSpace(text + fmt.Sprintf("%s times as much as predicted. %s", si.FormatNumber(ratio, 2), r.hint()))
	}
	text += fmt.Sprintf("%s %s than the tolerances explain.", si.Format(math.Abs(r.Deviation), si.Percent, 2), side)
	if hint := r.hint(); hint != "" {
		text += " " + hint
	}
	return text
}

// severalTimes is from where on a deviation is told as a factor.
const severalTimes = 2

// hint says where to look when nothing within tolerances explains a reading.
func (r *Row) hint() string {
	const slip, about = 1000, 2 // of a prefix, and how far off a coil may be besides
	ratio := math.Abs(r.Measured / r.Predicted)
	switch {
	case ratio > slip/about && ratio < slip*about:
		return "It is about a thousand times the prediction: look at the unit."
	case ratio > 1.0/(slip*about) && ratio < about/float64(slip):
		return "It is about a thousandth of the prediction: look at the unit."
	case r.Reading.Quantity == QualityFactor && r.Deviation < 0:
		return "The computed one is the most that the coil can have: solder, dielectric and what stands near take their share."
	case r.Reading.Quantity == Frequency && r.Deviation < 0 && r.Reading.ProbePlace == NoProbe:
		return "A probe or a hand near the top lowers a frequency; so does a table that conducts."
	case r.Reading.Quantity == Frequency && r.Deviation > 0:
		return "Turns that were left out, or a foot that is not well earthed, raise a frequency."
	case r.Reading.Quantity == Resistance && r.Deviation > 0:
		return "A bad joint, thinner wire or more turns raise a resistance."
	case r.Reading.Quantity == Resistance:
		return "Thicker wire, fewer turns or turns that touch through scratched enamel lower a resistance."
	}
	return ""
}

// length reads a length.
func length(text string) (float64, error) { return si.ParseIn(text, si.Millimetre) }

// reason is the sentence inside an error that wraps [ErrNoPrediction].
func reason(err error) string {
	return strings.TrimPrefix(err.Error(), ErrNoPrediction.Error()+": ")
}

// sentence begins a text with a capital and ends it with a full stop.
func sentence(text string) string {
	if text == "" {
		return ""
	}
	letters := []rune(text)
	letters[0] = unicode.ToUpper(letters[0])
	return strings.TrimSuffix(string(letters), ".") + "."
}

// list joins texts: "a, b and c".
func list(texts []string) string {
	if len(texts) < 2 {
		return strings.Join(texts, "")
	}
	return strings.Join(texts[:len(texts)-1], ", ") + " and " + texts[len(texts)-1]
}
