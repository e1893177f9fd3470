// Package topload describes the body on the upper end of a winding: a ring of
// wire turns, a smooth torus, a sphere or a disc. It gives their dimensions,
// says what can be built, and computes capacitance and surface gradient.
// Every length is in metres, every other quantity in its SI unit.
//
// Start with [Ring] for the shape of a wire ring and what limits it, [Nuts]
// for the hubs it is usually closed on, [WireRing] for the ring solved turn by
// turn, and [Body] for a top load as the whole coil sees it.
package topload
