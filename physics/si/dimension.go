package si

// Dimension is what kind of quantity a unit measures: the exponents of the
// base quantities, of which angle is counted as one so that degrees and plain
// numbers are not mistaken for each other.
type Dimension struct {
	Length, Mass, Time, Current, Temperature, Angle int8
}

// Dimensions of the quantities of a coil.
var (
	number      = Dimension{}
	length      = Dimension{Length: 1}
	mass        = Dimension{Mass: 1}
	time        = Dimension{Time: 1}
	frequency   = Dimension{Time: -1}
	capacitance = Dimension{Length: -2, Mass: -1, Time: 4, Current: 2}
	inductance  = Dimension{Length: 2, Mass: 1, Time: -2, Current: -2}
	resistance  = Dimension{Length: 2, Mass: 1, Time: -3, Current: -2}
	voltage     = Dimension{Length: 2, Mass: 1, Time: -3, Current: -1}
	current     = Dimension{Current: 1}
	power       = Dimension{Length: 2, Mass: 1, Time: -3}
	energy      = Dimension{Length: 2, Mass: 1, Time: -2}
	pressure    = Dimension{Length: -1, Mass: 1, Time: -2}
	gradient    = Dimension{Length: 1, Mass: 1, Time: -3, Current: -1}
	temperature = Dimension{Temperature: 1}
	angle       = Dimension{Angle: 1}
)

// domain is what the parser and the printer know of a dimension beyond its
// exponents.
type domain struct {
	noun     string // with its article, for messages
	example  string // of what can be typed
	base     Unit   // takes the prefixes
	prefixes string // those that make sense before base, from small to large
	lone     bool   // a prefix may stand for prefix and base: "10k", "4n7"
}

// domains leaves out the prefixes that nobody means in a coil: a millihertz, a
// megahenry or a megametre is a slip of the shift key.
var domains = map[Dimension]domain{
	number:      {"a plain number", "2.5", Plain, "kM", true},
	length:      {"a length", "16 mm", Metre, "nµcmk", false},
	mass:        {"a mass", "25 g", Gram, "µmk", false},
	time:        {"a time", "5 µs", Second, "pnµm", false},
	frequency:   {"a frequency", "1.8 MHz", Hertz, "kMG", true},
	capacitance: {"a capacitance", "4.7 nF", Farad, "pnµm", true},
	inductance:  {"an inductance", "950 µH", Henry, "pnµm", true},
	resistance:  {"a resistance", "2.2 kΩ", Ohm, "µmkMG", true},
	voltage:     {"a voltage", "9 V", Volt, "nµmkM", true},
	current:     {"a current", "200 mA", Ampere, "pnµmk", true},
	power:       {"a power", "5 W", Watt, "nµmkM", true},
	energy:      {"an energy", "20 mJ", Joule, "nµmk", true},
	pressure:    {"a pressure", "1013 hPa", Pascal, "mhkM", false},
	gradient:    {"a field strength", "30 kV/cm", VoltPerMetre, "mkM", false},
	temperature: {"a temperature", "20 °C", Kelvin, "", false},
	angle:       {"an angle", "30°", Radian, "", false},
}

// noun names the dimension with its article.
func (d Dimension) noun() string {
	if k, ok := domains[d]; ok {
		return k.noun
	}
	return "a quantity"
}
