package loss_test

import (
	"math"
	"testing"

	"coilwright/physics/electrostatics"
	"coilwright/physics/loss"
	"coilwright/physics/resonance"
	"coilwright/physics/topload"
	"coilwright/physics/wire"
)

// desk is a club's desk coil: 310 turns of AWG 32 on a tube of 25 mm, a ring of 19 turns.
type desk struct {
	coil  resonance.Coil
	ring  topload.Ring
	modes *resonance.Modes
	line  func(theta float64) float64
	body  *topload.Body
}

func solveDesk(t testing.TB, metal bool) desk {
	t.Helper()
	floor := 0.0
	d := desk{ring: topload.Ring{WireDiameter: 1.628e-3, FormerDiameter: 0.014, HubDiameter: 0.010, Turns: 19}}
	var solver topload.RingSolver
	d.body = new(topload.Body)
	if _, err := solver.Body(d.body, d.ring); err != nil {
		t.Fatal(err)
	}
	d.line = solver.LineCharge
	d.coil = resonance.Coil{
		Winding: resonance.Winding{Radius: 0.01261, WireRadius: 1.0095e-4, Pitch: 2.4e-4, Turns: 310, Base: 0.018},
		Room:    resonance.Room{Floor: &floor, Metal: metal},
		Top:     d.body,
		Shorted: resonance.ShortedHub(0.005+d.ring.WireDiameter/2, d.ring.WireDiameter/2),
	}
	d.coil.TopHeight = d.coil.Winding.Top() + 0.014
	var s resonance.Solver
	modes, err := s.Solve(t.Context(), &d.coil)
	if err != nil {
		t.Fatal(err)
	}
	d.modes = modes
	return d
}

// parts is what the caller of this package does with the first mode of a coil.
func (d *desk) parts(t testing.TB, s *loss.Solver) loss.Parts {
	t.Helper()
	m, w := d.modes, d.coil.Winding
	f := m.Frequency[0]
	must := func(power float64, err error) float64 {
		if err != nil {
			t.Fatal(err)
		}
		return power
	}
	current, err := loss.PerTurn(nil, m.Profile.Turn, m.Profile.Current)
	if err != nil {
		t.Fatal(err)
	}
	winding := loss.Winding{
		Radius: w.Radius, WireRadius: w.WireRadius, Pitch: w.Pitch,
		Last: m.Profile.Weight[len(m.Profile.Weight)-1], Conductivity: wire.Conductivity,
	}
	var mirror *float64
	if d.coil.Room.Metal {
		mirror = d.coil.Room.Floor
		winding.PlaneDistance = w.Base - *mirror
	}
	copper, err := s.Winding(winding, f, current)
	if err != nil {
		t.Fatal(err)
	}
	sources := make([]loss.RingCurrent, len(m.Profile.Current))
	for i, c := range m.Profile.Current {
		sources[i] = loss.RingCurrent{Radius: w.Radius, Height: m.Profile.Height[i], Current: c * m.Profile.Weight[i]}
	}
	charge := 0.0
	for i, a := range m.TopAmplitude {
		charge += d.body.Charge[i] * a
	}
	ring := loss.Ring{
		Radius: d.ring.Radius(), TurnRadius: d.ring.TurnRadius(), WireRadius: d.ring.WireDiameter / 2,
		Turns: d.ring.Turns, Height: d.coil.TopHeight, Conductivity: wire.Conductivity,
	}
	p := loss.Parts{
		Winding: copper.Power,
		Ring: must(loss.RingChargingLoss(ring, charge, f, d.line)) +
			must(loss.RingEddyLoss(ring, sources, mirror, f)),
	}
	for _, l := range d.coil.Shorted {
		const brass = 16e6 // S/m, about 28 % of copper; common practice, no source
		out, err := loss.LoopLoss(loss.ClosedLoop{Radius: l.Radius, Height: d.coil.TopHeight + l.Height, WireRadius: l.WireRadius, Conductivity: brass}, sources, mirror, f)
		if err != nil {
			t.Fatal(err)
		}
		p.Shorted += out.Power
	}
	if mirror != nil {
		p.Plane = must(loss.PlaneLoss(sources, *mirror, f, loss.Metal{Conductivity: 37e6}))
	}
	return p
}

// TestDeskCoil puts a whole coil together and holds what can be known of it beforehand.
func TestDeskCoil(t *testing.T) {
	var s loss.Solver
	open, metal := solveDesk(t, false), solveDesk(t, true)
	p := open.parts(t, &s)
	q, err := loss.QualityFactor(open.modes.Frequency[0], open.modes.Energy, p)
	if err != nil {
		t.Fatal(err)
	}
	resistance := p.Resistance(open.modes.FootCurrent)
	direct := wire.ResistanceDC(wire.HelixLength(310, 2*0.01261, 2.4e-4), 2*1.0095e-4, 20)
	t.Logf("%.4g MHz, R %.1f Ω (%.1f to direct current), Q %.1f; winding %.1f, ring %.3g, hub %.3g", open.modes.Frequency[0]/1e6, resistance, direct, q.Total, q.Winding, q.Ring, q.Shorted)
	// Against the lone wire with the same profile of current it is the proximity factor,
	// below Medhurst's, whose skin is thinner.
	current, err := loss.PerTurn(nil, open.modes.Profile.Turn, open.modes.Profile.Current)
	if err != nil {
		t.Fatal(err)
	}
	mean := 0.0
	for _, c := range current {
		mean += c * c / (310 * open.modes.FootCurrent * open.modes.FootCurrent)
	}
	lone, err := loss.NewRoundWire(open.modes.Frequency[0], 1.0095e-4, wire.Conductivity)
	if err != nil {
		t.Fatal(err)
	}
	table, err := loss.Medhurst(310*2.4e-4/(2*0.01261), 2.4e-4/(2*1.0095e-4), 6, 310)
	if err != nil {
		t.Fatal(err)
	}
	factor := resistance / (direct * lone.Ratio() * mean)
	t.Logf("mean square of the current %.3f, skin %.3f, proximity %.3f (Medhurst %.3f)", mean, lone.Ratio(), factor, table.Value)
	if !(factor > 0.75*table.Value && factor < table.Value) {
		t.Errorf("proximity factor %g, Medhurst's %g", factor, table.Value)
	}
	if !(q.Ring > 20*q.Winding && q.Shorted > 20*q.Winding) {
		t.Errorf("the ring or its hub takes more than a twentieth: %+v", q)
	}
	// The effective values of the mode tell the same Q: ω Lf/R with all losses.
	all := 2 * p.Total() / (open.modes.FootCurrent * open.modes.FootCurrent)
	if want := 2 * math.Pi * open.modes.Frequency[0] * open.modes.FootInductance / all; math.Abs(q.Total/want-1) > 1e-9 {
		t.Errorf("Q = %g, ω Lf/R = %g", q.Total, want)
	}
	over := metal.parts(t, &s)
	if !(over.Plane > 0 && over.Plane < over.Winding/10) {
		t.Errorf("metal plane takes %g W, winding %g", over.Plane, over.Winding)
	}
}

func BenchmarkDeskCoil(b *testing.B) {
	d := solveDesk(b, true)
	var s loss.Solver
	b.ReportAllocs()
	for b.Loop() {
		d.parts(b, &s)
	}
}

// TestClosedTorus asks what an unbroken torus on the coil costs beside the frequency it
// moves: the currents round it, in aluminium, against the copper of the winding.
func TestClosedTorus(t *testing.T) {
	d := solveDesk(t, false)
	d.body = new(topload.Body)
	shape := electrostatics.Torus{Radius: 0.02, Tube: 0.008}
	if err := topload.TorusBody(d.body, shape); err != nil {
		t.Fatal(err)
	}
	d.coil.Top, d.coil.Shorted = d.body, resonance.ShortedTorus(shape.Radius, shape.Tube)
	var solver resonance.Solver
	modes, err := solver.Solve(t.Context(), &d.coil)
	if err != nil {
		t.Fatal(err)
	}
	var sources []loss.RingCurrent
	for i, c := range modes.Profile.Current {
		sources = append(sources, loss.RingCurrent{Radius: d.coil.Winding.Radius, Height: modes.Profile.Height[i], Current: c * modes.Profile.Weight[i]})
	}
	var strips []loss.Strip
	area := 0.0
	for _, l := range d.coil.Shorted {
		// resonance takes a strip as a wire of its width over 2π.
		s := loss.Strip{Radius: l.Radius, Height: d.coil.TopHeight + l.Height, Width: 2 * math.Pi * l.WireRadius}
		strips = append(strips, s)
		area += 2 * math.Pi * s.Radius * s.Width
	}
	if want := 4 * math.Pi * math.Pi * shape.Radius * shape.Tube; math.Abs(area/want-1) > 1e-9 {
		t.Fatalf("strips cover %g m², the torus has %g", area, want)
	}
	out, err := loss.ShellLoss(strips, sources, nil, modes.Frequency[0], loss.Metal{Conductivity: 37e6})
	if err != nil {
		t.Fatal(err)
	}
	round := 0.0
	for _, c := range out.Current {
		round += c
	}
	q, err := loss.QualityFactor(modes.Frequency[0], modes.Energy, loss.Parts{Shorted: out.Power})
	if err != nil {
		t.Fatal(err)
	}
	t.Logf("%.4g MHz: %.2g A round the torus for 1 A at the foot; its Q alone %.4g", modes.Frequency[0]/1e6, -round/modes.FootCurrent, q.Total)
	if !(round < 0) || !(q.Total > 1000) {
		t.Errorf("current round the torus %g A, Q by it alone %g", round, q.Total)
	}
}
