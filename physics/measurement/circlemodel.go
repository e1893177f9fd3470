package measurement

import (
	"math"
	"math/cmplx"
)

// circleModel is the reflection of a resonator through a lossy coupling. With
// the port's impedance over the reference
//
//	z = r + j(x + x′·ξ) + (f/f₀)² c e^(jψ)/(1 + jQ₀(f/f₀ − f₀/f)),  ξ = f/fᵣ − 1,
//
// Γ = (z − 1)/(z + 1). The first two terms are the coupling loop with its
// losses and leads (x′ their inductance), the third is what the resonator
// reflects into it; Foster's theorem makes ψ zero if nothing is lost between
// port and loop, and lossy leads turn it a little.
//
// A resonator fed through a capacitance or at its foot is the dual: z stands
// for the admittance and Γ changes its sign.
type circleModel struct {
	dual      bool
	reference float64   // Hz, fᵣ
	scale     float64   // of the first parameter
	p         []float64 // (f₀/fᵣ − 1)·scale, ln Q₀, r, x, x′, ln c, ψ
}

// Places of the parameters.
const (
	atFrequency = iota
	atQuality
	atResistance
	atReactance
	atSlope
	atSize
	atTurn
	circleParameters
)

func (m *circleModel) frequency() float64 {
	return m.reference * (1 + m.p[atFrequency]/m.scale)
}

// parts returns z and its gradient by the parameters.
func (m *circleModel) parts(f float64, gradient *[circleParameters]complex128) complex128 {
	f0, q := m.frequency(), math.Exp(m.p[atQuality])
	xi := f/m.reference - 1
	t := f/f0 - f0/f
	d := complex(1, q*t)
	strength, dStrength := 1.0, 0.0 // (f/f₀)² and its logarithmic derivative by f₀
	if !m.dual {
		strength, dStrength = f*f/(f0*f0), -2/f0
	}
	term := cmplx.Rect(strength*math.Exp(m.p[atSize]), m.p[atTurn]) / d
	if gradient != nil {
		dt := -f/(f0*f0) - 1/f
		gradient[atFrequency] = term * (complex(dStrength, 0) - complex(0, q*dt)/d) * complex(m.reference/m.scale, 0)
		gradient[atQuality] = -term * complex(0, q*t) / d
		gradient[atResistance] = 1
		gradient[atReactance] = 1i
		gradient[atSlope] = complex(0, xi)
		gradient[atSize] = term
		gradient[atTurn] = 1i * term
	}
	return complex(m.p[atResistance], m.p[atReactance]+m.p[atSlope]*xi) + term
}

// at returns Γ at a frequency in Hz.
func (m *circleModel) at(f float64) complex128 {
	z := m.parts(f, nil)
	gamma := (z - 1) / (z + 1)
	if m.dual {
		gamma = -gamma
	}
	return gamma
}

// equations returns the equations of the model for some points of a sweep, two
// per point.
func (m *circleModel) equations(frequency []float64, gamma []complex128) equations {
	return func(p []float64, add func(float64, []float64)) {
		trial := *m
		trial.p = p
		var dz [circleParameters]complex128
		var re, im [circleParameters]float64
		for i, f := range frequency {
			z := trial.parts(f, &dz)
			measured := gamma[i]
			if m.dual {
				measured = -measured
			}
			r := measured - (z-1)/(z+1)
			slope := 2 / ((z + 1) * (z + 1))
			for k, d := range dz {
				g := slope * d
				re[k], im[k] = real(g), imag(g)
			}
			add(real(r), re[:])
			add(imag(r), im[:])
		}
	}
}

// coupled returns what the resonator reflects over the impedance it sees, ρ.
// Its real part is the coupling coefficient β; its imaginary part pulls the
// frequency.
func (m *circleModel) coupled() complex128 {
	x := m.p[atReactance] + m.p[atSlope]*m.p[atFrequency]/m.scale
	return cmplx.Rect(math.Exp(m.p[atSize]), m.p[atTurn]) / complex(1+m.p[atResistance], x)
}

// diameter returns the diameter of the circle in radii of the chart.
func (m *circleModel) diameter() float64 {
	rho := m.coupled()
	zs := complex(m.p[atResistance], m.p[atReactance])
	return cmplx.Abs(2 * rho / ((1 + zs) * complex(1+real(rho), 0)))
}

// detuned returns Γ at a frequency in Hz as it would be without the resonator.
func (m *circleModel) detuned(f float64) complex128 {
	z := complex(m.p[atResistance], m.p[atReactance]+m.p[atSlope]*(f/m.reference-1))
	gamma := (z - 1) / (z + 1)
	if m.dual {
		gamma = -gamma
	}
	return gamma
}

// loaded returns the frequency in Hz at which the circle is crossed and the
// loaded quality factor.
func (m *circleModel) loaded() (frequency, quality float64) {
	rho := m.coupled()
	q := math.Exp(m.p[atQuality])
	// 1 + ρ + jQ₀t is real at t = −Im ρ/Q₀.
	half := -imag(rho) / (2 * q)
	return m.frequency() * (half + math.Sqrt(1+half*half)), q / (1 + real(rho))
}
