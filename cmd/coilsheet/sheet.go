package main

import (
	"bytes"
	"context"
	"flag"
	"fmt"
	"strings"
	"time"

	"coilwright/app/disk"
	"coilwright/physics/design"
	"coilwright/physics/si"
	"coilwright/plotting"
	"coilwright/plotting/sheet"
	"coilwright/release"
)

// papers are the sizes of sheet by the name a flag gives.
var papers = map[string]plotting.Paper{"a4": plotting.A4, "letter": plotting.Letter}

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
	size, ok := papers[*paper]
	switch {
	case !ok:
		return c.wrong(flags, fmt.Sprintf("there is no paper %q: a4 or letter", *paper))
	case *out == "":
		return c.wrong(flags, "-out is needed")
	case *copies < 1 || *copies > mostCoils:
		return c.wrong(flags, fmt.Sprintf("-copies must be from 1 to %d", mostCoils))
	case (*vary == "") != (*values == ""):
		return c.wrong(flags, "-vary and -values go together")
	case *vary != "" && *copies > 1:
		return c.wrong(flags, "either -copies or -vary")
	}
	settings, unit, err := wind.settings(c, flags)
	if err != nil {
		return err
	}
	d, err := c.read(file)
	if err != nil {
		return err
	}
	set, err := sheet.SetOf(d, *copies, *vary, splitList(*values))
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
		b, err := sheet.NewBuild(ctx, member, settings, plotting.Units{Inch: unit == si.Inch})
		if err != nil {
			return named(c.label(file), err)
		}
		b.Identity = identityOf(member)
		b.Number = sheet.NumberText(i+1, len(set))
		b.Inputs = mainInputs(&member, unit)
		builds = append(builds, b)
	}
	var content bytes.Buffer
	if err := sheet.WriteBuild(&content, size, builds...); err != nil {
		return named(c.label(file), err)
	}
	return disk.Replace(disk.OS, *out, content.Bytes(), disk.Options{Mode: 0o666})
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
