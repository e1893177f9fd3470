package coilwright

import (
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// mayImport is the policy: a folder may import only what its line lists, its
// own folder and the standard library. The longest folder that matches counts.
// Widening a line is a design decision; say why in the commit.
var mayImport = map[string][]string{
	"physics":        {"gonum.org/v1/gonum"},
	"plotting":       {"gonum.org/v1/gonum", "gonum.org/v1/plot", "codeberg.org/go-fonts/dejavu", "codeberg.org/go-pdf/fpdf", "github.com/golang/freetype", "golang.org/x/image", "physics"},
	"assets":         {},
	"release":        {},
	"app":            {"fyne.io/fyne/v2", "gonum.org/v1/plot", "physics", "plotting", "assets", "release"}, // a figure is a plot.Plot
	"app/disk":       {},
	"app/session":    {"physics", "app/disk"},
	"app/lesson":     {"physics"},
	"app/settings":   {"fyne.io/fyne/v2", "app/disk"},
	"app/tally":      {"app/disk"},
	"app/theme":      {"fyne.io/fyne/v2"},
	"cmd/coilwright": {"fyne.io/fyne/v2", "app", "physics", "plotting", "assets", "release"},
	"cmd/coilsheet":  {"gonum.org/v1/plot", "physics", "plotting", "assets", "app/disk", "release"}, // files are written whole here too
}

// glPackage is the part of the toolkit that needs cgo and a graphics library.
// Only the folder glFolder may import it, so that all else builds and is
// tested without them.
const (
	glPackage = "fyne.io/fyne/v2/app"
	glFolder  = "cmd/coilwright"
)

// physicsOrder is physics from the bottom to the top: a folder imports only
// folders before it, so that there are no loops.
var physicsOrder = []string{
	"si", "sentence", "wire", "dielectric", "spectrum", "electrostatics", "inductance", "topload", "winding",
	"loss", "resonance", "breakdown", "driver", "measurement", "design", "experiment", "comparison", "logbook", "accuracy",
}

const module = "coilwright/"

func TestImportDirection(t *testing.T) {
	eachImport(t, func(folder, file, imported string) {
		if imported == glPackage && !within(folder, glFolder) {
			t.Errorf("%s imports %s; only %s may", file, imported, glFolder)
		}
		policy, ok := policyOf(folder)
		if !ok {
			t.Errorf("%s lies in a folder without a line in mayImport", file)
			return
		}
		local := strings.TrimPrefix(imported, module)
		if !slices.ContainsFunc(append([]string{policy}, mayImport[policy]...), func(p string) bool { return within(local, p) }) {
			t.Errorf("%s imports %s; %s may use only %v", file, imported, policy, mayImport[policy])
		}
	})
}

func TestPhysicsOrder(t *testing.T) {
	place := func(folder string) int {
		rest, _ := strings.CutPrefix(folder, "physics/")
		name, _, _ := strings.Cut(rest, "/")
		return slices.Index(physicsOrder, name)
	}
	eachImport(t, func(folder, file, imported string) {
		local, ours := strings.CutPrefix(imported, module)
		if !within(folder, "physics") {
			return
		}
		if place(folder) < 0 {
			t.Errorf("%s: its folder has no place in physicsOrder", file)
		}
		if ours && place(local) > place(folder) {
			t.Errorf("%s imports %s, which stands above it", file, imported)
		}
	})
}

// TestPolicyFindsSlips shows that the policy refuses what it is there for.
func TestPolicyFindsSlips(t *testing.T) {
	for _, test := range []struct{ folder, want string }{
		{"physics/design", "physics"},
		{"app/session", "app/session"},
		{"app/view", "app"},
		{"cmd/coilsheet", "cmd/coilsheet"},
		{"apple", ""},
	} {
		if got, _ := policyOf(test.folder); got != test.want {
			t.Errorf("policyOf(%s) = %q, want %q", test.folder, got, test.want)
		}
	}
	if within("fyne.io/fyne/v2x", "fyne.io/fyne/v2") {
		t.Error("a longer name passes for the package itself")
	}
}

// policyOf returns the longest folder of mayImport that holds folder.
func policyOf(folder string) (string, bool) {
	best := ""
	for p := range mayImport {
		if within(folder, p) && len(p) > len(best) {
			best = p
		}
	}
	return best, best != ""
}

// within reports whether path is folder or lies in it.
func within(path, folder string) bool { return strings.HasPrefix(path+"/", folder+"/") }

// eachImport calls visit for every import that is not of the standard library,
// of every Go file that belongs to the program. Test files may import what
// they like.
func eachImport(t *testing.T, visit func(folder, file, imported string)) {
	t.Helper()
	err := filepath.WalkDir(".", func(path string, entry fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if entry.IsDir() {
			if name := entry.Name(); name == "testdata" || path != "." && strings.HasPrefix(name, ".") {
				return filepath.SkipDir
			}
			return nil
		}
		if filepath.Ext(path) != ".go" || strings.HasSuffix(path, "_test.go") {
			return nil
		}
		source, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		if strings.HasPrefix(string(source), "//go:build ignore\n") {
			return nil // a program for the workbench, run by hand
		}
		parsed, err := parser.ParseFile(token.NewFileSet(), path, source, parser.ImportsOnly)
		if err != nil {
			return err
		}
		for _, spec := range parsed.Imports {
			imported, err := strconv.Unquote(spec.Path.Value)
			if err != nil {
				return err
			}
			root, _, _ := strings.Cut(imported, "/")
			if strings.Contains(root, ".") || strings.HasPrefix(imported, module) {
				visit(filepath.ToSlash(filepath.Dir(path)), path, imported)
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
}
