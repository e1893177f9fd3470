package comparison

import (
	"context"
	"testing"

	"coilwright/physics/design"
)

// BenchmarkCompare is the desk coil of 310 turns with four readings, explained. It
// runs beside the window; budget 500 ms.
func BenchmarkCompare(b *testing.B) {
	d := desk(b)
	readOf(b, &d, d, reading(Frequency, WithPrimary), reading(Frequency, Bare), reading(Resistance, Bare), reading(Inductance, Bare))
	d.Measurements[0].Value *= 0.98
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Compare(context.Background(), design.NewSolver(), d, Driven{}); err != nil {
			b.Fatal(err)
		}
	}
}
