package view

import (
	"errors"

	"fyne.io/fyne/v2/lang"

	"coilwright/physics/design"
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

// Say returns a text of physics for the user.
func (u Units) Say(t sentence.Text) string { return t.In(u.Reader()) }

// Reason says for the user why something is not possible: of several problems
// the first.
func (u Units) Reason(err error) string {
	var problems design.Problems
	if errors.As(err, &problems) && len(problems) > 0 {
		return u.Say(problems[0].Text)
	}
	return u.Say(sentence.Of(err))
}

// Language returns an English format of physics or a figure in the user's
// language.
func Language(english string) string { return lang.L(english) }
