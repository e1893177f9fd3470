// Package electrostatics computes fields of charged conductors that are
// symmetric about an axis: potential and gradient of a charged ring and of its
// images, bodies with an exact answer (torus, sphere, disc, two spheres,
// spheroid), and boundary elements for every other closed shape.
// Lengths are in metres, potentials in volts per coulomb.
//
// Start with [RingPotential], the one kernel everything rests on, with
// [Planes] for an earthed floor and ceiling, and with [Solve] for boundary
// elements.
//
// The constants are those of CODATA 2018. Works it rests on: the NIST Digital
// Library of Mathematical Functions (DLMF), chapters 14 and 19; Smythe, Static
// and Dynamic Electricity.
package electrostatics
