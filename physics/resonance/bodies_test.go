package resonance

import (
	"testing"

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

func torus(t testing.TB, radius, tube float64) *topload.Body {
	t.Helper()
	body := &topload.Body{}
	if err := topload.TorusBody(body, electrostatics.Torus{Radius: radius, Tube: tube}); err != nil {
		t.Fatal(err)
	}
	return body
}

func disc(t testing.TB, radius, thickness float64) *topload.Body {
	t.Helper()
	body := &topload.Body{}
	if err := topload.DiscBody(body, radius, thickness); err != nil {
		t.Fatal(err)
	}
	return body
}
