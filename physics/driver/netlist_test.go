package driver

import (
	"context"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// ngspice runs a netlist and returns what its measurements gave. Each
// measurement is a line of ngspice's meas command, less the word meas.
func ngspice(t *testing.T, netlist string, measurements ...string) map[string]float64 {
	t.Helper()
	if testing.Short() {
		t.Skip("comparison with a circuit simulator")
	}
	program, err := exec.LookPath("ngspice")
	if err != nil {
		t.Skip("ngspice is not installed")
	}
	control := ".control\nrun\n"
	for _, m := range measurements {
		control += "meas " + m + "\n"
	}
	control += ".endc\n.end\n"
	file := filepath.Join(t.TempDir(), "circuit.cir")
	if err := os.WriteFile(file, []byte(strings.Replace(netlist, ".end\n", control, 1)), 0o600); err != nil {
		t.Fatal(err)
	}
	out, err := exec.CommandContext(t.Context(), program, "-b", file).CombinedOutput()
	values := map[string]float64{}
	for _, m := range regexp.MustCompile(`(?m)^(\w+)\s*=\s*([-+0-9.eE]+)`).FindAllStringSubmatch(string(out), -1) {
		values[m[1]], _ = strconv.ParseFloat(m[2], 64)
	}
	for _, m := range measurements {
		if name := strings.Fields(m)[1]; math.IsNaN(values[name]) || values[name] == 0 {
			t.Fatalf("ngspice gave no %s (%v):\n%s\n%s", name, err, out, netlist)
		}
	}
	return values
}

func TestValidationNetlist(t *testing.T) {
	near := func(t *testing.T, what string, got, want, tol float64) {
		t.Helper()
		if math.Abs(got/want-1) > tol {
			t.Errorf("%s: ngspice %.5g, ours %.5g", what, got, want)
		}
	}
	t.Run("exciter", func(t *testing.T) {
		x := handSized(t)
		r, err := x.Settle(context.Background())
		if err != nil {
			t.Fatal(err)
		}
		text, err := x.Netlist("hand-sized coil")
		if err != nil {
			t.Fatal(err)
		}
		end := netlistPeriods / x.Coil.Frequency()
		window := fmt.Sprintf("from=%g to=%g", 0.75*end, end)
		v := ngspice(t, text, "tran swing pp v(top) "+window, "tran current avg i(vsupply) "+window, "tran collector max v(collector) "+window)
		near(t, "top", v["swing"]/2, r.TopCrest, 0.10)
		near(t, "supply current", -v["current"], r.SupplyCurrent, 0.10)
		near(t, "collector", v["collector"], r.CollectorCrest, 0.15)
	})
	t.Run("bridge", func(t *testing.T) {
		b := Bridge{Coil: Coil{0.000965, 4.753e-12, 97.26, 1}, Primary: Primary{2e-6, 0.14, 0.2}, Feed: SeriesTuned, SeriesCapacitance: 2.3e-9, SourceResistance: 0.5, Amplitude: 12}
		d, err := b.Solve()
		if err != nil {
			t.Fatal(err)
		}
		text, err := b.Netlist("bridge")
		if err != nil {
			t.Fatal(err)
		}
		end := 3 * b.Coil.QUnloaded() / d.Frequency
		v := ngspice(t, text, fmt.Sprintf("tran swing pp v(top) from=%g to=%g", 0.9*end, end))
		near(t, "top", v["swing"]/2, d.TopCrest, 0.01)
	})
	t.Run("gap", func(t *testing.T) {
		g := Gap{Coil: Coil{0.000965, 4.753e-12, 97.26, 1.05}, Primary: Primary{2e-6, 0.1, 0.15}, FiringVoltage: 5000, TankCapacitance: 2.2e-9, ArcResistance: 1}
		d, err := g.Solve()
		if err != nil {
			t.Fatal(err)
		}
		text, err := g.Netlist("gap")
		if err != nil {
			t.Fatal(err)
		}
		v := ngspice(t, text, "tran high max v(top)", "tran low min v(top)")
		near(t, "top", math.Max(v["high"], -v["low"]), d.TopPeak, 0.002)
	})
}

// handSized is a circuit inside its parts' ratings.
func handSized(t testing.TB) Exciter {
	t.Helper()
	device, err := Find("BD139")
	if err != nil {
		t.Fatal(err)
	}
	clamp, err := Find("1N4148")
	if err != nil {
		t.Fatal(err)
	}
	return Exciter{
		Coil: Coil{0.000322, 3.13e-12, 113.3, 1.1}, Primary: Primary{2.87e-6, 0.18, 0.264}, Sense: 1,
		Supply: 5, SupplyResistance: 0.5, Device: device, Breakdown: device.AvalancheVoltage(), BaseResistor: 22e3, EmitterResistor: 0.5, Clamp: &clamp, CollectorCapacity: 3e-12,
		Thermal: Thermal{Air: 20},
	}
}
