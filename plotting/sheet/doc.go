// Package sheet makes what goes on paper or to a workshop: the build sheet of a
// coil, templates to scale, the list of what to buy, labels, and a jig for a 3D
// printer. Lengths are in metres; drawings go through the canvases of package
// plotting.
//
// Start reading at [WriteBuild]; then [Templates], [Shop] and [JigDisc].
package sheet
