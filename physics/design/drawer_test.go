package design

import (
	"context"
	"errors"
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/floats/scalar"
)

// onTable is what the coils of a search stand on.
func onTable() Design {
	d := New()
	d.SetPrimaryKind(NoPrimary)
	d.SetTopLoadKind(NoTopLoad)
	return d
}

// Whatever the drawer lists can be built from it, and is what Evaluate says it is.
func TestDrawerListsBuildableCoils(t *testing.T) {
	search := DrawerSearch{Stock: stockOf(t, drawerStock), Frequency: 2.5e6, MaxHeight: 0.25, Most: 40}
	var last DrawerProgress
	found, err := Drawer(t.Context(), onTable(), search, func(p DrawerProgress) {
		if p.Tried < last.Tried || p.Solved < last.Solved {
			t.Errorf("progress goes back from %+v to %+v", last, p)
		}
		last = p
	})
	if err != nil {
		t.Fatal(err)
	}
	if len(found.Coils) < 5 || last.Tried != last.Combinations || last.Tried != found.Tried {
		t.Fatalf("%d coils of %d tried, last %+v", len(found.Coils), found.Tried, last)
	}
	rings, spaced := 0, 0
	for i, b := range found.Coils {
		name := b.Words(&search.Stock)
		if problems := Check(b.Design); len(problems) > 0 {
			t.Fatalf("%s cannot be built: %v", name, problems)
		}
		r := evaluated(t, b.Design)
		if !scalar.EqualWithinRel(*r.Resonance.Frequency, b.Frequency, 1e-9) || !scalar.EqualWithinRel(*r.Resonance.QualityFactor, b.QualityFactor, 1e-9) ||
			!scalar.EqualWithinRel(*r.Losses.TopVoltagePerRootWatt, b.VoltsPerWatt, 1e-9) || !scalar.EqualWithinRel(*r.Secondary.WindingHeight, b.WindingHeight, 1e-9) {
			t.Errorf("%s: %g Hz, Q %g, %g V, %g m; the report says %g, %g, %g, %g", name, b.Frequency, b.QualityFactor, b.VoltsPerWatt, b.WindingHeight,
				*r.Resonance.Frequency, *r.Resonance.QualityFactor, *r.Losses.TopVoltagePerRootWatt, *r.Secondary.WindingHeight)
		}
		if math.Abs(b.Frequency/search.Frequency-1) > 0.01 || b.Design.Secondary.Turns != math.Trunc(b.Design.Secondary.Turns) {
			t.Errorf("%s rings at %g Hz", name, b.Frequency)
		}
		// 100 mm of tail at either end: common practice, as in the plan.
		if needed := *r.Secondary.WireLength + 0.2; !scalar.EqualWithinRel(b.WireNeeded, needed, 1e-9) || b.WireNeeded > b.WireLeft {
			t.Errorf("%s needs %g m of wire, want %g; there are %g m", name, b.WireNeeded, needed, b.WireLeft)
		}
		former := search.Stock.Formers[b.Former]
		if b.Height > search.MaxHeight || b.WindingHeight+0.02 > former.Length*(1+1e-9) {
			t.Errorf("%s is %g m high, %g m of winding on %g m", name, b.Height, b.WindingHeight, former.Length)
		}
		if i > 0 && b.VoltsPerWatt > found.Coils[i-1].VoltsPerWatt {
			t.Errorf("%s has more volts per watt than what stands before it", name)
		}
		if b.Hub >= 0 {
			rings++
		}
		if !b.Close {
			spaced++
		}
	}
	if rings == 0 || rings == len(found.Coils) || spaced == 0 || spaced == len(found.Coils) {
		t.Errorf("of %d coils %d have a ring and %d are spaced: the list is one-sided", len(found.Coils), rings, spaced)
	}
	if spool := stockOf(t, drawerStock).Wires[1]; spool.left(mustLookUp(t, spool.Wire)) < 60 || spool.left(mustLookUp(t, spool.Wire)) > 90 {
		// AWG 26: 1.144 g/m bare (ASTM B258 diameter, IACS density), some more with heavy enamel.
		t.Errorf("0.1 kg of AWG 26 are %g m", spool.left(mustLookUp(t, spool.Wire)))
	}
}

func mustLookUp(t *testing.T, w Wire) conductor {
	t.Helper()
	c, err := lookUp(w)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func TestDrawerLimits(t *testing.T) {
	search := DrawerSearch{Stock: stockOf(t, drawerStock), Frequency: 3e6, Former: 0.025, Wire: "AWG 32"}
	found, err := Drawer(t.Context(), onTable(), search, nil)
	if err != nil {
		t.Fatal(err)
	}
	for _, b := range found.Coils {
		if b.Former != 1 || b.Wire != 0 {
			t.Errorf("asked for AWG 32 on 25 mm: %s", b.Words(&search.Stock))
		}
	}
	// A spool by its name, and the top load of the open design.
	search.Wire, search.Former = "motor wire", 0
	base := New()
	if found, err = Drawer(t.Context(), base, search, nil); err != nil {
		t.Fatal(err)
	}
	drawn := 0
	for _, b := range found.Coils {
		if b.Wire != 1 {
			t.Errorf("asked for the motor wire: %s", b.Words(&search.Stock))
		}
		if b.Hub < 0 && b.Design.TopLoad.Kind == WireRing {
			drawn++
		}
	}
	if drawn == 0 {
		t.Error("no coil has the top load as drawn")
	}
}

// What cannot be said with coils is said in one sentence, with the nearest that works.
func TestDrawerRefuses(t *testing.T) {
	full := stockOf(t, drawerStock)
	noWire, noFormer, short := full, full, full
	noWire.Wires, noFormer.Formers = nil, nil
	short.Wires = []StockWire{{Wire: Wire{Gauge: "AWG 32", Insulation: Single}, Length: known(6)}}
	for _, test := range []struct {
		name    string
		search  DrawerSearch
		want    []string
		nearest bool
	}{
		{"no wire", DrawerSearch{Stock: noWire, Frequency: 1e6}, []string{"The drawer is empty"}, false},
		{"no former", DrawerSearch{Stock: noFormer, Frequency: 1e6}, []string{"no tube or rod"}, false},
		{"another wire", DrawerSearch{Stock: full, Frequency: 1e6, Wire: "AWG 31"}, []string{"No wire in the drawer is AWG 31: the nearest is AWG 32"}, false},
		{"another former", DrawerSearch{Stock: full, Frequency: 1e6, Former: 0.030}, []string{"No former in the drawer is 30 mm thick: the nearest is syringe"}, false},
		{"spool too short", DrawerSearch{Stock: short, Frequency: 1.4e6}, []string{"to ring at 1.400\u202fMHz: the nearest is", "turns of AWG 32", "the spool is too short for more."}, true},
		{"out of reach below", DrawerSearch{Stock: full, Frequency: 20e3}, []string{"Nothing in the drawer can be built to ring at 20.00\u202fkHz"}, true},
		{"out of reach above", DrawerSearch{Stock: full, Frequency: 500e6}, []string{"fewer than 10 turns are not tried"}, true},
		{"no height", DrawerSearch{Stock: full, Frequency: 1e6, MaxHeight: 0.001}, []string{"no wire goes 10 times round"}, false},
	} {
		_, err := Drawer(t.Context(), onTable(), test.search, nil)
		var drawerError *DrawerError
		if !errors.As(err, &drawerError) || !errors.Is(err, ErrDrawer) {
			t.Errorf("%s: %v", test.name, err)
			continue
		}
		for _, want := range test.want {
			if !strings.Contains(err.Error(), want) {
				t.Errorf("%s: %q lacks %q", test.name, err, want)
			}
		}
		if (drawerError.Nearest != nil) != test.nearest {
			t.Errorf("%s: nearest %v", test.name, drawerError.Nearest)
		} else if test.nearest && len(Check(drawerError.Nearest.Design)) > 0 {
			t.Errorf("%s: the nearest cannot be built", test.name)
		}
	}
	if _, err := Drawer(t.Context(), onTable(), DrawerSearch{Stock: full}, nil); !errors.Is(err, ErrNoTarget) {
		t.Errorf("without a frequency: %v", err)
	}
	ctx, cancel := context.WithCancel(t.Context())
	_, err := Drawer(ctx, onTable(), DrawerSearch{Stock: full, Frequency: 2.5e6}, func(p DrawerProgress) {
		if p.Solved == 2 {
			cancel()
		}
	})
	if !errors.Is(err, context.Canceled) {
		t.Errorf("cancelled on the way: %v", err)
	}
}

// The sieve must not throw away what could be built: the handbook's frequency of
// coils with and without rings lies within the bounds it allows for.
func TestSieveBounds(t *testing.T) {
	if testing.Short() {
		t.Skip("solves several hundred coils")
	}
	stock := stockOf(t, drawerStock)
	for _, permittivity := range []float64{2.5, 7} { // thick plastic, a glass rod
		for _, f := range stockOf(t, drawerStock).Formers {
			f.RelativePermittivity, f.Wall = permittivity, 0.004
			if permittivity > 5 {
				f.Wall = 0
			}
			stock.Formers = append(stock.Formers, f)
		}
	}
	search := DrawerSearch{Stock: stock, Frequency: 2.5e6}
	w := drawer{ctx: t.Context(), solver: NewSolver(), base: onTable(), search: search, progress: func(DrawerProgress) {}}
	if err := w.choose(); err != nil {
		t.Fatal(err)
	}
	least, most := math.Inf(1), 0.0
	for _, top := range w.tops() {
		for _, former := range w.formers {
			for _, spool := range w.wires {
				c, ok := w.combine(top, former, spool, 1.5)
				for _, turns := range []float64{leastTurns, math.Floor(math.Sqrt(leastTurns * c.most)), c.most} {
					if !ok || turns > 600 {
						continue
					}
					exact, err := w.frequency(&c, turns)
					if err != nil {
						continue
					}
					handbook, _ := c.byHandbook(turns)
					ratio := handbook / exact
					least, most = math.Min(least, ratio), math.Max(most, ratio)
					if !(ratio > 1-handbookBelow && ratio < 1+c.handbookAbove()) {
						t.Errorf("%s: handbook over exact %.3f, want within %g and %g", c.coil.Words(&w.search.Stock), ratio, 1-handbookBelow, 1+c.handbookAbove())
					}
				}
			}
		}
	}
	t.Logf("handbook over exact from %.3f to %.3f", least, most)
}

// BenchmarkDrawer sieves a large drawer and solves nothing; candidates/s is what counts.
func BenchmarkDrawerSieve(b *testing.B) {
	stock := stockOf(b, drawerStock)
	for len(stock.Wires) < 20 {
		stock.Wires = append(stock.Wires, stock.Wires...)
	}
	for len(stock.Formers) < 12 {
		stock.Formers = append(stock.Formers, stock.Formers...)
	}
	tried := 0
	for b.Loop() {
		w := drawer{ctx: b.Context(), solver: NewSolver(), base: onTable(), search: DrawerSearch{Stock: stock, Frequency: 2.5e6, Most: usualMost}, progress: func(DrawerProgress) {}}
		if err := w.choose(); err != nil {
			b.Fatal(err)
		}
		if err := w.sieve(); err != nil {
			b.Fatal(err)
		}
		tried += w.at.Tried
	}
	b.ReportMetric(float64(tried)/b.Elapsed().Seconds(), "candidates/s")
}

// BenchmarkDrawer is a whole search, the survivors solved.
func BenchmarkDrawer(b *testing.B) {
	search := DrawerSearch{Stock: stockOf(b, drawerStock), Frequency: 2.5e6}
	for b.Loop() {
		if _, err := Drawer(b.Context(), onTable(), search, nil); err != nil {
			b.Fatal(err)
		}
	}
}
