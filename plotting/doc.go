// Package plotting draws what a design and its report say: the three figures
// that move with the sliders, the coil in section, and the sheet that is
// printed. Nothing is computed here that is not a place on the page, and
// nothing here knows a window or a clock.
//
// A figure is a function from a curve of package design to a
// [gonum.org/v1/plot.Plot]: [TurnsFigure], [SizeFigure], [CountFigure]. Its data
// stay in SI units; ticks and labels convert. [Draw] lays a figure out on any
// canvas, so that nothing is cut off at any size, and returns the [Frame] that
// maps the pointer back to the data. [DrawSection] draws the coil. [Style] holds
// every colour, line width and type size.
//
// On screen one point of a drawing is one logical pixel: a canvas of package
// raster at 72 dpi times the screen's scale. On paper a point is a point.
package plotting
