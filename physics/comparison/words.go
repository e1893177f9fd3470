package comparison

import (
	"fmt"
	"math"
	"strings"
	"unicode"

	"coilwright/physics/design"
	"coilwright/physics/sentence"
	"coilwright/physics/si"
)

// shown is how many significant digits a reading is told with.
const shown = 4

// inputNames are what the inputs are called in a sentence.
var inputNames = map[string]sentence.Text{
	"secondary.turns":                        sentence.New("the count of turns"),
	"secondary.base_height_m":                sentence.New("the height of the winding over the table"),
	"top_load.height_m":                      sentence.New("the height of the top load"),
	"top_load.hub_diameter_m":                sentence.New("the hub of the ring"),
	"top_load.former_diameter_m":             sentence.New("the size of the ring's turns"),
	"secondary.former_relative_permittivity": sentence.New("the former's permittivity"),
	"secondary.former_diameter_m":            sentence.New("the former's diameter"),
	"secondary.wire.overall_diameter_m":      sentence.New("the thickness of wire and enamel"),
	"secondary.pitch_m":                      sentence.New("the pitch of the winding"),
	keyPacking:                               sentence.New("how tightly the turns lie"),
	keyTemperature:                           sentence.New("the room's temperature"),
	keyFloor:                                 sentence.New("how far away the earthed floor is"),
	KeyProbe:                                 sentence.New("the probe's capacitance"),
	KeyHand:                                  sentence.New("how near the hand was"),
	KeyModel:                                 sentence.New("the model's own error"),
	KeyHidden:                                sentence.New("a hand, lead or probe at the top that is not in the design"),
}

// InputName returns what an input is called in a sentence.
func InputName(key string) sentence.Text {
	if name, ok := inputNames[key]; ok {
		return name
	}
	return sentence.Literal(key)
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

// quantity is what was read or predicted, written in the reader's units.
type quantity struct {
	value, half float64 // SI; half its width, 0: not told
	unit        si.Unit
	digits      int
}

// In returns the quantity for a reader.
func (q quantity) In(r sentence.Reader) string {
	if r.Inch && q.unit == si.Millimetre {
		q.unit = si.Inch
	}
	if q.half > 0 {
		return spread(q.value, q.half, q.unit)
	}
	return number(q.value, q.unit, q.digits)
}

// between is a value with half its width.
func between(value, half float64, unit si.Unit) quantity { return quantity{value, half, unit, shown} }

// words tells a row in a sentence.
func (r *Row) words() sentence.Text {
	unit := unitOf(r.Reading)
	return sentence.New("%s measured, %s predicted: %s", between(r.Measured, sigmas*r.Sigma, unit), between(r.Predicted, r.Half(), unit), r.judgement())
}

// judgement tells the verdict of a row.
func (r *Row) judgement() sentence.Text {
	switch r.Verdict {
	case Agrees:
		return sentence.New("they agree.")
	case WithinOne:
		return sentence.New("within what %s explains.", InputName(r.Causes[0].Key))
	case WithinAll:
		if len(r.Causes) == 0 {
			return sentence.New("within what the prediction itself may be wrong by.")
		}
		var names []sentence.Text
		for _, c := range r.Causes[:min(2, len(r.Causes))] {
			names = append(names, InputName(c.Key))
		}
		return sentence.New("within what all tolerances together explain, above all %s.", sentence.List(names...))
	}
	off := si.Format(math.Abs(r.Deviation), si.Percent, 2)
	far := sentence.New("%s higher than the tolerances explain.", off)
	if r.Deviation < 0 {
		far = sentence.New("%s lower than the tolerances explain.", off)
	}
	if ratio := r.Measured / r.Predicted; ratio > severalTimes {
		far = sentence.New("%s times as much as predicted.", si.FormatNumber(ratio, 2))
	}
	return sentence.Paragraph(far, r.hint())
}

// severalTimes is from where on a deviation is told as a factor.
const severalTimes = 2

// hint says where to look when nothing within tolerances explains a reading.
func (r *Row) hint() sentence.Text {
	const slip, about = 1000, 2 // of a prefix, and how far off a coil may be besides
	ratio := math.Abs(r.Measured / r.Predicted)
	switch {
	case ratio > slip/about && ratio < slip*about:
		return sentence.New("It is about a thousand times the prediction: look at the unit.")
	case ratio > 1.0/(slip*about) && ratio < about/float64(slip):
		return sentence.New("It is about a thousandth of the prediction: look at the unit.")
	case r.Reading.Quantity == QualityFactor && r.Deviation < 0:
		return sentence.New("The computed one is the most that the coil can have: solder, dielectric and what stands near take their share.")
	case r.Reading.Quantity == Frequency && r.Deviation < 0 && r.Reading.ProbePlace == NoProbe:
		return sentence.New("A probe or a hand near the top lowers a frequency; so does a table that conducts.")
	case r.Reading.Quantity == Frequency && r.Deviation > 0:
		return sentence.New("Turns that were left out, or a foot that is not well earthed, raise a frequency.")
	case r.Reading.Quantity == Resistance && r.Deviation > 0:
		return sentence.New("A bad joint, thinner wire or more turns raise a resistance.")
	case r.Reading.Quantity == Resistance:
		return sentence.New("Thicker wire, fewer turns or turns that touch through scratched enamel lower a resistance.")
	}
	return sentence.Text{}
}

// length reads a length.
func length(text string) (float64, error) { return si.ParseIn(text, si.Millimetre) }
