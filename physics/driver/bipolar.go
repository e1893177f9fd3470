package driver

import "math"

// bipolar is the charge-control model of Gummel and Poon with SPICE's names;
// zero means what it means there: an infinite knee current or Early voltage, no
// leakage. Its resistances belong to the network.
type bipolar struct {
	is, bf, nf, ikf, ise, ne float64
	br, nr, ikr, isc, nc     float64
	inverseVAF, inverseVAR   float64
	tf, xtf, itf, tr         float64
	inverseVTF               float64 // 1/(1.44 VTF); 0: none
	emitter, collector       depletion
	criticalBE, criticalBC   float64
}

// transistor is what a three-terminal device does at its two inner voltages u:
// base (gate) to emitter (source) and base (gate) to collector (drain). The
// currents i and charges q flow along these two ports; g and c are their
// derivatives.
type transistor struct {
	i, q [2]float64
	g, c [2][2]float64
}

// at fills t for the voltages vbe and vbc in V.
func (b *bipolar) at(vbe, vbc float64, t *transistor) {
	const vt = thermalVoltage
	e, slope := limitedExp(vbe / (b.nf * vt))
	forward, gForward := b.is*(e-1), b.is*slope/(b.nf*vt)
	e, slope = limitedExp(vbc / (b.nr * vt))
	reverse, gReverse := b.is*(e-1), b.is*slope/(b.nr*vt)
	var leakBE, gLeakBE, leakBC, gLeakBC float64
	if b.ise > 0 {
		e, slope := limitedExp(vbe / (b.ne * vt))
		leakBE, gLeakBE = b.ise*(e-1), b.ise*slope/(b.ne*vt)
	}
	if b.isc > 0 {
		e, slope := limitedExp(vbc / (b.nc * vt))
		leakBC, gLeakBC = b.isc*(e-1), b.isc*slope/(b.nc*vt)
	}

	// Normalised base charge qb and its derivatives.
	early, dEarlyE, dEarlyC := 1-vbc*b.inverseVAF-vbe*b.inverseVAR, b.inverseVAR, b.inverseVAF
	const leastEarly = 0.02 // far beyond the model's range; keeps qb finite
	if early < leastEarly {
		early, dEarlyE, dEarlyC = leastEarly, 0, 0
	}
	q1 := 1 / early
	q2, q2E, q2C := 0.0, 0.0, 0.0
	if b.ikf > 0 {
		q2, q2E = forward/b.ikf, gForward/b.ikf
	}
	if b.ikr > 0 {
		q2 += reverse / b.ikr
		q2C = gReverse / b.ikr
	}
	root := math.Sqrt(math.Max(1+4*q2, 1e-6))
	qb := q1 * (1 + root) / 2
	qbE := q1*q1*dEarlyE*(1+root)/2 + q1*q2E/root
	qbC := q1*q1*dEarlyC*(1+root)/2 + q1*q2C/root

	// Transport current from collector to emitter: along the base-emitter
	// port and back along the base-collector port.
	inverse := 1 / qb
	transport := (forward - reverse) * inverse
	tE := (gForward - transport*qbE) * inverse
	tC := (-gReverse - transport*qbC) * inverse

	t.i[0] = forward/b.bf + leakBE + minimumConductance*vbe + transport
	t.g[0][0] = gForward/b.bf + gLeakBE + minimumConductance + tE
	t.g[0][1] = tC
	t.i[1] = reverse/b.br + leakBC + minimumConductance*vbc - transport
	t.g[1][0] = -tE
	t.g[1][1] = gReverse/b.br + gLeakBC + minimumConductance - tC

	// Charges: diffusion with the transit time's rise at high current, and the
	// depletion layers.
	q, c := b.emitter.at(vbe)
	t.q[0], t.c[0][0], t.c[0][1] = q, c, 0
	if forward > 0 {
		lift, liftE, liftC := 0.0, 0.0, 0.0
		if b.xtf > 0 {
			lift = b.xtf
			if b.inverseVTF > 0 {
				lift *= math.Exp(math.Min(vbc*b.inverseVTF, 40))
				liftC = lift * b.inverseVTF
			}
			if b.itf > 0 {
				r := forward / (forward + b.itf)
				liftE = lift * 2 * r * (1 - r) / (forward + b.itf) * gForward
				lift *= r * r
				liftC *= r * r
			}
		}
		stored := b.tf * forward * (1 + lift) * inverse
		t.q[0] += stored
		t.c[0][0] += b.tf*(gForward*(1+lift)+forward*liftE)*inverse - stored*qbE*inverse
		t.c[0][1] = b.tf*forward*liftC*inverse - stored*qbC*inverse
	} else {
		t.q[0] += b.tf * forward
		t.c[0][0] += b.tf * gForward
	}
	q, c = b.collector.at(vbc)
	t.q[1] = b.tr*reverse + q
	t.c[1][0], t.c[1][1] = 0, b.tr*gReverse+c
}
