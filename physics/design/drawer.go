package design

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"

	"coilwright/physics/electrostatics"
	"coilwright/physics/inductance"
	"coilwright/physics/loss"
	"coilwright/physics/resonance"
	"coilwright/physics/si"
	"coilwright/physics/topload"
	"coilwright/physics/winding"
	"coilwright/physics/wire"
)

// DrawerSearch is what to build from a stock.
type DrawerSearch struct {
	Stock     Stock
	Frequency float64 // Hz, to ring at
	MaxHeight float64 // m, from the winding's lower edge to the highest point of the coil; 0: any
	Former    float64 // m, only on formers of this diameter; 0: on any
	Wire      string  // only with this gauge, or the spool of that name; empty: with any
	Most      int     // how many coils to solve, the most promising of every wire and former; 0: 60
}

// Buildable is a coil that can be built from a stock.
type Buildable struct {
	Design Design

	Wire, Former, RingWire, RingFormer, Hub int // indices into the lists of the stock; -1: none
	Close                                   bool

	Frequency     float64 // Hz
	QualityFactor float64 // the most it can have
	VoltsPerWatt  float64 // V, crest of the top that one watt keeps up; it grows with the root of the power
	Height        float64 // m, from the winding's lower edge to the highest point
	WindingHeight float64 // m
	WireNeeded    float64 // m, of the winding, tails included
	WireLeft      float64 // m on the spool; +Inf: as much as is needed
	RingNeeded    float64 // m of wire for the ring, spare turns and tails included; 0: none
}

// DrawerResult is what a search finds.
type DrawerResult struct {
	Coils   []Buildable // most volts per watt first
	Tried   int         // combinations of wire, former, spacing and top load
	Fitting int         // of them that by the handbook can be built
}

// DrawerProgress is how far a search has come.
type DrawerProgress struct {
	Tried, Combinations int // by the handbook
	Solved, ToSolve     int // exactly; 0 of 0 before the handbook is done
}

// ErrDrawer is wrapped by a [DrawerError].
var ErrDrawer = errors.New("design: nothing from the drawer")

// DrawerError says that nothing can be built from a stock that rings as wanted. Its text
// is a sentence for the user.
type DrawerError struct {
	Nearest *Buildable // what comes nearest; nil: nothing does
	text    string
}

func (e *DrawerError) Error() string { return e.text }
func (e *DrawerError) Unwrap() error { return ErrDrawer }

const (
	usualMost = 60

	// The handbook's frequency lies between so much below and above the exact one
	// for coils with and without a ring on top; BenchmarkDrawer says what that lets
	// through in vain.
	handbookBelow, handbookAbove = 0.50, 0.10

	leastTurns   = 10     // of a winding worth the name
	mostSlender  = 10.0   // height of a winding over its diameter; common practice, no source
	shareOfHub   = 0.9    // of the turns that a hub holds, so that the ring closes without a fight; common practice
	leastRing    = 8      // turns
	ringWireMin  = 0.8e-3 // m, bare: thinner wire does not keep a ring's shape; common practice
	ringOverTube = 5      // least former of a ring over its wire
	ringGap      = 0.003  // m, between a winding and the ring over it
	drawerMiss   = 0.01   // of the frequency, that a whole number of turns may stay off
	mostSettling = 8      // solutions for the turns of one coil
)

// spacings are the pitches tried, over the wire's overall diameter; 0: close wound.
var spacings = []float64{0, 1.5, 2}

// combination is a coil but for its turns.
type combination struct {
	coil   Buildable // indices, Close and what the ring takes
	layout layout
	top    float64 // F, capacitance of the top load alone
	over   float64 // m, from the winding's upper edge to the highest point

	left  float64 // m of wire for the winding
	most  float64 // turns
	limit string  // what sets it

	turns float64 // by the handbook
	merit float64 // volts per root watt by the handbook
}

// Drawer is [Solver.Drawer] for a single search.
func Drawer(ctx context.Context, base Design, search DrawerSearch, progress func(DrawerProgress)) (DrawerResult, error) {
	return NewSolver().Drawer(ctx, base, search, progress)
}

// Drawer lists coils that can be built from a stock and ring at a frequency, in
// place of the winding and the top load of base, whose room and primary stay. Every wire
// goes on every former, close wound and spaced, with no top load, with that of base, and
// with a ring of every bare wire on every hub. The handbook sieves out what cannot reach
// the frequency, the most promising of the rest are solved with whole turns.
//
// progress may be nil. The error is a [DrawerError] if nothing can be built, wraps
// [ErrNoTarget] for a frequency that is none, is [Problems] for a stock that [ReadStock]
// would refuse, or that of ctx.
func (s *Solver) Drawer(ctx context.Context, base Design, search DrawerSearch, progress func(DrawerProgress)) (DrawerResult, error) {
	if !(search.Frequency > 0) || math.IsInf(search.Frequency, 0) {
		return DrawerResult{}, fmt.Errorf("%w: the target must be above 0, not %g", ErrNoTarget, search.Frequency)
	}
	if problems := search.Stock.Check(); len(problems) > 0 {
		return DrawerResult{}, Problems(problems)
	}
	if progress == nil {
		progress = func(DrawerProgress) {}
	}
	if search.Most == 0 {
		search.Most = usualMost
	}
	w := drawer{ctx: ctx, solver: s, base: base, search: search, progress: progress}
	if err := w.choose(); err != nil {
		return DrawerResult{}, err
	}
	if err := w.sieve(); err != nil {
		return DrawerResult{}, err
	}
	return w.solve()
}

// drawer is a search on its way.
type drawer struct {
	ctx      context.Context
	solver   *Solver
	base     Design
	search   DrawerSearch
	progress func(DrawerProgress)

	conductors []conductor // of the wires
	lengths    []float64   // m left of each
	wires      []int       // that may be wound
	formers    []int

	at      DrawerProgress
	fitting []combination
	missed  *combination // what cannot reach the frequency by the least
	miss    float64      // ln of its frequency over the target, by the handbook
}

// choose looks up the wires and leaves out what is not wanted.
func (w *drawer) choose() error {
	stock := &w.search.Stock
	switch {
	case len(stock.Wires) == 0:
		return &DrawerError{text: "The drawer is empty: there is no wire in it to wind a coil of."}
	case len(stock.Formers) == 0:
		return &DrawerError{text: "There is no tube or rod in the drawer to wind a coil on."}
	}
	nearest, distance := "", math.Inf(1)
	wanted, _ := lookUp(Wire{Gauge: w.search.Wire, Insulation: Bare})
	for i, spool := range stock.Wires {
		c, err := lookUp(spool.Wire)
		if err != nil {
			return err
		}
		w.conductors = append(w.conductors, c)
		w.lengths = append(w.lengths, spool.left(c))
		if w.search.Wire == "" || spool.Name == w.search.Wire || wanted.bare > 0 && math.Abs(c.bare/wanted.bare-1) < slack {
			w.wires = append(w.wires, i)
		}
		if d := math.Abs(math.Log(c.bare / wanted.bare)); d < distance {
			nearest, distance = spool.Called(), d
		}
	}
	if len(w.wires) == 0 {
		text := fmt.Sprintf("No wire in the drawer is %s", w.search.Wire)
		if nearest != "" {
			text += ": the nearest is " + nearest
		}
		return &DrawerError{text: text + "."}
	}
	nearest, distance = "", math.Inf(1)
	for i, f := range stock.Formers {
		d := 0.0
		if w.search.Former > 0 {
			d = math.Abs(f.Diameter/w.search.Former - 1)
		}
		if d < formerTolerance {
			w.formers = append(w.formers, i)
		}
		if d < distance {
			nearest, distance = f.Called(), d
		}
	}
	if len(w.formers) == 0 {
		return &DrawerError{text: fmt.Sprintf("No former in the drawer is %s thick: the nearest is %s.", mm(w.search.Former), nearest)}
	}
	return nil
}

// left returns the wire in m on the spool; +Inf: as much as is needed.
func (w StockWire) left(c conductor) float64 {
	switch {
	case w.Length != nil:
		return *w.Length
	case w.Mass != nil:
		weight := winding.Secondary{BareDiameter: c.bare, OverallDiameter: c.overall}.MassPerMetre()
		return *w.Mass / weight
	}
	return math.Inf(1)
}

// tops returns the top loads to try, each as a combination without a winding. Their
// heights over the winding are set later.
func (w *drawer) tops() []combination {
	none := Buildable{Wire: -1, Former: -1, RingWire: -1, RingFormer: -1, Hub: -1}
	none.Design = w.base
	none.Design.TargetFrequency = w.search.Frequency
	none.Design.Variants, none.Design.Measurements = nil, nil
	var all []combination
	add := func(b Buildable) {
		l, problems := layOut(&b.Design)
		if len(problems) > 0 {
			return
		}
		c := combination{coil: b, layout: l}
		if l.top.kind != NoTopLoad {
			value, _, err := isolatedCapacitance(l.top)
			if err != nil {
				return
			}
			c.top = value
		}
		all = append(all, c)
	}
	bare := none
	bare.Design.TopLoad.Kind = NoTopLoad
	add(bare)
	if w.base.TopLoad.Kind != NoTopLoad {
		add(none)
	}
	stock := &w.search.Stock
	for i, c := range w.conductors {
		if stock.Wires[i].Wire.Insulation != Bare || c.bare < ringWireMin {
			continue
		}
		for j, former := range stock.Formers {
			for k, hub := range stock.Hubs {
				ring := topload.Ring{WireDiameter: c.bare, FormerDiameter: former.Diameter, HubDiameter: hub.Diameter}
				ring.Turns = int(shareOfHub * float64(ring.MaxTurns()))
				if ring.Turns < leastRing || former.Diameter < ringOverTube*c.bare || ring.Check("") != nil {
					continue
				}
				b := none
				b.RingWire, b.RingFormer, b.Hub = i, j, k
				t := &b.Design.TopLoad
				t.Kind, t.Wire, t.Turns = WireRing, stock.Wires[i].Wire, ring.Turns
				t.FormerDiameter, t.HubDiameter = former.Diameter, hub.Diameter
				b.RingNeeded = ringOf(topBody{ring: ring}, winding.DefaultSettings()).CutLength()
				if b.RingNeeded <= w.lengths[i] {
					add(b)
				}
			}
		}
	}
	return all
}

// sieve tries every combination by the handbook.
func (w *drawer) sieve() error {
	tops := w.tops()
	w.at.Combinations = len(tops) * len(w.formers) * len(w.wires) * len(spacings)
	for _, top := range tops {
		for _, former := range w.formers {
			if err := w.ctx.Err(); err != nil {
				return err
			}
			w.progress(w.at)
			for _, spool := range w.wires {
				for _, spacing := range spacings {
					w.at.Tried++
					if c, ok := w.combine(top, former, spool, spacing); ok {
						w.consider(c)
					}
				}
			}
		}
	}
	w.progress(w.at)
	return nil
}

// combine puts a top load on a winding, if one can be wound at all.
func (w *drawer) combine(c combination, former, spool int, spacing float64) (combination, bool) {
	stock := &w.search.Stock
	tube, of, conductor := stock.Formers[former], stock.Wires[spool].Wire, w.conductors[spool]
	if spacing == 0 && of.Insulation == Bare {
		return c, false
	}
	c.coil.Former, c.coil.Wire, c.coil.Close = former, spool, spacing == 0
	d := &c.coil.Design
	if d.Primary.Kind != NoPrimary {
		d.Primary.InnerDiameter += tube.Diameter - w.base.Secondary.FormerDiameter
	}
	d.Secondary.FormerDiameter, d.Secondary.FormerWall = tube.Diameter, math.Min(tube.Wall, tube.Diameter/2)
	d.Secondary.FormerRelativePermittivity, d.Secondary.FormerLossTangent = tube.RelativePermittivity, tube.LossTangent
	d.Secondary.Wire, d.Secondary.Pitch = of, spacing*conductor.overall
	l := &c.layout
	l.secondary.wire, l.secondary.diameter = conductor, tube.Diameter+conductor.overall
	l.secondary.pitch = pitchOf(d.Secondary.Pitch, d.Secondary.Packing, conductor)
	l.secondary.turns = leastTurns
	l.secondary.bottom = d.Secondary.BaseHeight - l.secondary.pitch/2
	if b := &l.top; b.kind != NoTopLoad {
		if c.coil.Hub >= 0 { // it stands on the end of its tube
			d.TopLoad.Height = formerEnd + c.coil.hubHeight()/2
		}
		b.centre = l.secondary.topEdge() + d.TopLoad.Height
		if least, free := b.freeHeight(l.secondary); !free {
			d.TopLoad.Height = least + ringGap
		}
		c.over = d.TopLoad.Height + b.radius
	}
	c.left = w.lengths[spool]
	if c.coil.RingWire == spool {
		c.left -= c.coil.RingNeeded
	}
	tails := secondaryOf(l, winding.DefaultSettings()).Tail * 2
	c.most, c.limit = turnsOfCoil.max, "more turns than this are not computed"
	for _, bound := range []struct {
		turns float64
		limit string
	}{
		{(c.left - tails) / (l.secondary.length() / l.secondary.turns), "the spool is too short for more"},
		{length(tube.Length) / l.secondary.pitch, "the former is too short for more"},
		{(heightOr(w.search.MaxHeight) - c.over) / l.secondary.pitch, "the height allows no more"},
		{mostSlender * l.secondary.diameter / l.secondary.pitch, fmt.Sprintf("a longer winding would be over %g times as long as wide", mostSlender)},
	} {
		if bound.turns < c.most {
			c.most, c.limit = bound.turns, bound.limit
		}
	}
	c.most = math.Floor(c.most + slack)
	return c, c.most >= leastTurns
}

// hubHeight returns what a nut is high in m, about half of its width.
func (b *Buildable) hubHeight() float64 { return b.Design.TopLoad.HubDiameter / 2 }

// length returns what of a former in m can be wound over; 0 stands for any length.
func length(former float64) float64 {
	if former == 0 {
		return math.Inf(1)
	}
	return former - 2*formerEnd
}

// heightOr returns the height, +Inf for 0.
func heightOr(height float64) float64 {
	if height == 0 {
		return math.Inf(1)
	}
	return height
}

// byHandbook returns frequency in Hz and inductance in H of a number of turns.
func (c *combination) byHandbook(turns float64) (frequency, henries float64) {
	s := &c.layout.secondary
	height := turns * s.pitch
	sheet, err := inductance.CurrentSheet(turns, s.diameter, height)
	if err != nil {
		return math.NaN(), math.NaN()
	}
	sheet -= inductance.RoundWireCorrection(turns, s.diameter, s.pitch, s.wire.bare)
	self, err := resonance.MedhurstCapacitance(s.diameter, height)
	if err != nil {
		return math.NaN(), math.NaN()
	}
	return resonance.HandbookFrequency(sheet, self.Value, c.top), sheet
}

// consider keeps a combination that may reach the frequency.
func (w *drawer) consider(c combination) {
	low, _ := c.byHandbook(c.most)
	high, _ := c.byHandbook(leastTurns)
	target := w.search.Frequency
	missed := func(turns, frequency float64) {
		if miss := math.Abs(math.Log(frequency / target)); w.missed == nil || miss < w.miss {
			c.turns = turns
			w.missed, w.miss = &c, miss
		}
	}
	switch {
	case math.IsNaN(low) || math.IsNaN(high):
		return
	case low > target*(1+handbookAbove):
		missed(c.most, low)
		return
	case high < target*(1-handbookBelow):
		missed(leastTurns, high)
		return
	}
	c.turns = c.turnsFor(target)
	_, henries := c.byHandbook(c.turns)
	reactance := 2 * math.Pi * target * henries
	c.merit = reactance / math.Sqrt(c.resistance(target, w.base.Room.AirTemperature))
	w.fitting = append(w.fitting, c)
}

// turnsFor returns the turns that by the handbook ring at a frequency in Hz, within
// what can be wound.
func (c *combination) turnsFor(frequency float64) float64 {
	low, high := math.Log(leastTurns), math.Log(c.most)
	for range 12 { // to a part in a thousand of the turns
		middle := (low + high) / 2
		if f, _ := c.byHandbook(math.Exp(middle)); f > frequency {
			low = middle
		} else {
			high = middle
		}
	}
	return math.Round(math.Exp(high))
}

// resistance returns about what the winding has in ohms at a frequency in Hz: skin
// effect, and proximity by Medhurst's table where it has a value.
func (c *combination) resistance(frequency, celsius float64) float64 {
	s := c.layout.secondary
	s.turns = c.turns
	direct := s.wire.resistance(s.length(), celsius)
	lone, err := loss.NewRoundWire(frequency, s.wire.bare/2, 1/wire.Resistivity(celsius))
	if err != nil {
		return direct
	}
	factor := 1.0
	thick := s.wire.bare / loss.SkinDepth(frequency, 1/wire.Resistivity(celsius))
	if table, err := loss.Medhurst(s.height()/s.diameter, s.pitch/s.wire.bare, thick, s.turns); err == nil {
		factor = table.Value
	}
	return direct * lone.Ratio() * factor
}

// solve solves the most promising combinations.
func (w *drawer) solve() (DrawerResult, error) {
	out := DrawerResult{Tried: w.at.Tried, Fitting: len(w.fitting)}
	promising := w.promising()
	w.at.ToSolve = min(len(promising), w.search.Most)
	var nearest *Buildable
	var limit string
	distance := math.Inf(1)
	for i, c := range promising {
		if i >= w.search.Most && len(out.Coils) > 0 {
			break
		}
		w.at.ToSolve = max(w.at.ToSolve, i+1)
		w.progress(w.at)
		b, off, err := w.settle(c)
		if err != nil {
			return DrawerResult{}, err
		}
		w.at.Solved++
		switch off = math.Abs(off); {
		case off <= drawerMiss:
			out.Coils = append(out.Coils, b)
		case off < distance:
			nearest, limit, distance = &b, c.limit, off
		}
	}
	w.progress(w.at)
	if len(out.Coils) == 0 && nearest != nil {
		return out, w.unreached(nearest, limit)
	}
	if len(out.Coils) == 0 {
		return out, w.nothing()
	}
	slices.SortStableFunc(out.Coils, func(a, b Buildable) int {
		switch {
		case a.VoltsPerWatt > b.VoltsPerWatt:
			return -1
		case a.VoltsPerWatt < b.VoltsPerWatt:
			return 1
		}
		return 0
	})
	return out, nil
}

// promising returns the combinations to solve: the best of every wire on every former,
// then the second best of each, and so on.
func (w *drawer) promising() []combination {
	slices.SortStableFunc(w.fitting, func(a, b combination) int {
		switch {
		case a.merit > b.merit:
			return -1
		case a.merit < b.merit:
			return 1
		}
		return 0
	})
	rank, count := make([]int, len(w.fitting)), map[[2]int]int{}
	order := make([]int, len(w.fitting))
	for i, c := range w.fitting {
		pair := [2]int{c.coil.Wire, c.coil.Former}
		rank[i], order[i] = count[pair], i
		count[pair]++
	}
	slices.SortStableFunc(order, func(a, b int) int { return rank[a] - rank[b] })
	var all []combination
	for _, i := range order {
		all = append(all, w.fitting[i])
	}
	return all
}

// settle finds the whole number of turns that comes nearest to the frequency. off is how
// far that stays from it, relative; +Inf if it cannot be built.
func (w *drawer) settle(c combination) (b Buildable, off float64, err error) {
	target := w.search.Frequency
	best, at, f0, n0 := math.Inf(1), 0.0, 0.0, 0.0
	tried := map[float64]bool{}
	turns, slope := c.turns, 0.8 // of the frequency against the turns, both in logarithms
	for range mostSettling {
		f, err := w.frequency(&c, turns)
		if err != nil {
			return c.coil, math.Inf(1), ignoreUnsolved(err)
		}
		tried[turns] = true
		if miss := math.Abs(math.Log(f / target)); miss < best {
			best, at = miss, turns
		}
		if n0 > 0 {
			if p := -math.Log(f/f0) / math.Log(turns/n0); p > 0.2 && p < 3 {
				slope = p
			}
		}
		f0, n0 = f, turns
		turns = math.Min(math.Max(math.Round(turns*math.Pow(f/target, 1/slope)), leastTurns), c.most)
		if tried[turns] {
			break
		}
	}
	b, err = w.finished(&c, at)
	if err != nil {
		return b, math.Inf(1), ignoreUnsolved(err)
	}
	return b, b.Frequency/target - 1, nil
}

// ignoreUnsolved drops the errors of a coil for which there is no answer.
func ignoreUnsolved(err error) error {
	var problems Problems
	for _, unsolved := range []error{
		resonance.ErrGeometry, resonance.ErrNotSolved, electrostatics.ErrGeometry, topload.ErrShape, loss.ErrInput, loss.ErrNotSolved,
	} {
		if errors.Is(err, unsolved) {
			return nil
		}
	}
	if errors.As(err, &problems) {
		return nil
	}
	return err
}

// laidOut gives a combination its turns. The error is [Problems].
func (c *combination) laidOut(turns float64) (layout, error) {
	c.coil.Design.Secondary.Turns = turns
	l, problems := layOut(&c.coil.Design)
	if len(problems) == 0 {
		problems = l.check(&c.coil.Design)
	}
	if len(problems) > 0 {
		return l, problems
	}
	return l, nil
}

func (w *drawer) frequency(c *combination, turns float64) (float64, error) {
	l, err := c.laidOut(turns)
	if err != nil {
		return 0, err
	}
	m, err := w.solver.resonator.modes(w.ctx, &c.coil.Design, &l)
	if err != nil {
		return 0, err
	}
	return m.Frequency[0], nil
}

// finished returns the coil with a number of turns and all that is said of it.
func (w *drawer) finished(c *combination, turns float64) (Buildable, error) {
	l, err := c.laidOut(turns)
	if err != nil {
		return c.coil, err
	}
	b := c.coil
	m, err := w.solver.resonator.modes(w.ctx, &b.Design, &l)
	if err != nil {
		return b, err
	}
	lost, err := w.solver.wholeLosses(w.ctx, &w.solver.resonator, &b.Design, &l)
	if err != nil {
		return b, err
	}
	b.Frequency, b.QualityFactor = m.Frequency[0], 1/lost.total()
	b.VoltsPerWatt = math.Sqrt(b.QualityFactor / (math.Pi * b.Frequency * m.TopCapacitance))
	b.WindingHeight, b.Height = l.secondary.height(), l.secondary.height()+c.over
	b.WireNeeded, b.WireLeft = secondaryOf(&l, winding.DefaultSettings()).CutLength(), c.left
	return b, nil
}

// nothing words that nothing can be built, with what comes nearest.
func (w *drawer) nothing() error {
	wanted := si.FormatPrefixed(w.search.Frequency, si.Hertz, 4)
	if w.missed == nil {
		return &DrawerError{text: fmt.Sprintf("Nothing in the drawer can be wound to ring at %s: no wire goes %d times round a former.", wanted, leastTurns)}
	}
	c := *w.missed
	b, err := w.finished(&c, c.turns)
	if err != nil {
		if ignoreUnsolved(err) != nil {
			return err
		}
		return &DrawerError{text: fmt.Sprintf("Nothing in the drawer can be built to ring at %s.", wanted)}
	}
	return w.unreached(&b, c.limit)
}

// unreached words that nothing can be built, with what comes nearest and what keeps that
// from ringing as wanted.
func (w *drawer) unreached(b *Buildable, limit string) error {
	if b.Frequency < w.search.Frequency {
		limit = fmt.Sprintf("fewer than %d turns are not tried", leastTurns)
	}
	return &DrawerError{Nearest: b, text: fmt.Sprintf("Nothing in the drawer can be built to ring at %s: the nearest is %s, which rings at %s; %s.",
		si.FormatPrefixed(w.search.Frequency, si.Hertz, 4), b.Words(&w.search.Stock), si.FormatPrefixed(b.Frequency, si.Hertz, 4), limit)}
}

// Words describes the coil in a few words.
func (b *Buildable) Words(stock *Stock) string {
	spaced := "close wound"
	if !b.Close {
		spaced = "spaced " + mm(b.Design.Secondary.Pitch)
	}
	text := fmt.Sprintf("%g turns of %s, %s, on %s", b.Design.Secondary.Turns, stock.Wires[b.Wire].Called(), spaced, stock.Formers[b.Former].Called())
	return text + " " + b.TopWords(stock)
}

// TopWords describes the top load of a coil.
func (b *Buildable) TopWords(stock *Stock) string {
	switch {
	case b.Hub >= 0:
		return fmt.Sprintf("with a ring of %d turns of %s off %s on %s",
			b.Design.TopLoad.Turns, stock.Wires[b.RingWire].Called(), stock.Formers[b.RingFormer].Called(), stock.Hubs[b.Hub].Called())
	case b.Design.TopLoad.Kind != NoTopLoad:
		return "with the top load as drawn"
	}
	return "without a top load"
}
