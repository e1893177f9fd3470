package main

import (
	"bytes"
	"context"
	"flag"
	"fmt"
	"path/filepath"
	"strings"

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
	size, err := c.paper(flags, *paper)
	if err != nil {
		return err
	}
	extension := strings.ToLower(filepath.Ext(*out))
	if extension != ".pdf" && extension != ".svg" {
		return c.wrong(flags, "-out is needed and must end in .pdf or .svg")
	}
	w, err := c.readToWind(flags, wind, file)
	if err != nil {
		return err
	}
	b, err := w.build(ctx)
	if err != nil {
		return named(c.label(file), err)
	}
	all := sheet.Templates(&b)
	var content bytes.Buffer
	if extension == ".pdf" {
		if err := sheet.WriteTemplates(&content, size, b.Identity, all); err != nil {
			return named(c.label(file), err)
		}
		return writeFile(*out, content.Bytes())
	}
	for _, t := range all {
		content.Reset()
		if err := sheet.WriteTemplateSVG(&content, t); err != nil {
			return named(c.label(file), err)
		}
		path := strings.TrimSuffix(*out, filepath.Ext(*out)) + "-" + t.Name + ".svg"
		if err := writeFile(path, content.Bytes()); err != nil {
			return err
		}
		fmt.Fprintln(c.stdout, path)
	}
	return nil
}
