package main

import (
	"bytes"
	"context"
	"encoding/json"
	"flag"
	"fmt"
	"math"
	"text/tabwriter"

	"coilwright/physics/design"
	"coilwright/physics/si"
)

// drawer prints what can be built from a stock so that it rings at a frequency.
func drawer(ctx context.Context, c call) error {
	flags := flag.NewFlagSet("drawer", flag.ContinueOnError)
	frequency := flags.String("frequency", "", "frequency to ring at, as in 1.4MHz")
	height := flags.String("max-height", "", "most height of the whole coil, as in 25cm")
	former := flags.String("former", "", "only on formers of this diameter, as in 25mm")
	wire := flags.String("wire", "", "only with this gauge, or the spool of that name")
	onto := flags.String("design", "", "design file whose room, primary and top load to keep; without it a wooden table and no primary")
	asJSON := flags.Bool("json", false, "print JSON, each coil with its design")
	file, err := c.parse(flags)
	if err != nil {
		return err
	}
	if *frequency == "" {
		return c.wrong(flags, "-frequency is needed")
	}
	search := design.DrawerSearch{Wire: *wire}
	for _, typed := range []struct {
		text string
		unit si.Unit
		to   *float64
	}{{*frequency, si.Hertz, &search.Frequency}, {*height, si.Millimetre, &search.MaxHeight}, {*former, si.Millimetre, &search.Former}} {
		if typed.text == "" {
			continue
		}
		if *typed.to, err = si.ParseIn(typed.text, typed.unit); err != nil {
			return c.wrong(flags, err.Error())
		}
		if !(*typed.to > 0) {
			return c.wrong(flags, fmt.Sprintf("%s must be above 0", typed.text))
		}
	}
	if search.Stock, err = readWith(c, file, design.ReadStock, design.ReadStockFile); err != nil {
		return err
	}
	base := design.New()
	base.SetPrimaryKind(design.NoPrimary)
	base.SetTopLoadKind(design.NoTopLoad)
	if *onto != "" {
		if base, err = c.read(*onto); err != nil {
			return err
		}
	}
	found, err := design.Drawer(ctx, base, search, nil)
	if err != nil {
		return named(c.label(file), err)
	}
	if *asJSON {
		return printDrawerJSON(c, &search.Stock, found)
	}
	return printDrawer(c, &search.Stock, found)
}

func printDrawer(c call, stock *design.Stock, found design.DrawerResult) error {
	w := tabwriter.NewWriter(c.stdout, 0, 0, 2, ' ', 0)
	fmt.Fprintln(w, "turns\twire\twound\tformer\ttop load\trings at\tQ at most\tcrest at 1 W\theight\twire needed\tof")
	for i := range found.Coils {
		b := &found.Coils[i]
		wound, of := "close", "enough"
		if !b.Close {
			wound = si.Format(b.Design.Secondary.Pitch, si.Millimetre, 3)
		}
		if !math.IsInf(b.WireLeft, 0) {
			of = si.Format(b.WireLeft, si.Metre, 3)
		}
		fmt.Fprintf(w, "%g\t%s\t%s\t%s\t%s\t%s\t%.0f\t%s\t%s\t%s\t%s\n",
			b.Design.Secondary.Turns, stock.Wires[b.Wire].Called(), wound, stock.Formers[b.Former].Called(), b.TopWords(stock),
			si.FormatPrefixed(b.Frequency, si.Hertz, 4), b.QualityFactor, si.FormatPrefixed(b.VoltsPerWatt, si.Volt, 3),
			si.Format(b.Height, si.Millimetre, 3), si.Format(b.WireNeeded, si.Metre, 3), of)
	}
	if err := w.Flush(); err != nil {
		return err
	}
	_, err := fmt.Fprintf(c.stdout, "%d combinations tried; by the handbook %d can be built, of which these were solved.\n", found.Tried, found.Fitting)
	return err
}

// drawerCoil is a coil of the drawer as JSON.
type drawerCoil struct {
	Turns         float64         `json:"turns"`
	Wire          string          `json:"wire"`
	Former        string          `json:"former"`
	TopLoad       string          `json:"top_load"`
	Close         bool            `json:"close_wound"`
	Frequency     float64         `json:"frequency_hz"`
	QualityFactor float64         `json:"quality_factor"`
	VoltsPerWatt  float64         `json:"top_voltage_per_root_watt_v"`
	Height        float64         `json:"height_m"`
	WindingHeight float64         `json:"winding_height_m"`
	WireNeeded    float64         `json:"wire_needed_m"`
	WireLeft      *float64        `json:"wire_left_m"` // null: as much as is needed
	RingNeeded    *float64        `json:"ring_wire_needed_m"`
	Design        json.RawMessage `json:"design"`
}

func printDrawerJSON(c call, stock *design.Stock, found design.DrawerResult) error {
	out := struct {
		Coils   []drawerCoil `json:"coils"`
		Tried   int          `json:"tried"`
		Fitting int          `json:"fitting"`
	}{[]drawerCoil{}, found.Tried, found.Fitting}
	for i := range found.Coils {
		b := &found.Coils[i]
		content, err := designJSON(b.Design)
		if err != nil {
			return err
		}
		coil := drawerCoil{
			Turns: b.Design.Secondary.Turns, Wire: stock.Wires[b.Wire].Called(), Former: stock.Formers[b.Former].Called(), TopLoad: b.TopWords(stock), Close: b.Close,
			Frequency: b.Frequency, QualityFactor: b.QualityFactor, VoltsPerWatt: b.VoltsPerWatt,
			Height: b.Height, WindingHeight: b.WindingHeight, WireNeeded: b.WireNeeded, Design: content,
		}
		if !math.IsInf(b.WireLeft, 0) {
			coil.WireLeft = &b.WireLeft
		}
		if b.RingNeeded > 0 {
			coil.RingNeeded = &b.RingNeeded
		}
		out.Coils = append(out.Coils, coil)
	}
	return printJSON(c.stdout, out)
}

// designJSON returns a design as its file has it.
func designJSON(d design.Design) (json.RawMessage, error) {
	var content bytes.Buffer
	err := design.Write(&content, d)
	return content.Bytes(), err
}
