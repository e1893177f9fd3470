package electrostatics

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/mathext"
)

// Planes are the earthed horizontal planes of a room: none, a floor, a ceiling
// or both. A charge between them is answered by its images; they depend on
// nothing but the planes, so one Planes serves every pair of rings and may be
// used from several goroutines.
type Planes struct {
	floor, ceiling float64 // m; -Inf, +Inf: none
	near           int     // with both planes: images summed one by one, each way
	tail           [tailRadial][tailAxial]float64
}

// NewPlanes returns the planes at the given heights in m; -Inf stands for no
// floor and +Inf for no ceiling. With both, reach is the largest radius in m of
// any ring or point that will be asked about; images are summed one by one out
// to where the rest follows from a series, which the reach decides.
//
// The floor must lie below the ceiling, and reach must be positive and finite
// when there are both; otherwise the error wraps [ErrGeometry].
func NewPlanes(floor, ceiling, reach float64) (*Planes, error) {
	if math.IsNaN(floor) || math.IsNaN(ceiling) || !(floor < ceiling) || math.IsInf(floor, 1) || math.IsInf(ceiling, -1) {
		return nil, fmt.Errorf("%w: floor at %g m, ceiling at %g m", ErrGeometry, floor, ceiling)
	}
	p := &Planes{floor: floor, ceiling: ceiling}
	if p.hasFloor() && p.hasCeiling() {
		if !(reach > 0) || math.IsInf(reach, 0) {
			return nil, fmt.Errorf("%w: reach %g m between two planes", ErrGeometry, reach)
		}
		p.prepareTail(reach)
	}
	return p, nil
}

// Floor returns the height of the floor in m, -Inf if there is none.
func (p *Planes) Floor() float64 { return p.floor }

// Ceiling returns the height of the ceiling in m, +Inf if there is none.
func (p *Planes) Ceiling() float64 { return p.ceiling }

func (p *Planes) hasFloor() bool   { return !math.IsInf(p.floor, 0) }
func (p *Planes) hasCeiling() bool { return !math.IsInf(p.ceiling, 0) }

// Contains reports whether the height z in m lies strictly between the planes.
func (p *Planes) Contains(z float64) bool { return z > p.floor && z < p.ceiling }

// ImagePotential returns the potential in V/C that the images alone of a
// uniformly charged ring of radius a at height zs give at radius r, height z,
// all in m, per coulomb on the ring. Add [RingPotential] for the whole.
//
// One plane at height h has one image, of opposite sign at 2h - zs. Between two
// planes H apart the images repeat: +1 at zs + 2nH, n not 0, and -1 at 2f - zs +
// 2nH for every n. The nearest of them are summed one by one; the rest, taken
// together, is a power series in the heights and radii over 2H with sums of
// inverse powers of n as coefficients. With the reach given to [NewPlanes] the
// error is below 1e-10 of the potential of the ring at distance H.
//
// Both heights must lie between the planes and both radii within the reach;
// this is not checked.
func (p *Planes) ImagePotential(a, zs, r, z float64) float64 {
	switch floor, ceiling := p.hasFloor(), p.hasCeiling(); {
	case floor && ceiling:
		return p.imagesBetween(a, zs, r, z)
	case floor:
		return -RingPotentialUnchecked(a, r, z+zs-2*p.floor)
	case ceiling:
		return -RingPotentialUnchecked(a, r, z+zs-2*p.ceiling)
	}
	return 0
}

// ImageGradient returns the derivatives of [Planes.ImagePotential] with
// respect to r and z, in V/(C m).
func (p *Planes) ImageGradient(a, zs, r, z float64) (dr, dz float64) {
	switch floor, ceiling := p.hasFloor(), p.hasCeiling(); {
	case floor && ceiling:
		return p.imageGradientBetween(a, zs, r, z)
	case floor:
		dr, dz = RingGradientUnchecked(a, r, z+zs-2*p.floor)
	case ceiling:
		dr, dz = RingGradientUnchecked(a, r, z+zs-2*p.ceiling)
	}
	return -dr, -dz
}

// ImageField returns [Planes.ImagePotential] and [Planes.ImageGradient] at once.
func (p *Planes) ImageField(a, zs, r, z float64) (phi, dr, dz float64) {
	switch floor, ceiling := p.hasFloor(), p.hasCeiling(); {
	case floor && ceiling:
		dr, dz = p.imageGradientBetween(a, zs, r, z)
		return p.imagesBetween(a, zs, r, z), dr, dz
	case floor:
		phi, dr, dz = RingFieldUnchecked(a, r, z+zs-2*p.floor)
	case ceiling:
		phi, dr, dz = RingFieldUnchecked(a, r, z+zs-2*p.ceiling)
	}
	return -phi, -dr, -dz
}

// The rest of the images beyond n = near: powers up to 2(tailRadial-1) of the
// radii and 2(tailAxial-1) of the heights, each over 2H.
const (
	tailRadial = 5
	tailAxial  = 9

	// leastNear is how many images are summed one by one each way: beyond
	// it the heights, at most 2H, enter as powers of at most 1/(leastNear+1),
	// so that the first term left out is 6^-18 = 1e-14.
	leastNear = 5

	// radialMargin keeps the radii below (near+1) 2H/radialMargin: the
	// first radial term left out falls with the tenth power of it. At 12 a ring
	// as wide as the planes are apart is good to 1e-10 (measured by what is
	// left on the planes).
	radialMargin = 12
)

// radialCoefficient is the binomial series of (1+x)^(-1/2).
var radialCoefficient = [tailRadial]float64{1, -1. / 2, 3. / 8, -5. / 16, 35. / 128}

// prepareTail fills tail[i][k] with the coefficient of <X^i> (Δ/2H)^2k, where
// <X^i> is the mean over the ring of the i-th power of the squared horizontal
// distance over (2H)²:
//
//	Σ_(n>near) (n-u)^-p + (n+u)^-p = 2 Σ_k C(p-1+2k, 2k) ζ(p+2k, near+1) u^2k,
//
// p = 2i + 1, with the Hurwitz zeta function. The divergent term p = 1, k = 0
// cancels between images of either sign and is left out.
func (p *Planes) prepareTail(reach float64) {
	height := 2 * (p.ceiling - p.floor)
	p.near = max(leastNear, int(math.Ceil(radialMargin*reach/height)))
	for i := range tailRadial {
		power := 2*i + 1
		binomial := 1.0 // C(power-1+2k, 2k)
		for k := range tailAxial {
			if k > 0 {
				m := power - 1 + 2*k
				binomial *= float64(m*(m-1)) / float64(2*k*(2*k-1))
			}
			if power+2*k == 1 {
				continue
			}
			p.tail[i][k] = 2 * radialCoefficient[i] * binomial * mathext.Zeta(float64(power+2*k), float64(p.near+1))
		}
	}
}

// radialMeans returns <X^i> of prepareTail and its derivative by the second
// radius, for radii already over 2H.
func radialMeans(a, r float64) (mean, slope [tailRadial]float64) {
	w, x := a*a+r*r, a*a*r*r
	dw, dx := 2*r, 2*a*a*r
	mean = [tailRadial]float64{1, w, w*w + 2*x, w*w*w + 6*w*x, w*w*w*w + 12*w*w*x + 6*x*x}
	slope = [tailRadial]float64{0, dw, 2*w*dw + 2*dx, (3*w*w+6*x)*dw + 6*w*dx, (4*w*w*w+24*w*x)*dw + (12*w*w+12*x)*dx}
	return mean, slope
}

// evenSeries returns Σ c_k u^2k and its derivative by u.
func evenSeries(c *[tailAxial]float64, u float64) (value, slope float64) {
	u2 := u * u
	for k := tailAxial - 1; k >= 0; k-- {
		slope = slope*u2 + 2*float64(k)*c[k]
		value = value*u2 + c[k]
	}
	if u == 0 {
		return value, 0
	}
	return value, slope / u
}

func (p *Planes) imagesBetween(a, zs, r, z float64) float64 {
	height := 2 * (p.ceiling - p.floor)
	same, mirrored := z-zs, z+zs-2*p.floor // Δz to the source, and to its image in the floor
	sum := -RingPotentialUnchecked(a, r, mirrored)
	for n := 1; n <= p.near; n++ {
		shift := float64(n) * height
		sum += RingPotentialUnchecked(a, r, same-shift) + RingPotentialUnchecked(a, r, same+shift)
		sum -= RingPotentialUnchecked(a, r, mirrored-shift) + RingPotentialUnchecked(a, r, mirrored+shift)
	}
	mean, _ := radialMeans(a/height, r/height)
	rest := 0.0
	for i := range tailRadial {
		s, _ := evenSeries(&p.tail[i], same/height)
		m, _ := evenSeries(&p.tail[i], mirrored/height)
		rest += mean[i] * (s - m)
	}
	return sum + Coulomb*rest/height
}

func (p *Planes) imageGradientBetween(a, zs, r, z float64) (dr, dz float64) {
	height := 2 * (p.ceiling - p.floor)
	same, mirrored := z-zs, z+zs-2*p.floor
	add := func(sign, distance float64) {
		gr, gz := RingGradientUnchecked(a, r, distance)
		dr += sign * gr
		dz += sign * gz
	}
	add(-1, mirrored)
	for n := 1; n <= p.near; n++ {
		shift := float64(n) * height
		add(1, same-shift)
		add(1, same+shift)
		add(-1, mirrored-shift)
		add(-1, mirrored+shift)
	}
	mean, slope := radialMeans(a/height, r/height)
	for i := range tailRadial {
		s, ds := evenSeries(&p.tail[i], same/height)
		m, dm := evenSeries(&p.tail[i], mirrored/height)
		dr += Coulomb / (height * height) * slope[i] * (s - m)
		dz += Coulomb / (height * height) * mean[i] * (ds - dm)
	}
	return dr, dz
}
