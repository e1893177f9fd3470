// Package spectrum says whose frequency a coil rings on: which broadcasting,
// amateur, aeronautical, maritime, time-signal and industrial (ISM) services
// work there, by region of the world. Frequencies are in hertz.
//
// Start reading at [Services] and [Summary]. The tables are bands.csv and
// ism.csv, with source and status in every row; many rows are from memory and
// all leave out fixed, land-mobile and national services. They are no legal
// advice: what [Caution] returns belongs beside what they say.
//
// Sources: ITU Radio Regulations, article 5; ICAO Annex 10; 47 CFR 18.301; the
// rest row by row.
package spectrum

import (
	_ "embed"
	"encoding/csv"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"sync"

	"coilwright/physics/sentence"
	"coilwright/physics/si"
)

// Caution is what to say beside any result of this package.
func Caution() sentence.Text {
	return sentence.New("Licensed services work on nearly every frequency a coil can ring on, and there is no ISM band below 6.765 MHz. " +
		"Keep the power, the runs and the radiation small, check your own country's rules, and ask those who know them: this list is incomplete and no legal advice.")
}

// Region is a region of the ITU Radio Regulations.
type Region int

// Regions. AnyRegion stands for all of them.
const (
	AnyRegion Region = iota
	Region1          // Europe, Africa, the Middle East and northern Asia
	Region2          // the Americas
	Region3          // southern and eastern Asia, Oceania
)

// Kind is a kind of radio service.
type Kind string

// Kinds, the most serious first.
const (
	Safety       Kind = "safety" // distress, rescue, safety broadcasts
	Aeronautical Kind = "aeronautical"
	Navigation   Kind = "navigation"
	Time         Kind = "time" // time signals, radio clocks
	Broadcasting Kind = "broadcasting"
	Amateur      Kind = "amateur"
	Cards        Kind = "cards" // contactless cards
	ISM          Kind = "ism"   // industrial, scientific and medical use
)

var order = []Kind{Safety, Aeronautical, Navigation, Time, Broadcasting, Amateur, Cards, ISM}

// Status says whether a row was read in its source or is from memory.
type Status string

// Statuses of a row.
const (
	Seen       Status = "seen"
	FromMemory Status = "mem"
)

// Service is a user of a stretch of spectrum.
type Service struct {
	Kind      Kind
	Name      string   // reads on after "in" or "among"
	Low, High float64  // Hz; equal for a single frequency
	Regions   []Region // where it holds
	Note      string
	Source    string
	Status    Status
}

// channel is how near, in Hz, a frequency must come to a single one to count as
// on it: the width of a voice channel at sea, 3 kHz (from memory).
const channel = 3e3

// Services returns who works on a frequency in a region, the most serious
// first. It is empty outside the tables, which does not mean that nobody does.
func Services(frequency float64, region Region) []Service {
	return Between(frequency, frequency, region)
}

// Between returns who works anywhere from low to high, for a frequency that is
// known to lie between the two.
func Between(low, high float64, region Region) []Service {
	var found []Service
	for _, s := range table() {
		margin := 0.0
		if s.Low == s.High {
			margin = channel
		}
		if high >= s.Low-margin && low <= s.High+margin && (region == AnyRegion || slices.Contains(s.Regions, region)) {
			found = append(found, s)
		}
	}
	slices.SortStableFunc(found, func(a, b Service) int {
		return slices.Index(order, a.Kind) - slices.Index(order, b.Kind)
	})
	return found
}

// Summary says in a few words who works on a frequency, for a line of results:
// "medium-wave broadcasting", "amateur 80 m band, and others". Two services at
// most are named.
func Summary(frequency float64, region Region) sentence.Text {
	var names []sentence.Text
	said := map[string]bool{}
	for _, s := range Services(frequency, region) {
		if name := s.Words(); !said[name.String()] {
			said[name.String()] = true
			names = append(names, name)
		}
	}
	const most = 2
	switch {
	case len(names) == 0:
		return sentence.New("no service of our list; others may be licensed there")
	case len(names) > most:
		return sentence.New("%s, and others", sentence.Join(", ", names[:most]...))
	}
	return sentence.Join(", ", names...)
}

// String returns the name, with the frequency if it is a single one.
func (s Service) String() string { return s.Words().String() }

// Words is String for any reader.
func (s Service) Words() sentence.Text {
	name := sentence.New(s.Name) // of the list
	if s.Low != s.High {
		return name
	}
	return sentence.New("%s at %s", name, si.Format(s.Low, si.Kilohertz, si.Shortest))
}

//go:embed bands.csv
var bandsCSV string

//go:embed ism.csv
var ismCSV string

// All returns the whole table, in the order of its files.
func All() []Service { return slices.Clone(table()) }

var table = sync.OnceValue(func() []Service {
	bands, err := read(bandsCSV, band)
	if err != nil {
		panic("spectrum: bands.csv: " + err.Error())
	}
	ism, err := read(ismCSV, industrial)
	if err != nil {
		panic("spectrum: ism.csv: " + err.Error())
	}
	return append(bands, ism...)
})

// read turns the rows below a heading into services.
func read(text string, service func(row []string) (Service, error)) ([]Service, error) {
	rows, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	if err != nil {
		return nil, err
	}
	var services []Service
	for i, row := range rows[1:] {
		s, err := service(row)
		if err != nil {
			return nil, fmt.Errorf("row %d: %w", i+2, err)
		}
		services = append(services, s)
	}
	return services, nil
}

// band reads kind, name, low and high MHz, regions, note, source, status.
func band(row []string) (Service, error) {
	low, high, err := megahertz(row[2], row[3])
	if err != nil {
		return Service{}, err
	}
	return Service{Kind(row[0]), row[1], low, high, regions(row[4]), row[5], row[6], Status(row[7])}, nil
}

// industrial reads low, high and centre MHz, regions, footnote, note, source,
// status.
func industrial(row []string) (Service, error) {
	low, high, err := megahertz(row[0], row[1])
	if err != nil {
		return Service{}, err
	}
	return Service{ISM, "ISM band around " + row[2] + "\u202fMHz", low, high, regions(row[3]), row[4] + ", " + row[5], row[6], Status(row[7])}, nil
}

// megahertz reads the two ends of a band and returns them in Hz.
func megahertz(low, high string) (l, h float64, err error) {
	if l, err = strconv.ParseFloat(low+"e6", 64); err != nil {
		return 0, 0, err
	}
	h, err = strconv.ParseFloat(high+"e6", 64)
	return l, h, err
}

// regions reads "13" as regions 1 and 3.
func regions(digits string) []Region {
	var list []Region
	for _, digit := range digits {
		list = append(list, Region(digit-'0'))
	}
	return list
}
