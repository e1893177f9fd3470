package sentence

import "errors"

// failure is an error that can be read in every language.
type failure struct {
	text  Text
	cause error
}

// Error returns an error that says a text and wraps a cause, which may be nil and
// is not written by itself.
func Error(cause error, text Text) error { return &failure{text, cause} }

// Because returns an error that wraps a cause and says it with more behind it:
// "cannot be wound: 2 turns make no ring".
func Because(cause error, more Text) error { return Error(cause, Join(": ", Of(cause), more)) }

func (f *failure) Error() string { return f.text.String() }
func (f *failure) Unwrap() error { return f.cause }

// Words returns what [Of] finds.
func (f *failure) Words() Text { return f.text }

// Of returns the text of an error: what its Words say if it has any, else its
// message as it is.
func Of(err error) Text {
	var worded interface{ Words() Text }
	if errors.As(err, &worded) {
		return worded.Words()
	}
	return Literal(err.Error())
}
