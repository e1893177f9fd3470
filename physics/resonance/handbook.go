package resonance

import (
	"fmt"
	"math"
	"sort"

	"coilwright/physics/topload"
)

// medhurstTable is Medhurst's table of H, the self-capacitance of a coil over
// its diameter, against length over diameter.
//
// Source: R. G. Medhurst, Wireless Engineer 24 (February 1947), pp. 35-43, and
// (March 1947), pp. 80-92, read in a public transcription.
var medhurstTable = []struct {
	lengthOverDiameter float64
	picofaradPerCm     float64
}{
	{0.1, 0.96}, {0.15, 0.79}, {0.2, 0.70}, {0.25, 0.64}, {0.3, 0.60}, {0.35, 0.57}, {0.4, 0.54}, {0.45, 0.52},
	{0.5, 0.50}, {0.6, 0.48}, {0.7, 0.47}, {0.8, 0.46}, {0.9, 0.46}, {1, 0.46}, {1.5, 0.47}, {2, 0.50},
	{2.5, 0.56}, {3, 0.61}, {3.5, 0.67}, {4, 0.72}, {4.5, 0.77}, {5, 0.81}, {6, 0.92}, {7, 1.01}, {8, 1.12},
	{9, 1.22}, {10, 1.32}, {15, 1.86}, {20, 2.36}, {25, 2.9}, {30, 3.4}, {40, 4.6}, {50, 5.8},
}

// MedhurstCapacitance returns the self-capacitance in F of a single-layer coil
// with one end earthed, by the rule of thumb
//
//	C = H(l/D) · D,
//
// with H read from Medhurst's table between its rows as a power of l/D. D is
// the diameter of the coil and l its length, both in m.
//
// The table runs from l/D = 0.1 to 50. Beyond, the last two rows are continued
// and the result is marked out of range.
//
// Medhurst states 5 %, for coils of many turns of any pitch, on rods of
// polystyrene, with his leads. A bare coil on an earthed plane, solved turn by
// turn (80 turns), has 12 % less at l/D = 0.5, agrees within 6 % from 1 to 3,
// and has 12 % less at 4, 15 % at 5 and 29 % at 10.
//
// His rods explain a part of that only (TestFormerUnderMedhurst: foot one pitch over the
// plane, wire half the pitch). On a solid rod of permittivity 2.56 the coil has 1 %
// less than his at l/D = 4, 4 % at 5 and 19 % at 10, against 6, 8 and 21 % in air; but
// 23 % more at 0.5, 27 % at 1 and 20 % at 2, where in air it is within 10 %: so
// his short coils cannot have stood on solid rods, as far as this says.
//
// D and l must be positive and finite, otherwise the error wraps [ErrGeometry].
//
// Source: as medhurstTable; he fits no formula to it.
func MedhurstCapacitance(diameter, length float64) (topload.Estimate, error) {
	const unit = 1e-12 / 1e-2 // F/m in 1 pF/cm
	x := length / diameter
	if !(diameter > 0) || !(length > 0) || !(x > 0) || math.IsInf(x, 0) || math.IsInf(diameter, 0) {
		return topload.Estimate{}, fmt.Errorf("%w: a coil %g m across and %g m long", ErrGeometry, diameter, length)
	}
	last := len(medhurstTable) - 1
	above := sort.Search(last, func(i int) bool { return medhurstTable[i].lengthOverDiameter >= x })
	above = max(above, 1)
	low, high := medhurstTable[above-1], medhurstTable[above]
	// H falls as a root at first and rises in proportion at last: straight lines
	// in the logarithms follow both, straight lines in x read 1 % high at 0.12.
	power := math.Log(high.picofaradPerCm/low.picofaradPerCm) / math.Log(high.lengthOverDiameter/low.lengthOverDiameter)
	h := low.picofaradPerCm * math.Pow(x/low.lengthOverDiameter, power)
	return topload.Estimate{
		Value:   h * diameter * unit,
		InRange: x >= medhurstTable[0].lengthOverDiameter && x <= medhurstTable[last].lengthOverDiameter,
	}, nil
}

// HandbookFrequency returns the frequency in Hz at which a coil is taken to
// ring when it is replaced by one inductance and one capacitance:
//
//	f = 1/(2π √(L (C + Ct))),
//
// with L the low-frequency inductance in H, C the self-capacitance and Ct the
// capacitance of the top load standing alone, in F, 0 without one. L and C+Ct
// must be positive; otherwise the result is not a number or infinite.
//
// The current falls along a real coil, and coil and top load shade each other:
// a top load adds only 80 to 90 % of what it has alone, so that the result is
// low with a large one. With [MedhurstCapacitance] two measured coils without
// top load, 2.8 and 2.9 times as long as wide, read 2 % low. The modes of
// [Solver] leave none of this out.
//
// Source: Thomson's formula of 1853; adding the two capacitances is common
// practice, no source.
func HandbookFrequency(inductance, selfCapacitance, topCapacitance float64) float64 {
	return 1 / (2 * math.Pi * math.Sqrt(inductance*(selfCapacitance+topCapacitance)))
}
