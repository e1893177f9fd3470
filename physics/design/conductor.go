package design

import (
	"fmt"

	"coilwright/physics/wire"
)

// conductor is a wire looked up.
type conductor struct {
	name    string  // as a design file writes it
	bare    float64 // m
	overall float64 // m, over the insulation
	status  wire.Status
}

// knownGauge returns an error if there is no wire of that name.
func knownGauge(gauge string) error {
	if _, err := wire.Parse(gauge); err != nil {
		return fmt.Errorf("there is no %q", shortened(gauge))
	}
	return nil
}

// lookUp finds a wire. A measured overall diameter wins over the standard's.
func lookUp(w Wire) (conductor, error) {
	gauge, err := wire.Parse(w.Gauge)
	if err != nil {
		return conductor{}, knownGauge(w.Gauge)
	}
	if w.OverallDiameter > 0 {
		return conductor{gauge.Name, gauge.Diameter, w.OverallDiameter, wire.Exact}, nil
	}
	overall, err := wire.OverallDiameter(gauge, w.Insulation)
	if err != nil {
		return conductor{}, err
	}
	return conductor{gauge.Name, gauge.Diameter, overall.Diameter, overall.Status}, nil
}

// mass returns the mass in kg of the copper in a length in m.
func (c conductor) mass(length float64) float64 { return wire.Mass(length, c.bare) }

// resistance returns the resistance in ohm of a length in m to direct current
// at a temperature in degrees Celsius.
func (c conductor) resistance(length, celsius float64) float64 {
	return wire.ResistanceDC(length, c.bare, celsius)
}
