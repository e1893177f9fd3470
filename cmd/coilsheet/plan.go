package main

import (
	"context"
	"flag"
	"fmt"
	"io"
	"math"

	"coilwright/physics/design"
	"coilwright/physics/si"
	"coilwright/physics/winding"
)

// planJSON is a plan as the format has it.
type planJSON struct {
	Ring      *partJSON `json:"ring"`
	Secondary *partJSON `json:"secondary"`
	Primary   *partJSON `json:"primary"`
	Wiring    []string  `json:"wiring"`
}

type partJSON struct {
	Turns     float64    `json:"turns"`
	Spare     int        `json:"spare_turns"`
	CutLength float64    `json:"cut_length_m"`
	Steps     []stepJSON `json:"steps"`
}

type stepJSON struct {
	Text           string   `json:"text"`
	Turns          float64  `json:"turns_so_far"`
	WireUsed       float64  `json:"wire_used_m"`
	LengthOnFormer float64  `json:"length_on_former_m"`
	RingAngle      *float64 `json:"ring_angle_deg"` // nil but for a ring
}

// plan prints how the parts of a design are wound, step by step.
func plan(_ context.Context, c call) error {
	flags := flag.NewFlagSet("plan", flag.ContinueOnError)
	asJSON := flags.Bool("json", false, "print JSON")
	wind := addWindFlags(flags)
	file, err := c.parse(flags)
	if err != nil {
		return err
	}
	w, err := c.readToWind(flags, wind, file)
	if err != nil {
		return err
	}
	p, err := design.WindingPlan(w.design, w.settings, w.unit)
	if err != nil {
		return named(c.label(file), err)
	}
	if *asJSON {
		j := planJSON{Ring: partOf(p.Ring, true), Secondary: partOf(p.Secondary, false), Primary: partOf(p.Primary, false)}
		for _, line := range p.Wiring {
			j.Wiring = append(j.Wiring, line.String())
		}
		return printJSON(c.stdout, j)
	}
	printPlan(c.stdout, w.design.Name, p, w.unit)
	return nil
}

// partOf returns a part as JSON, nil if it is absent.
func partOf(p *winding.Part, ring bool) *partJSON {
	if p == nil {
		return nil
	}
	j := &partJSON{p.Turns, p.Spare, p.CutLength, []stepJSON{}}
	for _, s := range p.Steps {
		step := stepJSON{Text: s.Text.String(), Turns: s.Turns, WireUsed: s.WireUsed, LengthOnFormer: s.LengthOnFormer}
		if ring {
			angle := s.RingAngle * 180 / math.Pi
			step.RingAngle = &angle
		}
		j.Steps = append(j.Steps, step)
	}
	return j
}

// printPlan prints the steps with what to check after each.
func printPlan(to io.Writer, name string, p winding.Plan, unit si.Unit) {
	fmt.Fprintln(to, name)
	for _, part := range []struct {
		title string
		*winding.Part
	}{{"Ring", p.Ring}, {"Secondary", p.Secondary}, {"Primary", p.Primary}} {
		if part.Part == nil {
			continue
		}
		fmt.Fprintf(to, "\n%s\n", part.title)
		for i, s := range part.Steps {
			fmt.Fprintf(to, "%3d. %s\n     Check: %s.\n", i+1, s.Text, s.Expect.Words(unit))
		}
	}
	fmt.Fprintln(to, "\nWiring")
	for _, line := range p.Wiring {
		fmt.Fprintf(to, "  - %s\n", line)
	}
}
