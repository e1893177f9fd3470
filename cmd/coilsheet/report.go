package main

import (
	"context"
	"encoding/json"
	"flag"

	"coilwright/physics/design"
)

// report prints the report of a design.
func report(ctx context.Context, c call) error {
	file, err := c.parse(flag.NewFlagSet("report", flag.ContinueOnError))
	if err != nil {
		return err
	}
	d, err := c.read(file)
	if err != nil {
		return err
	}
	solver := design.NewSolver()
	r, err := solver.Evaluate(ctx, d)
	if err != nil {
		return named(c.label(file), err)
	}
	drive, err := solver.Drive(ctx, d, r, design.DriveOptions{Bare: true})
	if err := r.TakeDrive(drive, err); err != nil {
		return named(c.label(file), err)
	}
	encoder := json.NewEncoder(c.stdout)
	encoder.SetIndent("", "  ")
	encoder.SetEscapeHTML(false)
	return encoder.Encode(r)
}
