package driver

import "math"

// mosfet is the vertical power MOSFET as ngspice models it (VDMOS): a channel
// with a soft threshold and a gate-drain capacitance that falls when the drain
// rises over the gate. Its resistances and its body diode belong to the
// network.
//
// Source: ngspice user's manual, chapter MOSFETs, power MOSFET model (VDMOS).
type mosfet struct {
	threshold, kp, lambda, theta float64
	soft                         float64 // V, KSUBTHRES; 0: a sharp threshold
	cgs, cgdMin, cgdMax, a       float64
}

// at fills t for the voltages vgs and vgd in V.
func (m *mosfet) at(vgs, vgd float64, t *transistor) {
	// The drain current flows along the gate-source port and back along the
	// gate-drain port. With the drain below the source the two change places.
	if vds := vgs - vgd; vds >= 0 {
		id, gm, gds := m.channel(vgs, vds)
		t.i = [2]float64{id, -id}
		t.g = [2][2]float64{{gm + gds, -gds}, {-gm - gds, gds}}
	} else {
		id, gm, gds := m.channel(vgd, -vds)
		t.i = [2]float64{-id, id}
		t.g = [2][2]float64{{gds, -gm - gds}, {-gds, gm + gds}}
	}
	t.g[0][0] += minimumConductance
	t.g[1][1] += minimumConductance
	t.i[0] += minimumConductance * vgs
	t.i[1] += minimumConductance * vgd
	t.q[0] = m.cgs * vgs
	q, c := m.gateDrain(vgd)
	t.q[1] = q
	t.c = [2][2]float64{{m.cgs, 0}, {0, c}}
}

// channel returns the drain current in A for vds >= 0, and its derivatives by
// vgs at fixed vds and by vds at fixed vgs.
func (m *mosfet) channel(vgs, vds float64) (id, gm, gds float64) {
	over, slope := vgs-m.threshold, 1.0
	if m.soft > 0 {
		switch z := over / m.soft; {
		case z > 40:
		case z < -40:
			return 0, 0, 0
		default:
			e := math.Exp(z)
			over, slope = m.soft*math.Log1p(e), e/(1+e)
		}
	} else if over <= 0 {
		return 0, 0, 0
	}
	length := 1 + m.lambda*vds
	mobility, dMobility := 1+m.theta*vgs, m.theta
	const leastMobility = 0.1 // vgs far below zero: the channel is shut anyway
	if mobility < leastMobility {
		mobility, dMobility = leastMobility, 0
	}
	beta := m.kp * length / mobility
	dBetaG, dBetaD := -beta*dMobility/mobility, m.kp*m.lambda/mobility
	shape, shapeG, shapeD := 0.5*over*over, over*slope, 0.0
	if over > vds {
		shape, shapeG, shapeD = vds*(over-0.5*vds), vds*slope, over-vds
	}
	return beta * shape, beta*shapeG + dBetaG*shape, beta*shapeD + dBetaD*shape
}

// gateDrain returns the charge in C and capacitance in F of the gate-drain
// capacitance: with s = (Cmax - Cmin)/(1 + π/2) it is Cmax - s + s tanh(a v)
// for v > 0 and Cmax - s + s atan(a v) below.
func (m *mosfet) gateDrain(v float64) (charge, capacitance float64) {
	s := (m.cgdMax - m.cgdMin) / (1 + math.Pi/2)
	y := m.cgdMax - s
	z := m.a * v
	if v > 0 {
		// ln cosh z without overflow
		lnCosh := z - math.Ln2 + math.Log1p(math.Exp(-2*z))
		return s/m.a*lnCosh + y*v, s*math.Tanh(z) + y
	}
	angle := math.Atan(z)
	return s/m.a*(z*angle-0.5*math.Log1p(z*z)) + y*v, s*angle + y
}
