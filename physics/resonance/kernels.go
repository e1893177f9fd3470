package resonance

import (
	"math"

	"coilwright/physics/electrostatics"
	"coilwright/physics/inductance"
)

// kernels are what one whole turn of the winding does to another, by the
// difference m and by the sum s of their numbers from 0. They depend on
// everything but the number of turns, and are kept while nothing else changes.
type kernels struct {
	winding Winding // with Turns 0
	room    room
	turns   int // how many turns they serve

	row row

	potential, axial, radial                []float64 // by m: V/C and V/(C m); the fields along and across
	imagePotential, imageAxial, imageRadial []float64 // by s
	mutual                                  []float64 // by m, H
	ownPotential, ownRadial, ownMutual      float64   // of one turn, without images

	end      rowEnd
	smooth   smooth
	mirrored []float64 // by s, H; only over a metal plane
}

// room is [Room] by value, to be compared.
type room struct {
	floor, ceiling float64 // m; infinite: none
	metal          bool
	planes         *electrostatics.Planes // nil: none
	reach          float64                // m, that the planes serve
}

// selfElastance returns the mean potential in V/C on the wire of a charged
// ring, to first order in wire over ring radius.
func selfElastance(radius, wireRadius float64) float64 {
	return electrostatics.Coulomb * math.Log(8*radius/wireRadius) / (math.Pi * radius)
}

// selfField returns the outward field in V/(C m) that the curvature of a
// charged ring puts on its own wire: the regular part of
//
//	φ = q/(4π²ε₀ r) [ln(8r/ρ) + (x/2r)(1 - ln(8r/ρ))]
//
// near a ring of radius r, x outward and ρ from the filament.
func selfField(radius, wireRadius float64) float64 {
	return electrostatics.Coulomb * (math.Log(8*radius/wireRadius) - 1) / (2 * math.Pi * radius * radius)
}

// prepare computes the kernels for n turns, or as many more as are missing.
func (k *kernels) prepare(w Winding, r room, n int) error {
	w.Turns = 0
	known := k.turns
	if w != k.winding || r != k.room {
		known = 0
		if of := w.section(); of != k.row.section {
			k.turns = 0
			if err := k.row.solve(of); err != nil {
				k.row.section = section{}
				return err
			}
		}
	}
	if n <= known {
		return nil
	}
	k.winding, k.room, k.turns = w, r, n
	k.potential = extend(k.potential, known, n)
	k.axial = extend(k.axial, known, n)
	k.radial = extend(k.radial, known, n)
	k.mutual = extend(k.mutual, known, n)
	a := w.Radius
	for m := known; m < n; m++ {
		z := float64(m) * w.Pitch
		if m == 0 {
			k.ownPotential = selfElastance(a, w.WireRadius) + (k.row.shift-k.row.section.drop())*electrostatics.Coulomb/(math.Pi*a)
			k.ownRadial = selfField(a, w.WireRadius)
			k.ownMutual = inductance.SelfLoopUnchecked(a, w.WireRadius, inductance.Surface)
			k.potential[0], k.axial[0], k.radial[0], k.mutual[0] = k.ownPotential, 0, k.ownRadial, k.ownMutual
			continue
		}
		k.potential[m] = electrostatics.RingPotentialUnchecked(a, a, z)
		dr, dz := electrostatics.RingGradientUnchecked(a, a, z)
		k.axial[m], k.radial[m] = -dz, -dr
		k.mutual[m] = inductance.MutualLoopsUnchecked(a, a, z)
	}
	if r.planes != nil {
		k.images(known, n)
	}
	return nil
}

// images computes the kernels of the images, which depend on sum and difference of
// the turn numbers; with a single plane on the sum alone, with two the two parts add.
// The part by differences is taken about the middle of the room, the part by sums
// between a turn and itself.
func (k *kernels) images(known, n int) {
	w, r := k.winding, k.room
	a := w.Radius
	middle := (r.floor + r.ceiling) / 2
	potential0, radial0 := 0.0, 0.0
	if !math.IsInf(r.floor, 0) && !math.IsInf(r.ceiling, 0) {
		potential0 = r.planes.ImagePotential(a, middle, a, middle)
		radial0, _ = r.planes.ImageGradient(a, middle, a, middle)
		gap := (r.ceiling - r.floor) / w.Pitch
		k.smooth.fill(known, n, func(float64) float64 { return gap }, func(m float64) (potential, axial, radial, _ float64) {
			d := m * w.Pitch / 2
			dr, dz := r.planes.ImageGradient(a, middle-d, a, middle+d)
			return r.planes.ImagePotential(a, middle-d, a, middle+d), -dz, -dr, 0
		}, func(m int, potential, axial, radial, _ float64) {
			k.potential[m] += potential
			k.axial[m] += axial
			k.radial[m] += radial
		})
	}
	sums := 2*n - 1
	from := max(0, 2*known-1)
	k.imagePotential = extend(k.imagePotential, from, sums)
	k.imageAxial = extend(k.imageAxial, from, sums)
	k.imageRadial = extend(k.imageRadial, from, sums)
	if r.metal {
		k.mirrored = extend(k.mirrored, from, sums)
	}
	at := func(s float64) float64 { return w.Base + s*w.Pitch/2 }
	k.smooth.fill(from, sums, func(s float64) float64 {
		return 2 * math.Min(at(s)-r.floor, r.ceiling-at(s)) / w.Pitch
	}, func(s float64) (potential, axial, radial, mirrored float64) {
		z := at(s)
		dr, dz := r.planes.ImageGradient(a, z, a, z)
		if r.metal {
			mirrored = inductance.MutualLoopsUnchecked(a, a, 2*(z-r.floor))
		}
		return r.planes.ImagePotential(a, z, a, z) - potential0, -dz, -(dr - radial0), mirrored
	}, func(s int, potential, axial, radial, mirrored float64) {
		k.imagePotential[s], k.imageAxial[s], k.imageRadial[s] = potential, axial, radial
		if r.metal {
			k.mirrored[s] = mirrored
		}
	})
}

// extend returns s with room for n values, the first known of them kept.
func extend(s []float64, known, n int) []float64 {
	if cap(s) >= n {
		return s[:n]
	}
	grown := make([]float64, n, n+n/2)
	copy(grown, s[:known])
	return grown
}
