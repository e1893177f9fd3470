package driver

import "math"

// HeatTime returns how long in s the device may run from cold until its junction
// reaches what its maker allows; 0: no limit, or not known. With the heat
// capacity C of the bare package and the thermal resistance R to the air,
//
//	t = -R C ln(1 - (T - T_air)/(P R)),
//
// the power as the mean over bursts. A heat sink takes up more heat than the
// package: it then lasts longer than this.
func (x Exciter) HeatTime(r Running) float64 {
	resistance, most := x.thermalResistance(), x.Device.Rating.Junction
	capacity, power := x.Device.Rating.HeatCapacity, r.DevicePower*x.Thermal.Duty()
	if resistance == 0 || most == 0 || capacity == 0 {
		return 0
	}
	share := (most - x.Thermal.Air) / (power * resistance)
	if !(share < 1) {
		return 0
	}
	return -resistance * capacity * math.Log(1-math.Max(share, 0))
}

// SafePower returns the mean power in W at which the device's junction just
// reaches what its maker allows; 0 if that is not known.
func (x Exciter) SafePower() float64 {
	resistance, most := x.thermalResistance(), x.Device.Rating.Junction
	if resistance == 0 || most == 0 {
		return 0
	}
	return math.Max(0, most-x.Thermal.Air) / resistance
}
