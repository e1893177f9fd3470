package design

import (
	"strings"

	"coilwright/physics/sentence"
)

// Problem is one thing that is wrong with a design or its file.
type Problem struct {
	Code    string        // short and stable
	Key     string        // path of the key it is about, "secondary.wire.gauge"; empty if none
	Text    sentence.Text // a plain phrase that reads on after the key
	Nearest *float64      // nearest value of that key that can be built; nil if none is known
}

// String returns the problem as one line, the key first.
func (p Problem) String() string { return p.Words().String() }

// Words returns the problem as one line, the key first.
func (p Problem) Words() sentence.Text {
	if p.Key == "" {
		return p.Text
	}
	return sentence.Join(": ", sentence.Literal(p.Key), p.Text)
}

// Problems are all the reasons for which a file was refused or a design cannot
// be evaluated. [Read] and [Evaluate] return them as their error; errors.As
// takes them out again.
type Problems []Problem

// Error returns the problems, one line each.
func (p Problems) Error() string {
	lines := make([]string, len(p))
	for i, problem := range p {
		lines[i] = problem.String()
	}
	return strings.Join(lines, "\n")
}

// Codes of the problems of a file.
const (
	CodeMalformed    = "malformed"     // no JSON at all, or cut short
	CodeTooLarge     = "too_large"     // larger or nested deeper than any design
	CodeWrongFormat  = "wrong_format"  // a file of another kind
	CodeNewerVersion = "newer_version" // made by a newer Coilwright
	CodeMissing      = "missing_key"
	CodeUnknown      = "unknown_key"
	CodeDuplicate    = "duplicate_key"
	CodeWrongKind    = "key_of_another_kind"
	CodeWrongType    = "wrong_type"
	CodeOutOfRange   = "out_of_range"
	CodeUnknownValue = "unknown_value" // a kind, gauge or other word that does not exist
	CodeTooMany      = "too_many"      // more problems than are worth listing
)
