package main

import (
	"bytes"
	"context"
	"encoding/json"
	"strings"
	"testing"

	"coilwright/physics/design"
)

// clubStock is what a physics club might have in its drawer.
const clubStock = `{"format": "coilwright-stock", "version": 1,
"wires": [{"gauge": "AWG 32", "insulation": "single", "length_m": 60}, {"gauge": "AWG 14", "length_m": 5}],
"formers": [{"name": "syringe", "diameter_m": 0.025, "wall_m": 0.001, "length_m": 0.12}, {"name": "dowel", "diameter_m": 0.014, "wall_m": 0}],
"hubs": [{"name": "M6 nut", "diameter_m": 0.00989}]}`

func runDrawer(t *testing.T, args ...string) (out, told string, code int) {
	t.Helper()
	var stdout, stderr bytes.Buffer
	code = run(context.Background(), append([]string{"drawer"}, append(args, "-")...), strings.NewReader(clubStock), &stdout, &stderr)
	return stdout.String(), stderr.String(), code
}

func TestDrawer(t *testing.T) {
	out, told, code := runDrawer(t, "-frequency", "3 MHz", "-max-height", "150 mm")
	if code != exitDone || told != "" || !strings.Contains(out, "AWG 32") || !strings.Contains(out, "with a ring of") || !strings.Contains(out, "combinations tried") {
		t.Errorf("exit code %d, %q:\n%s", code, told, out)
	}
	out, told, code = runDrawer(t, "-frequency", "3MHz", "-json")
	var found struct {
		Coils []struct {
			Frequency float64         `json:"frequency_hz"`
			Needed    float64         `json:"wire_needed_m"`
			Left      *float64        `json:"wire_left_m"`
			Design    json.RawMessage `json:"design"`
		} `json:"coils"`
	}
	if err := json.Unmarshal([]byte(out), &found); err != nil || code != exitDone || len(found.Coils) == 0 {
		t.Fatalf("exit code %d, %q, %v:\n%s", code, told, err, out)
	}
	for _, c := range found.Coils {
		if _, err := design.Read(bytes.NewReader(c.Design)); err != nil {
			t.Errorf("a coil's design is refused: %v", err)
		}
		if c.Left == nil || c.Needed > *c.Left || c.Frequency < 2.97e6 || c.Frequency > 3.03e6 {
			t.Errorf("a coil has %g Hz and needs %g m of %v", c.Frequency, c.Needed, c.Left)
		}
	}
}

func TestDrawerRefuses(t *testing.T) {
	for _, test := range []struct {
		args []string
		code int
		told string
	}{
		{nil, exitUsage, "-frequency is needed"},
		{[]string{"-frequency", "fast"}, exitUsage, "fast"},
		{[]string{"-frequency", "3MHz", "-max-height", "0 mm"}, exitUsage, "must be above 0"},
		{[]string{"-frequency", "200 kHz"}, exitRefused, "standard input: Nothing in the drawer can be built to ring at 200.0\u202fkHz: the nearest is"},
		{[]string{"-frequency", "3MHz", "-wire", "AWG 40"}, exitRefused, "No wire in the drawer is AWG 40: the nearest is AWG 32."},
	} {
		out, told, code := runDrawer(t, test.args...)
		if code != test.code || out != "" || !strings.Contains(told, test.told) {
			t.Errorf("drawer %v: exit code %d, %q, prints %q", test.args, code, told, out)
		}
	}
}
