package main

import (
	"encoding/json"
	"flag"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/floats/scalar"

	"coilwright/assets"
)

var update = flag.Bool("update", false, "write the reports anew; say in the commit which numbers moved and why")

// reproducible is how far, relatively, the same design may give another number:
// on another processor, which may round a product and a sum at once.
const reproducible = 1e-9

// versions are the folders of designs as earlier formats wrote them. They are
// never changed: who saved one must be able to open it.
var versions = []string{"version1"}

// kept returns the designs whose reports are kept, by the name of the report.
func kept(t *testing.T) map[string]string {
	t.Helper()
	all := map[string]string{}
	for _, e := range assets.Examples() {
		all["example-"+strings.TrimSuffix(e.Name, ".coil.json")] = string(e.Content)
	}
	for _, version := range versions {
		files, err := filepath.Glob(filepath.Join("testdata", version, "*.coil.json"))
		if err != nil || len(files) == 0 {
			t.Fatalf("designs of %s: %q, %v", version, files, err)
		}
		for _, f := range files {
			content, err := os.ReadFile(f)
			if err != nil {
				t.Fatal(err)
			}
			all[version+"-"+strings.TrimSuffix(filepath.Base(f), ".coil.json")] = string(content)
		}
	}
	return all
}

// Every example, and every design of an earlier format, opens and gives the
// numbers it gave before, with one processor and with two. Numbers move only
// with a reason: run with -update and give the reason in the commit and in
// CHANGELOG.md.
func TestReportsAreReproducible(t *testing.T) {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(0))
	designs := kept(t)
	for _, name := range slices.Sorted(maps.Keys(designs)) {
		golden := filepath.Join("testdata", "reports", name+".json")
		for _, processors := range []int{1, 2} {
			runtime.GOMAXPROCS(processors)
			code, out, errs := called(t, designs[name], "report", "-")
			if code != exitDone {
				t.Errorf("%s: code %d, %s", name, code, errs)
				break
			}
			if *update && processors == 1 {
				if err := os.WriteFile(golden, []byte(out), 0o666); err != nil {
					t.Fatal(err)
				}
			}
			content, err := os.ReadFile(golden)
			if err != nil {
				t.Fatal(err)
			}
			got, want := flatten(t, []byte(out)), flatten(t, content)
			for _, key := range slices.Sorted(maps.Keys(want)) {
				if !same(got[key], want[key]) {
					t.Errorf("%s, %d processors: %s = %v, was %v", name, processors, key, got[key], want[key])
				}
			}
			for key := range got {
				if _, ok := want[key]; !ok {
					t.Errorf("%s: %s is new", name, key)
				}
			}
		}
	}
}

// No report is kept of a design that is gone.
func TestNoReportIsLeftOver(t *testing.T) {
	designs := kept(t)
	files, err := filepath.Glob(filepath.Join("testdata", "reports", "*.json"))
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range files {
		if _, ok := designs[strings.TrimSuffix(filepath.Base(f), ".json")]; !ok {
			t.Errorf("%s belongs to no design", f)
		}
	}
	if len(files) != len(designs) {
		t.Errorf("%d reports of %d designs", len(files), len(designs))
	}
}

func same(a, b any) bool {
	x, ok := a.(float64)
	y, also := b.(float64)
	if ok && also {
		return x == y || scalar.EqualWithinRel(x, y, reproducible)
	}
	return a == b
}

// flatten returns the values of a JSON file by their paths.
func flatten(t *testing.T, content []byte) map[string]any {
	t.Helper()
	var tree any
	if err := json.Unmarshal(content, &tree); err != nil {
		t.Fatal(err)
	}
	all := map[string]any{}
	var walk func(path string, v any)
	walk = func(path string, v any) {
		switch v := v.(type) {
		case map[string]any:
			for key, inner := range v {
				walk(path+"."+key, inner)
			}
		case []any:
			all[path+" length"] = len(v)
			for i, inner := range v {
				walk(fmt.Sprintf("%s[%d]", path, i), inner)
			}
		default:
			all[path] = v
		}
	}
	walk("", tree)
	return all
}
