package main

import (
	"context"
	"flag"

	"coilwright/physics/design"
)

// circuit prints what the driver of a circuit file does with its coil.
func circuit(ctx context.Context, c call) error {
	file, err := c.parse(flag.NewFlagSet("circuit", flag.ContinueOnError))
	if err != nil {
		return err
	}
	values, err := readWith(c, file, design.ReadCircuit, design.ReadCircuitFile)
	if err != nil {
		return err
	}
	result, err := values.Solve(ctx)
	if err != nil {
		return named(c.label(file), err)
	}
	return printJSON(c.stdout, result)
}
