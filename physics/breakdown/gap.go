package breakdown

import (
	_ "embed"
	"encoding/csv"
	"fmt"
	"math"
	"sort"
	"strconv"
	"strings"
	"sync"
)

//go:embed gaps.csv
var gapText string

// series is what one pair of electrodes bears.
type series struct {
	diameter float64   // m, of the balls; 0: needles
	gap      []float64 // m, ascending
	crest    []float64 // V at relative density 1, ascending
	source   string
	status   Status
}

const (
	// sphereAccuracy holds up to gaps of half a diameter; beyond, surroundings
	// and the earthed shank begin to count: IEC 60052, read in an excerpt.
	sphereAccuracy = 0.03
	wideAccuracy   = 0.05
	needleAccuracy = 0.1 // needles scatter with humidity and sharpness: estimate

	// smallAccuracy is that of balls below smallCrest: the printed gaps of
	// 5 to 15 kV lie up to 11 % below other tables and the formula of the flat gap
	// (TestSphereGapMeetsOtherTables).
	smallAccuracy = 0.12
	smallCrest    = 15e3 // V

	oldDiameter = 0.0201 // m, above which the table is the older one

	// between is added to the accuracy where a diameter lies between two tables.
	between = 0.02
)

var gapTable = sync.OnceValues(readGaps)

// readGaps reads the embedded table, needles first, then balls by diameter.
func readGaps() ([]series, error) {
	rows, err := csv.NewReader(strings.NewReader(gapText)).ReadAll()
	if err != nil {
		return nil, fmt.Errorf("breakdown: gaps.csv: %w", err)
	}
	var all []series
	for i, row := range rows[1:] {
		var value [4]float64 // diameter, gap, kilovolts, degrees Celsius
		for k := range value {
			if value[k], err = strconv.ParseFloat(row[k+1], 64); err != nil {
				return nil, fmt.Errorf("breakdown: gaps.csv, line %d: %w", i+2, err)
			}
		}
		density, err := RelativeDensity(value[3], paschenPressure)
		if err != nil {
			return nil, err
		}
		diameter := value[0] * centimetre
		if n := len(all); n == 0 || all[n-1].diameter != diameter {
			all = append(all, series{diameter: diameter, source: row[5], status: Status(row[6])})
		}
		s := &all[len(all)-1]
		s.gap = append(s.gap, value[1]*centimetre)
		s.crest = append(s.crest, value[2]*kilovolt/density)
	}
	return all, nil
}

// at returns the voltage in V at relative density 1, straight between entries.
// Below the first entry it falls as a uniform gap does, or for needles in
// proportion; above the last it stays, as the least the gap bears.
func (s *series) at(gap float64) (crest float64, inRange bool) {
	last := len(s.gap) - 1
	i := sort.SearchFloat64s(s.gap, gap)
	switch {
	case i > last:
		return s.crest[last], gap <= s.gap[last]*(1+1e-9)
	case i == 0 && s.diameter == 0:
		return s.crest[0] * gap / s.gap[0], gap >= s.gap[0]*(1-1e-9)
	case i == 0:
		here, err := UniformGap(gap, 1)
		if err != nil {
			return s.crest[0] * gap / s.gap[0], false
		}
		first, err := UniformGap(s.gap[0], 1)
		if err != nil {
			return s.crest[0] * gap / s.gap[0], false
		}
		return s.crest[0] * here.Crest / first.Crest, true
	}
	t := (gap - s.gap[i-1]) / (s.gap[i] - s.gap[i-1])
	return s.crest[i-1] + t*(s.crest[i]-s.crest[i-1]), true
}

// SphereGap returns what a gap between two equal balls bears, for direct voltage
// and mains frequency. Diameter and gap are in m. Values lie on straight lines
// between those of the table, in the logarithm of the diameter between its balls of
// 2, 2.5, 5, 10 and 25 cm, and are proportional to the density, as is usual
// from 0.95 to 1.05. Smaller and larger balls are treated as the nearest, out of
// range.
//
// One ball may be earthed or both symmetrical: to half a diameter the tables differ
// by less than their accuracy, 3 %. Sizes must be positive and finite; otherwise
// the error wraps [ErrRange].
//
// Source: the table; see gaps.csv for that of every value. The printed entries of balls
// at 5 kV, up to 17 % below the formula of the flat gap, were left out.
func SphereGap(diameter, gap, density float64) (Voltage, error) {
	if !positive(diameter) || !positive(gap) || !positive(density) {
		return Voltage{}, fmt.Errorf("%w: gap of %g m between balls of %g m in air of relative density %g", ErrRange, gap, diameter, density)
	}
	table, err := gapTable()
	if err != nil {
		return Voltage{}, err
	}
	balls := table[1:]
	i := sort.Search(len(balls), func(i int) bool { return balls[i].diameter >= diameter*(1-1e-9) })
	low, high := balls[max(0, i-1)], balls[min(i, len(balls)-1)]
	if i < len(balls) && math.Abs(high.diameter/diameter-1) < 1e-9 {
		low = high
	}
	a, inLow := low.at(gap)
	b, inHigh := high.at(gap)
	v := Voltage{Crest: a * density, Accuracy: sphereAccuracy, InRange: inLow && inHigh, Source: high.source, Status: high.status}
	switch {
	case i == 0 && low.diameter > diameter*(1+1e-9), i == len(balls):
		v.InRange = false
	case high.diameter > low.diameter:
		t := math.Log(diameter/low.diameter) / math.Log(high.diameter/low.diameter)
		v.Crest = (a + t*(b-a)) * density
		v.Accuracy += between
	}
	if v.Crest < smallCrest*density && diameter > oldDiameter {
		v.Accuracy += smallAccuracy - sphereAccuracy
	}
	if gap > diameter/2 {
		v.Accuracy += wideAccuracy - sphereAccuracy
	}
	return v, nil
}

// NeedleGap returns what a gap between two needles bears, for mains frequency.
// Values lie on straight lines between those of the table, 5 to 100 kV, and are
// proportional to the density. Needles are the worst there is: a sharp end on a bench
// breaks down at about this. Arguments and errors are those of [SphereGap].
//
// Source: the table; see gaps.csv.
func NeedleGap(gap, density float64) (Voltage, error) {
	if !positive(gap) || !positive(density) {
		return Voltage{}, fmt.Errorf("%w: gap of %g m between needles in air of relative density %g", ErrRange, gap, density)
	}
	table, err := gapTable()
	if err != nil {
		return Voltage{}, err
	}
	needles := table[0]
	crest, inRange := needles.at(gap)
	return Voltage{Crest: crest * density, Accuracy: needleAccuracy, InRange: inRange, Source: needles.source, Status: needles.status}, nil
}
