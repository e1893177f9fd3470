package comparison

import (
	"math"

	"coilwright/physics/design"
	"coilwright/physics/sentence"
	"coilwright/physics/wire"
)

// Count is how many turns a winding has by what was read of it.
type Count struct {
	ByResistance *Estimate // the wire as the design has it
	ByHeight     *Estimate // likewise, and turns that lie as the design says
	ByBoth       *Estimate // whatever the wire, close wound
	Wire         string    // the gauge that goes with ByBoth, "" if none
	Best         Estimate
}

// Estimate is a number and one standard deviation of it.
type Estimate struct{ Value, Sigma float64 }

// ErrCount says that neither resistance nor height was read.
var ErrCount = sentence.Error(nil, sentence.New("a count needs the resistance or the height of the winding"))

const (
	// enamelShare is the overall diameter of a wire over the bare one, and what
	// that is uncertain by, for a wire whose gauge is not known: 0.1 to 0.5 mm,
	// single. IEC 60317-0-1 as package wire has it.
	enamelShare, enamelShareSigma = 1.09, 0.02
	packingSigma                  = packingHalfWidth / 1.7320508075688772
)

// FindTurns returns how many turns a winding has, from the readings of its
// resistance R and its height h and the former's diameter:
//
//	N = R A / (ρ π D)      the wire's section A known,
//	N = h / p              the pitch p known,
//	N = (R h² / (4 ρ D q²))^(1/3)    neither, close wound, p = q·bare diameter,
//
// the last from R = 4ρND/d² and d = h/(qN). The resistivity is that at the
// room's temperature or that read on the same bench ([Temperature]).
func FindTurns(d design.Design) (Count, error) {
	g, err := d.Geometry()
	if err != nil {
		return Count{}, err
	}
	var r, h *design.Measurement
	celsius := d.Room.AirTemperature
	for i, m := range d.Measurements {
		switch {
		case !(m.Value > 0):
		case m.Quantity == Resistance:
			r = &d.Measurements[i]
		case m.Quantity == Dimension && m.Key == KeyWindingHeight:
			h = &d.Measurements[i]
		case m.Quantity == Temperature:
			celsius = m.Value
		}
	}
	w := g.Winding
	round := 2 * w.Radius
	var c Count
	if r != nil {
		perTurn := wire.ResistanceDC(wire.HelixLength(1, round, w.Pitch), w.BareDiameter, celsius)
		c.ByResistance = estimate(r.Value/perTurn, sigmaOf(*r)/r.Value, modelSigma[Resistance])
	}
	if h != nil {
		lies := packingSigma
		if d.Secondary.Pitch > 0 {
			lies = sigmaOf(*h) / h.Value
		}
		c.ByHeight = estimate(h.Value/w.Pitch, sigmaOf(*h)/h.Value, lies)
	}
	if r != nil && h != nil && d.Secondary.Pitch == 0 {
		q := enamelShare * packing(d)
		turns := math.Cbrt(r.Value * h.Value * h.Value / (4 * wire.Resistivity(celsius) * round * q * q))
		share := math.Hypot(enamelShareSigma/enamelShare, packingSigma)
		c.ByBoth = estimate(turns, sigmaOf(*r)/r.Value/3, 2*sigmaOf(*h)/h.Value/3, 2*share/3)
	}
	if c.ByBoth != nil {
		q := enamelShare * packing(d)
		turns := c.ByBoth.Value
		c.Wire = wire.Nearest(wire.AWG, h.Value/(q*turns)).Name
	}
	c.Best = weighed(c.ByResistance, c.ByHeight)
	if c.Best.Value == 0 {
		return Count{}, ErrCount
	}
	return c, nil
}

// estimate returns a number with the sum of the squares of relative errors.
// It is nil for a number of turns that no winding has.
func estimate(value float64, relative ...float64) *Estimate {
	const fewest, most = 0.1, 1e5
	if !(value >= fewest && value <= most) {
		return nil
	}
	sum := 0.0
	for _, x := range relative {
		sum += x * x
	}
	return &Estimate{value, math.Abs(value) * math.Sqrt(sum)}
}

// weighed returns the mean of estimates, each by the inverse of its variance.
func weighed(all ...*Estimate) Estimate {
	var sum, weights float64
	for _, e := range all {
		if e == nil {
			continue
		}
		w := 1 / (e.Sigma * e.Sigma)
		sum += w * e.Value
		weights += w
	}
	if weights == 0 {
		return Estimate{}
	}
	return Estimate{sum / weights, 1 / math.Sqrt(weights)}
}
