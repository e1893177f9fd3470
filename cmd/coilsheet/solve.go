package main

import (
	"context"

	"coilwright/physics/design"
)

// solved is a design with its report, the driver's part in it.
type solved struct {
	design design.Design
	solver *design.Solver
	report design.Report
}

// readAndSolve reads a design and solves it with its driver.
func (c call) readAndSolve(ctx context.Context, file string) (solved, error) {
	d, err := c.read(file)
	if err != nil {
		return solved{}, err
	}
	solver := design.NewSolver()
	r, err := solver.Evaluate(ctx, d)
	if err != nil {
		return solved{}, named(c.label(file), err)
	}
	drive, err := solver.Drive(ctx, d, r, design.DriveOptions{Bare: true})
	if err := r.TakeDrive(drive, err); err != nil {
		return solved{}, named(c.label(file), err)
	}
	return solved{d, solver, r}, nil
}
