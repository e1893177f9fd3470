// Package breakdown says what air bears: the field at which metal begins to
// glow, the voltage at which gaps break down, and how far sparks may reach.
// Everything is SI but temperatures, which are in degrees Celsius; voltages are crest
// values.
//
// Start with [Onset] for the corona of a conductor whose field is known, with
// [SphereGap], [NeedleGap] and [UniformGap] for gaps, with [SparkByVoltage] and
// [SparkByPower] for sparks. [Spheroid] is the tip of a wire, and [EndWire] the
// field on the last wire of a close winding.
//
// Breakdown scatters by some percent in the best of laboratories and by tens of
// percent on a bench, so that results are bands wherever the sources allow no more.
// Every constant says whether its source was read, see [Status]. The tables were
// measured with direct voltage or at mains frequency; at radio frequency air
// gives way earlier, see [RadioFrequencyLow].
//
// Humidity: dry and moist air differ by a few percent at mains frequency, where
// moisture helps a little; at 18 to 50 kHz uniform gaps of 5 to 53 mm were
// found to break down at less when the air was moist. No correction is made.
//
// Sources: F. W. Peek, Dielectric Phenomena in High Voltage Engineering (1929),
// by way of texts that quote it; Kuffel and Zaengl, High Voltage Engineering.
package breakdown
