package design

// Format and Version identify a design file; a file with a higher version is
// refused as made by a newer Coilwright.
const (
	Format  = "coilwright-design"
	Version = 1
)

// Extension ends the name of every design file.
const Extension = ".coil.json"

// Design is one coil as its maker would describe it: what to wind, what stands
// on top of it, what drives it and the room around it. Every length is in
// metres and every other quantity in its SI unit; temperatures are in degrees
// Celsius where the name says so.
//
// The struct keeps the keys of every kind of top load, primary and driver side
// by side, so that changing a kind and changing it back loses nothing;
// [Write] puts down only the keys of the present kind.
type Design struct {
	Name            string
	Notes           string
	Secondary       Secondary
	TopLoad         TopLoad
	Primary         Primary
	Driver          Driver
	Room            Room
	TargetFrequency float64 // Hz; 0: none. It is shown, it changes no result
	Tolerances      Tolerances
	Variants        []Design // without variants of their own
	Measurements    []Measurement
}

// Insulation of a wire.
const (
	Bare   = "bare"
	Single = "single" // metric sizes: IEC grade 1
	Heavy  = "heavy"  // metric sizes: IEC grade 2
)

// Wire names a wire the way it is bought.
type Wire struct {
	Gauge           string  // "AWG 32", "SWG 36" or a bare diameter, "0.20 mm"
	Insulation      string  // Bare, Single or Heavy
	OverallDiameter float64 // m, a measured value that wins over the standard's; 0: by the standard
}

// Secondary is the resonant single-layer winding.
type Secondary struct {
	FormerDiameter             float64 // m, outside of the tube
	FormerWall                 float64 // m; 0 with a permittivity above 1: a solid rod
	FormerRelativePermittivity float64 // 1 and up
	FormerLossTangent          float64 // 0 and up
	Turns                      float64 // 1 to 5000, fractions allowed
	Wire                       Wire
	Pitch                      float64 // m, centre to centre; 0: close wound
	Packing                    float64 // pitch over overall diameter of a close winding; 0: DefaultPacking
	BaseHeight                 float64 // m, centre of the lowest turn over z = 0

	EnamelRelativePermittivity  float64 // 1 and up; 0: the insulation is left out of the field
	EnamelLossTangent           float64 // 0 and up
	VarnishThickness            float64 // m, of a coat over the wire's insulation; 0: none
	VarnishRelativePermittivity float64 // 1 and up; 0: 3
	VarnishLossTangent          float64 // 0 and up
}

// DefaultPacking is how much longer than its wires a close winding comes out by
// hand: 2 to 5 %, common practice, no source.
const DefaultPacking = 1.03

// Kinds of top load.
const (
	NoTopLoad = "none"
	WireRing  = "wire_ring"
	Torus     = "torus"
	Sphere    = "sphere"
	Disc      = "disc"
)

// TopLoad is the body on the upper end of the winding.
type TopLoad struct {
	Kind   string
	Height float64 // m, from the top edge of the winding to the centre plane of the body

	// Wire ring.
	Wire           Wire
	FormerDiameter float64 // m, the tube the ring's wire is wound on
	Turns          int
	HubDiameter    float64 // m, the circle that the inner wire surfaces touch

	// Torus.
	OuterDiameter float64 // m
	TubeDiameter  float64 // m

	// Sphere and disc.
	Diameter  float64 // m
	Thickness float64 // m, disc only; its rim is a half round of half this radius

	// What decides where the air gives way first; zero: not stated.
	Lead     Lead
	Breakout Breakout
	Tip      Tip

	// Closed says that a torus, sphere or disc is unbroken and so a shorted
	// turn for the winding's flux; false: slotted.
	Closed bool
}

// Places of a lead.
const (
	OnAxis  = "axis"    // up the middle, to the hub or the underside of the body
	Outside = "outside" // straight up from the last turn, at the winding's radius
)

// Lead is the wire that climbs from the winding's upper edge to the top load. The
// zero Lead is left out of the field problem.
type Lead struct {
	Place  string // OnAxis or Outside; empty: not stated
	Wire   Wire
	Sleeve float64 // m, wall of a sleeve over the wire and its insulation; 0: none
}

// Breakout is a rod that stands on the top load so that the air gives way there: as
// thick as its end is round. The zero Breakout is none.
type Breakout struct {
	Length    float64 // m, from the centre plane of a ring or torus, from the top of a sphere or disc
	TipRadius float64 // m
}

// Tip is a wire end or a spike of solder on the top load: half a spheroid where the
// gradient is largest. The zero Tip is none.
type Tip struct {
	Length float64 // m
	Radius float64 // m, of curvature at its point
}

// Kinds of primary.
const (
	NoPrimary = "none"
	Cylinder  = "cylinder"
	Spiral    = "spiral" // flat, outward
	Cone      = "cone"   // rising outward
)

// Primary is the driven winding of few turns at the foot.
type Primary struct {
	Kind          string
	Turns         float64 // 0.1 to 200, fractions allowed
	TapTurns      float64 // turns in use, counted from the start; 0: all of them
	InnerDiameter float64 // m, centreline of the first (lowest, innermost) turn
	Pitch         float64 // m, along the slant; 0: close wound
	Wire          Wire
	BaseHeight    float64 // m, centre of the first turn over z = 0
	ConeAngle     float64 // degrees over the horizontal
}

// Kinds of driver.
const (
	NoDriver        = "none"
	FeedbackExciter = "feedback_exciter"
	HalfBridge      = "half_bridge"
	SparkGap        = "spark_gap"
)

// Feeds of a half bridge.
const (
	FeedUntuned     = "untuned"
	FeedSeriesTuned = "series_tuned"
	FeedBase        = "base"
)

// Part is a device of the parts list by its name, or one stated by its SPICE
// model parameters. The zero Part is no part at all.
type Part struct {
	Name  string             // empty when Model is set
	Type  string             // of a Model: "npn", "nmos", "vdmos" or "d"
	Model map[string]float64 // SPICE parameter to value
}

// Driver is what feeds the primary. Optional values are nil when the design
// does not state them.
type Driver struct {
	Kind string

	// One-transistor feedback exciter.
	Supply            float64 // V
	SupplyResistance  float64 // ohm
	Device            Part
	BaseResistor      float64 // ohm
	Clamp             Part    // zero: none
	Sense             int     // 1: wound the same way, start to the supply; -1: reversed
	EmitterResistor   *float64
	BaseCapacitance   *float64
	SupplyChoke       *float64
	BreakdownVoltage  *float64
	CollectorCapacity *float64
	GateResistor      *float64
	GateZener         *float64

	// Half bridge.
	Bus               float64 // V
	Feed              string
	SeriesCapacitance float64 // F
	SourceResistance  float64 // ohm
	Frequency         float64 // Hz; 0: where the gain is highest
	LoopDelay         float64 // s
	DeadTime          float64 // s

	// Spark gap.
	FiringVoltage   float64 // V
	TankCapacitance float64 // F
	ArcResistance   float64 // ohm
	Repetition      float64 // Hz

	// Every kind.
	BurstOn           *float64 // s
	BurstRate         *float64 // Hz
	ThermalResistance *float64 // K/W
}

// Grounds.
const (
	Floor      = "floor"       // an earthed plane for the electric field, transparent to the magnetic
	MetalPlane = "metal_plane" // an earthed sheet: mirrors charges and currents
	Open       = "open"        // no plane
)

// Feet of the winding.
const (
	Earthed = "earthed"
	Circuit = "circuit" // the foot returns to a board that stands free
)

// Room is what surrounds the coil.
type Room struct {
	Ground           string
	FloorDepth       float64 // m, of the earthed plane below z = 0; floor only
	Foot             string
	CircuitDiameter  float64 // m, of the board at z = 0; foot "circuit" only
	EarthCapacitance float64 // F, of the board to earth; foot "circuit" only
	CeilingHeight    float64 // m over z = 0; 0: none
	AirTemperature   float64 // degrees Celsius
	AirPressure      float64 // Pa
}

// Tolerances are half-widths that replace the defaults; nil: the default.
type Tolerances struct {
	SecondaryFormer *float64 // m
	SecondaryTurns  *float64
	OverallDiameter *float64 // m
	Pitch           *float64 // m
	BaseHeight      *float64 // m
	TopHeight       *float64 // m
	Hub             *float64 // m
	RingFormer      *float64 // m
	Permittivity    *float64
	Temperature     *float64 // K
}

// Measurement is one reading from the bench.
type Measurement struct {
	Quantity         string
	Value            float64 // SI
	Uncertainty      float64 // SI, one sigma
	Setup            string
	AtFrequency      *float64 // Hz
	ProbeCapacitance float64  // F
	ProbePlace       string
	Key              string
	Instrument       string
	Date             string
	Note             string
}
