// Package si stands between people and the physics: it reads quantities as
// people type them, "5/8 in", "1.8 MHz", "4n7", and prints them with a unit.
// Between the two every number is in its SI unit: metres, seconds, kelvin,
// radians, volts. It also keeps the physical constants.
//
// Start reading at [ParseIn] and [Format]. What is typed is read as an exact
// fraction and rounded once, so that "25.4 mm" and "1 in" are the same number
// and a design file shows 0.0254 and not 0.025400000000000002.
//
// Symbols and prefixes are those of the SI Brochure (BIPM, 9th edition, 2019);
// inch, foot and mil are the international ones (NIST Special Publication 811,
// appendix B), 25.4 mm to the inch.
package si
