package main

import (
	"bytes"
	"context"
	"flag"
	"fmt"
	"path/filepath"
	"strings"

	"coilwright/app/disk"
	"coilwright/physics/si"
	"coilwright/plotting"
	"coilwright/plotting/sheet"
)

// templates writes the templates of a design at 1:1: all of them into a PDF
// file, or each into an SVG file of its own whose name begins with that of -out.
func templates(ctx context.Context, c call) error {
	flags := flag.NewFlagSet("templates", flag.ContinueOnError)
	paper := flags.String("paper", "a4", "`size`: a4 or letter")
	out := flags.String("out", "", "`file` to write, .pdf or .svg")
	wind := addWindFlags(flags)
	file, err := c.parse(flags)
	if err != nil {
		return err
	}
	size, ok := papers[*paper]
	extension := strings.ToLower(filepath.Ext(*out))
	switch {
	case !ok:
		return c.wrong(flags, fmt.Sprintf("there is no paper %q: a4 or letter", *paper))
	case extension != ".pdf" && extension != ".svg":
		return c.wrong(flags, "-out is needed and must end in .pdf or .svg")
	}
	settings, unit, err := wind.settings(c, flags)
	if err != nil {
		return err
	}
	d, err := c.read(file)
	if err != nil {
		return err
	}
	b, err := sheet.NewBuild(ctx, d, settings, plotting.Units{Inch: unit == si.Inch})
	if err != nil {
		return named(c.label(file), err)
	}
	b.Identity = identityOf(d)
	all := sheet.Templates(&b)
	var content bytes.Buffer
	if extension == ".pdf" {
		if err := sheet.WriteTemplates(&content, size, b.Identity, all); err != nil {
			return named(c.label(file), err)
		}
		return disk.Replace(disk.OS, *out, content.Bytes(), disk.Options{Mode: 0o666})
	}
	for _, t := range all {
		content.Reset()
		if err := sheet.WriteTemplateSVG(&content, t); err != nil {
			return named(c.label(file), err)
		}
		path := strings.TrimSuffix(*out, filepath.Ext(*out)) + "-" + t.Name + ".svg"
		if err := disk.Replace(disk.OS, path, content.Bytes(), disk.Options{Mode: 0o666}); err != nil {
			return err
		}
		fmt.Fprintln(c.stdout, path)
	}
	return nil
}
