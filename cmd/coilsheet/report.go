package main

import (
	"context"
	"flag"
)

// report prints the report of a design.
func report(ctx context.Context, c call) error {
	file, err := c.parse(flag.NewFlagSet("report", flag.ContinueOnError))
	if err != nil {
		return err
	}
	s, err := c.readAndSolve(ctx, file)
	if err != nil {
		return err
	}
	return printJSON(c.stdout, s.report)
}
