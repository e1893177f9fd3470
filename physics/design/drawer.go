package design

import (
	"context"
	"errors"
	"fmt"
	"math"

	"coilwright/physics/winding"
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
	// for coils with and without a ring on top, above by more on a former of a high
	// permittivity, of which the handbook knows nothing; TestSieveBounds holds it.
	handbookBelow, handbookAbove = 0.50, 0.10
	formerAbove                  = 0.05 // per unit of the permittivity above 1

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
