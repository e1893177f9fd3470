// Package wire describes round copper wire the way it is bought, by gauge and
// insulation, and gives what the physics needs of it: diameters, resistance,
// mass and length. Lengths are in metres, resistances in ohms, masses in
// kilograms.
//
// Start reading at [Parse], which turns "AWG 32", "SWG 36" or "0.20 mm" into a
// [Gauge], and [OverallDiameter], which adds the enamel.
//
// Sources: ASTM B258 (American wire gauge), BS 3737 (British standard wire
// gauge), both as stated in the data file of GNU units 2.22; ISO 3 (preferred
// numbers); NEMA MW 1000 and IEC 60317-0-1 (enamelled wire), row by row in
// enamel.csv; IEC 60028 (copper).
package wire
