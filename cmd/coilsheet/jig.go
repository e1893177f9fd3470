package main

import (
	"bytes"
	"context"
	"flag"
	"fmt"

	"coilwright/physics/si"
	"coilwright/plotting/sheet"
)

// jig writes the printed helpers of a design's ring as an STL file.
func jig(ctx context.Context, c call) error {
	flags := flag.NewFlagSet("jig", flag.ContinueOnError)
	out := flags.String("out", "", "STL `file` to write, in millimetres")
	part := flags.String("part", "all", "`what` to write: disc, former, stop, or all side by side")
	var lengths []lengthFlag
	length := func(name, help string, at func(*sheet.Jig) *float64) {
		lengths = append(lengths, lengthFlag{name, flags.String(name, "", "`length`: "+help+"; empty: the usual one"), at})
	}
	length("clearance", "how much wider a slot is than the wire", func(j *sheet.Jig) *float64 { return &j.Clearance })
	length("height", "of the teeth between the slots", func(j *sheet.Jig) *float64 { return &j.Height })
	length("floor", "thickness under the teeth", func(j *sheet.Jig) *float64 { return &j.Floor })
	length("iron", "free room round the wires at the hub", func(j *sheet.Jig) *float64 { return &j.IronRoom })
	length("screw", "hole in the middle of the disc", func(j *sheet.Jig) *float64 { return &j.Screw })
	length("spindle", "hole through the former", func(j *sheet.Jig) *float64 { return &j.Spindle })
	wind := addWindFlags(flags)
	file, err := c.parse(flags)
	if err != nil {
		return err
	}
	if *out == "" {
		return c.wrong(flags, "-out is needed")
	}
	w, err := c.readToWind(flags, wind, file)
	if err != nil {
		return err
	}
	b, err := w.build(ctx)
	if err != nil {
		return named(c.label(file), err)
	}
	j, err := sheet.JigOf(&b)
	if err != nil {
		return named(c.label(file), err)
	}
	for _, l := range lengths {
		if *l.text == "" {
			continue
		}
		v, err := si.ParseIn(*l.text, w.unit)
		if err != nil {
			return c.wrong(flags, "-"+l.name+": "+err.Error())
		}
		*l.at(&j) = v
	}
	var solids []sheet.Solid
	one := func(s sheet.Solid, err error) ([]sheet.Solid, error) { return []sheet.Solid{s}, err }
	switch *part {
	case "disc":
		solids, err = one(j.Disc())
	case "former":
		solids, err = one(j.Former())
	case "stop":
		solids, err = one(j.Stop())
	case "all":
		solids, err = j.All()
	default:
		return c.wrong(flags, fmt.Sprintf("there is no part %q: disc, former, stop or all", *part))
	}
	if err != nil {
		return named(c.label(file), err)
	}
	var content bytes.Buffer
	if err := sheet.WriteSTL(&content, solids...); err != nil {
		return named(c.label(file), err)
	}
	return writeFile(*out, content.Bytes())
}

// lengthFlag is a setting of the jig.
type lengthFlag struct {
	name string
	text *string
	at   func(*sheet.Jig) *float64
}
