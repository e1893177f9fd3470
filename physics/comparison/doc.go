// Package comparison holds what was measured on a coil against what is
// predicted of it, says what explains the difference and what to change.
//
// Start reading at [Compare], which answers all that the readings of a design
// say: a [Row] for each with both uncertainties, and an [Explanation]. [Advise]
// says how to reach a frequency from what was measured, [AdviseSeries] does so
// for several coils, [FindTurns] counts the turns of a coil found in a drawer.
//
// Every prediction is of what the instrument shows, not of the coil alone: the
// coil is solved with the probe's capacitance on it ([design.Solver.Loaded]), a
// meter's inductance is that below self-resonance, a resistance that at the
// room's temperature. The reading with all that taken off is the measured value
// times the ratio of the two predictions.
//
// Setups: "bare" is the winding alone, "with_top_load" has its top load and no
// primary, "with_primary" is everything as drawn, the primary open, and
// "running" is under the driver: that frequency is held against the driver's.
//
// Uncertain inputs are those of [design.Design.Uncertain], each with the
// standard deviation of its tolerance, the room's temperature, the stated
// capacitance of a probe, and the model's own error, which is the same for
// every frequency of a coil.
//
// Units are SI, temperatures in degrees Celsius; uncertainties are one standard
// deviation unless a name says otherwise.
//
// Sources: A. Tarantola, Inverse Problem Theory, SIAM, 2005, chapter 3 (the
// least squares of data and prior together); JCGM 100:2008, Guide to the
// Expression of Uncertainty in Measurement (the sum of squares).
package comparison
