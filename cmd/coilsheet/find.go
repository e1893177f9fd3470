package main

import (
	"context"
	"flag"
	"fmt"
	"math"

	"coilwright/physics/design"
	"coilwright/physics/si"
)

// find prints a design changed in one number so that it meets a target. What a
// maker should know about the result goes to standard error.
func find(ctx context.Context, c call) error {
	flags := flag.NewFlagSet("find", flag.ContinueOnError)
	frequency := flags.String("frequency", "", "frequency to reach, as in 1.4MHz")
	capacitance := flags.String("capacitance", "", "capacitance of the top load alone to reach, as in 2pF")
	vary := flags.String("vary", "", "what to change: a key such as secondary.turns, or a name such as turns, pitch, former, ring turns, ring former, hub, height")
	file, err := c.parse(flags)
	if err != nil {
		return err
	}
	if (*frequency == "") == (*capacitance == "") {
		return c.wrong(flags, "either -frequency or -capacitance is needed")
	}
	if *vary == "" {
		return c.wrong(flags, "-vary is needed")
	}
	var target design.Target
	if *frequency != "" {
		target.Value, err = si.ParseIn(*frequency, si.Hertz)
	} else {
		target.Quantity = design.TargetCapacitance
		target.Value, err = si.ParseIn(*capacitance, si.Farad)
	}
	if err != nil {
		return c.wrong(flags, err.Error())
	}
	if !(target.Value > 0) {
		return c.wrong(flags, "the target must be above 0")
	}
	d, err := c.read(file)
	if err != nil {
		return err
	}
	f, err := design.Find(ctx, d, target, *vary)
	if err != nil {
		return named(c.label(file), err)
	}
	if err := design.Write(c.stdout, f.Design); err != nil {
		return named(c.label(file), err)
	}
	if remark := foundRemark(f); remark != "" {
		fmt.Fprintln(c.stderr, "coilsheet: "+remark)
	}
	return nil
}

// foundRemark says how far from its target a found design stays, empty if that
// does not matter.
func foundRemark(f design.Found) string {
	const matters = 1e-4
	if !f.Whole || math.Abs(f.Difference) <= matters {
		return ""
	}
	return fmt.Sprintf("%s takes whole numbers only: with %g the target is missed by %s", f.Key, f.Value,
		minus(fmt.Sprintf("%+.2f\u202f%%", 100*f.Difference)))
}
