package main

import (
	"context"
	"flag"
	"fmt"

	"coilwright/physics/design"
	"coilwright/physics/si"
	"coilwright/physics/winding"
	"coilwright/plotting"
	"coilwright/plotting/sheet"
)

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

// toWind is a design with what a command's flags say of how it is wound.
type toWind struct {
	design   design.Design
	settings winding.Settings
	unit     si.Unit // of lengths
}

// readToWind takes the flags at their word and reads the design.
func (c call) readToWind(flags *flag.FlagSet, f windFlags, file string) (toWind, error) {
	w := toWind{settings: winding.DefaultSettings(), unit: si.Millimetre}
	if *f.inch {
		w.unit = si.Inch
	}
	var err error
	if *f.loop != "" {
		if w.settings.MeasuredLoop, err = si.ParseIn(*f.loop, w.unit); err != nil {
			return w, c.wrong(flags, "-loop: "+err.Error())
		}
	}
	w.design, err = c.read(file)
	return w, err
}

// units are those of lengths on a sheet.
func (w *toWind) units() plotting.Units { return plotting.Units{Inch: w.unit == si.Inch} }

// build returns what the sheets of the design show, with its identity and its
// main inputs.
func (w *toWind) build(ctx context.Context) (sheet.Build, error) {
	b, err := sheet.NewBuild(ctx, w.design, w.settings, w.units())
	if err != nil {
		return b, err
	}
	b.Identity, b.Inputs = identityOf(w.design), mainInputs(&w.design, w.unit)
	return b, nil
}

// papers are the sizes of sheet by the name a flag gives.
var papers = map[string]plotting.Paper{"a4": plotting.A4, "letter": plotting.Letter}

// paper returns the size of sheet of that name.
func (c call) paper(flags *flag.FlagSet, name string) (plotting.Paper, error) {
	size, ok := papers[name]
	if !ok {
		return size, c.wrong(flags, fmt.Sprintf("there is no paper %q: a4 or letter", name))
	}
	return size, nil
}
