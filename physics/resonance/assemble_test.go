package resonance

import (
	"math"
	"testing"

	"coilwright/physics/electrostatics"
	"coilwright/physics/inductance"
)

// hats returns the values of all polygons at all turns, knots×turns.
func hats(g *grid) [][]float64 {
	phi := make([][]float64, g.unknowns())
	for k := range phi {
		phi[k] = make([]float64, g.turns)
	}
	for e, el := range g.elements {
		for t := range el.length {
			up := float64(t) / float64(el.length)
			phi[e][el.start+t] += 1 - up
			if e+1 < len(phi) {
				phi[e+1][el.start+t] += up
			}
		}
	}
	return phi
}

// dense returns Φ A Φᵀ for a matrix given by its elements.
func dense(phi [][]float64, a func(i, j int) float64) [][]float64 {
	n := len(phi[0])
	out := make([][]float64, len(phi))
	full := make([][]float64, n)
	for i := range full {
		full[i] = make([]float64, n)
		for j := range full[i] {
			full[i][j] = a(i, j)
		}
	}
	for k := range phi {
		out[k] = make([]float64, len(phi))
		for l := range phi {
			for i, x := range phi[k] {
				if x == 0 {
					continue
				}
				for j, y := range phi[l] {
					out[k][l] += x * y * full[i][j]
				}
			}
		}
	}
	return out
}

func prepared(t *testing.T, turns float64, metal bool) *winding {
	t.Helper()
	var s Solver
	c := Coil{
		Winding: Winding{Radius: 0.0125, WireRadius: 0.0001, Pitch: 0.00025, Turns: turns, Base: 0.011},
		Room:    Room{Floor: height(0), Metal: metal},
	}
	solve(t, &s, c)
	return &s.winding
}

func TestAssemble(t *testing.T) {
	// The running sums against the plain double sum, direct kernels.
	for _, turns := range []float64{1, 2, 7, 81} {
		w := prepared(t, turns, true)
		k, n := w.kernels, w.turns
		phi := hats(&w.grid)
		knots := len(phi)
		elastance := dense(phi, func(i, j int) float64 {
			v := k.potential[max(i-j, j-i)] + k.imagePotential[i+j]
			end, half := &k.end, k.end.wires/2
			at := func(i, j int) float64 {
				return electrostatics.Coulomb / (math.Pi * k.winding.Radius) * end.delta[i*end.wires+j]
			}
			if m := max(i-j, j-i); m < len(end.bulk) {
				v += w.lineUnit() * end.bulk[m]
			}
			switch {
			case end.whole:
				v += at(i, j)
			case i < half && j < half:
				v += at(i, j)
			case i >= n-half && j >= n-half:
				v += at(n-1-i, n-1-j)
			}
			return v
		})
		table := make([]float64, n*n)
		inductances := func(i, j int) float64 { return table[i*n+j] }
		pair := func(i, j int) float64 {
			m := k.ownMutual
			if i != j {
				m = inductance.MutualLoopsUnchecked(k.winding.Radius, k.winding.Radius, float64(i-j)*k.winding.Pitch)
			}
			return m - k.mirrored[i+j]
		}
		for i := range n {
			for j := range n {
				table[i*n+j] = pair(i, j)
			}
		}
		driven := dense(phi, func(a, b int) float64 {
			sum := 0.0
			for i := 0; i <= a; i++ {
				for j := 0; j <= b; j++ {
					sum += through(a, i) * through(b, j) * inductances(i, j)
				}
			}
			return sum
		})
		whole := 0.0
		for i := range n {
			for j := range n {
				whole += inductances(i, j)
			}
		}
		const tol = 1e-11 // rounding of sums of n² terms
		within(t, "inductance of all turns", w.whole, whole, tol, "double sum")
		for a := range knots {
			for b := range knots {
				scale := math.Sqrt(elastance[a][a] * elastance[b][b])
				if off := math.Abs(w.elastance[a*knots+b] - elastance[a][b]); off > tol*scale {
					t.Errorf("%g turns: elastance %d %d = %g, want %g", turns, a, b, w.elastance[a*knots+b], elastance[a][b])
				}
				scale = math.Sqrt(driven[a][a] * driven[b][b])
				if off := math.Abs(w.inductance[a*knots+b] - driven[a][b]); off > tol*scale {
					t.Errorf("%g turns: inductance %d %d = %g, want %g", turns, a, b, w.inductance[a*knots+b], driven[a][b])
				}
			}
		}
	}
}

func TestCurrents(t *testing.T) {
	w := prepared(t, 97, false)
	w.currents()
	phi := hats(&w.grid)
	knots := len(phi)
	for s, sample := range w.grid.samples {
		for k := range phi {
			want := phi[k][sample.turn] / 2
			for i := sample.turn + 1; i < w.turns; i++ {
				want += phi[k][i]
			}
			if got := w.current[s*knots+k]; math.Abs(got-want) > 1e-10 {
				t.Errorf("turn %d, knot %d: current %g, want %g", sample.turn, k, got, want)
			}
		}
	}
}

func TestGrid(t *testing.T) {
	for n := 1; n <= 3000; n += 1 + n/7 {
		var g grid
		g.build(n, 1, nil)
		if g.knots[0] != 0 || g.knots[len(g.knots)-1] != n-1 {
			t.Fatalf("%d turns: knots from %d to %d", n, g.knots[0], g.knots[len(g.knots)-1])
		}
		turns := 0
		for k, e := range g.elements {
			if e.start != turns || e.start != g.knots[k] || e.length < 1 {
				t.Fatalf("%d turns: element %d is %+v after %d turns", n, k, e, turns)
			}
			turns += e.length
		}
		if turns != n {
			t.Fatalf("%d turns: elements hold %d", n, turns)
		}
		// The samples sum cubics over each element exactly.
		for power := range 4 {
			want, got := 0.0, 0.0
			for i := range n {
				want += math.Pow(float64(i)/float64(n), float64(power))
			}
			for _, s := range g.samples {
				got += s.weight * math.Pow(float64(s.turn)/float64(n), float64(power))
			}
			if math.Abs(got-want) > 1e-12*float64(n) {
				t.Errorf("%d turns: sum of power %d over the samples = %g, want %g", n, power, got, want)
			}
		}
	}
}

// TestImages compares the interpolated images with the images themselves, close
// to a plane, in a room and in rooms where the winding grows.
func TestImages(t *testing.T) {
	for _, base := range []float64{0.0005, 0.011} {
		for _, ceiling := range []float64{math.Inf(1), 0.13} {
			var s Solver
			c := Coil{
				Winding: Winding{Radius: 0.0125, WireRadius: 0.0001, Pitch: 0.00025, Base: base},
				Room:    Room{Floor: height(0), Metal: true},
			}
			if ceiling < 1 {
				c.Room.Ceiling = height(ceiling)
			}
			for _, turns := range []float64{5, 100, 103, 450} {
				c.Winding.Turns = turns
				solve(t, &s, c)
			}
			k := &s.kernels
			a, p := k.winding.Radius, k.winding.Pitch
			const tol = 1e-6
			for i := 0; i < 450; i += 7 {
				for j := 0; j < 450; j += 11 {
					from, to := base+float64(i)*p, base+float64(j)*p
					m := max(i-j, j-i)
					whole := k.room.planes.ImagePotential(a, from, a, to)
					dr, dz := k.room.planes.ImageGradient(a, from, a, to)
					potential, axial, radial := k.imagePotential[i+j], k.imageAxial[i+j], k.imageRadial[i+j]
					if i == j {
						// Only here is the part by differences known by itself.
						potential += k.potential[0] - k.ownPotential
						radial += k.radial[0] - k.ownRadial
					} else {
						potential += k.potential[m] - electrostatics.RingPotentialUnchecked(a, a, float64(m)*p)
						gr, gz := electrostatics.RingGradientUnchecked(a, a, float64(m)*p)
						sign := 1.0
						if j < i {
							sign = -1
						}
						axial += sign * (k.axial[m] + gz)
						radial += k.radial[m] + gr
					}
					scale := k.ownPotential
					if math.Abs(potential-whole) > tol*scale || math.Abs(axial+dz) > 100*tol*scale/a || math.Abs(radial+dr) > 100*tol*scale/a {
						t.Fatalf("base %g, ceiling %g, turns %d and %d: %g %g %g, want %g %g %g", base, ceiling, i, j, potential, axial, radial, whole, -dz, -dr)
					}
					mirrored := inductance.MutualLoopsUnchecked(a, a, from+to)
					if math.Abs(k.mirrored[i+j]-mirrored) > tol*k.ownMutual {
						t.Fatalf("base %g, turns %d and %d: mirrored %g, want %g", base, i, j, k.mirrored[i+j], mirrored)
					}
				}
			}
		}
	}
}
