package sentence

import (
	"errors"
	"fmt"
	"testing"
)

func TestErrorForReaders(t *testing.T) {
	kind := Error(nil, New("not wound"))
	err := Because(kind, New("%d turns", 2))
	for _, test := range []struct {
		name, got, want string
	}{
		{"message", err.Error(), "not wound: 2 turns"},
		{"another language", Of(err).In(Reader{Language: func(s string) string { return "‡" + s }}), "‡not wound: ‡2 turns"},
		{"under another error", Of(fmt.Errorf("ring: %w", err)).String(), "not wound: 2 turns"},
		{"without words", Of(errors.New("disk full")).String(), "disk full"},
	} {
		if test.got != test.want {
			t.Errorf("%s: %q, want %q", test.name, test.got, test.want)
		}
	}
	if !errors.Is(err, kind) || errors.Is(kind, err) {
		t.Error("an error wraps its kind, not the other way round")
	}
}
