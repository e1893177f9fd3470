// Package experiment computes the small experiments by which a coil is explained
// to others: what happens when one thing is changed and all else stays. Every
// number comes from the same solvers as a design's report, so that what is shown
// is what would be built; [Experiment.Run] is tested against them.
//
// An [Experiment] has one or two settings that an audience sees moving, and asks
// for one number to be guessed first. [Experiment.Run] returns its [Outcome]: that
// number, and what a picture and a figure are drawn from. Everything is SI;
// voltages and currents are crest values.
//
// Start reading at [All].
package experiment
