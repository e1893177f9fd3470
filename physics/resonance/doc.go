// Package resonance solves the modes of a whole coil: winding, top load,
// primary and room as one field problem, and the handbook's answer beside it.
// Lengths are in metres, everything is SI; voltages and currents are crest values.
//
// Start with [Coil], which says what there is, and [Solver.Solve]; [Modes] is the
// answer and [Solver.FrequencyAgainstTurns] the curve that a window draws.
//
// # Unknowns
//
// Turns are coaxial rings of round wire, i = 1 to N. The current I_i is the same
// all along a turn; potentials u_0 to u_N are those of the ends of the turns; a
// turn has the mean of its two ends, and its charge counts half to each. The top load
// is connected to u_N, the foot u_0 is at zero or on a free board, the primary and the
// planes are at zero.
//
// The unknowns are the charges: q_i of the turns, and the amplitudes of the few modes
// of charge by which [topload.Body] stands for each body. The current follows from
// them: all charge above a turn, and half of its own, comes up through it,
//
//	I = ω S q.
//
// With P the potential coefficients (V/C) of everything that can hold charge, and
// L the inductances of the turns, electric energy qᵀPq/2 and magnetic energy
// ω²(Sq)ᵀL(Sq)/2 are equal in a mode, and stationary:
//
//	P q = ω² M q,  M = Sᵀ L S.
//
// This is the node equation AᵀCA u = ω⁻² BᵀL⁻¹B u of the same model with nothing
// inverted: conductors that carry no current of the coil simply have no share in M,
// and a poor choice of charges can only raise the frequency, by the square of what
// it misses.
//
// # Few unknowns
//
// The charge per turn is a polygon over the turn number with a knot at every
// turn near the ends and ever fewer inwards (grid.go): 24 knots for 450 turns, 32 for
// 3000. Uniform pitch makes every kernel a function of the difference of two turn
// numbers, and its image one of their sum, so that N + 2N values suffice; sums over
// an element, straight and against a ramp, are differences of running sums (table.go).
// That also holds for M: twice summed, the mutual inductances are again a
// function of the difference, one of the sum, and one of either turn alone
// (winding.magnetic). The reduced matrices are those of all turns, exactly, in O(N) for
// the kernels and O(N knots) for the rest.
//
// The knots cost less than 5e-5 of the first mode and 1e-3 of the third
// (TestRefinement); the error falls with more than the second power of their spacing.
// Beside a primary they are no further apart than it is away from the winding, which
// costs less than 7e-5 and 1e-4 of the first two modes (TestRefinementBesideAPrimary).
//
// # Crowding
//
// At close pitch the charge of a turn moves round the wire. Each turn therefore has
// two dipoles besides, along and across the winding, in the field of all charges,
// near and far; they are eliminated at once, P - EᵀD⁻¹E (crowding.go). What the
// dipoles do to each other, and everything finer, is that of a plane row of parallel
// wires, which depends on wire over pitch alone and is solved by multipoles
// (row.go); the last turns at either end, with neighbours on one side only, get the
// difference of a row that ends (rowend.go). Without the dipoles the third mode of a
// 40-turn coil is 2 % high; without the ends ten turns at close pitch read 1.5 % low.
// With both all modes agree with full matrices of 8 to 32 charge rings per turn
// within 0.002 % (first) and 0.04 % (second and third), and a coil of 10 turns with
// boundary elements round every wire within 0.1 % at a wire of 0.86 of the pitch and
// 0.25 % at 0.94. Between 20 and 40 close turns the overtones may be 0.5 % low.
//
// # Dielectrics
//
// A former answers by bound charge on its surfaces (former.go), which lowers P and
// changes the fields at the dipoles. To the sheet that the winding is from afar it answers
// by boundary elements of revolution, which cost up to 4 % of what it does to the frequency;
// to the turns near by with images. Insulation round the wire, up to two layers, is in the multipoles of the
// row (insulation.go). Both cost nothing where they are not: a permittivity of 1 leaves
// every digit.
//
// Against axisymmetric finite elements of ten rings of thick wire the energies are within
// 0.4 % on tubes and on a rod of permittivity up to 6, within 0.8 % where the rings are
// wound close, and within 0.3 % insulated without a former. Insulated, close and on a
// former they are 1 to 3 % high, half of that in the frequency, for a coat of a
// tenth of the wire and ten turns: that the coat lies in the field between wire and
// former is left out (TestValidationFormerFiniteElements).
//
// # Modes
//
// P is factored and the largest 1/ω² of M found by Lanczos's method in its metric;
// the bare coil is the leading block of the same factor (eigen.go).
//
// A whole number of turns is solved; between two, all results follow a power of
// the turns (fraction.go).
//
// An unbroken top load takes up currents that keep the flux out, M - GᵀΛ⁻¹G (shorted.go).
// A board at the foot takes the opposite of all charge and is eliminated (solver.go).
//
// # What is neglected
//
//   - Retardation: below 0.05 % on 30 to 60 turns against NEC-2.
//   - The slope of the helix: 0.02 % on the bare coils of NEC-2 (pitch over
//     circumference 1/40), 2 % on a coil drawn out to 1/11.
//   - The current's own crowding round the wires: the self-inductance is that of a
//     lone wire with its current on the surface. At most about 0.3 % at 40
//     touching turns, by the other extreme of uniform current (0.25 %).
//   - [Profile.Gradient] stops at the dipole: 25 % low on the last turn at a wire of
//     0.86 of the pitch, 2 % high at 0.6.
//   - The primary is a row of thin turns without crowding; its currents while
//     driven are another package's.
//   - Wood, hands and walls; what is inside the former, and a former of the
//     primary.
//   - The mirror of a floor that conducts a little: it is no mirror for currents
//     or a perfect one.
//
// Against NEC-2 the first mode is within 0.03 % for bare coils and 0.3 to 0.7 % low
// with a ring of wire or a thin ring on top, the second within 0.5 %.
package resonance
