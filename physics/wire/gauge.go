package wire

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"coilwright/physics/si"
)

// ErrGauge says that there is no such wire.
var ErrGauge = errors.New("no such wire gauge")

// System is a series of wire sizes.
type System int

// Systems of wire sizes.
const (
	AWG    System = iota // American wire gauge, ASTM B258
	SWG                  // British standard wire gauge, BS 3737
	Metric               // bare diameter in millimetres
)

// String returns the name of the system.
func (s System) String() string {
	switch s {
	case AWG:
		return "AWG"
	case SWG:
		return "SWG"
	}
	return "metric"
}

// Gauge is a size of wire.
type Gauge struct {
	Name     string  // as a design file writes it: "AWG 32", "AWG 2/0", "0.20 mm"
	Diameter float64 // m, of the bare conductor
	System   System
}

// Numbers of the thickest and thinnest gauges; 0 stands for 1/0, −1 for 2/0
// and so on.
const (
	awgThickest, awgThinnest = -3, 56 // 4/0 and 56: the range of ASTM B258
	swgThickest, swgThinnest = -6, 50 // 7/0 and 50: the range of BS 3737
)

// Bounds of a bare metric diameter, in m. IEC 60317 covers 0.018 to 5 mm; the
// bounds leave room for every AWG and SWG size on both sides.
const (
	metricThinnest = 0.01e-3
	metricThickest = 25e-3
)

// Parse returns the gauge of a name: "AWG 32", "awg32", "32 AWG", "AWG 2/0",
// "AWG 00", "SWG 36", or a bare conductor diameter with its unit, "0.20 mm". A
// bare number is no gauge, for there are three it could be.
//
// The error wraps [ErrGauge] and its text is a phrase for the user.
func Parse(gauge string) (Gauge, error) {
	text := strings.ToUpper(strings.TrimSpace(gauge))
	for _, s := range []System{AWG, SWG} {
		rest, found := strings.CutPrefix(text, s.String())
		if !found {
			rest, found = strings.CutSuffix(text, s.String())
		}
		if !found {
			continue
		}
		number, ok := parseNumber(strings.TrimSpace(rest))
		if !ok {
			return Gauge{}, fmt.Errorf("%w: %.30q; %v gauges are whole numbers, or 2/0 and the like", ErrGauge, gauge, s)
		}
		return numbered(s, number)
	}
	if _, err := si.ParseIn(text, si.Plain); err == nil {
		return Gauge{}, fmt.Errorf("%w: %.30q; write AWG 32, SWG 36 or 0.20 mm", ErrGauge, gauge)
	}
	d, err := si.ParseIn(gauge, si.Millimetre)
	if err != nil {
		return Gauge{}, fmt.Errorf("%w: %.30q; write AWG 32, SWG 36 or 0.20 mm", ErrGauge, gauge)
	}
	return NewMetric(d)
}

// NewMetric returns the metric gauge of a bare diameter in m, from 0.01 to 25 mm.
func NewMetric(diameter float64) (Gauge, error) {
	if !(metricThinnest <= diameter && diameter <= metricThickest) {
		return Gauge{}, fmt.Errorf("%w: %s; bare diameters go from %s to %s", ErrGauge, si.Format(diameter, si.Millimetre, 4),
			si.Format(metricThinnest, si.Millimetre, si.Shortest), si.Format(metricThickest, si.Millimetre, si.Shortest))
	}
	return Gauge{metricName(diameter), diameter, Metric}, nil
}

// metricName writes a diameter with at least two decimals, so that 0.2 mm looks
// like the gauge it is, and with as many as it takes to read it back exactly.
func metricName(diameter float64) string {
	number, _, _ := strings.Cut(si.Format(diameter, si.Millimetre, si.Shortest), "\u202f")
	whole, decimals, _ := strings.Cut(number, ".")
	return whole + "." + decimals + strings.Repeat("0", max(0, 2-len(decimals))) + " mm"
}

// parseNumber reads the number of a gauge: "32", "2/0" or "00".
func parseNumber(text string) (int, bool) {
	if zeros := strings.TrimLeft(text, "0"); zeros == "" && text != "" {
		return 1 - len(text), true
	}
	aughts, found := strings.CutSuffix(text, "/0")
	n, err := strconv.Atoi(aughts)
	if err != nil || strings.HasPrefix(text, "+") || n < 0 || n == 0 && found {
		return 0, false
	}
	if found {
		return 1 - n, true
	}
	return n, true
}

// numbered returns a gauge by its system and number, 0 for 1/0, −1 for 2/0.
func numbered(s System, number int) (Gauge, error) {
	thickest, thinnest, diameter := awgThickest, awgThinnest, diameterAWG
	if s == SWG {
		thickest, thinnest, diameter = swgThickest, swgThinnest, diameterSWG
	}
	if number < thickest || number > thinnest {
		return Gauge{}, fmt.Errorf("%w: %s; they go from %s to %s", ErrGauge,
			numberName(s, number), numberName(s, thickest), numberName(s, thinnest))
	}
	return Gauge{numberName(s, number), diameter(number), s}, nil
}

func numberName(s System, number int) string {
	if number < 1 {
		return fmt.Sprintf("%v %d/0", s, 1-number)
	}
	return fmt.Sprintf("%v %d", s, number)
}

// diameterAWG returns the bare diameter in m of an American gauge, unrounded:
//
//	d = 0.005 in · 92^((36 − n)/39),
//
// with n = 0 for 1/0, −1 for 2/0. The standard's tables round it to four
// figures.
//
// Source: ASTM B258, as stated in the data file of GNU units 2.22.
func diameterAWG(n int) float64 {
	const thirtySix = 0.127e-3 // m, 0.005 in
	return thirtySix * math.Pow(92, float64(36-n)/39)
}

// knot is a gauge number between which and the next the sizes are in
// arithmetic progression.
type knot struct {
	number   int
	diameter int // 0.0001 in
}

// swgKnots define the British gauge.
//
// Source: BS 3737, as stated in the data file of GNU units 2.22.
var swgKnots = []knot{
	{-6, 5000}, {-5, 4640}, {-3, 4000}, {-2, 3720}, {3, 2520}, {6, 1920}, {10, 1280}, {14, 800},
	{19, 400}, {23, 240}, {26, 180}, {28, 148}, {30, 124}, {39, 52}, {49, 12}, {50, 10},
}

// diameterSWG returns the bare diameter in m of a British gauge within the
// range of the knots.
func diameterSWG(n int) float64 {
	i, exact := slices.BinarySearchFunc(swgKnots, n, func(k knot, n int) int { return k.number - n })
	tenths := swgKnots[i].diameter
	if !exact {
		a, b := swgKnots[i-1], swgKnots[i]
		tenths = a.diameter + (b.diameter-a.diameter)*(n-a.number)/(b.number-a.number) // without remainder: a test holds that
	}
	return float64(tenths*254) / 1e8 // rounded once
}
