package driver

import (
	"context"
	"testing"
)

// Budgets on one core: a start test 0.2 ms, a settled exciter typically 5 ms
// and at most 30, a sweep of 400 points 2 ms, a gap 1 ms.

func BenchmarkStart(b *testing.B) {
	x := handSized(b)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := x.Start(); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkSettle settles the reference circuits, one sub-benchmark each.
func BenchmarkSettle(b *testing.B) {
	exciters, _, _ := references(b)
	for _, r := range exciters {
		x := r.exciter()
		b.Run(r.ID, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := x.Settle(context.Background()); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func BenchmarkSweep400(b *testing.B) {
	_, bridges, _ := references(b)
	bridge := bridges[1].bridge()
	f := bridge.Coil.Frequency()
	b.ReportAllocs()
	for b.Loop() {
		if _, err := bridge.Sweep(0.7*f, 1.4*f, 400); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkBridge(b *testing.B) {
	_, bridges, _ := references(b)
	bridge := bridges[1].bridge()
	b.ReportAllocs()
	for b.Loop() {
		if _, err := bridge.Solve(); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkGap(b *testing.B) {
	_, _, gaps := references(b)
	gap := gaps[0].gap()
	b.ReportAllocs()
	for b.Loop() {
		if _, err := gap.Solve(); err != nil {
			b.Fatal(err)
		}
	}
}
