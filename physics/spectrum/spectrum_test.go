package spectrum

import (
	"slices"
	"strings"
	"testing"
)

func TestServices(t *testing.T) {
	for _, test := range []struct {
		name      string
		frequency float64 // Hz
		region    Region
		want      []Kind
		source    string
	}{
		{"medium wave in Europe", 1.2e6, Region1, []Kind{Aeronautical, Broadcasting}, "ITU RR art. 5, 526.5 to 1606.5 kHz; ICAO Annex 10"},
		{"above medium wave in Europe", 1.65e6, Region1, []Kind{Aeronautical}, "ICAO Annex 10 up to 1750 kHz"},
		{"extended band in America", 1.65e6, Region2, []Kind{Aeronautical, Broadcasting}, "47 CFR 73, up to 1705 kHz"},
		{"distress voice", 2.182e6, AnyRegion, []Kind{Safety}, "ITU RR app. 15, 2182 kHz"},
		{"near distress voice", 2.1805e6, AnyRegion, []Kind{Safety}, "1.5 kHz off, within a channel"},
		{"clear of it", 2.2e6, AnyRegion, nil, "18 kHz off"},
		{"80 m in Europe", 3.79e6, Region1, []Kind{Amateur}, "ITU RR art. 5, 3.5 to 3.8 MHz"},
		{"beyond 80 m in Europe", 3.85e6, Region1, nil, "ITU RR art. 5, 3.5 to 3.8 MHz"},
		{"80 m in America", 3.85e6, Region2, []Kind{Amateur}, "ITU RR art. 5, 3.5 to 4.0 MHz"},
		{"40 m in America", 7.25e6, Region2, []Kind{Amateur}, "ITU RR art. 5, 7.0 to 7.3 MHz"},
		{"41 m in Europe", 7.25e6, Region1, []Kind{Broadcasting}, "ITU RR art. 5, 7.2 to 7.45 MHz"},
		{"standard frequency", 5e6, AnyRegion, []Kind{Time}, "5 MHz"},
		{"lowest ISM band", 6.78e6, AnyRegion, []Kind{ISM}, "47 CFR 18.301, 6.78 MHz ± 15 kHz"},
		{"its lower edge", 6.765e6, AnyRegion, []Kind{ISM}, "47 CFR 18.301"},
		{"below it", 6.7649e6, AnyRegion, nil, "47 CFR 18.301: none below 6.765 MHz"},
		{"cards", 13.56e6, Region3, []Kind{Cards, ISM}, "ISO/IEC 14443; 47 CFR 18.301"},
		{"915 MHz in Europe", 915e6, Region1, nil, "ITU RR 5.150: region 2 only"},
	} {
		var got []Kind
		for _, s := range Services(test.frequency, test.region) {
			got = append(got, s.Kind)
		}
		if !slices.Equal(got, test.want) {
			t.Errorf("%s: Services(%g, %d) = %v, want %v (%s)", test.name, test.frequency, test.region, got, test.want, test.source)
		}
	}
}

func TestNoISMBelow(t *testing.T) {
	for _, s := range Between(0, 6.7649e6, AnyRegion) {
		if s.Kind == ISM {
			t.Errorf("%s begins at %g Hz, want none below 6.765 MHz (47 CFR 18.301)", s.Name, s.Low)
		}
	}
}

func TestBetween(t *testing.T) {
	// A frequency known to 2 %, 2.1 to 2.19 MHz, can hit three distress
	// frequencies: 2174.5, 2182 and 2187.5 kHz (ITU RR app. 15).
	if got := len(Between(2.1e6, 2.19e6, AnyRegion)); got != 3 {
		t.Errorf("Between(2.1 MHz, 2.19 MHz) has %d services, want 3", got)
	}
	if got := len(Between(2.1e6, 2.17e6, AnyRegion)); got != 0 {
		t.Errorf("Between(2.1 MHz, 2.17 MHz) has %d services, want 0", got)
	}
}

func TestSummary(t *testing.T) {
	for _, test := range []struct {
		frequency float64
		region    Region
		want      string
	}{
		{3.6e6, Region1, "amateur 80 m band"},
		{2.182e6, Region2, "maritime distress and safety at 2182\u202fkHz"},
		{6.78e6, AnyRegion, "ISM band around 6.78\u202fMHz"},
		{0.3e6, Region2, "aeronautical radio beacons, aeronautical navigation aids"},
		{4.6e6, AnyRegion, "no service of our list; others may be licensed there"},
		{3.98e6, AnyRegion, "short-wave broadcasting (75 m), amateur 80 m band"},
		{0.28e6, AnyRegion, "aeronautical radio beacons, aeronautical navigation aids, and others"},
		{0.5e6, AnyRegion, "maritime distress and safety at 500\u202fkHz, aeronautical radio beacons"},
		{0.5268e6, AnyRegion, "aeronautical radio beacons, medium-wave broadcasting"},
	} {
		if got := Summary(test.frequency, test.region).String(); got != test.want {
			t.Errorf("Summary(%g, %d) = %q, want %q", test.frequency, test.region, got, test.want)
		}
	}
}

// TestTable holds the form of the rows.
func TestTable(t *testing.T) {
	all := All()
	if len(all) < 60 {
		t.Fatalf("the table has %d rows", len(all))
	}
	for _, s := range all {
		if !slices.Contains(order, s.Kind) || s.Name == "" || !(0 < s.Low && s.Low <= s.High) || s.Source == "" ||
			s.Status != Seen && s.Status != FromMemory || len(s.Regions) == 0 {
			t.Errorf("row %+v is incomplete", s)
		}
		for _, r := range s.Regions {
			if r < Region1 || r > Region3 {
				t.Errorf("%s: region %d", s.Name, r)
			}
		}
	}
	for _, words := range []string{"legal advice", "country's rules"} {
		if !strings.Contains(Caution().String(), words) {
			t.Errorf("Caution does not say %q", words)
		}
	}
}
