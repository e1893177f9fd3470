// Package driver computes what the circuit that feeds a coil does: the
// one-transistor feedback exciter, the half bridge and the spark gap. Every
// quantity is in SI units; voltages and currents are crest values unless a name
// says mean or RMS; temperatures are in degrees Celsius where the name says so.
//
// The coil is what the driver sees of it, a [Coil]: inductance, capacitance and
// resistance at its foot, and how much higher the top swings. For a real coil
// these are the foot values of its first mode, not the low-frequency ones.
//
// Start reading at [Exciter]: [Exciter.Start] says whether oscillation grows,
// [Exciter.Settle] what it grows into. [Bridge] and [Gap] are linear circuits
// and are solved in closed form. [Parts] is the list of devices.
//
// The models are those of SPICE (Nagel, SPICE2: A Computer Program to Simulate
// Semiconductor Circuits, memorandum UCB/ERL M520, 1975; Gummel and Poon, Bell
// System Technical Journal 49, 1970, p. 827). They know nothing of heat inside
// the device, of corona on the coil or of an arc's changing resistance.
package driver
