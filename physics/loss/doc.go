// Package loss computes what a coil turns into heat: copper at radio frequency, currents
// induced in neighbouring metal, dielectrics; and the quality factor that is left. All
// is SI; voltages and currents are crest values, powers are means over time.
//
// Start with [Solver.Winding], the copper of the winding for any profile of current along
// it; [QualityFactor] puts the parts together. [NewRoundWire] is the lone wire,
// [Medhurst] the measured table, for comparison.
//
// # The winding
//
// Every turn is a round wire in the field of all others and of the eddy currents in
// them. Near a wire the vector potential is a series in units of μ₀/2π,
//
//	A = -I ln r + Σ_n (C_n (r/a)ⁿ + D_n (a/r)ⁿ) cos nθ  and the same with sin nθ,
//
// C_n sent in by the other turns, D_n = -χ_n C_n sent back. χ_n = -J_(n+1)(ka)/J_(n-1)(ka),
// ka = (1-i)a/δ, is exact at any skin depth (bessel.go). Cosines, even about the row, answer
// the currents of the neighbours; sines, odd, the field along the axis. The loss of a wire is
// that of I alone and (μ₀ω/4π) Σ n Im χ_n |C_n|² per metre: nothing is cross-multiplied,
// because the harmonics are orthogonal.
//
// Between turns: currents act through the mutual inductance of the rings and its first and
// second derivatives, first harmonics on first harmonics through its second derivatives
// (kernel.go), all else as between straight wires, (a/d)^(n+m) (multipole.go). Bending the
// wire is kept to first order in a/R: A√(ρR) obeys the equations of a straight wire to that
// order, the field of a turn on itself is (a/2R)(ln(8R/a) - 1 - ...), a first harmonic carries
// a net current, and the two symmetries mix (ownCurvature, Solver.shift, rowKernels).
//
// Only some turns have unknowns, every one near the ends and ever fewer inwards, the
// others lie on a line between them (knots.go): 34 for 450 turns, with 3 to 24 harmonics
// in either symmetry. The equations are solved by minimal residuals, each wire preconditioned
// as one of an endless row (krylov.go): 6 to 12 steps.
//
// # How well
//
// Lone wire: 1e-8 against arbitrary precision. Two wires and endless rows, 1 to 6 skin
// depths thick at pitches of 1.02 to 2 diameters: 0.05 % against finite elements
// (testdata/wires.edp). Coils of 6 to 20 rings 8 to 62 wire radii wide: 0.2 %
// (testdata/coils.edp). Fewer knots than turns: 0.15 %. Medhurst's table: its line for long
// coils to all digits; at pitches of two diameters and more 3 % in 25 of 30 cells and 4.5 % in
// the others, close wound 8 %, see TestValidationMedhurst for the range and the rest.
//
// Against a measured quality factor of a coil whose every dimension is published it was
// not held: none was found that could be read. What is measured is lower, since the last
// list below has no sign but one.
//
// # The rest
//
// Bodies that a current can flow round (sphere, torus, disc, hub) and a metal plane: the
// currents of a perfect conductor times the surface resistance (shell.go, sources.go). A wire
// ring: its charging currents and the eddy currents within its wires (ring.go).
//
// # What is neglected
//
//   - The slope of the helix and the axial component of the current.
//   - Currents that are not in phase: a standing wave with losses has a small part
//     in quadrature, of the order 1/Q.
//   - Displacement currents across the wire, and charging currents round it.
//   - What the eddy currents of body, ring and plane send back into the winding beyond
//     the mirrored currents of [Winding.PlaneDistance]; a primary and its copper.
//   - Charging currents on the surface of torus, sphere and disc, and on the plane: below
//     one in a thousand of the winding's loss, by order of magnitude.
//   - Roughness, joints, oxide, tinning; what the bench and people take.
package loss
