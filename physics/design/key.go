package design

import (
	"errors"
	"fmt"
	"strings"

	"coilwright/physics/sentence"
)

// ErrNoNumber is wrapped where a key does not lead to a number.
var ErrNoNumber = errors.New("design: not the key of a number")

// Number returns the number at a key such as "secondary.turns". The error
// wraps [ErrNoNumber] if there is none in a design of d's kinds.
func Number(d Design, key string) (float64, error) {
	switch v := find(&d, key).(type) {
	case quantity:
		return *v.at, nil
	case whole:
		return float64(*v.at), nil
	case optional:
		if *v.at != nil {
			return **v.at, nil
		}
	}
	return 0, fmt.Errorf("%w: %s", ErrNoNumber, key)
}

// Set changes the number at a key such as "secondary.turns". The error wraps
// [ErrNoNumber] if there is none in a design of d's kinds, and is [Problems] if
// the value lies outside its range; d then stays as it was.
func Set(d *Design, key string, x float64) error {
	var r reader
	switch v := find(d, key).(type) {
	case quantity:
		if r.within(key, x, v.limits) {
			*v.at = x
		}
	case optional:
		if r.within(key, x, v.limits) {
			*v.at = &x
		}
	case whole:
		switch {
		case !r.within(key, x, v.limits):
		case x != float64(int(x)):
			r.refuse(CodeWrongType, key, sentence.New("must be a whole number, not %s", plain(x)))
		default:
			*v.at = int(x)
		}
	default:
		return fmt.Errorf("%w: %s", ErrNoNumber, key)
	}
	if len(r.problems) > 0 {
		return r.problems
	}
	return nil
}

// Range returns the least and the largest value that the number at a key may
// have in a file; the error is that of [Number].
func Range(d Design, key string) (least, most float64, err error) {
	switch v := find(&d, key).(type) {
	case quantity:
		return v.min, v.max, nil
	case optional:
		return v.min, v.max, nil
	case whole:
		return v.min, v.max, nil
	}
	return 0, 0, fmt.Errorf("%w: %s", ErrNoNumber, key)
}

// find returns the value at a key, nil if a design of d's kinds has none.
func find(d *Design, key string) value {
	var format string
	var version int
	var at value = wholeDesign(d, &format, &version)
	for name := range strings.SplitSeq(key, ".") {
		o, ok := at.(object)
		if !ok {
			return nil
		}
		at = nil
		for _, f := range o.fields() {
			if f.key == name && o.belongs(f) {
				at = f.value
			}
		}
	}
	return at
}
