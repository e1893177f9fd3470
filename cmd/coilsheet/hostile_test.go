package main

import (
	"bytes"
	"context"
	"io"
	"math/rand/v2"
	"runtime"
	"strings"
	"testing"
)

// endless repeats a text; noise never repeats.
type endless struct {
	text string
	at   int
}

func (e *endless) Read(p []byte) (int, error) {
	for i := range p {
		p[i] = e.text[(e.at+i)%len(e.text)]
	}
	e.at = (e.at + len(p)) % len(e.text)
	return len(p), nil
}

type noise struct{ *rand.PCG }

func (n noise) Read(p []byte) (int, error) {
	for i := range p {
		p[i] = byte(n.Uint64())
	}
	return len(p), nil
}

// Files of 100 MB that are nothing the program reads are refused, in a few
// lines, with little memory and long before their end.
func TestHostileFiles(t *testing.T) {
	const (
		size   = 100 << 20 // bytes
		read   = 20 << 20  // at most
		memory = 192 << 20 // allocated in all, garbage included
	)
	commands := [][]string{
		{"report", "-"}, {"plots", "-"}, {"circuit", "-"}, {"netlist", "-"}, {"find", "-frequency", "1MHz", "-vary", "secondary.turns", "-"},
		{"fit", "-"}, {"fit", "-kind", "ringdown", "-"}, {"fit", "-kind", "sweep", "-"},
	}
	for _, content := range []struct {
		name string
		from io.Reader
	}{
		{"noise", noise{rand.NewPCG(1, 2)}},
		{"zeros", &endless{text: "\x00"}},
		{"blanks", &endless{text: " "}},
		{"empty lines", &endless{text: "\n"}},
		{"brackets", &endless{text: "["}},
		{"nested objects", &endless{text: `{"a":`}},
		{"one word", &endless{text: "x"}},
		{"one number", &endless{text: "7"}},
		{"words", &endless{text: "time voltage\n"}},
		{"one line of numbers", &endless{text: "1,"}},
		{"comments", &endless{text: "! nothing\n"}},
		{"quotes", &endless{text: `"`}},
	} {
		for _, args := range commands {
			name := strings.Join(args[:len(args)-1], " ") + " of " + content.name
			from := &counted{Reader: io.LimitReader(content.from, size)}
			var before, after runtime.MemStats
			var out, errs bytes.Buffer
			runtime.ReadMemStats(&before)
			code := run(context.Background(), args, from, &out, &errs)
			runtime.ReadMemStats(&after)
			if code != exitRefused {
				t.Errorf("%s: exit code %d, want %d", name, code, exitRefused)
			}
			if n := errs.Len(); n == 0 || n > 20_000 {
				t.Errorf("%s: a message of %d bytes", name, n)
			}
			if used := after.TotalAlloc - before.TotalAlloc; from.bytes > read || used > memory {
				t.Errorf("%s: read %d MB, allocated %d MB", name, from.bytes>>20, used>>20)
			}
		}
	}
}

// counted counts what is read.
type counted struct {
	io.Reader
	bytes int64
}

func (c *counted) Read(p []byte) (int, error) {
	n, err := c.Reader.Read(p)
	c.bytes += int64(n)
	return n, err
}
