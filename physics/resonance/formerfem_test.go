package resonance

import (
	"bufio"
	"bytes"
	_ "embed"
	"fmt"
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/mat"
)

// ringEnergies is the answer of a finite element program, testdata/former/rings.edp.
//
//go:embed testdata/former/rings.txt
var ringEnergies []byte

// staticEnergy returns the electric energy in J of a coil turn by turn at the given
// voltages of its turns.
func staticEnergy(t *testing.T, c Coil, volts func(turn int) float64) float64 {
	t.Helper()
	var s Solver
	solve(t, &s, c)
	m := &s.matrices
	n := m.size
	p := mat.NewSymDense(n, nil)
	v := mat.NewVecDense(n, nil)
	for i := range n {
		v.SetVec(i, volts(i))
		for j := i; j < n; j++ {
			p.SetSym(i, j, m.elastance[i*m.stride+j])
		}
	}
	var chol mat.Cholesky
	if !chol.Factorize(p) {
		t.Fatal("elastance is not positive")
	}
	var q mat.VecDense
	if err := chol.SolveVecTo(&q, v); err != nil {
		t.Fatal(err)
	}
	return mat.Dot(&q, v) / 2
}

// TestValidationFormerFiniteElements compares the energies of ten and twelve rings of
// wire 1 mm thick, bare and insulated, in air, on tubes and on a rod. The finite elements
// are good to 0.2 % where the wires are near each other, by a mesh twice as fine; the
// coil's own answer may add as much. Insulated wires that nearly touch, close to a
// former, are worse by the multipoles that the former does not see: up to 3 % at the
// voltages that rise, for a coat of a tenth of the wire.
func TestValidationFormerFiniteElements(t *testing.T) {
	if testing.Short() {
		t.Skip("compares with finite elements")
	}
	lines := bufio.NewScanner(bytes.NewReader(ringEnergies))
	var c Coil
	var close bool
	cases := 0
	for lines.Scan() {
		line := lines.Text()
		if strings.HasPrefix(line, "#") {
			var a, wire, coat, pitch, wall, ends float64
			var n int
			if _, err := fmt.Sscanf(line, "# a %g rho %g coat %g pitch %g n %d wall %g ends %g mm", &a, &wire, &coat, &pitch, &n, &wall, &ends); err != nil {
				t.Fatal(line, err)
			}
			const mm = 1e-3
			c = Coil{Winding: Winding{Radius: a * mm, WireRadius: wire * mm, Pitch: pitch * mm, Turns: float64(n), Base: 0.02}}
			c.Winding.Insulation[0].Thickness = coat * mm
			c.Former = &Former{Outer: (a - wire - coat) * mm, Bottom: c.Winding.Base - (pitch/2+ends)*mm, Top: c.Winding.Top() + ends*mm}
			if wall > 0 {
				c.Former.Inner = c.Former.Outer - wall*mm
			}
			close = pitch < 3*wire
			continue
		}
		var even, rising, inTube, inCoats float64
		coil := c
		former := *c.Former
		coil.Former = &former
		if _, err := fmt.Sscanf(line, "case %g %g %g %g %g %g", &former.RelativePermittivity, &coil.Winding.Insulation[0].RelativePermittivity, &even, &rising, &inTube, &inCoats); err != nil {
			t.Fatal(line, err)
		}
		cases++
		insulated := coil.Winding.Insulation[0].there()
		tol := 0.004 // twice that of the finite elements
		switch {
		case former.RelativePermittivity > 10:
			tol = 0.04 // of which half is the usual panels
			if insulated {
				continue
			}
		case close && insulated:
			tol = 0.03
		case close:
			tol = 0.008
		}
		n := c.Winding.Turns
		within(t, line+": even", staticEnergy(t, coil, func(int) float64 { return 1 }), even, math.Min(tol, 0.005), "FreeFem++")
		within(t, line+": rising", staticEnergy(t, coil, func(i int) float64 { return (float64(i) + 0.5) / n }), rising, tol, "FreeFem++")
		// At fixed voltages more permittivity adds the energy inside.
		if former.RelativePermittivity > 1 && former.RelativePermittivity < 10 && !insulated {
			const step = 1e-3
			now := staticEnergy(t, coil, func(i int) float64 { return (float64(i) + 0.5) / n })
			former.RelativePermittivity *= 1 + step
			more := staticEnergy(t, coil, func(i int) float64 { return (float64(i) + 0.5) / n })
			within(t, line+": in the tube", (more-now)/step, inTube, 0.04, "FreeFem++")
		}
	}
	if cases != 32 {
		t.Errorf("%d cases, want 32", cases)
	}
}
