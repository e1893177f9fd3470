package app

import (
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"coilwright/assets"
	"coilwright/physics/design"
	"coilwright/physics/dielectric"
	"coilwright/physics/driver"
)

// literalKey finds the keys of texts that stand in the source as they are.
var literalKey = regexp.MustCompile(`(?:lang\.[LN]\(|\btext\(|\bitem\(|answer\{|page\{|named\()"([a-z_.]+)"`)

// composed are the beginnings of keys that are put together in the source from
// one of these and the name of a row, a kind or a format.
var composed = []string{"row.", "hint.", "edit.", "material.", "top_load.", "primary.", "insulation.", "input.", "export.", "result.", "ground.", "menu.", "short.", "stage.", "hint.stage_", "keys.", "does.", "wind.", "bench.quantity.", "bench.setup.", "bench.probe.", "bench.dimension.", "bench.short.", "bench.short_setup.",
	"driver.", "driver.feed_", "driver.battery_", "drive.", "drive.empty_", "drive.state_", "drive.well_", "hint.drive_", "symptom.", "bench.near.", "bench.short_near."}

// source returns the text of every file of the window that is not a test.
func source(t *testing.T) string {
	t.Helper()
	var all strings.Builder
	for _, pattern := range []string{"*.go", "view/*.go"} {
		files, err := filepath.Glob(pattern)
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range files {
			if strings.HasSuffix(f, "_test.go") {
				continue
			}
			content, err := os.ReadFile(f)
			if err != nil {
				t.Fatal(err)
			}
			all.Write(content)
		}
	}
	return all.String()
}

func texts(t *testing.T) map[string]any {
	t.Helper()
	content, err := assets.Text.ReadFile(assets.TextFolder + "/" + english + ".json")
	if err != nil {
		t.Fatal(err)
	}
	all := map[string]any{}
	if err := json.Unmarshal(content, &all); err != nil {
		t.Fatal(err)
	}
	return all
}

func TestEveryTextExists(t *testing.T) {
	all := texts(t)
	found := literalKey.FindAllStringSubmatch(source(t), -1)
	if len(found) < 50 {
		t.Fatalf("only %d keys found in the source", len(found))
	}
	for _, match := range found {
		key := match[1]
		if slices.Contains(composed, key) {
			continue
		}
		if _, ok := all[key]; !ok {
			t.Errorf("no text for %q", key)
		}
	}
}

func TestEveryTextIsUsed(t *testing.T) {
	code := source(t)
	said := sentences(t)
	for key := range texts(t) {
		if _, ok := said[key]; ok {
			continue
		}
		if strings.Contains(code, `"`+key+`"`) {
			continue
		}
		if slices.ContainsFunc(composed, func(begin string) bool {
			rest, ok := strings.CutPrefix(key, begin)
			return ok && (strings.Contains(code, `"`+rest+`"`) || strings.Contains(code, `"`+strings.TrimSuffix(rest, "_named")+`"`) || isKind(rest) || isMaterial(rest))
		}) {
			continue
		}
		if strings.HasSuffix(key, "_named") {
			continue
		}
		t.Errorf("the text %q is used nowhere", key)
	}
}

// isKind says whether a word is a kind of the design file, which the source
// knows by a constant.
func isKind(word string) bool {
	return slices.Contains([]string{"none", "wire_ring", "torus", "sphere", "disc", "cylinder", "spiral", "cone", "bare", "single", "heavy",
		"feedback_exciter", "half_bridge", "spark_gap", "untuned", "series_tuned", "base", "weak", "full"}, word) || isPreset(word)
}

// isPreset says whether a word names a supply, a symptom or what detunes a coil,
// which the source takes from lists of package driver and design.
func isPreset(word string) bool {
	for _, b := range driver.Batteries() {
		if word == b.Code {
			return true
		}
	}
	for _, s := range driver.Symptoms() {
		if word == string(s) {
			return true
		}
	}
	return word == "near_"+design.DetunedByHand || word == "near_"+design.DetunedBySpark
}

// TestNoKeyShows looks for keys that stand in the window instead of their
// texts.
func TestNoKeyShows(t *testing.T) {
	w := newWindow(t)
	all := texts(t)
	for key := range all {
		if strings.HasPrefix(key, "hint.") {
			w.hint.Show(strings.TrimPrefix(key, "hint."))
			if got := w.hint.Text(); got == key || got == "" {
				t.Errorf("the hint of %s reads %q", key, got)
			}
		}
	}
	// The longest of them end before their place does.
	for key := range all {
		if name, ok := strings.CutPrefix(key, "hint."); ok {
			w.hint.Show(name)
			if w.hint.Cut() {
				t.Errorf("the hint of %s is cut off: %q", name, w.hint.Text())
			}
		}
	}
	for _, n := range w.results.Names() {
		if text, ok := all[n]; ok && text != n { // not a sentence, which stands under itself
			t.Errorf("the results name %q", n)
		}
	}
}

func TestTablesAsLists(t *testing.T) {
	const page = "# Keys\n\n| key | value |\n|---|---|\n| `a` | 1 \\| 2 |\n| `b` |  |\n\nText | with a bar.\n"
	const want = "# Keys\n\n*key – value*\n\n- `a` – 1 | 2\n- `b`\n\nText | with a bar.\n"
	if got := tablesAsLists(page); got != want {
		t.Errorf("tablesAsLists gives\n%q, want\n%q", got, want)
	}
}

func TestPagesOfHelp(t *testing.T) {
	w := newWindow(t)
	for _, p := range []page{pageUsing, pageCautions, pageFormats, pageAbout} {
		if strings.TrimSpace(p.text) == "" {
			t.Errorf("the page %s is empty", p.key)
		}
		w.showPage(p)
		if len(w.dialogs) != 1 {
			t.Fatalf("%s opens %d dialogs", p.key, len(w.dialogs))
		}
		w.dismiss()
		if len(w.dialogs) != 0 {
			t.Errorf("%s does not close", p.key)
		}
	}
}

// TestCautionsNameTheDangers holds the list of what a maker must be warned of.
func TestCautionsNameTheDangers(t *testing.T) {
	page := strings.ToLower(assets.CautionsPage)
	for _, word := range []string{
		"burn", "pacemaker", "pump", "isolating", "fuse", "capacitor", "ozone", "fire", "hearing",
		"fume", "hot", "licensed radio", "soldering stations", "rules of your country", "licensed for it",
	} {
		if !strings.Contains(page, word) {
			t.Errorf("the cautions do not mention %q", word)
		}
	}
	if strings.Contains(page, "is safe") && !strings.Contains(page, "do not say that it is safe") {
		t.Error("the cautions claim that something is safe")
	}
}

// TestForeignLocale starts the window under the locale of a language that only
// the toolkit has words in, in a process of its own: the locale is read once.
func TestForeignLocale(t *testing.T) {
	if os.Getenv("LANGUAGE") == "de" {
		w := newWindow(t)
		if got := w.menu.file.Label; got != "File" {
			t.Errorf("the first menu is called %q", got)
		}
		return
	}
	command := exec.Command(os.Args[0], "-test.run=^TestForeignLocale$", "-test.v")
	command.Env = append(os.Environ(), "LANGUAGE=de", "LANG=de_DE.UTF-8", "LC_ALL=de_DE.UTF-8")
	output, err := command.CombinedOutput()
	if err != nil || strings.Contains(string(output), "Translation failure") {
		t.Errorf("under a German locale: error %v\n%s", err, output)
	}
}

// isMaterial says whether a word is a material of the list, which the source goes
// through without naming it.
func isMaterial(word string) bool {
	return slices.ContainsFunc(dielectric.Materials(), func(m dielectric.Material) bool { return m.Name == word })
}
