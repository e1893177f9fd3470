package experiment

import (
	"context"
	"math"
	"math/cmplx"

	"gonum.org/v1/gonum/floats"

	"coilwright/physics/loss"
	"coilwright/physics/si"
	"coilwright/physics/wire"
)

// WireOutcome is the resistance of the winding against the thickness of its wire,
// at the same pitch, turns and current along it. Resistances are those at the foot:
// R in P = R I²/2 with the crest of the foot's current.
type WireOutcome struct {
	Pitch     float64 // m
	Frequency float64 // Hz
	SkinDepth float64 // m

	Share      []float64 // bare diameter over pitch, ascending
	Neighbours []float64 // ohm, as wound
	Alone      []float64 // ohm, if every turn were a straight wire alone
	Steady     []float64 // ohm, if the current filled the wire evenly

	Present      float64 // diameter over pitch
	PresentValue float64 // ohm, as wound
	Best         float64 // diameter over pitch at which the resistance is least
	BestValue    float64 // ohm

	// The wire alone, from its axis to its surface.
	Radius  []float64    // over the wire's, 0 to 1
	Density []complex128 // current density over that at the surface
}

// Answer returns the diameter over the pitch at which the resistance is least.
func (o *WireOutcome) Answer() float64 { return o.Best }

// BestDiameter returns the bare diameter in m at which the resistance is least.
func (o *WireOutcome) BestDiameter() float64 { return o.Best * o.Pitch }

// PresentDiameter returns the bare diameter in m of the setting.
func (o *WireOutcome) PresentDiameter() float64 { return o.Present * o.Pitch }

// At returns the current density across the wire alone at a phase in rad of the
// current at the surface, over its crest there; as long as o.Radius.
func (o *WireOutcome) At(phase float64) []float64 {
	turn := cmplx.Exp(complex(0, phase))
	density := make([]float64, len(o.Density))
	for i, d := range o.Density {
		density[i] = real(d * turn)
	}
	return density
}

const (
	thinnestShare = 0.1
	thickestShare = 0.98
	wirePoints    = 23
	densityPoints = 65
)

func wireExperiment(b *Bench) Experiment {
	share, frequency := 0.7, 1e6
	if g, err := b.design.Geometry(); err == nil {
		share = g.Winding.BareDiameter / g.Winding.Pitch
	}
	if f := b.report.Resonance.Frequency; f != nil {
		frequency = *f
	}
	return Experiment{
		Kind: Wire,
		Settings: []Setting{
			{Name: "share", Least: thinnestShare, Most: thickestShare, Start: math.Min(thickestShare, math.Max(thinnestShare, share)), Step: 0.01, Unit: si.Percent},
			{Name: "frequency", Least: 1e4, Most: 2e7, Start: math.Min(2e7, math.Max(1e4, frequency)), Unit: si.Hertz, Geometric: true},
		},
		Guess: percentGuess(thinnestShare, 1, 0.5),
		run:   runWire,
	}
}

// layer is the design's winding with wire of any thickness.
type layer struct {
	solver       loss.Solver
	winding      loss.Winding
	current      []float64 // A per turn, one at the foot
	squares      float64   // A², of all of them
	conductivity float64   // S/m
	frequency    float64   // Hz
}

// layer returns the winding of the design with the current of its first mode.
func (b *Bench) layer(ctx context.Context, frequency float64) (*layer, error) {
	g, err := b.design.Geometry()
	if err != nil {
		return nil, err
	}
	waves, err := b.solver.StandingWaves(ctx, b.design)
	if err != nil {
		return nil, err
	}
	p := &waves.Mode[0]
	last := len(p.Height) - 1 // neither end of the winding is the middle of a turn
	turn := make([]float64, last-1)
	for i := range turn {
		turn[i] = (p.Height[i+1] - g.Winding.Bottom) / g.Winding.Pitch
	}
	l := &layer{
		winding:      loss.Winding{Radius: g.Winding.Radius, Pitch: g.Winding.Pitch},
		conductivity: 1 / wire.Resistivity(b.design.Room.AirTemperature),
		frequency:    frequency,
	}
	if l.current, err = loss.PerTurn(nil, turn, p.Current[1:last]); err != nil {
		return nil, err
	}
	for _, i := range l.current {
		l.squares += i * i
	}
	l.winding.Conductivity = l.conductivity
	return l, nil
}

// at returns the resistances in ohm of the layer with wire of a share of the pitch.
func (l *layer) at(share float64) (neighbours, alone, steady float64, err error) {
	l.winding.WireRadius = share * l.winding.Pitch / 2
	lone, err := loss.NewRoundWire(l.frequency, l.winding.WireRadius, l.conductivity)
	if err != nil {
		return 0, 0, 0, err
	}
	wound, err := l.solver.Winding(l.winding, l.frequency, l.current)
	if err != nil {
		return 0, 0, 0, err
	}
	length := 2 * math.Pi * l.winding.Radius * l.squares
	return 2 * wound.Power, lone.ResistanceAC * length, lone.ResistanceDC * length, nil
}

func runWire(ctx context.Context, b *Bench, s Settings) (Outcome, error) {
	l, err := b.layer(ctx, s["frequency"])
	if err != nil {
		return nil, err
	}
	o := &WireOutcome{
		Pitch: l.winding.Pitch, Frequency: l.frequency, Present: s["share"],
		SkinDepth: loss.SkinDepth(l.frequency, l.conductivity),
	}
	if kept := b.wire; kept != nil && kept.Frequency == o.Frequency {
		*o = *kept
		o.Present = s["share"]
	} else if err := o.sweep(ctx, l); err != nil {
		return nil, err
	}
	if o.PresentValue, _, _, err = l.at(o.Present); err != nil {
		return nil, err
	}
	radius := math.Min(o.PresentDiameter()/2/o.SkinDepth, thickestRadius)
	o.Radius, o.Density = even(0, 1, densityPoints), make([]complex128, densityPoints)
	if err := loss.CurrentDensity(o.Density, o.Radius, radius); err != nil {
		return nil, err
	}
	b.wire = o
	return o, nil
}

// thickestRadius is the largest radius in skin depths of which the density is
// drawn; beyond, it is one line at the surface.
const thickestRadius = 200

// sweep finds the curves and the best thickness.
func (o *WireOutcome) sweep(ctx context.Context, l *layer) error {
	for _, share := range even(thinnestShare, thickestShare, wirePoints) {
		if err := ctx.Err(); err != nil {
			return err
		}
		neighbours, alone, steady, err := l.at(share)
		if err != nil {
			return err
		}
		o.Share = append(o.Share, share)
		o.Neighbours = append(o.Neighbours, neighbours)
		o.Alone = append(o.Alone, alone)
		o.Steady = append(o.Steady, steady)
	}
	i := floats.MinIdx(o.Neighbours)
	o.Best = o.Share[i]
	if i > 0 && i < wirePoints-1 {
		// The lowest point of the parabola through three points.
		below, above := o.Neighbours[i-1]-o.Neighbours[i], o.Neighbours[i+1]-o.Neighbours[i]
		o.Best += (o.Share[1] - o.Share[0]) / 2 * (below - above) / (below + above)
	}
	var err error
	o.BestValue, _, _, err = l.at(o.Best)
	return err
}
