package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// TestWindFiles writes every file of the wind stage and looks how it begins.
func TestWindFiles(t *testing.T) {
	folder := t.TempDir()
	path := func(name string) string { return filepath.Join(folder, name) }
	prices := path("prices.json")
	if err := os.WriteFile(prices, []byte(`{"hub": 0.25}`), 0o666); err != nil {
		t.Fatal(err)
	}
	for _, test := range []struct {
		args   []string // before -
		file   string
		begins string
		holds  string
	}{
		{[]string{"sheet", "-out", path("a4.pdf")}, "a4.pdf", "%PDF-1.", "/MediaBox [0 0 595.28 841.89]"},
		{[]string{"sheet", "-paper", "letter", "-inch", "-out", path("letter.pdf")}, "letter.pdf", "%PDF-1.", "/MediaBox [0 0 612.00 792.00]"},
		{[]string{"sheet", "-copies", "2", "-out", path("two.pdf")}, "two.pdf", "%PDF-1.", "/Count "},
		{[]string{"sheet", "-vary", "turns", "-values", "300,320", "-out", path("ladder.pdf")}, "ladder.pdf", "%PDF-1.", ""},
		{[]string{"templates", "-out", path("t.pdf")}, "t.pdf", "%PDF-1.", ""},
		{[]string{"templates", "-out", path("t.svg")}, "t-disc.svg", "<?xml", "DejaVu Sans"},
		{[]string{"jig", "-out", path("j.stl")}, "j.stl", "Coilwright, millimetres", ""},
		{[]string{"jig", "-part", "disc", "-clearance", "0.4 mm", "-height", "4", "-out", path("d.stl")}, "d.stl", "Coilwright, millimetres", ""},
		{[]string{"shop", "-coils", "3", "-prices", prices, "-out", path("s.csv")}, "s.csv", "item,specification", "0.25,1.00"},
		{[]string{"shop", "-out", path("s.pdf")}, "s.pdf", "%PDF-1.", ""},
		{[]string{"shop", "-labels", "-coils", "4", "-out", path("l.pdf")}, "l.pdf", "%PDF-1.", ""},
	} {
		code, _, errs := called(t, example(), append(test.args, "-")...)
		content, err := os.ReadFile(path(test.file))
		if code != exitDone || errs != "" || err != nil {
			t.Errorf("%v: code %d, %s, %v", test.args[:1], code, errs, err)
			continue
		}
		if !bytes.HasPrefix(content, []byte(test.begins)) || !bytes.Contains(content, []byte(test.holds)) {
			t.Errorf("%s begins with %.40q, want %q, and holds %q: %v", test.file, content, test.begins, test.holds, bytes.Contains(content, []byte(test.holds)))
		}
	}
}

func TestWindCommandsRefuse(t *testing.T) {
	out := filepath.Join(t.TempDir(), "x")
	bare := `{"format": "coilwright-design", "version": 1, "secondary": {"former_diameter_m": 0.025, "turns": 100, "wire": {"gauge": "AWG 30"}}, "top_load": {"kind": "none"}}`
	for _, test := range []struct {
		stdin string
		args  []string
		code  int
		want  string
	}{
		{example(), []string{"sheet"}, exitUsage, "-out is needed"},
		{example(), []string{"sheet", "-paper", "a5", "-out", out}, exitUsage, `no paper "a5"`},
		{example(), []string{"sheet", "-copies", "0", "-out", out}, exitUsage, "-copies"},
		{example(), []string{"sheet", "-vary", "turns", "-out", out}, exitUsage, "-values"},
		{example(), []string{"sheet", "-vary", "turns", "-values", "x", "-out", out}, exitRefused, "secondary.turns"},
		{example(), []string{"templates", "-out", out + ".png"}, exitUsage, ".pdf or .svg"},
		{example(), []string{"jig"}, exitUsage, "-out is needed"},
		{example(), []string{"jig", "-part", "lid", "-out", out}, exitUsage, `no part "lid"`},
		{example(), []string{"jig", "-clearance", "wide", "-out", out}, exitUsage, "-clearance"},
		{example(), []string{"jig", "-clearance", "3 mm", "-out", out}, exitRefused, "no jig holds it"},
		{bare, []string{"jig", "-out", out}, exitRefused, "no wire ring"},
		{example(), []string{"shop", "-out", out}, exitUsage, ".csv or .pdf"},
		{example(), []string{"shop", "-coils", "1000", "-out", out + ".csv"}, exitUsage, "-coils"},
	} {
		code, _, errs := called(t, test.stdin, append(test.args, "-")...)
		if code != test.code || !strings.Contains(errs, test.want) {
			t.Errorf("%v: code %d, %q, want %d, %q", test.args, code, errs, test.code, test.want)
		}
	}
	if _, err := os.Stat(out); err == nil {
		t.Error("a command that was refused left a file")
	}
}
