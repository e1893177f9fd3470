package breakdown

import (
	"fmt"
	"math"
)

// Length is how long a spark may be: never one number. No controlled law for
// sparks of small coils is published.
type Length struct {
	Short, Long float64 // m
	Source      string
	Status      Status
}

const (
	// Mean background field over which streamers keep running, in V/m: positive ones
	// from 4.5 to 5, negative from 7.5 to 12.5 kV/cm. A coil's top is both in turn; the
	// longest are positive and the band takes both ends.
	//
	// Source: Francisco and others, arXiv 2107.06781 (2021), 4.675 kV/cm in
	// simulation; Lehtinen for the negative ones; read.
	StreamerLow  = 4.5 * kilovoltPerCm
	StreamerHigh = 12.5 * kilovoltPerCm

	// sparkRule is 1.7 inches per root watt: common practice, no source; a post
	// that restates it differs by a factor near 2. All of it comes from large
	// machines with sparks of a metre, whose channels are hot.
	sparkRule = 1.7 * 0.0254 // m/√W

	// smallMachine is how far below the rule the band begins: estimate. Sparks of
	// centimetres are cold streamers, which take more field and carry less.
	smallMachine = 0.25
)

// SparkByVoltage returns how far streamers may reach from a small electrode whose
// crest is volts, far from everything else: volts over [StreamerHigh] and over
// [StreamerLow]. From a large smooth body they do not start at all below its
// onset, see [Onset]. Volts must be positive and finite; otherwise the error wraps
// [ErrRange].
func SparkByVoltage(volts float64) (Length, error) {
	if !positive(volts) {
		return Length{}, fmt.Errorf("%w: spark of %g V", ErrRange, volts)
	}
	return Length{
		Short: volts / StreamerHigh, Long: volts / StreamerLow,
		Source: "mean field of negative and positive streamers", Status: Seen,
	}, nil
}

// SparkByPower returns how long sparks are by the trade's rule for the power in W
// that reaches the top, from a quarter of it to all. Watts must be positive and
// finite; otherwise the error wraps [ErrRange].
//
// Source: 1.7 inches per root watt, common practice, no source.
func SparkByPower(watts float64) (Length, error) {
	if !positive(watts) {
		return Length{}, fmt.Errorf("%w: spark of %g W", ErrRange, watts)
	}
	rule := sparkRule * math.Sqrt(watts)
	return Length{Short: smallMachine * rule, Long: rule, Source: "1.7 inches per root watt, large machines", Status: Practice}, nil
}

// StreamerReach returns how far along a path in m streamers run: up to where the
// mean background field from its beginning first falls below [StreamerHigh] (short)
// and [StreamerLow] (long). potential gives the potential in V of the solved field
// without sparks, a distance in m from the metal along the path, which ends after
// length. A reach of length means that the spark crosses.
//
// The potential must be a number everywhere and length positive and finite;
// otherwise the error wraps [ErrRange]. The reach is found to a thousandth of
// the path.
func StreamerReach(potential func(distance float64) float64, length float64) (Length, error) {
	if !positive(length) {
		return Length{}, fmt.Errorf("%w: path of %g m", ErrRange, length)
	}
	const steps = 1000
	start := potential(0)
	reach := Length{Short: length, Long: length, Source: "mean field of streamers along the path", Status: Seen}
	short := false
	for i := range steps {
		s := length * float64(i+1) / steps
		mean := math.Abs(start-potential(s)) / s
		if math.IsNaN(mean) || math.IsInf(mean, 0) {
			return Length{}, fmt.Errorf("%w: potential %g m along a path", ErrRange, s)
		}
		before := length * float64(i) / steps
		if !short && mean < StreamerHigh {
			reach.Short, short = before, true
		}
		if mean < StreamerLow {
			reach.Long = before
			break
		}
	}
	return reach, nil
}
