package design

import "math"

// medhurstTable is the self-capacitance over the diameter, in pF/cm, of a coil
// with one end earthed, against its length over its diameter.
//
// Source: Medhurst, Wireless Engineer 24 (1947), pp. 35-43 and 80-92, table of
// H.
var medhurstTable = [][2]float64{
	{0.1, 0.96}, {0.15, 0.79}, {0.2, 0.70}, {0.25, 0.64}, {0.3, 0.60}, {0.35, 0.57}, {0.4, 0.54}, {0.45, 0.52},
	{0.5, 0.50}, {0.6, 0.48}, {0.7, 0.47}, {0.8, 0.46}, {0.9, 0.46}, {1, 0.46}, {1.5, 0.47}, {2, 0.50},
	{2.5, 0.56}, {3, 0.61}, {3.5, 0.67}, {4, 0.72}, {4.5, 0.77}, {5, 0.81}, {6, 0.92}, {7, 1.01}, {8, 1.12},
	{9, 1.22}, {10, 1.32}, {15, 1.86}, {20, 2.36}, {25, 2.9}, {30, 3.4}, {40, 4.6}, {50, 5.8},
}

// medhurst returns the self-capacitance in F of a single-layer coil with one
// end earthed, of diameter and length in m, linear between the rows of
// Medhurst's table. Beyond its ends, length over diameter 0.1 to 50, the end
// value is taken and inRange is false. He gives 5 %, for coils of many turns.
func medhurst(diameter, length float64) (value float64, inRange bool) {
	const picofaradPerCentimetre = 1e-10 // F/m
	x := length / diameter
	last := len(medhurstTable) - 1
	h := medhurstTable[last][1]
	for i, row := range medhurstTable {
		if x > row[0] {
			continue
		}
		h = row[1]
		if i > 0 {
			low := medhurstTable[i-1]
			h = low[1] + (row[1]-low[1])*(x-low[0])/(row[0]-low[0])
		}
		break
	}
	return h * diameter * picofaradPerCentimetre, x >= medhurstTable[0][0] && !math.IsNaN(x) && x <= medhurstTable[last][0]
}
