package main

import (
	"context"
	"encoding/json"
	"errors"
	"flag"
	"os"

	"coilwright/physics/design"
)

// circuit prints what the driver of a circuit file does with its coil.
func circuit(ctx context.Context, c call) error {
	file, err := c.parse(flag.NewFlagSet("circuit", flag.ContinueOnError))
	if err != nil {
		return err
	}
	values, err := c.readCircuit(file)
	if err != nil {
		return err
	}
	result, err := values.Solve(ctx)
	if err != nil {
		return named(c.label(file), err)
	}
	encoder := json.NewEncoder(c.stdout)
	encoder.SetIndent("", "  ")
	encoder.SetEscapeHTML(false)
	return encoder.Encode(result)
}

// readCircuit reads the circuit file of that name as [call.read] reads a design.
func (c call) readCircuit(file string) (design.CircuitFile, error) {
	if file == "-" {
		values, err := design.ReadCircuit(c.stdin)
		return values, named(c.label(file), err)
	}
	values, err := design.ReadCircuitFile(file)
	if pathError := new(os.PathError); errors.As(err, &pathError) {
		return values, err // it names the file
	}
	return values, named(file, err)
}
