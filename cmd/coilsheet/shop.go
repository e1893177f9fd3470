package main

import (
	"bytes"
	"context"
	"encoding/json"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"coilwright/app/disk"
	"coilwright/physics/si"
	"coilwright/plotting"
	"coilwright/plotting/sheet"
)

// shop writes what to buy for some coils of a design, or labels for them.
func shop(ctx context.Context, c call) error {
	flags := flag.NewFlagSet("shop", flag.ContinueOnError)
	paper := flags.String("paper", "a4", "`size` of a page: a4 or letter")
	out := flags.String("out", "", "`file` to write, .csv or .pdf")
	coils := flags.Int("coils", 1, "how many coils")
	prices := flags.String("prices", "", "JSON `file` with a price for the key of an item, as {\"hub\": 0.25}; -keys lists the keys")
	keys := flags.Bool("keys", false, "print the keys of the items, and write nothing")
	labels := flags.Bool("labels", false, "write labels for the coils instead, as .pdf")
	wind := addWindFlags(flags)
	file, err := c.parse(flags)
	if err != nil {
		return err
	}
	size, ok := papers[*paper]
	extension := strings.ToLower(filepath.Ext(*out))
	switch {
	case !ok:
		return c.wrong(flags, fmt.Sprintf("there is no paper %q: a4 or letter", *paper))
	case *coils < 1 || *coils > mostCoils:
		return c.wrong(flags, fmt.Sprintf("-coils must be from 1 to %d", mostCoils))
	case *keys:
	case *labels && extension != ".pdf":
		return c.wrong(flags, "-out is needed and must end in .pdf for labels")
	case extension != ".pdf" && extension != ".csv":
		return c.wrong(flags, "-out is needed and must end in .csv or .pdf")
	}
	settings, unit, err := wind.settings(c, flags)
	if err != nil {
		return err
	}
	priced := map[string]float64{}
	if *prices != "" {
		content, err := os.ReadFile(*prices)
		if err != nil {
			return err
		}
		if err := json.Unmarshal(content, &priced); err != nil {
			return named(*prices, err)
		}
	}
	d, err := c.read(file)
	if err != nil {
		return err
	}
	units := plotting.Units{Inch: unit == si.Inch}
	b, err := sheet.NewBuild(ctx, d, settings, units)
	if err != nil {
		return named(c.label(file), err)
	}
	b.Identity, b.Inputs = identityOf(d), mainInputs(&d, unit)
	list := sheet.ShopOf(d, b.Plan, *coils).Priced(priced)
	if *keys {
		for _, i := range list.Items {
			fmt.Fprintf(c.stdout, "%s\t%s\n", i.Key, i.Name)
		}
		return nil
	}
	var content bytes.Buffer
	switch {
	case *labels:
		builds := make([]sheet.Build, *coils)
		for i := range builds {
			builds[i] = b
			builds[i].Number = sheet.NumberText(i+1, *coils)
		}
		err = sheet.WriteLabels(&content, size, builds...)
	case extension == ".csv":
		err = list.WriteCSV(&content)
	default:
		err = sheet.WriteShop(&content, size, b.Identity, list, units)
	}
	if err != nil {
		return named(c.label(file), err)
	}
	return disk.Replace(disk.OS, *out, content.Bytes(), disk.Options{Mode: 0o666})
}
