package design

// SizeVariation says which dimension of the top load the capacitance curve
// varies.
type SizeVariation int

const (
	VaryFormer SizeVariation = iota // a wire ring's former, at fixed hub and turns
	VaryHub                         // a wire ring's hub, at fixed former and turns
)

// CurveOptions is what the user picks about the sweeps; it changes no result.
type CurveOptions struct {
	Vary   SizeVariation
	Height bool // sweep the height of the top load too
	Field  bool // give the field too
}

// Curves are the sweeps behind the three live figures and the first mode along
// the winding, all of one design.
type Curves struct {
	Turns   TurnsCurve
	Size    SizeCurve
	Count   CountCurve
	Profile ProfileCurve // without the top load if that cannot be built
	Height  HeightCurve  // if asked for, and the top load can be built
	Field   *Field       // if asked for, and the whole coil can be built
}

// TurnsCurve is the frequency of the coil while the turns of its secondary are
// varied and all else stays.
type TurnsCurve struct {
	Turns        []float64 // ascending
	WithTopLoad  []float64 // Hz, one per turn count; nil without a (buildable) top load
	Bare         []float64 // Hz, one per turn count
	PresentTurns float64
	Present      float64 // Hz, with top load if there is one
	PresentBare  float64 // Hz
	Target       float64 // Hz; 0: none

	// Low and High are the band of Present in Hz; 0: not known. See [Curves.SetBand].
	Low, High float64
}

// SetBand takes the band of the frequency over from a report of the same design.
func (c *Curves) SetBand(r Report) {
	c.Turns.Low, c.Turns.High = 0, 0
	if low, high := r.Resonance.FrequencyLow, r.Resonance.FrequencyHigh; low != nil && high != nil {
		c.Turns.Low, c.Turns.High = *low, *high
	}
}

// SizeCurve is the isolated capacitance of the top load while its size is
// varied.
type SizeCurve struct {
	Kind            string // kind of top load; NoTopLoad: the slices are nil
	Vary            SizeVariation
	OuterDiameter   []float64 // m, ascending
	Capacitance     []float64 // F, of the wire ring, torus, sphere or disc
	Smooth          []float64 // F, of the smooth torus of the same outer size; wire ring only
	BuildableFrom   float64   // m, outer diameter below which it cannot be built; 0: no bound in the range
	BuildableTo     float64   // m, outer diameter above which it cannot be built; 0: no bound in the range
	PresentDiameter float64   // m
	Present         float64   // F
	PresentSmooth   float64   // F
	Turns           int       // of the wire ring
}

// CountCurve is how wire and angle add up while a part is wound turn by turn:
// the ring if there is one, else the secondary.
type CountCurve struct {
	OfRing    bool
	Turn      []float64 // turn number, ascending
	WireUsed  []float64 // m of wire used after that turn, with the first tail
	Fill      []float64 // angle of the ring filled, rad; nil for a secondary
	Closing   float64   // turns that close the ring, or turns of the secondary
	Spare     int       // turns wound beyond and dropped
	MarkEvery float64   // turns between marks
	HubLimit  float64   // most turns that fit round the hub, as a real number; 0: no limit
}
