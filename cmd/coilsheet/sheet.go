package main

import (
	"bytes"
	"context"
	"flag"
	"fmt"
	"strings"
	"time"

	"coilwright/physics/design"
	"coilwright/plotting/sheet"
	"coilwright/release"
)

// mostCoils bounds a set: a class has no more.
const mostCoils = 200

// buildSheet writes the build sheet of a design, or of a set of coils.
func buildSheet(ctx context.Context, c call) error {
	flags := flag.NewFlagSet("sheet", flag.ContinueOnError)
	paper := flags.String("paper", "a4", "`size`: a4 or letter")
	out := flags.String("out", "", "PDF `file` to write")
	copies := flags.Int("copies", 1, "how many numbered sheets of the same coil")
	vary := flags.String("vary", "", "`key` that differs from coil to coil of a set, with -values")
	values := flags.String("values", "", "its `values`, one for every coil, as \"300, 320, 340\"")
	wind := addWindFlags(flags)
	file, err := c.parse(flags)
	if err != nil {
		return err
	}
	size, err := c.paper(flags, *paper)
	if err != nil {
		return err
	}
	switch {
	case *out == "":
		return c.wrong(flags, "-out is needed")
	case *copies < 1 || *copies > mostCoils:
		return c.wrong(flags, fmt.Sprintf("-copies must be from 1 to %d", mostCoils))
	case (*vary == "") != (*values == ""):
		return c.wrong(flags, "-vary and -values go together")
	case *vary != "" && *copies > 1:
		return c.wrong(flags, "either -copies or -vary")
	}
	w, err := c.readToWind(flags, wind, file)
	if err != nil {
		return err
	}
	set, err := sheet.SetOf(w.design, *copies, *vary, splitList(*values))
	if err != nil {
		return named(c.label(file), err)
	}
	builds := make([]sheet.Build, 0, len(set))
	for i, member := range set {
		// Copies of one coil are computed once.
		if i > 0 && *vary == "" {
			b := builds[0]
			b.Number = sheet.NumberText(i+1, len(set))
			builds = append(builds, b)
			continue
		}
		w.design = member
		b, err := w.build(ctx)
		if err != nil {
			return named(c.label(file), err)
		}
		b.Number = sheet.NumberText(i+1, len(set))
		builds = append(builds, b)
	}
	var content bytes.Buffer
	if err := sheet.WriteBuild(&content, size, builds...); err != nil {
		return named(c.label(file), err)
	}
	return writeFile(*out, content.Bytes())
}

// identityOf returns what every page of a design says.
func identityOf(d design.Design) sheet.Identity {
	name := d.Name
	if strings.TrimSpace(name) == "" {
		name = "Coil without a name"
	}
	return sheet.Identity{Name: name, Date: time.Now(), Fingerprint: design.Fingerprint(d), Version: release.Version()}
}

// splitList parts a list at commas and spaces.
func splitList(text string) []string {
	return strings.FieldsFunc(text, func(r rune) bool { return r == ',' || r == ' ' || r == ';' })
}
