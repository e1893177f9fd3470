package design

import "coilwright/physics/sentence"

// ReportFormat and ReportVersion identify a report.
const (
	ReportFormat  = "coilwright-report"
	ReportVersion = 1
)

// Report is every number the program gives for a design, in SI units; voltages
// and currents are crest values unless the name says mean. What is not
// computed or does not apply is nil and is written as null, never as 0.
type Report struct {
	Format    string          `json:"format"`
	Version   int             `json:"version"`
	Secondary SecondaryReport `json:"secondary"`
	TopLoad   TopLoadReport   `json:"top_load"`
	Resonance ResonanceReport `json:"resonance"`
	Primary   PrimaryReport   `json:"primary"`
	Driver    DriverReport    `json:"driver"`
	Air       AirReport       `json:"air"`
	Losses    LossReport      `json:"losses"`
	Handbook  HandbookReport  `json:"handbook"`
	Cautions  []Caution       `json:"cautions"`
}

// SecondaryReport is about the winding alone.
type SecondaryReport struct {
	WindingHeight *float64 `json:"winding_height_m"`
	WireLength    *float64 `json:"wire_length_m"` // net helix, without tails
	WireMass      *float64 `json:"wire_mass_kg"`  // copper only
	Inductance    *float64 `json:"inductance_h"`  // uniform current
	ResistanceDC  *float64 `json:"dc_resistance_ohm"`
	ResistanceAC  *float64 `json:"ac_resistance_ohm"`
}

// TopLoadReport is about the top load alone, isolated.
type TopLoadReport struct {
	OuterDiameter     *float64 `json:"outer_diameter_m"`
	HoleDiameter      *float64 `json:"hole_diameter_m"`
	MaxTurns          *int     `json:"max_turns"`
	GapAtHub          *float64 `json:"gap_at_hub_m"`
	WireLength        *float64 `json:"wire_length_m"`
	WireMass          *float64 `json:"wire_mass_kg"`
	Capacitance       *float64 `json:"capacitance_f"`
	SmoothCapacitance *float64 `json:"smooth_capacitance_f"` // the smooth torus of the same outer size
}

// ResonanceReport is about the first modes of the whole coil.
type ResonanceReport struct {
	Frequency            *float64  `json:"frequency_hz"`
	FrequencyLow         *float64  `json:"frequency_low_hz"`
	FrequencyHigh        *float64  `json:"frequency_high_hz"`
	BareFrequency        *float64  `json:"bare_frequency_hz"`
	Overtones            []float64 `json:"overtones_hz"`
	QualityFactor        *float64  `json:"quality_factor"`
	FootInductance       *float64  `json:"foot_inductance_h"`
	FootCapacitance      *float64  `json:"foot_capacitance_f"`
	TopInductance        *float64  `json:"top_inductance_h"`
	TopCapacitance       *float64  `json:"top_capacitance_f"`
	TopToFootRatio       *float64  `json:"top_to_foot_ratio"`
	FootMutualInductance *float64  `json:"foot_mutual_inductance_h"`
	CircuitVoltageRatio  *float64  `json:"circuit_voltage_ratio"` // foot "circuit" only

	ModelError      *float64         `json:"frequency_model_error"` // the method's own, relative
	FrequencyInputs []FrequencyInput `json:"frequency_inputs"`      // what makes the frequency uncertain, what matters most first
}

// FrequencyInput is a number of the design that comes out a little other than drawn.
type FrequencyInput struct {
	Key       string   `json:"key"`
	HalfWidth *float64 `json:"half_width"` // in the unit of the key
	Sigma     *float64 `json:"sigma_hz"`   // what it alone does to the frequency, one standard deviation
}

// PrimaryReport is the primary at low frequency, uniform currents.
type PrimaryReport struct {
	Inductance       *float64 `json:"inductance_h"`
	MutualInductance *float64 `json:"mutual_inductance_h"`
	Coupling         *float64 `json:"coupling_coefficient"`
}

// DriverReport is what the driver does with the coil. The keys of single kinds of
// driver and those for display are left out where they do not apply.
type DriverReport struct {
	Starts            *bool    `json:"starts"`
	State             *string  `json:"state"` // "none", "weak" or "full"
	GrowthRate        *float64 `json:"growth_rate_1_s"`
	Frequency         *float64 `json:"frequency_hz"`
	TopVoltage        *float64 `json:"top_voltage_v"`
	SupplyCurrentMean *float64 `json:"supply_current_mean_a"`
	InputPower        *float64 `json:"input_power_w"`
	DeviceVoltage     *float64 `json:"device_voltage_v"`
	DevicePower       *float64 `json:"device_power_w"`
	DeviceTemperature *float64 `json:"device_temperature_c"`
	BeyondPart        []string `json:"beyond_part"`
	SettlingTime      *float64 `json:"settling_time_s"`

	TopVoltageLow  *float64 `json:"top_voltage_low_v,omitempty"`  // exciter whose clamp may store charge longer or shorter
	TopVoltageHigh *float64 `json:"top_voltage_high_v,omitempty"` // the same
	CoilPower      *float64 `json:"coil_power_w,omitempty"`
	EnergyCheck    *float64 `json:"energy_check_v,omitempty"` // top crest at which the coil loses CoilPower

	Gain          *float64 `json:"gain,omitempty"`                  // half bridge: top crest over the fundamental's crest
	QLoaded       *float64 `json:"quality_factor_loaded,omitempty"` // half bridge, as the rest
	LockFrequency *float64 `json:"lock_frequency_hz,omitempty"`
	SoftSwitching *bool    `json:"soft_switching,omitempty"`
	DeviceCurrent *float64 `json:"device_current_a,omitempty"`

	PeakTime          *float64  `json:"peak_time_s,omitempty"` // spark gap, as the rest
	FirstNotch        *float64  `json:"first_notch_s,omitempty"`
	EnergyTransferred *float64  `json:"energy_transferred,omitempty"`
	Splitting         []float64 `json:"splitting_hz,omitempty"`
	TankEnergy        *float64  `json:"tank_energy_j,omitempty"`

	Causes []string `json:"causes,omitempty"` // what is wrong and cures it, the likeliest first
	Notes  []string `json:"notes,omitempty"`
}

// AirReport is where the air gives way first.
type AirReport struct {
	SurfaceGradientPerVolt  *float64 `json:"surface_gradient_per_volt_1_m"`
	IsolatedGradientPerVolt *float64 `json:"isolated_gradient_per_volt_1_m"`
	CoronaOnset             *float64 `json:"corona_onset_v"`
	CoronaOnsetLow          *float64 `json:"corona_onset_low_v"`
	CoronaOnsetHigh         *float64 `json:"corona_onset_high_v"`
	Places                  []Place  `json:"places"` // what glows first comes first
	Gaps                    []Gap    `json:"gaps"`

	// How far streamers may reach from the top when it is at SparkVoltage, the onset;
	// [Field.Sparks] answers for any other.
	SparkVoltage *float64 `json:"spark_voltage_v"`
	SparkShort   *float64 `json:"spark_short_m"`
	SparkLong    *float64 `json:"spark_long_m"`
}

// Place is one spot of the coil where the air could give way.
type Place struct {
	Name                   PlaceName `json:"name"`
	SurfaceGradientPerVolt *float64  `json:"surface_gradient_per_volt_1_m"`
	CoronaOnset            *float64  `json:"corona_onset_v"`
	CoronaOnsetLow         *float64  `json:"corona_onset_low_v"`
	CoronaOnsetHigh        *float64  `json:"corona_onset_high_v"`

	Curvature *float64      `json:"curvature_radius_m"`
	Radius    *float64      `json:"position_radius_m"` // from the axis
	Height    *float64      `json:"position_height_m"` // over z = 0
	RestsOn   sentence.Text `json:"rests_on"`          // where the constants of the onset come from
}

// PlaceName is the name of a place.
type PlaceName string

// Names of places.
const (
	PlaceTopLoad   PlaceName = "top load"
	PlaceLastTurn  PlaceName = "last turn"
	PlaceFirstTurn PlaceName = "first turn"
	PlacePrimary   PlaceName = "primary"
	PlaceLead      PlaceName = "lead"
	PlaceBreakout  PlaceName = "breakout point"
	PlaceTip       PlaceName = "wire end"
)

// Words returns the name for a reader.
func (n PlaceName) Words() sentence.Text {
	switch n {
	case PlaceTopLoad:
		return sentence.New("top load")
	case PlaceLastTurn:
		return sentence.New("last turn")
	case PlaceFirstTurn:
		return sentence.New("first turn")
	case PlacePrimary:
		return sentence.New("primary")
	case PlaceLead:
		return sentence.New("lead")
	case PlaceBreakout:
		return sentence.New("breakout point")
	}
	return sentence.New("wire end")
}

// LossReport is what limits the quality factor. Shares are of all computed losses and
// add up to 1; nil: there is no such part.
type LossReport struct {
	QualityFactorComputed *float64 `json:"quality_factor_computed"` // the most the coil can have
	QualityFactorMeasured *float64 `json:"quality_factor_measured"` // a measurement of the design

	Direct    *float64 `json:"direct_share"`       // copper of the winding, as with direct current
	Skin      *float64 `json:"skin_share"`         // what the skin effect adds
	Proximity *float64 `json:"proximity_share"`    // what the neighbouring turns add
	Ring      *float64 `json:"ring_share"`         // wires of a ring
	Shorted   *float64 `json:"shorted_turn_share"` // hub of a ring, or an unbroken body
	Plane     *float64 `json:"metal_plane_share"`

	Former     *float64 `json:"former_share"`     // dielectric loss of the former
	Insulation *float64 `json:"insulation_share"` // of enamel and varnish

	ShortedShift *float64 `json:"shorted_turn_frequency_change"` // relative
	PlaneShift   *float64 `json:"metal_plane_frequency_change"`  // of its currents, relative

	// TopVoltagePerRootWatt is the crest of the top that one watt keeps up, with
	// nothing in the air: it grows with the root of the power.
	TopVoltagePerRootWatt *float64 `json:"top_voltage_per_root_watt_v"`
}

// HandbookReport is the second opinion: the same coil by handbook formulas.
type HandbookReport struct {
	Inductance         *float64 `json:"inductance_h"`
	SelfCapacitance    *float64 `json:"self_capacitance_f"`
	TopLoadCapacitance *float64 `json:"top_load_capacitance_f"`
	Frequency          *float64 `json:"frequency_hz"`
}

// Caution is something the maker should know about a result.
type Caution struct {
	Code string        `json:"code"` // short and stable
	Text sentence.Text `json:"text"` // a plain sentence
	Key  string        `json:"key"`  // path of the design key it is about, empty if none
}
