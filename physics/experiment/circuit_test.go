package experiment

import (
	"errors"
	"testing"

	"coilwright/physics/design"
)

// TestPrimaryForDemonstration makes experiments with a primary on coils without one: it
// is that which a design gets when one is added, and where it would be in the way of
// something, the experiments that need it say so and the others are made.
func TestPrimaryForDemonstration(t *testing.T) {
	without := func(d *design.Design) {
		d.Primary = design.Primary{Kind: design.NoPrimary}
		d.Driver = design.Driver{Kind: design.NoDriver}
	}
	with := bench(t, func(d *design.Design) {
		without(d)
		d.SetPrimaryKind(design.Cylinder)
	})
	b := bench(t, without)
	beat, want := run[*BeatOutcome](t, b, Beat, nil), run[*BeatOutcome](t, with, Beat, nil)
	near(t, "inductance", beat.Circuit.Primary.Inductance, *with.Report().Primary.Inductance, same, "report of the design with a primary")
	near(t, "coupling", beat.Circuit.Primary.Coupling, want.Circuit.Primary.Coupling, same, "the design with a primary")
	near(t, "frequency", beat.Circuit.Coil.Frequency(), *with.Report().Resonance.Frequency, same, "report of the design with a primary")

	b = bench(t, func(d *design.Design) {
		without(d)
		// A torus round the lower end of a low winding, where the primary would be.
		d.Secondary.Turns = 12
		d.TopLoad = design.TopLoad{Kind: design.Torus, Height: -0.015, OuterDiameter: 0.2, TubeDiameter: 0.06}
	})
	for _, kind := range []Kind{Beat, Humps, StartUp} {
		x, _ := Find(b, kind)
		var problems design.Problems
		if _, err := x.Run(t.Context(), b, nil); !errors.As(err, &problems) {
			t.Errorf("%s without room for a primary: %v, want what is in its way", kind, err)
		}
	}
	run[*RingOutcome](t, b, Ring, nil)
}
