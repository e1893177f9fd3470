package sheet

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"testing"
)

func clubJig(t testing.TB) Jig {
	t.Helper()
	b := clubBuild(t)
	j, err := JigOf(&b)
	if err != nil {
		t.Fatal(err)
	}
	return j
}

// checkClosed holds that every edge of a surface is passed once in each
// direction: it has no hole, no seam, and no triangle the wrong way round.
func checkClosed(t *testing.T, name string, triangles []triangle) {
	t.Helper()
	edges := map[[2]vertex]int{}
	for _, tr := range triangles {
		if tr.normal() == ([3]float64{}) {
			t.Errorf("%s has a triangle without area", name)
		}
		for i := range tr {
			edges[[2]vertex{tr[i], tr[(i+1)%3]}]++
		}
	}
	for e, n := range edges {
		if n != 1 || edges[[2]vertex{e[1], e[0]}] != 1 {
			t.Fatalf("%s: the edge %v is passed %d times, and back %d times", name, e, n, edges[[2]vertex{e[1], e[0]}])
		}
	}
}

// TestJigIsClosedAndRightWayRound weighs the solids against volumes worked out
// from discs, teeth and slots, which share no code with them.
func TestJigIsClosedAndRightWayRound(t *testing.T) {
	j := clubJig(t)
	all, err := j.All()
	if err != nil || len(all) != 3 {
		t.Fatalf("All() = %d solids, %v", len(all), err)
	}
	// A round of n facets has the area n/2 r² sin(2π/n), 0.07 % less at 100.
	ring := func(a, b float64) float64 { return math.Pi * (b*b - a*a) }
	inner, outer := j.toothRadius(), j.DiscRadius()
	teeth := ring(inner, outer) - float64(j.Turns)*j.slot()*(outer-inner)
	// The notch is a sector, as wide as a slot at its bottom.
	notch := func(a, b float64) float64 { return math.Asin(j.slot()/2/a) * (b*b - a*a) }
	rod, bore := j.FormerDiameter/2, (j.FormerDiameter+j.Clearance)/2
	want := []float64{
		j.Floor*ring(j.Screw/2, outer) + j.Height*teeth,
		(stopThickness+j.CoilLength+2*j.WireDiameter+stopThickness)*ring(j.Spindle/2, rod) + stopThickness*(ring(rod, j.stopRadius())-notch(rod, j.stopRadius())),
		stopThickness * (ring(bore, j.stopRadius()) - notch(bore, j.stopRadius())),
	}
	for i, s := range all {
		checkClosed(t, s.Name, s.triangles)
		if got := s.Volume(); math.Abs(got/want[i]-1) > 0.002 {
			t.Errorf("%s has a volume of %.4g m³, want %.4g m³", s.Name, got, want[i])
		}
	}
	low, high := all[0].Bounds()
	if math.Abs(high[2]-j.Floor-j.Height) > 1e-12 || low[2] != 0 || math.Abs(-low[0]-outer) > 1e-3*outer {
		t.Errorf("the disc reaches from %v to %v m, want %g high and %g out", low, high, j.Floor+j.Height, outer)
	}
	_, high = all[1].Bounds()
	if wantTop := 2*stopThickness + j.CoilLength + 2*j.WireDiameter; math.Abs(high[2]-wantTop) > 1e-12 {
		t.Errorf("the former is %g m high, want %g m", high[2], wantTop)
	}
}

// TestSlotsHoldTheWire measures the slots at both ends and the teeth between.
func TestSlotsHoldTheWire(t *testing.T) {
	j := clubJig(t)
	disc, err := j.Disc()
	if err != nil {
		t.Fatal(err)
	}
	top := map[[2]float64]bool{}
	for _, tr := range disc.triangles {
		for _, v := range tr {
			if v.Z > j.Floor+j.Height-1e-9 {
				top[[2]float64{v.X, v.Y}] = true
			}
		}
	}
	edges := 0 // corners of teeth that lie half a slot from a turn's plane
	for turn := range j.Turns {
		sin, cos := math.Sincos(2 * math.Pi * float64(turn) / float64(j.Turns))
		for p := range top {
			along, across := p[0]*cos+p[1]*sin, -p[0]*sin+p[1]*cos
			if along <= 0 {
				continue
			}
			if math.Abs(across) < j.slot()/2-1e-9 {
				t.Fatalf("a tooth stands %g m from the plane of turn %d, in its slot", across, turn+1)
			}
			if math.Abs(math.Abs(across)-j.slot()/2) < 1e-9 {
				edges++
			}
		}
	}
	if edges != 4*j.Turns {
		t.Errorf("%d corners of teeth lie on a slot's edge, want 4 for each of %d turns", edges, j.Turns)
	}
}

// TestSTLReadsBack reads the file as its format has it.
func TestSTLReadsBack(t *testing.T) {
	j := clubJig(t)
	all, err := j.All()
	if err != nil {
		t.Fatal(err)
	}
	file := written(t, func(w io.Writer) error { return WriteSTL(w, all...) })
	count := int(binary.LittleEndian.Uint32(file[80:]))
	if len(file) != 84+50*count || bytes.HasPrefix(file, []byte("solid")) {
		t.Fatalf("a file of %d bytes for %d triangles begins with %q", len(file), count, file[:10])
	}
	var volume float64
	for i := range count {
		var r [12]float32
		if err := binary.Read(bytes.NewReader(file[84+50*i:]), binary.LittleEndian, &r); err != nil {
			t.Fatal(err)
		}
		a, b, c := r[3:6], r[6:9], r[9:12]
		n := [3]float64{
			float64((b[1]-a[1])*(c[2]-a[2]) - (b[2]-a[2])*(c[1]-a[1])),
			float64((b[2]-a[2])*(c[0]-a[0]) - (b[0]-a[0])*(c[2]-a[2])),
			float64((b[0]-a[0])*(c[1]-a[1]) - (b[1]-a[1])*(c[0]-a[0])),
		}
		if dot := n[0]*float64(r[0]) + n[1]*float64(r[1]) + n[2]*float64(r[2]); dot <= 0 {
			t.Fatalf("triangle %d has its normal inward", i)
		}
		volume += (float64(a[0])*n[0] + float64(a[1])*n[1] + float64(a[2])*n[2]) / 6
	}
	var want float64
	for _, s := range all {
		want += s.Volume() * 1e9
	}
	if math.Abs(volume/want-1) > 1e-3 {
		t.Errorf("the file holds %g mm³, want %g mm³", volume, want)
	}
}

// TestJigPassesAdmesh has another program, Debian's admesh, look for holes,
// seams and normals that are wrong.
func TestJigPassesAdmesh(t *testing.T) {
	program, err := exec.LookPath("admesh")
	if err != nil {
		t.Skip("admesh is not installed")
	}
	j := clubJig(t)
	disc, _ := j.Disc()
	former, _ := j.Former()
	stop, _ := j.Stop()
	all, err := j.All()
	if err != nil {
		t.Fatal(err)
	}
	for i, solids := range [][]Solid{{disc}, {former}, {stop}, all} {
		path := filepath.Join(t.TempDir(), fmt.Sprintf("%d.stl", i))
		if err := os.WriteFile(path, written(t, func(w io.Writer) error { return WriteSTL(w, solids...) }), 0o600); err != nil {
			t.Fatal(err)
		}
		out, err := exec.Command(program, path).CombinedOutput()
		if err != nil {
			t.Fatalf("admesh: %v\n%s", err, out)
		}
		number := func(pattern string) float64 {
			m := regexp.MustCompile(pattern).FindSubmatch(out)
			if m == nil {
				t.Fatalf("admesh says nothing like %q:\n%s", pattern, out)
			}
			v, _ := strconv.ParseFloat(string(m[1]), 64)
			return v
		}
		for _, pattern := range []string{
			`Total disconnected facets\s*:\s*\d+\s+(\d+)`, `Degenerate facets\s*:\s*(\d+)`, `Edges fixed\s*:\s*(\d+)`, `Facets removed\s*:\s*(\d+)`,
			`Facets added\s*:\s*(\d+)`, `Facets reversed\s*:\s*(\d+)`, `Backwards edges\s*:\s*(\d+)`, `Normals fixed\s*:\s*(\d+)`,
		} {
			if n := number(pattern); n != 0 {
				t.Errorf("solid %d: admesh counts %g by %q:\n%s", i, n, pattern, out)
			}
		}
		if n := int(number(`Number of parts\s*:\s*(\d+)`)); n != len(solids) {
			t.Errorf("solid %d: admesh counts %d parts, want %d", i, n, len(solids))
		}
		var want float64
		for _, s := range solids {
			want += s.Volume() * 1e9
		}
		if got := number(`Volume\s*:\s*([-\d.]+)`); math.Abs(got/want-1) > 1e-3 {
			t.Errorf("solid %d: admesh measures %g mm³, want %g mm³", i, got, want)
		}
	}
}

func TestJigRefuses(t *testing.T) {
	for name, change := range map[string]func(*Jig){
		"clearance":  func(j *Jig) { j.Clearance = -1 },
		"too wide":   func(j *Jig) { j.Clearance = 2.5e-3 },
		"no height":  func(j *Jig) { j.Height = 0 },
		"tall":       func(j *Jig) { j.Height = j.FormerDiameter },
		"iron":       func(j *Jig) { j.IronRoom = 0.02 },
		"screw":      func(j *Jig) { j.Screw = 0.05 },
		"spindle":    func(j *Jig) { j.Spindle = j.FormerDiameter },
		"two turns":  func(j *Jig) { j.Turns = 2 },
		"no number":  func(j *Jig) { j.WireDiameter = math.NaN() },
		"no coil":    func(j *Jig) { j.CoilLength = 0 },
		"thin floor": func(j *Jig) { j.Floor = 0 },
	} {
		j := clubJig(t)
		change(&j)
		if _, err := j.All(); !errors.Is(err, ErrJig) {
			t.Errorf("%s: %v, want ErrJig", name, err)
		}
	}
	b := clubBuild(t)
	b.Plan.Ring = nil
	if _, err := JigOf(&b); !errors.Is(err, ErrJig) {
		t.Errorf("without a ring: %v, want ErrJig", err)
	}
	if err := WriteSTL(io.Discard); err == nil {
		t.Error("an empty file has no error")
	}
}
