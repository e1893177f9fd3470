// Package dielectric lists what formers of coils are made of: relative permittivity
// and loss tangent at about 1 MHz, with source and status. Start with [Materials].
package dielectric

import (
	_ "embed"
	"encoding/csv"
	"fmt"
	"strconv"
	"strings"
)

// Material is what a former may be made of.
type Material struct {
	Name                 string  // lower case, one word
	RelativePermittivity float64 // 1 and up
	LossTangent          float64 // 0 and up
	Frequency            float64 // Hz, at which both hold
	Source               string
	Status               string // "exact", "seen" in the source or "from memory"
}

//go:embed materials.csv
var table string

// Materials returns the list, air first. Values differ between makes, with damp and with
// temperature: they are where to start, to be replaced by what was measured.
func Materials() []Material {
	records, err := csv.NewReader(strings.NewReader(table)).ReadAll()
	if err != nil {
		panic(fmt.Sprintf("dielectric: materials.csv: %v", err)) // embedded: wrong for everybody
	}
	var all []Material
	for _, r := range records[1:] {
		m := Material{Name: r[0], Source: r[4], Status: r[5]}
		for i, to := range []*float64{&m.RelativePermittivity, &m.LossTangent, &m.Frequency} {
			if *to, err = strconv.ParseFloat(r[1+i], 64); err != nil {
				panic(fmt.Sprintf("dielectric: materials.csv: %v", err))
			}
		}
		all = append(all, m)
	}
	return all
}
