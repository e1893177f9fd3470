package loss

import (
	"fmt"
	"math"
)

// EndlessRow returns the resistance of a wire in an endless plane row of like wires
// with like currents, over that of the lone wire. diameterOverPitch is at most 1, radiusOverSkinDepth
// > 0, and lopsided says how much of the row's field is on one side: 0 for the same
// field on both sides (a plane row), 1 for none on the other side (a long solenoid, a
// cage of wires).
//
// It is the limit of [Solver.Winding] for many turns; the error wraps [ErrInput] for
// impossible sizes.
func EndlessRow(diameterOverPitch, radiusOverSkinDepth, lopsided float64) (float64, error) {
	if !(diameterOverPitch > 0 && diameterOverPitch <= 1) || !positive(radiusOverSkinDepth) || math.IsNaN(lopsided) || math.IsInf(lopsided, 0) {
		return 0, fmt.Errorf("%w: row of wires %g pitches and %g skin depths thick", ErrInput, diameterOverPitch, 2*radiusOverSkinDepth)
	}
	var w wires
	w.set(diameterOverPitch/2, radiusOverSkinDepth, 0)
	n := w.count
	block, pivot, field := make([]complex128, n*n), make([]int, n), make([]complex128, n)
	total := 0.0
	for _, f := range []family{evenFamily, oddFamily} {
		w.endless(block, f)
		if !factorize(block, pivot, n) {
			return 0, fmt.Errorf("%w: endless row of wires %g pitches thick", ErrNotSolved, diameterOverPitch)
		}
		clear(field)
		if f == oddFamily {
			// The mean of the fields on both sides, I/2p for one side without.
			field[0] = complex(lopsided*math.Pi*w.ratio, 0)
		} else {
			for m := 2; m <= n; m += 2 {
				field[m-1] = complex(math.Exp(w.logLattice[m])/math.Sqrt(float64(m)), 0)
			}
		}
		solveFactored(block, pivot, n, field)
		total += w.lossOf(field)
	}
	// μ₀ω/4π over half of R₀ is (a/δ)².
	return 1 + total*radiusOverSkinDepth*radiusOverSkinDepth/(1+real(skinExcess(radiusOverSkinDepth))), nil
}
