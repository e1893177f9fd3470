//go:build ignore

// This program times the exciters of testdata/circuits.json in ngspice and in
// our own solver, whole processes both:
//
//	apt-get install ngspice
//	go run physics/driver/ngspice.go
//
// ngspice gets the netlist that we write, at an accuracy of about a per cent, cut
// where our own run had found the settled state. That end is a favour to ngspice:
// who runs it does not know it before. Ours is `coilsheet circuit`, from reading
// the file to printing the answer. Both times are the processor's, least of three.
package main

import (
	"encoding/json"
	"fmt"
	"log"
	"maps"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"syscall"
	"time"
)

const tries = 3

type reference struct {
	ID      string `json:"id"`
	Circuit struct {
		Ls, Cs, Rs, Lp, Rp, K, Sense, Vcc, Rb, Rg2, Bv, Cob float64
	} `json:"circuit"`
	DeviceModel map[string]float64    `json:"device_model"`
	ClampModel  map[string]float64    `json:"clamp_model"`
	Reference   struct{ Starts bool } `json:"reference"`
}

// answer is what coilsheet prints, as far as it is needed here.
type answer struct {
	Top       *float64 `json:"top_voltage_v"`
	Frequency *float64 `json:"frequency_hz"`
	Settling  *float64 `json:"settling_time_s"`
}

func main() {
	log.SetFlags(0)
	folder, err := os.MkdirTemp("", "ngspice")
	if err != nil {
		log.Fatal(err)
	}
	defer os.RemoveAll(folder)
	coilsheet := filepath.Join(folder, "coilsheet")
	build := exec.Command("go", "build", "-o", coilsheet, "./cmd/coilsheet")
	build.Env = append(os.Environ(), "CGO_ENABLED=0")
	if out, err := build.CombinedOutput(); err != nil {
		log.Fatalf("%v\n%s", err, out)
	}
	content, err := os.ReadFile("physics/driver/testdata/circuits.json")
	if err != nil {
		log.Fatal(err)
	}
	var file struct{ Exciter []reference }
	if err := json.Unmarshal(content, &file); err != nil {
		log.Fatal(err)
	}
	var ratios, top []float64
	for _, r := range file.Exciter {
		if !r.Reference.Starts || r.DeviceModel["VTO"] != 0 {
			continue
		}
		path := filepath.Join(folder, r.ID+".circuit.json")
		if err := os.WriteFile(path, r.file(), 0o600); err != nil {
			log.Fatal(err)
		}
		ours, out := least(coilsheet, "circuit", path)
		var a answer
		if err := json.Unmarshal(out, &a); err != nil || a.Top == nil || a.Frequency == nil || a.Settling == nil {
			log.Fatalf("%s: %v\n%s", r.ID, err, out)
		}
		_, list := least(coilsheet, "netlist", path)
		theirs, swing := r.ngspice(folder, string(list), a)
		ratio := theirs.Seconds() / ours.Seconds()
		ratios, top = append(ratios, ratio), append(top, math.Abs(*a.Top/(swing/2)-1))
		fmt.Printf("%-18s ngspice %8.1f ms  ours %6.1f ms  ratio %6.1f  top %8.4g V and %8.4g V\n", r.ID, milli(theirs), milli(ours), ratio, swing/2, *a.Top)
	}
	slices.Sort(ratios)
	slices.Sort(top)
	fmt.Printf("%d circuits: ratio %.0f in the median, %.0f to %.0f; top voltages apart by %.1f %% in the median\n",
		len(ratios), ratios[len(ratios)/2], ratios[0], ratios[len(ratios)-1], 100*top[len(top)/2])
}

func milli(d time.Duration) float64 { return float64(d.Microseconds()) / 1e3 }

// file is the circuit as coilsheet reads it.
func (r reference) file() []byte {
	model := func(kind string, parameters map[string]float64) map[string]any {
		out := map[string]any{"type": kind}
		for name, x := range maps.All(parameters) {
			out[name] = x
		}
		return out
	}
	c := r.Circuit
	driver := map[string]any{
		"kind": "feedback_exciter", "supply_v": c.Vcc, "device": model("npn", r.DeviceModel), "base_resistor_ohm": c.Rb,
		"sense": c.Sense, "breakdown_voltage_v": c.Bv, "collector_capacitance_f": c.Cob,
	}
	if r.ClampModel != nil {
		driver["clamp"] = model("d", r.ClampModel)
	}
	out, err := json.Marshal(map[string]any{
		"format": "coilwright-circuit", "version": 1,
		"secondary": map[string]any{"inductance_h": c.Ls, "capacitance_f": c.Cs, "resistance_ohm": c.Rs},
		"primary":   map[string]any{"inductance_h": c.Lp, "resistance_ohm": c.Rp, "coupling_coefficient": c.K},
		"driver":    driver,
	})
	if err != nil {
		log.Fatal(err)
	}
	return out
}

// ngspice runs a netlist until shortly after it has settled and returns the time it
// took and the swing of the top in V at the end.
func (r reference) ngspice(folder, list string, a answer) (time.Duration, float64) {
	const after = 60 // periods, in which the settled state is seen
	end := *a.Settling + after / *a.Frequency
	transient := regexp.MustCompile(`(?m)^\.tran (\S+) \S+ 0 (\S+)`)
	list = transient.ReplaceAllString(list, fmt.Sprintf(".tran $1 %.6g 0 $2", end))
	list = strings.Replace(list, ".end\n", fmt.Sprintf(".control\nrun\nmeas tran swing pp v(top) from=%g to=%g\n.endc\n.end\n", end-after/(*a.Frequency)/2, end), 1)
	path := filepath.Join(folder, r.ID+".cir")
	if err := os.WriteFile(path, []byte(list), 0o600); err != nil {
		log.Fatal(err)
	}
	took, out := least("ngspice", "-b", path)
	found := regexp.MustCompile(`(?m)^swing\s*=\s*(\S+)`).FindSubmatch(out)
	if found == nil {
		log.Fatalf("%s: ngspice gave no swing\n%s", r.ID, out)
	}
	swing, err := strconv.ParseFloat(string(found[1]), 64)
	if err != nil {
		log.Fatal(err)
	}
	return took, swing
}

// least runs a program a few times and returns its least processor time and what it
// printed.
func least(name string, arguments ...string) (time.Duration, []byte) {
	best := time.Duration(math.MaxInt64)
	var out []byte
	for range tries {
		c := exec.Command(name, arguments...)
		var err error
		out, err = c.Output()
		if err != nil && len(out) == 0 {
			log.Fatalf("%s: %v", name, err)
		}
		u := c.ProcessState.SysUsage().(*syscall.Rusage)
		best = min(best, time.Duration(u.Utime.Nano()+u.Stime.Nano()))
	}
	return best, out
}
