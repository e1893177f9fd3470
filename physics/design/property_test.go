package design

import (
	"context"
	"errors"
	"flag"
	"math"
	"os"
	"reflect"
	"strconv"
	"testing"
	"time"

	"gonum.org/v1/gonum/floats/scalar"
	"pgregory.net/rapid"

	"coilwright/physics/resonance"
)

// cases sets how many designs the properties of this file are tried on: some
// in every run, many where COILWRIGHT_LONG is set.
func cases(t *testing.T, short, long int) {
	t.Helper()
	n := short
	if os.Getenv("COILWRIGHT_LONG") != "" {
		n = long
	}
	before := flag.Lookup("rapid.checks").Value.String()
	set := func(value string) {
		if err := flag.Set("rapid.checks", value); err != nil {
			t.Fatal(err)
		}
	}
	set(strconv.Itoa(n))
	t.Cleanup(func() { set(before) })
}

// stuck is how long one solve may take before a test gives it up: a solve that
// hangs, not one that is slow. Benchmarks measure.
const stuck = time.Minute

// quickly evaluates d at the quick tier.
func quickly(d Design) (Report, error) {
	ctx, cancel := context.WithTimeout(context.Background(), stuck)
	defer cancel()
	return NewSolver().Quick(ctx, d)
}

// sliders draws a design from the box that the sliders of the window span; far
// beyond them as well if far is set, to the limits of what a file may hold.
func sliders(far bool) *rapid.Generator[Design] {
	return rapid.Custom(func(t *rapid.T) Design {
		draw := func(label string, low, high, lowest, highest float64) float64 {
			if far && rapid.IntRange(0, 3).Draw(t, label+" far") == 0 {
				low, high = lowest, highest
			}
			return math.Exp(rapid.Float64Range(math.Log(low), math.Log(high)).Draw(t, label))
		}
		pick := func(label string, words ...string) string { return rapid.SampledFrom(words).Draw(t, label) }
		chance := func(label string) bool { return rapid.Bool().Draw(t, label) }
		wire := func(label string, thickest, thinnest int) Wire {
			gauge := "AWG " + strconv.Itoa(rapid.IntRange(thickest, thinnest).Draw(t, label))
			if chance(label + " metric") {
				gauge = strconv.FormatFloat(draw(label+" mm", 0.05, 2, 0.01, 10), 'f', 3, 64) + " mm"
			}
			return Wire{Gauge: gauge, Insulation: pick(label+" insulation", Bare, Single, Heavy)}
		}
		d := New()
		s := &d.Secondary
		s.FormerDiameter, s.Turns, s.Wire = draw("former", 8e-3, 0.16, 1e-5, 10), draw("turns", 10, 1500, 1, 2000), wire("wire", 16, 40)
		if chance("whole turns") {
			s.Turns = math.Round(s.Turns)
		}
		if s.Pitch = 0; chance("spaced") {
			s.Pitch = draw("pitch", 1e-4, 5e-3, 1e-6, 1)
		}
		s.BaseHeight = draw("base", 1e-3, 0.2, 1e-9, 100)
		top := &d.TopLoad
		top.Kind, top.Height = pick("top", NoTopLoad, WireRing, Torus, Sphere, Disc), draw("height", 1e-3, 0.1, 1e-9, 100)
		top.Closed = chance("closed")
		switch top.Kind {
		case WireRing:
			top.Wire, top.FormerDiameter, top.HubDiameter = wire("ring wire", 10, 24), draw("ring former", 5e-3, 0.05, 1e-6, 10), draw("hub", 3e-3, 0.03, 1e-6, 10)
			top.Turns = rapid.IntRange(1, 60).Draw(t, "ring turns")
		case Torus:
			top.OuterDiameter, top.TubeDiameter = draw("outer", 0.02, 0.4, 1e-6, 10), draw("tube", 3e-3, 0.1, 1e-6, 10)
		case Sphere:
			top.Diameter = draw("sphere", 0.01, 0.3, 1e-6, 10)
		case Disc:
			top.Diameter, top.Thickness = draw("disc", 0.02, 0.4, 1e-6, 10), draw("thickness", 5e-4, 0.02, 1e-6, 10)
			if chance("thin") {
				top.Thickness = 0
			}
		}
		p := &d.Primary
		p.Kind = pick("primary", NoPrimary, Cylinder, Spiral, Cone)
		if p.Kind != NoPrimary {
			p.Turns, p.InnerDiameter, p.Wire = draw("primary turns", 1, 20, 0.1, 200), draw("inner", 0.03, 0.3, 1e-6, 10), wire("primary wire", 8, 24)
			p.BaseHeight = draw("primary base", 1e-3, 0.2, 1e-9, 100)
			if p.Pitch = 0; chance("primary spaced") {
				p.Pitch = draw("primary pitch", 1e-3, 0.02, 1e-6, 10)
			}
			if p.Kind == Cone {
				p.ConeAngle = rapid.Float64Range(0, 90).Draw(t, "angle")
			}
		}
		r := &d.Room
		r.Ground, r.FloorDepth = pick("ground", Floor, MetalPlane, Open), draw("depth", 0.01, 2, 1e-9, 100)
		if r.Foot = pick("foot", Earthed, Circuit); r.Foot == Circuit {
			r.CircuitDiameter, r.EarthCapacitance = draw("board", 0.02, 0.3, 1e-6, 10), draw("earth", 1e-13, 1e-10, 1e-18, 1)
		}
		if r.CeilingHeight = 0; chance("ceiling") {
			r.CeilingHeight = draw("ceiling height", 0.3, 4, 1e-9, 100)
		}
		r.AirTemperature = rapid.Float64Range(-60, 100).Draw(t, "temperature")
		return d
	})
}

// checkFinite fails for every number in v that is not finite.
func checkFinite(t interface{ Errorf(string, ...any) }, path string, v reflect.Value) {
	switch v.Kind() {
	case reflect.Pointer, reflect.Interface:
		if !v.IsNil() {
			checkFinite(t, path, v.Elem())
		}
	case reflect.Struct:
		for i := range v.NumField() {
			if v.Type().Field(i).IsExported() {
				checkFinite(t, path+"."+v.Type().Field(i).Name, v.Field(i))
			}
		}
	case reflect.Slice, reflect.Array:
		for i := range v.Len() {
			checkFinite(t, path+"["+strconv.Itoa(i)+"]", v.Index(i))
		}
	case reflect.Float64:
		if x := v.Float(); math.IsNaN(x) || math.IsInf(x, 0) {
			t.Errorf("%s is %g", path, x)
		}
	default:
	}
}

// Any design is answered: by numbers that are numbers, with the ones every coil
// has, or by what is wrong with it. Far beyond the sliders a few may be given up
// as not solved, a metre of torus that touches the winding say.
func TestAnyDesignIsAnswered(t *testing.T) {
	for _, test := range []struct {
		name        string
		far         bool
		short, long int
	}{
		{"in reach of the sliders", false, 600, 12_000},
		{"far beyond them", true, 400, 8_000},
	} {
		t.Run(test.name, func(t *testing.T) {
			cases(t, test.short, test.long)
			var built, refused, unsolved int
			var slowest time.Duration
			var slowestDesign Design
			rapid.Check(t, func(t *rapid.T) {
				d := sliders(test.far).Draw(t, "design")
				began := time.Now()
				r, err := quickly(d)
				if took := time.Since(began); took > slowest {
					slowest, slowestDesign = took, d
				}
				if test.far && errors.Is(err, resonance.ErrNotSolved) {
					unsolved++
					return
				}
				if err != nil {
					if problems := (Problems)(nil); !errors.As(err, &problems) || len(problems) == 0 {
						t.Fatalf("refused without a reason: %v", err)
					}
					refused++
					return
				}
				built++
				checkFinite(t, "report", reflect.ValueOf(r))
				for name, x := range map[string]*float64{
					"frequency": r.Resonance.Frequency, "bare frequency": r.Resonance.BareFrequency,
					"inductance": r.Secondary.Inductance, "resistance": r.Secondary.ResistanceDC,
					"foot inductance": r.Resonance.FootInductance, "top capacitance": r.Resonance.TopCapacitance,
				} {
					if x == nil || *x <= 0 {
						t.Errorf("%s is %v", name, x)
					}
				}
			})
			t.Logf("%d built, %d refused, %d not solved; the slowest took %v: %+v", built, refused, unsolved, slowest, slowestDesign)
			if least := 5; built < least || refused < least || unsolved > built/100 {
				t.Errorf("%d built, %d refused, %d not solved", built, refused, unsolved)
			}
		})
	}
}

// buildable draws a design from the box of the sliders that has a report, and
// returns both.
func buildable(t *rapid.T) (Design, Report) {
	d := sliders(false).Draw(t, "design")
	d.Room.CeilingHeight = 0 // or it hits its head when it grows
	r, err := quickly(d)
	if err != nil {
		t.Skip("cannot be built")
	}
	return d, r
}

// More turns, nothing else changed, ring lower, with and without a top load. One
// that hangs down beside the winding is left out: it rises with the winding from
// what lies under it, and loses capacitance.
func TestMoreTurnsRingLower(t *testing.T) {
	cases(t, 100, 2000)
	rapid.Check(t, func(t *rapid.T) {
		d, less := buildable(t)
		d.Secondary.Turns += rapid.Float64Range(0.05, 50).Draw(t, "more turns")
		more, err := quickly(d)
		if err != nil {
			t.Skip("cannot be built")
		}
		if a, b := *less.Resonance.BareFrequency, *more.Resonance.BareFrequency; b >= a {
			t.Errorf("bare: %g Hz with %g turns, %g Hz before", b, d.Secondary.Turns, a)
		}
		hangs := d.TopLoad.Height < max(d.TopLoad.TubeDiameter, d.TopLoad.Diameter, d.TopLoad.FormerDiameter)/2
		if a, b := *less.Resonance.Frequency, *more.Resonance.Frequency; b >= a && !hangs {
			t.Errorf("%g Hz with %g turns, %g Hz before", b, d.Secondary.Turns, a)
		}
	})
}

// A larger body of the same kind has more capacitance.
func TestLargerTopLoadHasMoreCapacitance(t *testing.T) {
	cases(t, 100, 2000)
	rapid.Check(t, func(t *rapid.T) {
		d, small := buildable(t)
		by := rapid.Float64Range(1.001, 2).Draw(t, "larger by")
		top := &d.TopLoad
		for _, size := range []*float64{&top.FormerDiameter, &top.OuterDiameter, &top.Diameter} {
			*size *= by
		}
		top.Height += 0.5 * (by - 1) * (top.FormerDiameter + top.TubeDiameter + top.Diameter) // clear of the winding
		large, err := quickly(d)
		if err != nil || top.Kind == NoTopLoad {
			t.Skip("cannot be built")
		}
		if a, b := *small.TopLoad.Capacitance, *large.TopLoad.Capacitance; b <= a {
			t.Errorf("%s: %g F when larger by %g, %g F before", top.Kind, b, by, a)
		}
	})
}

// Maxwell's equations know no length: a coil of twice the size has twice the
// inductance and capacitance and rings at half the frequency. The air's
// capacitance to earth scales with it.
func TestScaling(t *testing.T) {
	cases(t, 100, 2000)
	rapid.Check(t, func(t *rapid.T) {
		d, small := buildable(t)
		by := rapid.Float64Range(0.5, 2).Draw(t, "scale")
		l, problems := layOut(&d)
		if len(problems) > 0 {
			t.Fatal(problems)
		}
		thick := func(w *Wire, c conductor) {
			w.Gauge, w.OverallDiameter = strconv.FormatFloat(c.bare*by*1e3, 'g', -1, 64)+" mm", c.overall*by
		}
		thick(&d.Secondary.Wire, l.secondary.wire)
		if d.TopLoad.Kind == WireRing {
			thick(&d.TopLoad.Wire, l.top.wire)
		}
		if d.Primary.Kind != NoPrimary {
			thick(&d.Primary.Wire, l.primary.wire)
		}
		s, top, p, room := &d.Secondary, &d.TopLoad, &d.Primary, &d.Room
		for _, x := range []*float64{
			&s.FormerDiameter, &s.FormerWall, &s.Pitch, &s.BaseHeight,
			&top.Height, &top.FormerDiameter, &top.HubDiameter, &top.OuterDiameter, &top.TubeDiameter, &top.Diameter, &top.Thickness,
			&p.InnerDiameter, &p.Pitch, &p.BaseHeight, &room.FloorDepth, &room.CircuitDiameter, &room.EarthCapacitance,
		} {
			*x *= by
		}
		large, err := quickly(d)
		if err != nil {
			t.Skip("cannot be built")
		}
		for _, test := range []struct {
			name        string
			small, want *float64
			factor      float64
		}{
			{"frequency", small.Resonance.Frequency, large.Resonance.Frequency, 1 / by},
			{"bare frequency", small.Resonance.BareFrequency, large.Resonance.BareFrequency, 1 / by},
			{"inductance", small.Secondary.Inductance, large.Secondary.Inductance, by},
			{"foot inductance", small.Resonance.FootInductance, large.Resonance.FootInductance, by},
			{"top capacitance", small.Resonance.TopCapacitance, large.Resonance.TopCapacitance, by},
			{"capacitance of the top load", small.TopLoad.Capacitance, large.TopLoad.Capacitance, by},
			{"length of wire", small.Secondary.WireLength, large.Secondary.WireLength, by},
			{"mutual inductance", small.Primary.MutualInductance, large.Primary.MutualInductance, by},
			{"coupling", small.Primary.Coupling, large.Primary.Coupling, 1},
		} {
			if (test.small == nil) != (test.want == nil) {
				t.Errorf("%s is there at one size alone", test.name)
				continue
			}
			const tolerance = 1e-7 // the largest condition of the matrices, 1e8, times the rounding of a number
			if test.small != nil && !scalar.EqualWithinRel(*test.want, *test.small*test.factor, tolerance) {
				t.Errorf("%s = %g at the scale of %g, want %g", test.name, *test.want, by, *test.small*test.factor)
			}
		}
	})
}
