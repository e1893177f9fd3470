package measurement

import (
	"strings"
	"unicode/utf8"
)

// nameColumns takes names and units of the columns from the lines before the
// numbers: the last line that has a text over a column, or, where that line
// holds units only, the line above it.
func (t *table) nameColumns() {
	t.names = make([]string, len(t.columns))
	t.units = make([]string, len(t.columns))
	for i, c := range t.columns {
		for n := len(t.head) - 1; n >= 0; n-- {
			text := cellAt(t.head[n], c)
			if text == "" {
				continue
			}
			if _, ok := parseDecimal([]byte(text), t.mark); ok {
				continue // a number of the head, not a name
			}
			name, unit := splitUnit(text)
			if name == "" && t.units[i] == "" {
				t.units[i] = unit
				continue
			}
			t.names[i] = name
			if t.units[i] == "" {
				t.units[i] = unit
			}
			break
		}
	}
}

func cellAt(cells []string, i int) string {
	if i < len(cells) {
		return cells[i]
	}
	return ""
}

// splitUnit takes "Time (ms)", "time [ms]", "t/ms", "t in ms", "time_ms" and a
// unit alone, "(ms)" or "Volt", apart.
func splitUnit(text string) (name, unit string) {
	text = strings.TrimSpace(text)
	for _, brackets := range []string{"()", "[]", "{}", "<>"} {
		open := strings.LastIndexByte(text, brackets[0])
		if open >= 0 && strings.HasSuffix(text, brackets[1:]) {
			return strings.TrimSpace(text[:open]), strings.TrimSpace(text[open+1 : len(text)-1])
		}
	}
	if isUnit(text) {
		return "", text
	}
	for _, joint := range []string{" in ", "/", "_", " ", ","} {
		if at := strings.LastIndex(text, joint); at > 0 {
			after := strings.TrimSpace(text[at+len(joint):])
			if isUnit(after) && (after == "s" || len(after) > 1) { // "Channel A" is no current
				return strings.TrimSpace(text[:at]), after
			}
		}
	}
	return text, ""
}

// isUnit says whether a text is a unit of time, frequency or level.
func isUnit(text string) bool {
	if _, ok := secondsOf(text); ok {
		return true
	}
	if _, ok := hertzOf(text); ok {
		return true
	}
	if isDecibel(text) {
		return true
	}
	switch text {
	case "V", "mV", "uV", "µV", "μV", "kV", "A", "mA", "W", "mW", "Ω", "ohm", "deg", "°", "rad", "a.u.", "%":
		return true
	}
	switch strings.ToLower(text) {
	case "volt", "volts", "ampere", "amp", "amps", "millivolt", "millivolts":
		return true
	}
	return false
}

// secondsOf returns how many seconds a unit of time is.
func secondsOf(unit string) (float64, bool) {
	if !utf8.ValidString(unit) {
		unit = strings.ReplaceAll(unit, "\xb5", "µ") // as Latin-1 has it
	}
	switch strings.TrimSuffix(strings.ToLower(unit), ".") {
	case "s", "sec", "secs", "second", "seconds":
		return 1, true
	case "ms", "msec", "millisecond", "milliseconds":
		return 1e-3, true
	case "us", "µs", "μs", "usec", "µsec", "microsecond", "microseconds":
		return 1e-6, true
	case "ns", "nsec", "nanosecond", "nanoseconds":
		return 1e-9, true
	case "ps", "psec", "picosecond", "picoseconds":
		return 1e-12, true
	}
	return 0, false
}

// hertzOf returns how many hertz a unit of frequency is.
func hertzOf(unit string) (float64, bool) {
	switch strings.ToLower(unit) {
	case "hz", "hertz":
		return 1, true
	case "khz", "kilohertz":
		return 1e3, true
	case "mhz", "megahertz":
		return 1e6, true
	case "ghz", "gigahertz":
		return 1e9, true
	}
	return 0, false
}

// isDecibel says whether a unit is a level in decibels: dB, dBm, dBV.
func isDecibel(unit string) bool {
	rest, ok := strings.CutPrefix(strings.ToLower(unit), "db")
	return ok && len(rest) <= 4 && !strings.ContainsAny(rest, " ")
}

// mentions says whether a text holds one of some words, as whole words.
func mentions(text string, words ...string) bool {
	fields := strings.FieldsFunc(strings.ToLower(text), func(r rune) bool {
		return r != '.' && (r < 'a' || r > 'z') && r != 'µ' && r != 'μ'
	})
	joined := " " + strings.Join(fields, " ") + " "
	for _, w := range words {
		if strings.Contains(joined, " "+w+" ") {
			return true
		}
	}
	return false
}

// Words by which a heading tells what a column or a number is.
var (
	timeWords      = []string{"time", "t", "zeit", "temps", "seconds", "second", "sec"}
	indexWords     = []string{"sample", "samples", "index", "point", "points", "sequence", "n", "x", "nr", "no", "number", "count"}
	frequencyWords = []string{"frequency", "freq", "f", "frequenz", "hertz"}
	phaseWords     = []string{"phase", "angle", "arg", "deg", "degree", "degrees", "rad"}
	intervalWords  = []string{"interval", "increment", "xincrement", "delta t", "dt", "sample period", "sampling period", "sample time", "time step", "timestep"}
	rateWords      = []string{"sample rate", "sampling rate", "samplerate", "sampling frequency", "samples per second", "sample frequency"}
)

// interval returns the sample interval in s that the lines before the numbers
// state, and the column under which it stands.
func (t *table) interval() (seconds float64, ok bool) {
	for n, cells := range t.head {
		for i, text := range cells {
			isRate := mentions(text, rateWords...)
			if !isRate && !mentions(text, intervalWords...) {
				continue
			}
			v, found := t.quantityNear(n, i, isRate)
			if !found || v <= 0 {
				continue
			}
			if isRate {
				v = 1 / v
			}
			return v, true
		}
	}
	return 0, false
}

// quantityNear returns the number that belongs to the words in a cell of the
// head: in the cell itself after a colon or an equals sign, else in the next
// cell that holds one, else in the cell below.
func (t *table) quantityNear(row, column int, isRate bool) (float64, bool) {
	text := t.head[row][column]
	_, headUnit := splitUnit(strings.TrimRight(text, ": ="))
	if at := strings.LastIndexAny(text, ":="); at >= 0 {
		_, headUnit = splitUnit(strings.TrimSpace(text[:at]))
		if v, ok := t.quantity(text[at+1:], headUnit, isRate); ok {
			return v, true
		}
	}
	if cells := t.head[row]; column+1 < len(cells) {
		unit := headUnit
		if after := cellAt(cells, column+2); isUnit(after) {
			unit = after
		}
		if v, ok := t.quantity(cells[column+1], unit, isRate); ok {
			return v, true
		}
	}
	if row+1 < len(t.head) {
		return t.quantity(cellAt(t.head[row+1], column), headUnit, isRate)
	}
	return 0, false
}

// quantity reads "4 ns", "4E-9" or "250 MSa/s"; unit is that of a bare number.
func (t *table) quantity(text, unit string, isRate bool) (float64, bool) {
	text = strings.TrimSpace(text)
	end := len(text) + 1
	var v float64
	ok := false
	for !ok && end > 0 {
		end--
		number := []byte(strings.TrimSpace(text[:end]))
		if v, ok = parseDecimal(number, t.mark); !ok {
			v, ok = parseDecimal(number, '.') // heads often keep the point
		}
	}
	if !ok {
		return 0, false
	}
	if after := strings.TrimSpace(text[end:]); after != "" {
		unit = after
	}
	if unit == "" {
		return v, true
	}
	if isRate {
		return v * ratePrefix(unit), true
	}
	factor, ok := secondsOf(unit)
	return v * factor, ok
}

// ratePrefix returns the factor of a unit of sampling rate, "MSa/s", "kHz".
func ratePrefix(unit string) float64 {
	switch unit[0] {
	case 'k', 'K':
		return 1e3
	case 'M':
		return 1e6
	case 'G':
		return 1e9
	}
	return 1
}
