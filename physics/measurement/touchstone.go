package measurement

import (
	"bufio"
	"bytes"
	"io"
	"math"
	"math/cmplx"
	"strings"

	"coilwright/physics/sentence"
)

// Reflection is what a network analyser measured at one port.
type Reflection struct {
	Frequency   []float64    // Hz, ascending, >= 0
	Coefficient []complex128 // reflection coefficient Γ, one per frequency, dimensionless
	Impedance   float64      // Ω, real reference impedance of Γ, > 0
	Comments    []string     // what the file says of itself, without the marks
}

// touchstone is the option line of a Touchstone file.
type touchstone struct {
	unit      float64 // Hz
	parameter byte    // S, Y or Z
	format    string  // RI, MA or DB
	impedance float64 // Ω
}

// ReadTouchstone reads a Touchstone 1.1 file of one port (.s1p): all units and
// formats, S, Y or Z (the latter two normalised to the reference impedance, as
// that revision has them), and the defaults GHz, S, MA, R 50. Option lines
// after the first are ignored.
//
// A file of version 2, one of more ports and a malformed line are refused; the
// error wraps [ErrFile] and names the line.
//
// Source: Touchstone File Format Specification, revision 1.1, IBIS Open Forum.
func ReadTouchstone(from io.Reader) (Reflection, error) {
	var r Reflection
	var options *touchstone
	in := bufio.NewScanner(from)
	in.Buffer(nil, longestLine)
	in.Split(anyLine)
	line := 0
	wrong := func(why sentence.Text) (Reflection, error) {
		return Reflection{}, lineError(line, why)
	}
	for in.Scan() {
		line++
		if line == 1 && (bytes.HasPrefix(in.Bytes(), []byte{0xfe, 0xff}) || bytes.HasPrefix(in.Bytes(), []byte{0xff, 0xfe})) {
			return wrong(sentence.New("it is written in UTF-16; save it as plain text"))
		}
		text, comment, hasComment := strings.Cut(strings.TrimPrefix(in.Text(), "\ufeff"), "!")
		if comment = strings.TrimSpace(comment); hasComment && comment != "" {
			r.Comments = append(r.Comments, comment)
		}
		text = strings.TrimSpace(text)
		switch {
		case text == "":
			continue
		case text[0] == '[':
			return wrong(sentence.New("this is a Touchstone file of version 2 (%q); save it as version 1, which is read here", shortened([]byte(text))))
		case text[0] == '#':
			if options != nil {
				continue // the specification: later option lines are ignored
			}
			var err error
			if options, err = parseOptions(text[1:]); err != nil {
				return wrong(sentence.Of(err))
			}
			continue
		case options == nil:
			return wrong(sentence.New("%q stands before the option line, the one that begins with #", shortened([]byte(text))))
		}
		f, gamma, err := options.parse(strings.Fields(text))
		if err != nil {
			return wrong(sentence.Of(err))
		}
		if n := len(r.Frequency); n > 0 && f <= r.Frequency[n-1] {
			return wrong(sentence.New("frequency %g Hz does not lie above the one before, %g Hz", f, r.Frequency[n-1]))
		}
		if len(r.Frequency) == maxPoints {
			return wrong(sentence.New("more than %d points", maxPoints))
		}
		r.Frequency = append(r.Frequency, f)
		r.Coefficient = append(r.Coefficient, gamma)
	}
	if err := in.Err(); err != nil {
		if err == bufio.ErrTooLong {
			line++
			return wrong(sentence.New("it is longer than %d bytes", longestLine))
		}
		return Reflection{}, err
	}
	if options == nil {
		return Reflection{}, fileError(sentence.New("it has no option line, the one that begins with #"))
	}
	if len(r.Frequency) == 0 {
		return Reflection{}, fileError(sentence.New("it has no data after the option line"))
	}
	r.Impedance = options.impedance
	return r, nil
}

// anyLine splits at \n, \r\n and \r, as the specification allows all three.
func anyLine(data []byte, atEOF bool) (advance int, token []byte, err error) {
	i := bytes.IndexAny(data, "\r\n")
	switch {
	case i < 0 && atEOF && len(data) > 0:
		return len(data), data, nil
	case i < 0:
		return 0, nil, nil
	case data[i] == '\n':
		return i + 1, data[:i], nil
	case i+1 < len(data) && data[i+1] == '\n':
		return i + 2, data[:i], nil
	case i+1 == len(data) && !atEOF:
		return 0, nil, nil // the \n may follow
	}
	return i + 1, data[:i], nil
}

// parseOptions reads an option line, whose words may stand in any order.
func parseOptions(text string) (*touchstone, error) {
	const defaultImpedance = 50 // Ω, specification
	t := &touchstone{unit: 1e9, parameter: 'S', format: "MA", impedance: defaultImpedance}
	words := strings.Fields(text)
	for i := 0; i < len(words); i++ {
		word := strings.ToUpper(words[i])
		switch word {
		case "HZ", "KHZ", "MHZ", "GHZ":
			t.unit, _ = hertzOf(word)
		case "S", "Y", "Z":
			t.parameter = word[0]
		case "G", "H":
			return nil, sentence.Error(nil, sentence.New("%s parameters are those of two ports; a one-port has S, Y or Z", word))
		case "RI", "MA", "DB":
			t.format = word
		case "R":
			i++
			if i == len(words) {
				return nil, sentence.Error(nil, sentence.New("no reference impedance after R"))
			}
			v, ok := parseDecimal([]byte(words[i]), '.')
			if !ok || !(v > 0) {
				return nil, sentence.Error(nil, sentence.New("the reference impedance is %q, not a positive number of ohms", shortened([]byte(words[i]))))
			}
			t.impedance = v
		default:
			if strings.HasPrefix(word, "R") && i > 0 {
				if v, ok := parseDecimal([]byte(word[1:]), '.'); ok && v > 0 { // "R50", as some write it
					t.impedance = v
					continue
				}
			}
			return nil, sentence.Error(nil, sentence.New("%q is no word of an option line (unit, parameter, format, R and ohms)", shortened([]byte(words[i]))))
		}
	}
	return t, nil
}

// parse reads frequency and reflection coefficient from the words of a line.
func (t *touchstone) parse(words []string) (f float64, gamma complex128, err error) {
	if len(words) != 3 {
		why := sentence.New("%d numbers where a one-port has 3", len(words))
		if len(words) == 9 {
			why = sentence.New("9 numbers where a one-port has 3; nine is a file of two ports")
		}
		return 0, 0, sentence.Error(nil, why)
	}
	var v [3]float64
	for i, w := range words {
		x, ok := parseDecimal([]byte(w), '.')
		if !ok || math.Abs(x) >= overload {
			return 0, 0, sentence.Error(nil, sentence.New("%q is not a number", shortened([]byte(w))))
		}
		v[i] = x
	}
	if f = v[0] * t.unit; f < 0 {
		return 0, 0, sentence.Error(nil, sentence.New("frequency %g Hz", f))
	}
	var p complex128
	switch t.format {
	case "RI":
		p = complex(v[1], v[2])
	case "MA":
		p = cmplx.Rect(v[1], v[2]*math.Pi/180)
	case "DB":
		p = cmplx.Rect(math.Pow(10, v[1]/20), v[2]*math.Pi/180)
	}
	switch t.parameter {
	case 'Z':
		p = (p - 1) / (p + 1)
	case 'Y':
		p = (1 - p) / (1 + p)
	}
	if cmplx.IsNaN(p) || cmplx.IsInf(p) {
		return 0, 0, sentence.Error(nil, sentence.New("no finite reflection coefficient belongs to %s", strings.Join(words[1:], " ")))
	}
	return f, p, nil
}
