package wire

import (
	"cmp"
	_ "embed"
	"encoding/csv"
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"sync"
)

// ErrInsulation says that there is no such insulation.
var ErrInsulation = errors.New("no such insulation")

// Insulations of a wire, as a design file writes them.
const (
	Bare   = "bare"
	Single = "single" // single build of NEMA MW 1000, grade 1 of IEC 60317
	Heavy  = "heavy"  // heavy build of NEMA MW 1000, grade 2 of IEC 60317
)

// Status says how far an overall diameter is to be trusted.
type Status string

// How an overall diameter was found.
const (
	Exact        Status = "exact"        // bare: there is nothing to add
	Seen         Status = "seen"         // the limits were read in the source named
	FromMemory   Status = "mem"          // a limit is from memory and was not read again
	Interpolated Status = "interpolated" // the size has no row; between its neighbours, or beyond the ends of the table
)

// Overall is the diameter of a wire over its insulation.
type Overall struct {
	Diameter float64 // m, in the middle of the standard's limits
	Min, Max float64 // m, the standard's limits, for the nominal conductor
	Status   Status
	Source   string // of the row, or of the two neighbours
}

// OverallDiameter returns the diameter over the insulation: the unrounded bare
// diameter and the middle of the increases that the standard allows.
//
// AWG sizes follow NEMA MW 1000, SWG and metric sizes IEC 60317-0-1. A size
// without a complete row gets the increases of its neighbours, linear in the
// logarithm of the diameter; an AWG size beyond NEMA's rows, those of the
// metric rows around it. Beyond all rows the increase shrinks with the
// diameter below the thinnest and stays at that of the thickest above.
//
// Editions of a standard and makers differ by about 0.01 mm: a measured
// diameter is better.
func OverallDiameter(g Gauge, insulation string) (Overall, error) {
	if insulation == Bare {
		return Overall{g.Diameter, g.Diameter, g.Diameter, Exact, ""}, nil
	}
	if insulation != Single && insulation != Heavy {
		return Overall{}, fmt.Errorf("%w: %.30q; there is %s, %s and %s", ErrInsulation, insulation, Bare, Single, Heavy)
	}
	inc := increase(g, insulation)
	return Overall{
		Diameter: g.Diameter + (inc.min+inc.max)/2,
		Min:      g.Diameter + inc.min,
		Max:      g.Diameter + inc.max,
		Status:   inc.status,
		Source:   inc.source,
	}, nil
}

// coating is a complete row of the table for one insulation.
type coating struct {
	standard string // "NEMA", "IEC", "SWG"
	size     string // the gauge's number, or mm
	nominal  float64
	min, max float64 // m, increase of the diameter over nominal
	status   Status
	source   string
}

// increase finds what the insulation adds.
func increase(g Gauge, insulation string) coating {
	coatings := table()[insulation]
	own := func(c coating) bool {
		switch g.System {
		case AWG:
			return c.standard == "NEMA" && "AWG "+c.size == g.Name
		case SWG:
			return c.standard == "SWG" && "SWG "+c.size == g.Name
		}
		const same = 1e-9 // relative; nominal sizes differ by percents
		return c.standard == "IEC" && math.Abs(c.nominal-g.Diameter) < same*g.Diameter
	}
	if i := slices.IndexFunc(coatings, own); i >= 0 {
		return coatings[i]
	}
	if g.System == AWG {
		nema := only(coatings, "NEMA")
		if nema[0].nominal <= g.Diameter && g.Diameter <= nema[len(nema)-1].nominal {
			return between(nema, g.Diameter)
		}
	}
	return between(only(coatings, "IEC", "SWG"), g.Diameter)
}

// only returns the coatings of some standards, thinnest first and one for each
// nominal diameter.
func only(coatings []coating, standards ...string) []coating {
	var kept []coating
	for _, c := range coatings {
		if slices.Contains(standards, c.standard) {
			kept = append(kept, c)
		}
	}
	slices.SortStableFunc(kept, func(a, b coating) int { return cmp.Compare(a.nominal, b.nominal) })
	return slices.CompactFunc(kept, func(a, b coating) bool { return a.nominal == b.nominal })
}

// between interpolates in sorted coatings.
func between(coatings []coating, diameter float64) coating {
	i, _ := slices.BinarySearchFunc(coatings, diameter, func(c coating, d float64) int { return cmp.Compare(c.nominal, d) })
	switch i {
	case 0:
		a := coatings[0]
		shrink := min(diameter/a.nominal, 1)
		return coating{min: a.min * shrink, max: a.max * shrink, status: Interpolated, source: "thinner than " + a.source}
	case len(coatings):
		b := coatings[i-1]
		return coating{min: b.min, max: b.max, status: Interpolated, source: "thicker than " + b.source}
	}
	a, b := coatings[i-1], coatings[i]
	t := math.Log(diameter/a.nominal) / math.Log(b.nominal/a.nominal)
	source := a.source
	if b.source != a.source {
		source += "; " + b.source
	}
	return coating{min: a.min + t*(b.min-a.min), max: a.max + t*(b.max-a.max), status: Interpolated, source: source}
}

//go:embed enamel.csv
var enamelCSV string

// table holds the complete rows of enamel.csv by insulation.
var table = sync.OnceValue(func() map[string][]coating {
	t, err := readTable(enamelCSV)
	if err != nil {
		panic("wire: enamel.csv: " + err.Error())
	}
	return t
})

// readTable reads rows of standard, size, unit, nominal diameter, least and
// greatest overall diameter and status of both builds, source. A build without
// both limits is left out.
func readTable(text string) (map[string][]coating, error) {
	rows, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	if err != nil {
		return nil, err
	}
	t := map[string][]coating{}
	for _, row := range rows[1:] {
		unit := 1e-3
		if row[2] == "mil" {
			unit = 25.4e-6
		}
		nominal, err := strconv.ParseFloat(row[3], 64)
		if err != nil {
			return nil, err
		}
		for _, build := range []struct {
			name   string
			column int
		}{{Single, 4}, {Heavy, 7}} {
			low, high := row[build.column], row[build.column+1]
			if low == "" || high == "" {
				continue
			}
			least, err := strconv.ParseFloat(low, 64)
			if err != nil {
				return nil, err
			}
			greatest, err := strconv.ParseFloat(high, 64)
			if err != nil {
				return nil, err
			}
			t[build.name] = append(t[build.name], coating{
				standard: row[0],
				size:     row[1],
				nominal:  nominal * unit,
				min:      (least - nominal) * unit,
				max:      (greatest - nominal) * unit,
				status:   Status(row[build.column+2]),
				source:   row[10],
			})
		}
	}
	return t, nil
}
