package experiment

import (
	"testing"
)

// TestBestWire compares the best thickness with what is known of developed skin
// effect: less than the pitch, and with the skin depth thick against the pitch the
// thickest wire.
func TestBestWire(t *testing.T) {
	b := bench(t, nil)
	low := run[*WireOutcome](t, b, Wire, Settings{"frequency": 1e4})
	if low.Best != thickestShare {
		t.Errorf("at 10 kHz the best wire is %g of the pitch, want the thickest, %g: the skin is thicker than the wire", low.Best, thickestShare)
	}
	near(t, "resistance of thin wire at 10 kHz", low.Neighbours[0], low.Steady[0], 0.002, "a skin of 26 radii; loss.Solver is within 0.2 % of finite elements")
	high := run[*WireOutcome](t, b, Wire, Settings{"frequency": 2e7})
	// With Medhurst's factors for coils 0.2 to 1 diameters long, over the diameter,
	// the least lies between 0.5 and 0.7 of the pitch; his table goes in steps of 0.1.
	if high.Best < 0.45 || high.Best > 0.75 {
		t.Errorf("at 20 MHz the best wire is %g of the pitch, want 0.5 to 0.7 (Medhurst 1947)", high.Best)
	}
	for i := range high.Share {
		if high.Neighbours[i] < high.BestValue {
			t.Errorf("at %g of the pitch the wire has less resistance than the best", high.Share[i])
		}
	}
	// Kelvin's solution for a thick wire, x = r/δ: R/R₀ = x/2 + 1/4 + 3/(32x) + …; what is
	// left out falls as 1/x² of the last term.
	x := thickestShare * high.Pitch / 2 / high.SkinDepth
	n := len(high.Share) - 1
	near(t, "thick wire alone", high.Alone[n]/high.Steady[n], x/2+0.25+3/(32*x), 3/(32*x*x*x), "asymptotic series")
	g, err := b.Design().Geometry()
	if err != nil {
		t.Fatal(err)
	}
	own := run[*WireOutcome](t, b, Wire, Settings{"share": g.Winding.BareDiameter / g.Winding.Pitch})
	near(t, "wire of the design", own.PresentDiameter(), g.Winding.BareDiameter, same, "its own share of the pitch")
	near(t, "best wire over pitch", own.BestDiameter()/g.Winding.Pitch, own.Best, same, "its share")
	density := high.At(0)
	near(t, "density at the surface", density[len(density)-1], 1, same, "its own unit")
}
