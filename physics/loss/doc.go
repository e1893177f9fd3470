// Package loss computes what a coil turns into heat: copper at radio frequency, currents
// induced in neighbouring metal, dielectrics; and the quality factor that is left. All
// is SI; voltages and currents are crest values, powers are means over time.
//
// Start with [Solver.Winding], which is the copper of the winding; [QualityFactor] puts
// the parts together.
package loss
