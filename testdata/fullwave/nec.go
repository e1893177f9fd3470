//go:build ignore

// This program solves the full-wave cases beside it with nec2c, a
// general-purpose method-of-moments antenna code that Debian carries, and with
// our own solver, and prints frequencies and processor time side by side:
//
//	apt-get install nec2c
//	go run testdata/fullwave/nec.go
//
// The resonance of each coil is found in nec2c by a secant on the reactance at
// the earthed foot, started 1 % below the stated frequency. That start is a
// favour to nec2c: it needs three or four frequencies instead of a scan.
package main

import (
	"bufio"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"log"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"syscall"
	"time"

	"coilwright/physics/design"
)

// The mesh; the stated frequencies come from 24 segments per turn and finer.
const (
	segmentsPerTurn = 24
	turnSides       = 16 // of a turn of the top load
	leadSegments    = 3  // of the straight lead from helix to top load
)

type reference struct {
	Cases []referenceCase `json:"cases"`
}

type referenceCase struct {
	ID       string   `json:"id"`
	Geometry geometry `json:"geometry"`
	F0       float64  `json:"f0_hz"`
}

// geometry is a grounded helix over a perfect plane, in metres.
type geometry struct {
	Turns      float64 `json:"turns"`
	Pitch      float64 `json:"pitch_m"`
	Diameter   float64 `json:"centreline_diameter_m"`
	Wire       float64 `json:"wire_diameter_m"`
	Start      float64 `json:"helix_start_height_m"`
	End        float64 `json:"helix_end_height_m"`
	LowestTurn float64 `json:"lowest_turn_centre_height_m"`
	Top        struct {
		Kind        string  `json:"kind"`
		Turns       int     `json:"N"`
		MinorRadius float64 `json:"minor_radius_m"`
		MajorRadius float64 `json:"major_radius_m"`
		HubRing     float64 `json:"hub_ring_radius_m"`
		Wire        float64 `json:"wire_diameter_m"`
		Height      float64 `json:"centre_height_m"`
	} `json:"top"`
}

type point struct{ x, y, z float64 }

// deck collects the straight wires of a model.
type deck struct {
	cards []string
	tag   int
}

// wire adds one straight wire of so many segments.
func (d *deck) wire(a, b point, segments int, radius float64) {
	d.tag++
	d.cards = append(d.cards, fmt.Sprintf("GW %d %d %.9g %.9g %.9g %.9g %.9g %.9g %.9g", d.tag, segments, a.x, a.y, a.z, b.x, b.y, b.z, radius))
}

// path joins points by wires of one segment each.
func (d *deck) path(points []point, radius float64) {
	for i := 1; i < len(points); i++ {
		d.wire(points[i-1], points[i], 1, radius)
	}
}

// polygonScale returns by how much the corners of a polygon of n sides lie
// outside the circle of the same area.
func polygonScale(n int) float64 {
	step := 2 * math.Pi / float64(n)
	return math.Sqrt(step / math.Sin(step))
}

// circle returns a closed polygon of n sides that has the area of the circle
// given by its centre and two perpendicular radius vectors.
func circle(centre, u, v point, n int) []point {
	points := make([]point, n+1)
	for i := range points {
		s, c := math.Sincos(2 * math.Pi * float64(i%n) / float64(n))
		s, c = s*polygonScale(n), c*polygonScale(n)
		points[i] = point{centre.x + c*u.x + s*v.x, centre.y + c*u.y + s*v.y, centre.z + c*u.z + s*v.z}
	}
	return points
}

// model returns the cards of a coil. The foot is tag 1, segment 1.
func model(g geometry) []string {
	d := &deck{}
	r := g.Diameter / 2
	foot := max(2, int(math.Round(g.Start/(math.Pi*g.Diameter/segmentsPerTurn))))
	r *= polygonScale(segmentsPerTurn)
	d.wire(point{r, 0, 0}, point{r, 0, g.Start}, foot, g.Wire/2)
	n := int(math.Round(g.Turns * segmentsPerTurn))
	helix := make([]point, n+1)
	for i := range helix {
		t := float64(i) / float64(n)
		s, c := math.Sincos(2 * math.Pi * g.Turns * t)
		helix[i] = point{r * c, r * s, g.Start + (g.End-g.Start)*t}
	}
	d.path(helix, g.Wire/2)
	top := g.Top
	end := helix[n]
	switch top.Kind {
	case "ring":
		ring := circle(point{0, 0, top.Height}, point{top.MajorRadius, 0, 0}, point{0, top.MajorRadius, 0}, 48)
		d.wire(end, ring[0], leadSegments, g.Wire/2)
		d.path(ring, top.Wire/2)
	case "doughnut":
		// The hub ring passes through the innermost corner of every turn.
		hub := (top.MajorRadius - top.MinorRadius*polygonScale(turnSides)) / polygonScale(top.Turns)
		ring := circle(point{0, 0, top.Height}, point{hub, 0, 0}, point{0, hub, 0}, top.Turns)
		d.wire(end, ring[0], leadSegments, g.Wire/2)
		d.path(ring, top.Wire/2)
		for _, p := range ring[:top.Turns] {
			s, c := math.Sincos(math.Atan2(p.y, p.x))
			m := top.MinorRadius
			d.path(circle(point{top.MajorRadius * c, top.MajorRadius * s, top.Height}, point{-m * c, -m * s, 0}, point{0, 0, m}, turnSides), top.Wire/2)
		}
	}
	return d.cards
}

// solver runs nec2c and adds up its processor time.
type solver struct {
	folder string
	cpu    time.Duration
	runs   int
}

// reactance returns the feed reactance in ohm at frequency f in Hz.
func (s *solver) reactance(cards []string, f float64) (float64, error) {
	input := filepath.Join(s.folder, "coil.nec")
	output := filepath.Join(s.folder, "coil.out")
	text := "CM grounded helix\nCE\n" + strings.Join(cards, "\n") +
		fmt.Sprintf("\nGE 1\nGN 1\nEX 0 1 1 0 1.0 0.0\nFR 0 1 0 0 %.9f 0\nXQ\nEN\n", f/1e6)
	if err := os.WriteFile(input, []byte(text), 0o600); err != nil {
		return 0, err
	}
	command := exec.Command("nec2c", "-i", input, "-o", output)
	if out, err := command.CombinedOutput(); err != nil {
		return 0, fmt.Errorf("nec2c: %w: %s", err, out)
	}
	s.cpu += command.ProcessState.UserTime() + command.ProcessState.SystemTime()
	s.runs++
	return readReactance(output)
}

// readReactance reads the imaginary impedance from the table of input parameters.
func readReactance(name string) (float64, error) {
	file, err := os.Open(name)
	if err != nil {
		return 0, err
	}
	defer file.Close()
	inTable := false
	for lines := bufio.NewScanner(file); lines.Scan(); {
		inTable = inTable || strings.Contains(lines.Text(), "ANTENNA INPUT PARAMETERS")
		fields := strings.Fields(lines.Text())
		if !inTable || len(fields) != 11 {
			continue
		}
		if x, err := strconv.ParseFloat(fields[7], 64); err == nil {
			return x, nil
		}
	}
	return 0, errors.New("no impedance in nec2c's output")
}

// resonance finds where the reactance is zero, to 1e-5, by a secant.
func (s *solver) resonance(cards []string, guess float64) (float64, error) {
	a, b := guess, guess*1.003
	xa, err := s.reactance(cards, a)
	if err != nil {
		return 0, err
	}
	for range 8 {
		xb, err := s.reactance(cards, b)
		if err != nil {
			return 0, err
		}
		next := b - xb*(b-a)/(xb-xa)
		a, xa, b = b, xb, next
		if math.Abs(b-a) < 1e-5*b {
			return b, nil
		}
	}
	return 0, errors.New("nec2c's reactance did not settle to zero in 8 steps")
}

// solve evaluates the same coil by our own solver, through the door that the
// program uses, and returns the least processor time of several evaluations,
// each with a solver that has kept nothing. Leads are not part of a design.
func solve(g geometry) (frequency float64, took time.Duration, err error) {
	d := design.New()
	wire := design.Wire{Gauge: fmt.Sprintf("%.9g mm", 1e3*g.Wire), Insulation: design.Bare}
	d.Secondary.FormerDiameter = g.Diameter - g.Wire
	d.Secondary.Turns, d.Secondary.Wire = g.Turns, wire
	d.Secondary.Pitch, d.Secondary.BaseHeight = g.Pitch, g.LowestTurn
	d.Primary = design.Primary{Kind: design.NoPrimary}
	d.Room.Ground, d.Room.FloorDepth = design.MetalPlane, 0
	top := g.Top
	d.TopLoad = design.TopLoad{Kind: design.NoTopLoad, Height: top.Height - g.End}
	switch top.Kind {
	case "ring":
		d.TopLoad.Kind, d.TopLoad.Closed = design.Torus, true
		d.TopLoad.OuterDiameter, d.TopLoad.TubeDiameter = 2*top.MajorRadius+top.Wire, top.Wire
	case "doughnut":
		d.TopLoad.Kind = design.WireRing
		d.TopLoad.Wire = design.Wire{Gauge: fmt.Sprintf("%.9g mm", 1e3*top.Wire), Insulation: design.Bare}
		d.TopLoad.FormerDiameter = 2*top.MinorRadius - top.Wire
		d.TopLoad.HubDiameter = 2*(top.MajorRadius-top.MinorRadius) - top.Wire
		d.TopLoad.Turns = top.Turns
	}
	const times = 30
	took = math.MaxInt64
	for range times {
		start := processorTime()
		report, err := design.NewSolver().Quick(context.Background(), d)
		if err != nil {
			return 0, 0, err
		}
		took = min(took, processorTime()-start)
		frequency = *report.Resonance.Frequency
	}
	return frequency, took, nil
}

// processorTime returns the time this process has had, its collector's included.
func processorTime() time.Duration {
	var usage syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &usage); err != nil {
		log.Fatal(err)
	}
	return time.Duration(usage.Utime.Nano() + usage.Stime.Nano())
}

func main() {
	log.SetFlags(0)
	data, err := os.ReadFile("testdata/fullwave/cases.json")
	if err != nil {
		log.Fatal(err)
	}
	var all reference
	if err := json.Unmarshal(data, &all); err != nil {
		log.Fatal(err)
	}
	folder, err := os.MkdirTemp("", "fullwave")
	if err != nil {
		log.Fatal(err)
	}
	defer os.RemoveAll(folder)
	fmt.Println("case  turns  top       stated Hz   nec2c Hz  CPU s  runs    ours Hz  against stated  CPU ms  times less")
	var ratios []float64
	for _, c := range all.Cases {
		s := &solver{folder: folder}
		f, err := s.resonance(model(c.Geometry), 0.99*c.F0)
		if err != nil {
			log.Fatal(c.ID, ": ", err)
		}
		ours, took, err := solve(c.Geometry)
		if err != nil {
			log.Fatal(c.ID, ": ", err)
		}
		ratio := s.cpu.Seconds() / took.Seconds()
		ratios = append(ratios, ratio)
		fmt.Printf("%-5s %5g  %-8s %10.0f %10.0f %6.2f %5d %10.0f %+13.2f %% %7.2f %11.0f\n", c.ID, c.Geometry.Turns, c.Geometry.Top.Kind,
			c.F0, f, s.cpu.Seconds(), s.runs, ours, 100*(ours/c.F0-1), 1e3*took.Seconds(), ratio)
	}
	slices.Sort(ratios)
	fmt.Printf("median: %.0f times less processor time\n", ratios[len(ratios)/2])
}
