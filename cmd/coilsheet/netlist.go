package main

import (
	"context"
	"flag"
	"io"
	"path/filepath"
	"strings"

	"coilwright/physics/design"
)

// netlist prints the circuit of a circuit file for a circuit simulator.
func netlist(_ context.Context, c call) error {
	file, err := c.parse(flag.NewFlagSet("netlist", flag.ContinueOnError))
	if err != nil {
		return err
	}
	values, err := c.readCircuit(file)
	if err != nil {
		return err
	}
	title := "circuit"
	if file != "-" {
		title = strings.TrimSuffix(filepath.Base(file), design.CircuitExtension)
	}
	list, err := values.Netlist("Coilwright: " + title)
	if err != nil {
		return named(c.label(file), err)
	}
	_, err = io.WriteString(c.stdout, list)
	return err
}
