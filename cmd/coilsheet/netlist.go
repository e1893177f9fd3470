package main

import (
	"bytes"
	"context"
	"flag"
	"io"
	"os"
	"path/filepath"
	"strings"

	"coilwright/physics/design"
)

// netlist prints the driver of a design, or the circuit of a circuit file, for a
// circuit simulator.
func netlist(ctx context.Context, c call) error {
	file, err := c.parse(flag.NewFlagSet("netlist", flag.ContinueOnError))
	if err != nil {
		return err
	}
	values, title, err := c.readEither(ctx, file)
	if err != nil {
		return err
	}
	list, err := values.Netlist("Coilwright: " + title)
	if err != nil {
		return named(c.label(file), err)
	}
	_, err = io.WriteString(c.stdout, list)
	return err
}

// readEither reads a circuit file, or a design and solves its coil. The title
// is the name of the design or of the file.
func (c call) readEither(ctx context.Context, file string) (values design.CircuitFile, title string, err error) {
	content, err := c.content(file)
	if err != nil {
		return values, "", err
	}
	if design.IsCircuit(content) {
		title = "circuit"
		if file != "-" {
			title = strings.TrimSuffix(filepath.Base(file), design.CircuitExtension)
		}
		values, err = design.ReadCircuit(bytes.NewReader(content))
		return values, title, named(c.label(file), err)
	}
	d, err := design.Read(bytes.NewReader(content))
	if err != nil {
		return values, "", named(c.label(file), err)
	}
	r, err := design.Evaluate(ctx, d)
	if err != nil {
		return values, "", named(c.label(file), err)
	}
	values, err = d.DriverCircuit(r)
	return values, d.Name, named(c.label(file), err)
}

// content returns what is in a file, or as much of it as shows that it is too
// large; "-" is standard input.
func (c call) content(file string) ([]byte, error) {
	from := c.stdin
	if file != "-" {
		f, err := os.Open(file)
		if err != nil {
			return nil, err
		}
		defer f.Close()
		from = f
	}
	return io.ReadAll(io.LimitReader(from, design.MaxFileSize+1))
}
