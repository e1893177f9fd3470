package loss

import (
	"errors"
	"math"
	"math/cmplx"
	"testing"

	"coilwright/physics/si"
)

func mustWinding(t *testing.T, s *Solver, w Winding, frequency float64, current []float64) WindingLoss {
	t.Helper()
	l, err := s.Winding(w, frequency, current)
	if err != nil {
		t.Fatal(err)
	}
	return l
}

// TestEnergyBalance: what the fields inside the wires dissipate, integrated over their
// sections, is what the voltages along the wires feed in.
func TestEnergyBalance(t *testing.T) {
	const allowed = 1e-6
	current := []float64{1, 0.9, -0.2, 0.5, 1.3}
	for _, test := range []struct{ pitch, thick float64 }{{1.1, 2}, {1.1, 6}, {1.5, 4}, {2, 1}} {
		s := Solver{Harmonics: 10, EveryTurn: true}
		w := testWire(math.Inf(1), test.pitch, test.thick)
		got := mustWinding(t, &s, w, testFrequency, current).Power
		if field := lossInside(&s, w, current); math.Abs(got/field-1) > allowed {
			t.Errorf("pitch %g d, d %g skin depths: %.9g W, want %.9g (fields in the sections)", test.pitch, test.thick, got, field)
		}
		if fed := powerFed(&s, w, current); math.Abs(got/fed-1) > allowed {
			t.Errorf("pitch %g d, d %g skin depths: %.9g W, want %.9g (voltages along the wires)", test.pitch, test.thick, got, fed)
		}
		// The same as a quality factor: the loss by either way to the energy of 1 J.
		a, err := QualityFactor(testFrequency, 1, Parts{Winding: got})
		if err != nil {
			t.Fatal(err)
		}
		b, err := QualityFactor(testFrequency, 1, Parts{Winding: powerFed(&s, w, current)})
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(a.Total/b.Total-1) > allowed {
			t.Errorf("Q by field %.9g, by energy balance %.9g", a.Total, b.Total)
		}
	}
}

// lossInside integrates |J|²/2σ over the sections of straight wires, in W/m, with Bessel
// functions by their series.
func lossInside(s *Solver, w Winding, current []float64) float64 {
	a := w.WireRadius
	omega := 2 * math.Pi * testFrequency
	z := wireArgument(a / SkinDepth(testFrequency, w.Conductivity))
	places, weights := gauss(24)
	n, total := s.wires.count, 0.0
	for i, c := range current {
		harmonics := s.systems[0].solution[i*n : (i+1)*n]
		for p, place := range places {
			r := a * (1 + place) / 2
			x := z * complex(r/a, 0)
			uniform := complex(c/(2*math.Pi*a*a), 0) * z * bessel(0, x) / bessel(1, z)
			mean := 2 * math.Pi * square(uniform)
			for m := 1; m <= n; m++ {
				// A = μ₀/2π (C + D) J_m(kr)/J_m(ka) cos mθ, J = -iωσA, C = c/√m.
				amplitude := harmonics[m-1] / complex(math.Sqrt(float64(m)), 0) * (1 - s.wires.shield[m])
				density := complex(omega*w.Conductivity*si.Mu0/(2*math.Pi), 0) * amplitude * bessel(m, x) / bessel(m, z)
				mean += math.Pi * square(density)
			}
			total += weights[p] * a / 2 * r * mean / (2 * w.Conductivity)
		}
	}
	return total
}

// powerFed returns Re ½ Σ I V* of straight wires, in W/m, with the vector potential of all
// multipoles at the centres of the wires.
func powerFed(s *Solver, w Winding, current []float64) float64 {
	omega := 2 * math.Pi * testFrequency
	wire, err := NewRoundWire(testFrequency, w.WireRadius, w.Conductivity)
	if err != nil {
		panic(err)
	}
	n, total := s.wires.count, 0.0
	for i, c := range current {
		potential := complex(0, 0)
		for j := range current {
			if j == i {
				continue
			}
			from := complex(w.WireRadius/(float64(i-j)*w.Pitch), 0)
			power := complex(1, 0)
			for m := 1; m <= n; m++ {
				power *= from
				potential -= s.wires.shield[m] * s.systems[0].solution[j*n+m-1] / complex(math.Sqrt(float64(m)), 0) * power
			}
		}
		volts := complex(c*wire.ResistanceAC, 0) + complex(0, omega*si.Mu0/(2*math.Pi))*potential
		total += c * real(volts) / 2
	}
	return total
}

func square(z complex128) float64 { return cmplx.Abs(z) * cmplx.Abs(z) }

// gauss returns places and weights of Gauss and Legendre on -1 to 1 by Newton's method.
func gauss(n int) (places, weights []float64) {
	for i := range n {
		x := math.Cos(math.Pi * (float64(i) + 0.75) / (float64(n) + 0.5))
		slope := 0.0
		for range 50 {
			before, here := 1.0, x
			for k := 2; k <= n; k++ {
				before, here = here, (float64(2*k-1)*x*here-float64(k-1)*before)/float64(k)
			}
			slope = float64(n) * (x*here - before) / (x*x - 1)
			x -= here / slope
		}
		places, weights = append(places, x), append(weights, 2/((1-x*x)*slope*slope))
	}
	return places, weights
}

// TestPairClosedForm: two wires carrying opposite currents in a thin skin have 1/√(1-(d/p)²)
// times the resistance of lone ones. Source: Mie, Annalen der Physik 2 (1900) 201; the form
// in Smythe's two-wire line by its image charges.
func TestPairClosedForm(t *testing.T) {
	var s Solver
	for _, pitch := range []float64{1.05, 1.1, 1.25, 1.5, 2, 4} {
		s.Harmonics = 24
		got := mustWinding(t, &s, testWire(math.Inf(1), pitch, 2e5), testFrequency, []float64{1, -1}).Factor
		if want := 1 / math.Sqrt(1-1/(pitch*pitch)); math.Abs(got/want-1) > 0.001 {
			t.Errorf("pitch %g d: factor %.5f, want %.5f (closed form)", pitch, got, want)
		}
	}
}

func TestIsolatedWire(t *testing.T) {
	var s Solver
	w := testWire(10, 1000, 5)
	if got := mustWinding(t, &s, w, testFrequency, uniform(5)).Factor; math.Abs(got-1) > 1e-5 {
		t.Errorf("turns far apart: factor %g, want 1", got)
	}
	if got := mustWinding(t, &s, testWire(math.Inf(1), 2, 5), testFrequency, uniform(1)).Factor; got != 1 {
		t.Errorf("one straight wire: factor %g, want 1", got)
	}
}

// TestLongWindings: in the middle of a long row, straight or a solenoid, a wire is one of an
// endless row.
func TestLongWindings(t *testing.T) {
	for _, test := range []struct {
		name             string
		radius, lopsided float64
		turns            int
		tol              float64
	}{
		// The 200th neighbour and all beyond are missing.
		{"straight", math.Inf(1), 0, 401, 2e-3},
		// The ends are 9 radii away, 0.6 % of the field, and the wire is bent, 1 %.
		{"solenoid", 0.1, 1, 801, 0.02},
	} {
		for _, pitch := range []float64{1.1, 1.5} {
			const thick = 4.0
			s := Solver{EveryTurn: true}
			w := testWire(test.radius, pitch, thick)
			mustWinding(t, &s, w, testFrequency, uniform(test.turns))
			middle, n := test.turns/2, s.wires.count
			sum := 0.0
			for _, system := range s.systems {
				sum += s.wires.lossOf(system.solution[middle*n : (middle+1)*n])
			}
			got := 1 + sum*thick*thick/4/(1+real(skinExcess(thick/2)))
			want, err := EndlessRow(1/pitch, thick/2, test.lopsided)
			if err != nil {
				t.Fatal(err)
			}
			if math.Abs(got/want-1) > test.tol {
				t.Errorf("%s, pitch %g d: factor in the middle %.4f, want %.4f (endless row)", test.name, pitch, got, want)
			}
		}
	}
}

// TestKnots is the reason for growth and widest.
func TestKnots(t *testing.T) {
	for _, test := range []struct {
		turns int
		pitch float64
	}{{30, 1.05}, {100, 1.2}, {450, 1.2}, {450, 2}} {
		few, all := Solver{}, Solver{EveryTurn: true}
		w := testWire(0.126, test.pitch, 4)
		current := deskCurrent(test.turns)
		got, want := mustWinding(t, &few, w, testFrequency, current), mustWinding(t, &all, w, testFrequency, current)
		t.Logf("%d turns: %d of %d unknowns, %+.2g", test.turns, got.Unknowns, want.Unknowns, got.Power/want.Power-1)
		if math.Abs(got.Power/want.Power-1) > 2e-3 {
			t.Errorf("%d turns: %g W by few knots, %g by every turn", test.turns, got.Power, want.Power)
		}
	}
}

// TestHarmonics is the reason for rowTolerance and thinHarmonics.
func TestHarmonics(t *testing.T) {
	for _, pitch := range []float64{1, 1.02, 1.1, 1.3, 2, 5} {
		for _, thick := range []float64{1, 4, 10} {
			few, many := Solver{}, Solver{Harmonics: 36}
			w := testWire(0.05, pitch, thick)
			got, want := mustWinding(t, &few, w, testFrequency, uniform(30)), mustWinding(t, &many, w, testFrequency, uniform(30))
			if math.Abs(got.Power/want.Power-1) > 3e-3 {
				t.Errorf("pitch %g d, d %g skin depths: %g W by %d harmonics, %g by %d", pitch, thick, got.Power, got.Harmonics, want.Power, want.Harmonics)
			}
		}
	}
}

func TestWindingSymmetries(t *testing.T) {
	var s Solver
	w := testWire(0.126, 1.2, 4)
	current := deskCurrent(60)
	base := mustWinding(t, &s, w, testFrequency, current)

	reversed := make([]float64, len(current))
	for i, c := range current {
		reversed[len(current)-1-i] = 3 * c
	}
	if got := mustWinding(t, &s, w, testFrequency, reversed).Power; math.Abs(got/(9*base.Power)-1) > 1e-6 {
		t.Errorf("upside down and with three times the current: %g W, want %g", got, 9*base.Power)
	}

	// Lengths by 2 and conductivity by 1/4 keep sizes over the skin depth; the resistance of
	// twice the length, four times the section and four times the resistivity doubles.
	large := Winding{Radius: 2 * w.Radius, WireRadius: 2 * w.WireRadius, Pitch: 2 * w.Pitch, Conductivity: w.Conductivity / 4}
	if got := mustWinding(t, &s, large, testFrequency, current).Power; math.Abs(got/(2*base.Power)-1) > 1e-9 {
		t.Errorf("scaled: %g W, want %g", got, 2*base.Power)
	}

	// A far plane changes nothing; a near one takes field away below and adds it outside.
	far := w
	far.PlaneDistance = 50
	if got := mustWinding(t, &s, far, testFrequency, current).Power; math.Abs(got/base.Power-1) > 1e-6 {
		t.Errorf("plane 50 m below: %g W, want %g", got, base.Power)
	}
}

// TestMirror: a plane is the same as the mirrored winding with opposite currents.
func TestMirror(t *testing.T) {
	s := Solver{EveryTurn: true}
	w := testWire(0.03, 1.5, 4)
	const turns = 12
	// Half a pitch under the lowest turn, so that the image goes on with the same pitch.
	w.PlaneDistance = w.Pitch / 2
	current := deskCurrent(turns)
	got := mustWinding(t, &s, w, testFrequency, current).Power
	both := make([]float64, 2*turns)
	for i, c := range current {
		both[turns+i], both[turns-1-i] = c, -c
	}
	w.PlaneDistance = 0
	want := mustWinding(t, &s, w, testFrequency, both).Power / 2
	// The mirror acts by its currents alone, not by their crowding, which matters only
	// as near as this.
	if math.Abs(got/want-1) > 0.04 {
		t.Errorf("over a plane %g W, want %g (image as a winding)", got, want)
	}
	w.PlaneDistance = 3 * w.Pitch
	if near := mustWinding(t, &s, w, testFrequency, current).Power; near == got {
		t.Error("the distance of the plane changes nothing")
	}
}

// TestLastTurn: a fraction is continuous at whole numbers.
func TestLastTurn(t *testing.T) {
	s := Solver{EveryTurn: true}
	w := testWire(0.126, 1.2, 4)
	current := uniform(31)
	whole := mustWinding(t, &s, w, testFrequency, current).Power
	less := mustWinding(t, &s, w, testFrequency, current[:30]).Power
	w.Last = 1e-6
	if got := mustWinding(t, &s, w, testFrequency, current).Power; math.Abs(got/less-1) > 1e-4 {
		t.Errorf("30.000001 turns: %g W, 30 turns: %g", got, less)
	}
	w.Last = 0.5
	if got := mustWinding(t, &s, w, testFrequency, current).Power; !(got > less && got < whole) {
		t.Errorf("30.5 turns: %g W, 30: %g, 31: %g", got, less, whole)
	}
}

func TestWindingRefuses(t *testing.T) {
	var s Solver
	good := testWire(0.03, 1.2, 4)
	for name, change := range map[string]func(w *Winding) (float64, []float64){
		"no turns":      func(*Winding) (float64, []float64) { return 1e6, nil },
		"no frequency":  func(*Winding) (float64, []float64) { return 0, uniform(3) },
		"NaN current":   func(*Winding) (float64, []float64) { return 1e6, []float64{1, math.NaN()} },
		"thick wire":    func(w *Winding) (float64, []float64) { w.Radius = w.WireRadius; return 1e6, uniform(3) },
		"wires overlap": func(w *Winding) (float64, []float64) { w.Pitch = w.WireRadius; return 1e6, uniform(3) },
		"no metal":      func(w *Winding) (float64, []float64) { w.Conductivity = 0; return 1e6, uniform(3) },
		"NaN radius":    func(w *Winding) (float64, []float64) { w.Radius = math.NaN(); return 1e6, uniform(3) },
		"sunk":          func(w *Winding) (float64, []float64) { w.PlaneDistance = w.WireRadius / 2; return 1e6, uniform(3) },
		"part":          func(w *Winding) (float64, []float64) { w.Last = 1.5; return 1e6, uniform(3) },
	} {
		w := good
		f, current := change(&w)
		if _, err := s.Winding(w, f, current); !errors.Is(err, ErrInput) {
			t.Errorf("%s: error %v", name, err)
		}
	}
}

func TestPerTurn(t *testing.T) {
	var turn, current []float64
	const turns = 450
	for i := 0; i < turns; i++ {
		if i < 6 || i >= turns-6 || i%22 == 0 {
			turn = append(turn, float64(i)+0.5)
			current = append(current, math.Cos(1.4*(float64(i)+0.5)/turns))
		}
	}
	got, err := PerTurn(nil, turn, current)
	if err != nil || len(got) != turns {
		t.Fatalf("%d turns, %v", len(got), err)
	}
	for i, c := range got {
		if want := math.Cos(1.4 * (float64(i) + 0.5) / turns); math.Abs(c-want) > 2e-4 {
			t.Errorf("turn %d: %g A, want %g", i, c, want)
		}
	}
	// A part of a turn at the end is one.
	turn[len(turn)-1] = turns - 1 + 0.1
	if got, err = PerTurn(got, turn, current); err != nil || len(got) != turns {
		t.Errorf("449.2 turns give %d currents, %v", len(got), err)
	}
	for _, bad := range [][]float64{nil, {1.5, 2.5}, {0.5, 0.5}, {0.5}} {
		if _, err := PerTurn(nil, bad, []float64{1, 1}); !errors.Is(err, ErrInput) {
			t.Errorf("PerTurn of turns %v: error %v", bad, err)
		}
	}
}
