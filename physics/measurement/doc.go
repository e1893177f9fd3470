// Package measurement reads what instruments save and says at which frequency
// a coil rings, how long it rings, and how sure that is.
//
// Start reading at the three fits. Each takes plain numbers and returns a
// [Fit]: a frequency in Hz and a quality factor, both with one standard
// deviation, or a plain statement why there is none.
//
//   - [FitReflection] fits the resonance circle of a one-port's reflection,
//     read from a Touchstone file by [ReadTouchstone], and takes out what the
//     coupling adds.
//   - [FitRingDown] fits the decay of a trace, read from an oscilloscope's
//     text file by [ReadRecord].
//   - [FitSweep] fits the resonance in amplitude against frequency, read by
//     [ReadSweep].
//
// A reader refuses what it cannot read with the number of the line. A fit
// never invents: what the data cannot carry stays nil and Message says why.
//
// Frequencies are in Hz, times in s, angles in rad. The resonant frequency is
// the undamped one, ω₀ = √(ω² + α²) of a decay e^(−αt) cos ωt, and the quality
// factor is Q = ω₀/2α.
//
// Sources: Touchstone File Format Specification, revision 1.1, IBIS Open
// Forum, 2003; D. Kajfez, Q Factor, Vector Fields, 1994 (from memory: the
// circle and the circle of coupling loss); A. P. Gregory, Q-factor Measurement
// by using a Vector Network Analyser, NPL Report MAT 58, 2021 (the fit with a
// line's phase).
package measurement
