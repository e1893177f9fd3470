// Package view holds the parts of the window, one a file. A part shows a
// result and reports what its user asks for; it computes nothing and keeps no
// number of its own.
//
// Start reading at [Quantity], one row of a card, and at [Cards], the column
// that holds them. Lengths and all other quantities arrive and leave in SI
// units; what the user reads and types is converted by physics/si. User texts
// are looked up by key and stand in assets/text.
package view
