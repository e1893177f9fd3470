package main

import (
	"context"
	"encoding/json"
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

// windFlags are the flags that every command about winding has.
type windFlags struct {
	inch *bool
	loop *string
}

func addWindFlags(flags *flag.FlagSet) windFlags {
	return windFlags{
		inch: flags.Bool("inch", false, "write lengths in inches and feet"),
		loop: flags.String("loop", "", "inside `diameter` that one turn of the ring had once it was off its former, as \"16.1 mm\": it takes the place of the spring-back that is computed"),
	}
}

// settings returns what the flags say.
func (f windFlags) settings(c call, flags *flag.FlagSet) (winding.Settings, si.Unit, error) {
	s, unit := winding.DefaultSettings(), si.Millimetre
	if *f.inch {
		unit = si.Inch
	}
	if *f.loop != "" {
		loop, err := si.ParseIn(*f.loop, unit)
		if err != nil {
			return s, unit, c.wrong(flags, "-loop: "+err.Error())
		}
		s.MeasuredLoop = loop
	}
	return s, unit, nil
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
	settings, unit, err := wind.settings(c, flags)
	if err != nil {
		return err
	}
	d, err := c.read(file)
	if err != nil {
		return err
	}
	p, err := design.WindingPlan(d, settings, unit)
	if err != nil {
		return named(c.label(file), err)
	}
	if *asJSON {
		encoder := json.NewEncoder(c.stdout)
		encoder.SetIndent("", "  ")
		encoder.SetEscapeHTML(false)
		j := planJSON{Ring: partOf(p.Ring, true), Secondary: partOf(p.Secondary, false), Primary: partOf(p.Primary, false)}
		for _, line := range p.Wiring {
			j.Wiring = append(j.Wiring, line.String())
		}
		return encoder.Encode(j)
	}
	printPlan(c.stdout, d.Name, p, unit)
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
