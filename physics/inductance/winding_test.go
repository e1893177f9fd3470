package inductance

import (
	"errors"
	"math"
	"testing"

	"gonum.org/v1/gonum/floats/scalar"
)

func TestValidationWindingInductance(t *testing.T) {
	r := readReference(t)
	for _, test := range r.Windings {
		w := Winding{test.Turns, test.Diameter / 2, test.Pitch, test.Wire / 2, 0}
		for _, current := range []struct {
			current Current
			want    float64
		}{{Uniform, test.Henry}, {Surface, test.Surface}} {
			got, err := w.Inductance(current.current)
			if err != nil || !scalar.EqualWithinRel(got, current.want, 1e-10) {
				t.Errorf("%+v: %v H, %v, want %v H (%s)", w, got, err, current.want, r.Source)
			}
		}
	}
}

// TestWindingSums compares the sum by distances with the plain double sum.
func TestWindingSums(t *testing.T) {
	for _, turns := range []float64{0.4, 1, 1.5, 2, 7.25, 40, 310.75} {
		w := Winding{turns, 0.0125, 0.0004, 0.0001, 0.018}
		want, err1 := Inductance(w.Loops(), Surface)
		got, err2 := w.Inductance(Surface)
		if err := errors.Join(err1, err2); err != nil || !scalar.EqualWithinRel(got, want, 1e-12) {
			t.Errorf("%g turns: %v H, want %v H by pairs (%v)", turns, got, want, err)
		}
	}
}

func TestFractionalTurnIsContinuous(t *testing.T) {
	at := func(turns float64) float64 {
		l, err := Winding{turns, 0.0125, 0.0004, 0.0001, 0}.Inductance(Uniform)
		if err != nil {
			t.Fatal(err)
		}
		return l
	}
	const step = 1e-7
	for _, n := range []float64{1, 2, 40, 310} {
		below, exact, above := at(n-step), at(n), at(n+step)
		// One turn more changes the inductance by about 2/N of it.
		if math.Abs(below/exact-1) > 10*step || math.Abs(above/exact-1) > 10*step {
			t.Errorf("inductance jumps at %g turns: %v, %v, %v H", n, below, exact, above)
		}
		if !(below < exact && exact < above) {
			t.Errorf("more turns do not give more inductance at %g: %v, %v, %v H", n, below, exact, above)
		}
	}
}

func TestValidationCoupling(t *testing.T) {
	r := readReference(t)
	for _, test := range r.Couplings {
		slant := test.Angle * math.Pi / 180
		if test.Primary == "cylinder" {
			slant = math.Pi / 2
		}
		primary := Primary{test.Turns, test.Radius, test.Pitch, slant, test.Wire / 2, test.Height}.Loops()
		// The reference puts the first turn of the secondary half a pitch up.
		secondary := Winding{test.SecondaryTurns, test.SecondaryDiameter / 2, test.SecondaryPitch, test.SecondaryWire / 2, test.SecondaryPitch / 2}
		l1, err1 := Inductance(primary, Uniform)
		l2, err2 := secondary.Inductance(Uniform)
		m, err3 := MutualInductance(primary, secondary.Loops())
		if err := errors.Join(err1, err2, err3); err != nil {
			t.Fatal(err)
		}
		for _, value := range []struct {
			name      string
			got, want float64
		}{{"primary inductance", l1, test.PrimaryHenry}, {"mutual inductance", m, test.MutualHenry}, {"coupling", Coupling(l1, l2, m), test.Coupling}} {
			if !scalar.EqualWithinRel(value.got, value.want, 1e-9) {
				t.Errorf("%s of %s, %g turns: %v, want %v (%s)", value.name, test.Primary, test.Turns, value.got, value.want, r.Source)
			}
		}
		if k := Coupling(l1, l2, m); !(k > 0 && k < 1) {
			t.Errorf("coupling coefficient %v is not between 0 and 1", k)
		}
	}
}

func TestPrimaryFraction(t *testing.T) {
	secondary := Winding{300, 0.0125, 0.0002, 0.0001, 0.018}.Loops()
	at := func(turns float64) float64 {
		m, err := MutualInductance(Primary{turns, 0.023, 0.004, 0.3, 0.0006, 0.01}.Loops(), secondary)
		if err != nil {
			t.Fatal(err)
		}
		return m
	}
	const step = 1e-7
	if jump := math.Abs(at(4+step)/at(4-step) - 1); jump > 10*step {
		t.Errorf("mutual inductance jumps by %g at four turns", jump)
	}
}

// TestMirror holds the winding over a metal plane against its limits.
func TestMirror(t *testing.T) {
	over := func(height float64) float64 {
		loops := Winding{40, 0.02, 0.001, 0.0003, height}.Loops()
		l, err1 := Inductance(loops, Surface)
		image, err2 := MutualInductance(loops, Mirror(loops, 0))
		if err := errors.Join(err1, err2); err != nil {
			t.Fatal(err)
		}
		return (l - image) / l
	}
	if far := over(20); !scalar.EqualWithinAbs(far, 1, 1e-6) {
		t.Errorf("20 m over the plane %v of the inductance is left, want all", far)
	}
	near, nearer := over(0.01), over(0.002)
	if !(nearer < near && near < 1 && nearer > 0) {
		t.Errorf("a plane must take more when it is nearer: %v left at 10 mm, %v at 2 mm", near, nearer)
	}
	if back := Mirror(Mirror([]Loop{{1, 2, 0.1, 1}}, 0.5), 0.5)[0]; back.Height != 2 {
		t.Errorf("mirrored twice a turn lies at %g m, want 2 m", back.Height)
	}
}

func TestInductanceRefuses(t *testing.T) {
	if _, err := Inductance([]Loop{{1, 0, 0.1, 1}, {1, 0, 0.1, 1}}, Uniform); !errors.Is(err, ErrGeometry) {
		t.Errorf("two turns in one place: %v, want ErrGeometry", err)
	}
	if _, err := MutualInductance([]Loop{{1, 0, 0.1, 1}}, []Loop{{1, 0, 0.1, 1}}); !errors.Is(err, ErrGeometry) {
		t.Errorf("two windings in one place: %v, want ErrGeometry", err)
	}
	for _, w := range []Winding{{}, {10, 0.01, 0, 0.001, 0}, {10, 0.01, 0.001, 0.02, 0}, {math.Inf(1), 0.01, 0.001, 0.0001, 0}, {math.NaN(), 0.01, 0.001, 0.0001, 0}} {
		if _, err := w.Inductance(Uniform); !errors.Is(err, ErrGeometry) {
			t.Errorf("%+v: %v, want ErrGeometry", w, err)
		}
	}
}

func BenchmarkWinding450(b *testing.B)  { benchmarkWinding(b, 450) }
func BenchmarkWinding2000(b *testing.B) { benchmarkWinding(b, 2000) }

func benchmarkWinding(b *testing.B, turns float64) {
	w := Winding{turns, 0.0125, 0.00023, 0.0001, 0.018}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := w.Inductance(Uniform); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkCoupling(b *testing.B) {
	secondary := Winding{450, 0.0125, 0.00023, 0.0001, 0.018}.Loops()
	primary := Primary{4, 0.023, 0.004, math.Pi / 2, 0.0006, 0.01}.Loops()
	b.ReportAllocs()
	for b.Loop() {
		if _, err := MutualInductance(primary, secondary); err != nil {
			b.Fatal(err)
		}
	}
}

func TestFractionalTurnPlace(t *testing.T) {
	loops := Winding{2.5, 0.01, 0.004, 0.0005, 0.1}.Loops()
	// The half turn fills 2 to 2.5 pitches over the lower edge; the first turn's
	// centre is half a pitch over it.
	if last := loops[2]; len(loops) != 3 || last.Weight != 0.5 || !scalar.EqualWithinAbs(last.Height, 0.1+1.75*0.004, 1e-15) {
		t.Errorf("2.5 turns end in %+v, want weight 0.5 at 1.75 pitches", loops)
	}
}

// TestMirrorMutual compares the sum by distances with all pairs.
func TestMirrorMutual(t *testing.T) {
	for _, turns := range []float64{0.5, 1, 2.25, 40, 40.5} {
		w := Winding{turns, 0.0125, 0.0004, 0.0001, 0.018}
		want, err := MutualInductance(w.Loops(), Mirror(w.Loops(), 0.01))
		if got := w.MirrorMutual(0.01); err != nil || !scalar.EqualWithinRel(got, want, 1e-12) {
			t.Errorf("%g turns: %v H, want %v H by pairs (%v)", turns, got, want, err)
		}
	}
}
