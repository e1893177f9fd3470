package loss

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"

	"coilwright/physics/inductance"
	"coilwright/physics/si"
)

// Strip is a narrow band of the surface of an unbroken body, bent to a circle round the
// axis. Strips next to each other make up the surface.
type Strip struct {
	Radius float64 // m, > 0
	Height float64 // m
	Width  float64 // m, along the meridian, > 0
}

// InducedLoss is what currents round an unbroken body cost.
type InducedLoss struct {
	Power   float64   // W
	Current []float64 // A, crest, of each strip or loop, against the sources where negative
}

// stripFactor is the wire radius over the width of the strip that a loop stands for: a
// sheet cut into equal strips has the flux of a row of wires w apart of radius w/2π.
const stripFactor = 1 / (2 * math.Pi)

// ShellLoss returns the loss in an unbroken body, a shorted turn to the winding: torus,
// sphere, disc. The currents on its surface keep all flux of the sources out, as on a
// perfect conductor, Λ i = -G I; the loss is that of their field in the skin of the metal,
//
//	P = Σ (R_s/2) (i/w)² 2π r w.
//
// That is the first order in the skin depth over the size of the body. mirror is the
// height in m of a metal plane, nil for none; frequency is in Hz. With 32 strips the loss of
// a sphere is good to 1e-4 (TestShellSphere).
//
// Source: Smythe, Static and Dynamic Electricity, chapter 10, for the surface resistance.
func ShellLoss(strips []Strip, sources []RingCurrent, mirror *float64, frequency float64, metal Metal) (InducedLoss, error) {
	if err := checkSources(sources); err != nil {
		return InducedLoss{}, err
	}
	surface, err := metal.checked(frequency)
	if err != nil {
		return InducedLoss{}, err
	}
	for i, s := range strips {
		if !positive(s.Radius) || !positive(s.Width) || math.IsNaN(s.Height) || math.IsInf(s.Height, 0) {
			return InducedLoss{}, fmt.Errorf("%w: strip %d of radius %g m and width %g m at height %g m", ErrInput, i+1, s.Radius, s.Width, s.Height)
		}
	}
	if len(strips) == 0 {
		return InducedLoss{}, nil
	}
	n := len(strips)
	own, flux := mat.NewSymDense(n, nil), mat.NewVecDense(n, nil)
	for i, a := range strips {
		v := inductance.SelfLoopUnchecked(a.Radius, a.Width*stripFactor, inductance.Surface)
		if mirror != nil {
			v -= inductance.MutualLoopsUnchecked(a.Radius, a.Radius, 2*(a.Height-*mirror))
		}
		own.SetSym(i, i, v)
		for j, b := range strips[:i] {
			own.SetSym(i, j, mutual(a.Radius, a.Height, b.Radius, b.Height, mirror))
		}
		flux.SetVec(i, -fluxThrough(a.Radius, a.Height, sources, mirror))
	}
	var factor mat.Cholesky
	if !factor.Factorize(own) {
		return InducedLoss{}, fmt.Errorf("%w: currents on a body of %d strips", ErrNotSolved, n)
	}
	var current mat.VecDense
	if err := factor.SolveVecTo(&current, flux); err != nil {
		return InducedLoss{}, fmt.Errorf("%w: currents on a body of %d strips: %w", ErrNotSolved, n, err)
	}
	out := InducedLoss{Current: current.RawVector().Data}
	for i, s := range strips {
		out.Power += surface * math.Pi * s.Radius / s.Width * out.Current[i] * out.Current[i]
	}
	return out, nil
}

// ClosedLoop is one turn of round wire or rod closed in itself: the hub of a wire ring.
type ClosedLoop struct {
	Radius       float64 // m, of the centreline, > WireRadius
	Height       float64 // m
	WireRadius   float64 // m, > 0
	Conductivity float64 // S/m, > 0
}

// LoopLoss returns the loss in a closed loop of wire: with L its inductance (current on
// the surface) and the internal one, R its resistance,
//
//	I = -iωΦ/(R + iωL),  P = R |I|²/2.
//
// mirror is the height in m of a metal plane, nil for none; frequency is in Hz. Impossible
// sizes are an error that wraps [ErrInput].
func LoopLoss(loop ClosedLoop, sources []RingCurrent, mirror *float64, frequency float64) (InducedLoss, error) {
	if err := checkSources(sources); err != nil {
		return InducedLoss{}, err
	}
	external, err := inductance.SelfLoop(loop.Radius, loop.WireRadius, inductance.Surface)
	if err != nil || !positive(frequency) {
		return InducedLoss{}, fmt.Errorf("%w: closed loop of radius %g m of wire of radius %g m at %g Hz", ErrInput, loop.Radius, loop.WireRadius, frequency)
	}
	wire, err := NewRoundWire(frequency, loop.WireRadius, loop.Conductivity)
	if err != nil {
		return InducedLoss{}, err
	}
	if mirror != nil {
		external -= inductance.MutualLoopsUnchecked(loop.Radius, loop.Radius, 2*(loop.Height-*mirror))
	}
	length := 2 * math.Pi * loop.Radius
	omega := 2 * math.Pi * frequency
	reactance := omega * (external + length*wire.InternalInductance)
	resistance := length * wire.ResistanceAC
	volts := omega * fluxThrough(loop.Radius, loop.Height, sources, mirror)
	current := math.Abs(volts) / math.Hypot(reactance, resistance)
	return InducedLoss{Power: resistance * current * current / 2, Current: []float64{-math.Copysign(current, volts)}}, nil
}

// mutual returns the mutual inductance in H of two filaments over a mirror.
func mutual(a, za, b, zb float64, mirror *float64) float64 {
	m := inductance.MutualLoopsUnchecked(a, b, za-zb)
	if mirror != nil {
		m -= inductance.MutualLoopsUnchecked(a, b, za+zb-2**mirror)
	}
	return m
}

// fluxThrough returns the flux in Wb of the sources through a circle.
func fluxThrough(radius, height float64, sources []RingCurrent, mirror *float64) float64 {
	flux := 0.0
	for _, s := range sources {
		flux += s.Current * mutual(radius, height, s.Radius, s.Height, mirror)
	}
	return flux
}

// checked returns the surface resistance in Ω, or an error that wraps [ErrInput].
func (m Metal) checked(frequency float64) (float64, error) {
	if !positive(frequency) || !positive(m.Conductivity) || !(m.Permeability >= 0) || math.IsInf(m.Permeability, 0) {
		return 0, fmt.Errorf("%w: metal of %g S/m and relative permeability %g at %g Hz", ErrInput, m.Conductivity, m.Permeability, frequency)
	}
	return m.surface(frequency), nil
}

// wireInField returns the power in W/m that a lone round wire of the given radius in m and
// conductivity in S/m loses in a field of 1 A/m crest across it and along it:
//
//	across: π μ₀ ω a² Im χ₁,  along: (π a/σ) Re(ka J₁/J₀)/a.
//
// Both tend to surface resistance times circumference, once and one half.
//
// Source: Smythe, Static and Dynamic Electricity, chapter 10; DLMF chapter 10.
func wireInField(radius, conductivity, frequency float64) (across, along float64) {
	var ratios [3]complex128
	z := wireArgument(radius / SkinDepth(frequency, conductivity))
	besselRatios(ratios[:], z)
	omega := 2 * math.Pi * frequency
	across = math.Pi * si.Mu0 * omega * radius * radius * imag(-ratios[1]*ratios[2])
	along = math.Pi / conductivity * math.Abs(real(z*ratios[1]))
	return across, along
}
