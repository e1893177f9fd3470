package loss

import (
	"fmt"
	"math"
	"math/cmplx"
)

// thickestWire is the radius in skin depths up to which all orders of the ratios
// come from the continued fraction.
const thickestWire = 250

// CurrentDensity sets dst[i] to the current density at share[i] of the radius of
// a lone round wire, over that at its surface, as a phasor:
//
//	J(r)/J(a) = J₀(kr)/J₀(ka),  ka = (1-i)a/δ.
//
// share runs from 0 on the axis to 1 at the surface; radiusOverSkinDepth is a/δ,
// > 0 and at most 250. Anything else is an error that wraps [ErrInput]. dst is as long as share.
//
// J₀ comes from e^{iz} = J₀ + 2 Σ iⁿ J_n with the ratios of successive orders, so
// that only the ratio of two exponentials is formed and nothing overflows. The
// error is below 1e-12 up to a/δ = 100 (TestCurrentDensity).
//
// Source: Kelvin's solution as in Smythe, Static and Dynamic Electricity, chapter
// 10; DLMF 10.12.3.
func CurrentDensity(dst []complex128, share []float64, radiusOverSkinDepth float64) error {
	if !positive(radiusOverSkinDepth) || radiusOverSkinDepth > thickestWire {
		return fmt.Errorf("%w: wire %g skin depths in radius", ErrInput, radiusOverSkinDepth)
	}
	surface := wireArgument(radiusOverSkinDepth)
	ratios := make([]complex128, int(2*cmplx.Abs(surface))+spareSteps)
	sum := func(z complex128) complex128 {
		besselRatios(ratios, z)
		total, term := complex(1, 0), complex(2, 0)
		for n := 1; n < len(ratios); n++ {
			term *= complex(0, 1) * ratios[n]
			total += term
		}
		return total
	}
	whole := sum(surface)
	for i, s := range share {
		if !(s >= 0 && s <= 1) || math.IsNaN(s) {
			return fmt.Errorf("%w: at %g of the radius", ErrInput, s)
		}
		z := surface * complex(s, 0)
		dst[i] = cmplx.Exp(complex(0, 1)*(z-surface)) * whole / sum(z)
	}
	return nil
}
