package view

import (
	"fyne.io/fyne/v2/lang"

	"coilwright/physics/sentence"
)

// Units are those that lengths are shown in, and read in where none is typed.
type Units int

const (
	Millimetres Units = iota
	Inches
)

// Reader is who reads sentences of physics in the window.
func (u Units) Reader() sentence.Reader {
	return sentence.Reader{Language: Language, Inch: u == Inches}
}

// Language returns an English format of physics or a figure in the user's
// language.
func Language(english string) string { return lang.L(english) }
