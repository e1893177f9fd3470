package disk

import (
	"errors"
	"io/fs"
	"slices"
	"syscall"
)

// Reason is why a file could not be written, as far as that decides what a
// user can do about it.
type Reason int

// The reasons.
const (
	Other       Reason = iota // what the system says has to do
	NotAllowed                // folder, file or whole disk may not be written to
	Full                      // no room left, or the user's share of it is used up
	Gone                      // the folder is not there, or no longer
	Unreachable               // the disk or the machine it hangs on does not answer
	TooLong                   // the name is longer than the disk takes
)

// ReasonOf sorts an error of writing a file.
func ReasonOf(err error) Reason {
	var number syscall.Errno
	isNumber := errors.As(err, &number)
	switch {
	case isNumber && slices.Contains(fullErrors, number):
		return Full
	case isNumber && slices.Contains(unreachableErrors, number):
		return Unreachable
	case isNumber && slices.Contains(tooLongErrors, number):
		return TooLong
	case errors.Is(err, fs.ErrPermission), errors.Is(err, ErrReadOnly),
		isNumber && slices.Contains(readOnlyErrors, number):
		return NotAllowed
	case errors.Is(err, fs.ErrNotExist):
		return Gone
	}
	return Other
}
