package winding

import (
	"math"

	"coilwright/physics/topload"
	"coilwright/physics/wire"
)

// Heat in copper and brass.
//
// Sources: copper 394 W/(m·K) and 386 J/(kg·K), copper.org; leaded brass
// (C37000) 380 J/(kg·K) and 8410 kg/m³, makeitfrom.com; tin-lead solder melts
// up to 191 °C, tin-silver-copper (SAC305) at 217 to 220 °C, alasir.com.
const (
	copperConductivity = 394.0  // W/(m·K)
	copperCapacity     = 386.0  // J/(kg·K)
	brassCapacity      = 380.0  // J/(kg·K)
	brassDensity       = 8410.0 // kg/m³

	TinLeadMelts  = 191.0 // °C, Sn60Pb40 all liquid
	LeadFreeMelts = 220.0 // °C, SAC305 all liquid

	// aboveMelting is how much hotter than its melting point a joint is made;
	// common practice, no source.
	aboveMelting = 40.0 // K

	// filmCoefficient is what bright hot wire gives to still air: an estimate,
	// from memory; 10 to 40 W/(m²·K) is met with.
	filmCoefficient = 20.0

	// ironShare is the part of an iron's rated power that reaches the work; an
	// estimate, no source.
	ironShare = 0.5

	// patience is how long a joint may take before flux is spent and everything
	// around it is hot too; common practice, no source.
	patience = 30.0 // s
)

// Hub is the metal that the turns of a ring are soldered to.
type Hub struct {
	Name string  // "#6-32 nut", empty: none known
	Mass float64 // kg
	Area float64 // m², of its surface
}

// HubOf returns the hub that a ring with a hole of that diameter in m most
// likely sits on: the nut whose width between flats or over corners is nearest
// to it and within its standard, or a round brass hub half as high as wide. The
// hole of a nut is taken as half its width.
func HubOf(diameter float64) Hub {
	var best topload.Nut
	least := math.Inf(1)
	for _, n := range topload.Nuts() {
		for _, fit := range []struct{ low, high float64 }{{n.FlatsMin, n.FlatsMax}, {n.CornersMin, n.CornersMax}} {
			if off := math.Abs(diameter - (fit.low+fit.high)/2); fit.low <= diameter && diameter <= fit.high && off <= least {
				best, least = n, off
			}
		}
	}
	if math.IsInf(least, 1) {
		height := diameter / 2
		return Hub{Mass: brassDensity * math.Pi / 4 * diameter * diameter * height, Area: math.Pi * diameter * (height + diameter/2)}
	}
	flats, height := best.HubBetweenFlats(), (best.ThickMin+best.ThickMax)/2
	face := math.Sqrt(3)/2*flats*flats - math.Pi/16*flats*flats
	return Hub{
		Name: best.Name + " nut", Mass: brassDensity * face * height,
		Area: 2*face + height*flats*(2*math.Sqrt(3)+math.Pi/2),
	}
}

// Heat is what soldering a ring to its hub takes.
type Heat struct {
	Rise     float64 // K, of the hub over the room
	HubAlone float64 // J, to heat the hub
	All      float64 // J, to heat hub and ring throughout
	Hold     float64 // W, that the hot ring loses to the air
	Iron     float64 // W, rated, of the iron it is held against
	IronTime float64 // s until that iron has the joint hot; +Inf: it never gets there
	Quick    float64 // W into the joint that get it hot within half a minute
}

// IronWillDo reports whether the iron is hot enough within half a minute.
func (h Heat) IronWillDo() bool { return h.IronTime <= patience }

// heat returns what soldering takes. The hub is one temperature. From it 2N
// wires of half a turn run out, symmetric and so without flow at their far ends;
// with the hub at the soldering temperature from the start, a wire of length L,
// section A and diffusivity α has taken up
//
//	Q(t) = ρcAL θ (1 − Σ 8/((2n+1)²π²) exp(−(2n+1)²π²αt/4L²)),
//
// and in the end holds the flow √(hPkA) θ tanh(mL), m² = hP/kA, to the air.
// Heating it gradually takes no more than that, so the times are upper limits
// but for the film coefficient h, an estimate.
//
// Source: Carslaw and Jaeger, Conduction of Heat in Solids, 2nd edition, 1959,
// sections 3.4 and 4.5 (from memory).
func (r Ring) heat() Heat {
	melts, iron := r.SolderMelts, r.IronPower
	if melts == 0 {
		melts = TinLeadMelts
	}
	if iron == 0 {
		iron = defaultIron
	}
	const room = 20.0 // °C
	rise := melts + aboveMelting - room
	hub := r.Hub
	if hub.Mass == 0 {
		hub = HubOf(r.HubDiameter)
	}
	wires := 2 * float64(r.Turns)
	length, area, perimeter := r.TurnLength()/2, wire.Area(r.WireDiameter), math.Pi*r.WireDiameter
	h := Heat{Rise: rise, Iron: iron}
	h.HubAlone = hub.Mass * brassCapacity * rise
	whole := wires * wire.Density * copperCapacity * area * length * rise
	h.All = h.HubAlone + whole

	m := math.Sqrt(filmCoefficient * perimeter / (copperConductivity * area))
	h.Hold = wires*math.Sqrt(filmCoefficient*perimeter*copperConductivity*area)*rise*math.Tanh(m*length) + filmCoefficient*hub.Area*rise

	diffusivity := copperConductivity / (wire.Density * copperCapacity)
	taken := func(t float64) float64 {
		return h.HubAlone + whole*soaked(diffusivity*t/(length*length)) + h.Hold*t
	}
	h.Quick = taken(patience) / patience
	h.IronTime = heatingTime(iron*ironShare, taken, h.Hold, h.All)
	return h
}

// soaked is the share of its heat that a bar, one end of which is suddenly hot
// and the other closed, has taken up at αt/L².
func soaked(fourier float64) float64 {
	sum := 0.0
	for n := 0; n < 200; n++ {
		odd := float64(2*n+1) * math.Pi / 2
		sum += 2 / (odd * odd) * math.Exp(-odd*odd*fourier)
	}
	return 1 - sum
}

// heatingTime returns when a power in W has supplied what is taken, which at
// first grows faster and then slower than the supply.
func heatingTime(power float64, taken func(t float64) float64, hold, all float64) float64 {
	if power <= hold {
		return math.Inf(1)
	}
	low, high := 0.0, all/(power-hold) // by then everything is hot
	for range 100 {
		if t := (low + high) / 2; power*t < taken(t) {
			low = t
		} else {
			high = t
		}
	}
	return high
}
