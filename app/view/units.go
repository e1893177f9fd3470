package view

// Units are those that lengths are shown in, and read in where none is typed.
type Units int

const (
	Millimetres Units = iota
	Inches
)
