package resonance

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/mat"

	"coilwright/physics/electrostatics"
	"coilwright/physics/topload"
)

// thinRing is a single horizontal ring of wire as a body: one mode, one ring.
func thinRing(radius, wireRadius float64) *topload.Body {
	return &topload.Body{
		Elastance: []float64{selfElastance(radius, wireRadius)}, Charge: []float64{1},
		Radius: []float64{radius}, Height: []float64{0}, Weight: []float64{1},
		Outer: radius + wireRadius, Top: wireRadius,
	}
}

// wireRing is a ring of wire turns as a body.
func wireRing(t testing.TB, r topload.Ring) *topload.Body {
	t.Helper()
	var s topload.RingSolver
	body := &topload.Body{}
	if _, err := s.Body(body, r); err != nil {
		t.Fatal(err)
	}
	return body
}

// solid is a smooth conductor as a body, straight from the boundary elements:
// the charges that answer the potentials Re ζⁿ and Im ζⁿ, ζ = (r - centre + iz)/size,
// made orthogonal in energy. It shares no reduction with package topload.
func solid(t testing.TB, shape electrostatics.Conductor, centre, size float64) *topload.Body {
	t.Helper()
	const degree = 6
	const modes = 2*degree + 1
	system, err := electrostatics.NewSystem([]electrostatics.Conductor{shape}, nil, electrostatics.DefaultRefinement)
	if err != nil {
		t.Fatal(err)
	}
	n := system.Nodes()
	b := &topload.Body{Charge: make([]float64, modes), Elastance: make([]float64, modes*modes)}
	potential := mat.NewDense(n, modes, nil)
	for i := range n {
		r, z, _ := system.Node(i)
		b.Radius, b.Height = append(b.Radius, r), append(b.Height, z)
		b.Outer, b.Top = math.Max(b.Outer, r), math.Max(b.Top, z)
		power := complex(1, 0)
		potential.Set(i, 0, 1)
		for j := 1; j <= degree; j++ {
			power *= complex((r-centre)/size, z/size)
			potential.Set(i, 2*j-1, real(power))
			potential.Set(i, 2*j, imag(power))
		}
	}
	charge := mat.DenseCopyOf(potential)
	if err := system.SolveMany(charge); err != nil {
		t.Fatal(err)
	}
	energy := func(i, j int) float64 {
		return (mat.Dot(charge.ColView(i), potential.ColView(j)) + mat.Dot(charge.ColView(j), potential.ColView(i))) / 2
	}
	capacitance := mat.Sum(charge.ColView(0))
	for i := range modes {
		for range 2 {
			for j := range i {
				c := energy(i, j) / energy(j, j)
				for k := range n {
					charge.Set(k, i, charge.At(k, i)-c*charge.At(k, j))
					potential.Set(k, i, potential.At(k, i)-c*potential.At(k, j))
				}
			}
		}
		scale := 1 / math.Sqrt(energy(i, i)*capacitance)
		for k := range n {
			b.Weight = append(b.Weight, scale*charge.At(k, i))
		}
		b.Elastance[i*modes+i] = 1 / capacitance
	}
	b.Charge[0] = 1
	return b
}

func torus(t testing.TB, radius, tube float64) *topload.Body {
	t.Helper()
	return solid(t, electrostatics.TorusConductor(0, electrostatics.Torus{Radius: radius, Tube: tube}), radius, tube)
}
