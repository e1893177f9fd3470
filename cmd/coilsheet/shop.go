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
	size, err := c.paper(flags, *paper)
	if err != nil {
		return err
	}
	extension := strings.ToLower(filepath.Ext(*out))
	switch {
	case *coils < 1 || *coils > mostCoils:
		return c.wrong(flags, fmt.Sprintf("-coils must be from 1 to %d", mostCoils))
	case *keys:
	case *labels && extension != ".pdf":
		return c.wrong(flags, "-out is needed and must end in .pdf for labels")
	case extension != ".pdf" && extension != ".csv":
		return c.wrong(flags, "-out is needed and must end in .csv or .pdf")
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
	w, err := c.readToWind(flags, wind, file)
	if err != nil {
		return err
	}
	b, err := w.build(ctx)
	if err != nil {
		return named(c.label(file), err)
	}
	list := sheet.ShopOf(w.design, b.Plan, *coils).Priced(priced)
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
		err = sheet.WriteShop(&content, size, b.Identity, list, b.Units)
	}
	if err != nil {
		return named(c.label(file), err)
	}
	return writeFile(*out, content.Bytes())
}
