// Package inductance computes the inductance of coaxial round turns: loops,
// single-layer windings, spiral and conical primaries, what couples two of
// them, and what a metal plane takes away.
//
// Every quantity is SI. Start reading at [MutualLoops], on which everything but
// the current sheet rests; [Loop] describes a turn, [Winding] and [Primary] lay
// turns out, [CurrentSheet] and [RoundWireCorrection] are the handbook's way.
//
// Turns are rings: a helix is replaced by coaxial circles, one per turn, each
// in the middle of its stretch. Against a helix this is within 1 % at 40 turns
// and 0.1 % at 300.
//
// Works rested on: Maxwell, A Treatise on Electricity and Magnetism, vol. 2;
// Rosa and Grover, Bulletin of the Bureau of Standards 8 (1912); Grover,
// Inductance Calculations (1946); the NIST Digital Library of Mathematical
// Functions (DLMF), chapter 19.
package inductance
