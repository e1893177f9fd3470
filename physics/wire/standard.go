package wire

import (
	"math"
	"slices"
)

// r40 is one decade of the preferred numbers R40, times 100.
//
// Source: ISO 3:1973, table 1.
var r40 = []int{
	100, 106, 112, 118, 125, 132, 140, 150, 160, 170, 180, 190, 200, 212, 224, 236, 250, 265, 280, 300,
	315, 335, 355, 375, 400, 425, 450, 475, 500, 530, 560, 600, 630, 670, 710, 750, 800, 850, 900, 950,
}

// fineMetric are the metric sizes below 0.05 mm, in µm, where the standard
// rounds the preferred numbers to whole micrometres.
//
// Source: IEC 60317-0-1, from memory.
var fineMetric = []int{20, 22, 25, 28, 32, 36, 40, 45}

// Standard returns the sizes of a system that are made, thinnest first: AWG 56
// to 4/0, SWG 50 to 7/0, or the metric sizes of IEC 60317 from 0.02 to 5 mm,
// which are the preferred numbers R40 (every other one R20).
func Standard(s System) []Gauge {
	var gauges []Gauge
	add := func(g Gauge, err error) {
		if err != nil {
			panic("wire: a standard size is refused: " + err.Error())
		}
		gauges = append(gauges, g)
	}
	switch s {
	case AWG:
		for n := awgThinnest; n >= awgThickest; n-- {
			add(numbered(AWG, n))
		}
	case SWG:
		for n := swgThinnest; n >= swgThickest; n-- {
			add(numbered(SWG, n))
		}
	default:
		for _, d := range fineMetric {
			add(NewMetric(float64(d) / 1e6))
		}
		for _, decade := range []float64{1e7, 1e6, 1e5} { // the numbers of r40 are then 0.01, 0.1 and 1 mm and up
			for _, d := range r40 {
				const thinnest, thickest = 0.05e-3, 5e-3
				if m := float64(d) / decade; thinnest <= m && m <= thickest {
					add(NewMetric(m))
				}
			}
		}
	}
	return gauges
}

// Nearest returns the size of a system whose bare diameter is nearest to the
// given one, in m, by ratio. The diameter must be positive.
func Nearest(s System, diameter float64) Gauge {
	return slices.MinFunc(Standard(s), func(a, b Gauge) int {
		da, db := math.Abs(math.Log(a.Diameter/diameter)), math.Abs(math.Log(b.Diameter/diameter))
		switch {
		case da < db:
			return -1
		case da > db:
			return 1
		}
		return 0
	})
}
