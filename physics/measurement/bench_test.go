package measurement

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"
)

func BenchmarkParseDecimal(b *testing.B) {
	text := []byte("-1.234567E-05")
	b.ReportAllocs()
	for b.Loop() {
		if _, ok := parseDecimal(text, '.'); !ok {
			b.Fatal("no number")
		}
	}
}

// Bytes per second and bytes allocated of a trace of a million samples.
func BenchmarkReadRecord(b *testing.B) {
	var file strings.Builder
	file.WriteString("Time (s),CH1 (V)\n")
	random := rand.New(rand.NewPCG(1, 1))
	const n = 1000000
	for i := range n {
		fmt.Fprintf(&file, "%.6E,%.4f\n", float64(i)*1e-9, random.NormFloat64())
	}
	text := file.String()
	b.SetBytes(int64(len(text)))
	b.ReportAllocs()
	for b.Loop() {
		r, err := ReadRecord(context.Background(), strings.NewReader(text), ReadOptions{Size: int64(len(text))})
		if err != nil || len(r.Channels[0].Samples) != n {
			b.Fatal(err)
		}
	}
}

func benchmarkRingDown(b *testing.B, s scope, d decay) {
	r := s.trace(rand.New(rand.NewPCG(1, 1)), nil, d)
	b.ReportAllocs()
	for b.Loop() {
		f, err := FitRingDown(context.Background(), r, Range{})
		if err != nil || !f.Complete() {
			b.Fatal(err, f.Message)
		}
	}
}

// A screen of ten thousand samples.
func BenchmarkFitRingDown(b *testing.B) {
	benchmarkRingDown(b, scope{10000, 20e-9, 0.1, 0.02, 0.01}, deskCoil)
}

// All of a deep memory: ten million samples.
func BenchmarkFitRingDownLarge(b *testing.B) {
	late := deskCoil
	late.begin = 2e-3
	benchmarkRingDown(b, scope{10000000, 1e-9, 0.1, 0.02, 0.01}, late)
}

func BenchmarkFitReflection(b *testing.B) {
	r := span{1.2e6, 1.4e6, 401}.reflected(50, 1e-3, rand.New(rand.NewPCG(1, 1)), deskLoop.impedance)
	b.ReportAllocs()
	for b.Loop() {
		if c := FitReflection(r, Range{}); !c.Complete() {
			b.Fatal(c.Message)
		}
	}
}

func BenchmarkFitSweep(b *testing.B) {
	r := span{1.25e6, 1.35e6, 401}.read(false, 0.01, rand.New(rand.NewPCG(1, 1)), hump{1.3e6, 150, 1, 0.1i}.amplitude)
	b.ReportAllocs()
	for b.Loop() {
		if p := FitSweep(r, Range{}); !p.Complete() {
			b.Fatal(p.Message)
		}
	}
}

func ExampleFitRingDown() {
	// A trace as a text file, here written on the spot.
	var file strings.Builder
	fmt.Fprintln(&file, "Time (us);Voltage (V)")
	for i := range 4000 {
		t := float64(i) * 50e-9
		v := math.Exp(-math.Pi*1.3e6/150*t) * math.Cos(2*math.Pi*1.3e6*t)
		fmt.Fprintln(&file, strings.ReplaceAll(fmt.Sprintf("%.2f;%.3f", t*1e6, v), ".", ","))
	}
	record, err := ReadRecord(context.Background(), strings.NewReader(file.String()), ReadOptions{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fit, err := FitRingDown(context.Background(), record, Range{})
	if err != nil || !fit.Complete() {
		fmt.Println(fit.Message, err)
		return
	}
	fmt.Printf("%.3f MHz, Q %.0f\n", fit.Frequency.Value/1e6, fit.QualityFactor.Value)
	// Output: 1.300 MHz, Q 150
}

// What parseDecimal is measured against.
func BenchmarkParseFloat(b *testing.B) {
	text := []byte("-1.234567E-05")
	b.ReportAllocs()
	for b.Loop() {
		if _, err := strconv.ParseFloat(string(text), 64); err != nil {
			b.Fatal(err)
		}
	}
}
