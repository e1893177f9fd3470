package app

import (
	"bytes"
	"encoding/json"
	"maps"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"fyne.io/fyne/v2"

	"coilwright/app/view"
	"coilwright/physics/design"
	"coilwright/physics/driver"
	"coilwright/physics/sentence"
)

// paths returns the keys of everything that a design's file holds.
func paths(t *testing.T, d design.Design) []string {
	t.Helper()
	var file bytes.Buffer
	if err := design.Write(&file, d); err != nil {
		t.Fatal(err)
	}
	var tree map[string]any
	if err := json.Unmarshal(file.Bytes(), &tree); err != nil {
		t.Fatal(err)
	}
	var all []string
	var walk func(path string, at map[string]any)
	walk = func(path string, at map[string]any) {
		for key, v := range at {
			all = append(all, path+key)
			if inner, ok := v.(map[string]any); ok {
				walk(path+key+".", inner)
			}
		}
	}
	walk("", tree)
	return all
}

// namedKeys returns the keys that problems and cautions of a design name in the
// source.
func namedKeys(t *testing.T) []string {
	t.Helper()
	files, err := filepath.Glob("../physics/design/*.go")
	if err != nil || len(files) == 0 {
		t.Fatal(files, err)
	}
	named := regexp.MustCompile(`"((?:secondary|top_load|primary|driver|room|tolerances)(?:\.[a-z_]+)*)"`)
	found := map[string]bool{}
	for _, f := range files {
		if strings.HasSuffix(f, "_test.go") {
			continue
		}
		content, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		for _, match := range named.FindAllStringSubmatch(string(content), -1) {
			found[match[1]] = true
		}
	}
	return slices.Sorted(maps.Keys(found))
}

// noPlace are the keys of a file that nothing of the coil is changed by.
var noPlace = []string{"format", "version", "name", "notes", "variants", "measurements"}

// Whatever key a problem or a caution may be about, it leads to a control in its
// stage, unfolded and with the keyboard.
func TestEveryKeyLeadsSomewhere(t *testing.T) {
	w := newWindow(t)
	for _, change := range []func(*design.Design){
		func(d *design.Design) { d.SetDriverKind(design.FeedbackExciter); d.Tolerances = d.UsualTolerances() },
		func(d *design.Design) {
			d.SetTopLoadKind(design.Torus)
			d.SetDriverKind(design.HalfBridge)
			d.Secondary.Pitch = 0.5e-3
		},
		func(d *design.Design) {
			d.SetTopLoadKind(design.Disc)
			d.SetPrimaryKind(design.Cone)
			d.SetDriverKind(design.SparkGap)
		},
		func(d *design.Design) {
			d.SetTopLoadKind(design.NoTopLoad)
			d.SetPrimaryKind(design.NoPrimary)
			d.Room.Ground = design.Open
		},
	} {
		w.session.Edit("kinds", change)
		keys := append(paths(t, w.session.Design()), namedKeys(t)...)
		slices.Sort(keys) // one stage after the other
		for _, key := range slices.Compact(keys) {
			if slices.Contains(noPlace, key) {
				continue
			}
			w.window.Canvas().Unfocus()
			w.cards.SetFolded([]string{"target", "top_load", "secondary", "primary", "room", "tolerances"})
			if !w.leads(key) {
				t.Errorf("%s leads nowhere", key)
				continue
			}
			w.lead(key)
			focused := w.window.Canvas().Focused()
			if focused == nil {
				t.Errorf("%s leads to %s and gives nothing the keyboard", key, w.current().key)
				continue
			}
			if o, ok := focused.(fyne.CanvasObject); !ok || !o.Visible() {
				t.Errorf("%s leads to a hidden %T", key, focused)
			}
			if want := homes[strings.SplitN(key, ".", 2)[0]]; w.current().key != want && !strings.HasPrefix(key, "primary") {
				t.Errorf("%s leads to %s, want %s", key, w.current().key, want)
			}
		}
	}
}

// Every cause that keeps an exciter from running leads to a row of the stage Drive.
func TestEveryCauseLeadsSomewhere(t *testing.T) {
	content, err := os.ReadFile("../physics/driver/cause.go")
	if err != nil {
		t.Fatal(err)
	}
	codes := regexp.MustCompile(`(?m)^\tCause\w+\s+= "(\w+)"`).FindAllStringSubmatch(string(content), -1)
	if len(codes) < 7 {
		t.Fatalf("causes %v", codes)
	}
	w, s := openDrive(t)
	for _, code := range codes {
		items := view.DriveItems(&design.Drive{Causes: []driver.Cause{{Code: code[1], Text: sentence.Literal("It is so.")}}})
		w.window.Canvas().Unfocus()
		w.lead(items[0].Key)
		if items[0].Key == "" || w.current().stage != stage(s) || w.window.Canvas().Focused() == nil {
			t.Errorf("%s leads by %q to %s", code[1], items[0].Key, w.current().key)
		}
	}
}

// What is wrong with the driver is said in every stage, and leads to the row that
// mends it; so does the top voltage among the results.
func TestDriverProblemLeadsFromShape(t *testing.T) {
	w, s := openDrive(t)
	w.session.Edit("sense", func(d *design.Design) { d.Driver.Sense = -1 })

	for _, press := range []func(){
		func() { w.notice.Lead() },
		func() { w.results.Tap("result.drive") },
	} {
		s.cards.SetFolded([]string{"driver", "primary"})
		w.enterStage(stageShape)
		if got := w.notice.Text(); !strings.HasPrefix(got, "Swap the two wires") {
			t.Fatalf("in Shape the notice says %q", got)
		}
		press()
		if w.current().key != stageDrive || s.cards.Folded("driver") || w.window.Canvas().Focused() != s.cards.RevealKey("driver.sense") {
			t.Errorf("it leads to %s, folded %t, %T", w.current().key, s.cards.Folded("driver"), w.window.Canvas().Focused())
		}
	}
}

// A ring that cannot be built leads from Drive to its turns; with nothing wrong the
// text leads nowhere and takes no keyboard.
func TestShapeProblemLeadsFromDrive(t *testing.T) {
	w, _ := openDrive(t)
	w.breakRing()
	w.cards.SetFolded([]string{"top_load"})
	w.notice.Lead()
	if w.current().key != stageShape || w.cards.Folded("top_load") || w.window.Canvas().Focused() != fyne.Focusable(entryOf(t, w, "top_load.turns")) {
		t.Errorf("it leads to %s, %T", w.current().key, w.window.Canvas().Focused())
	}
	w.undo()
	if w.notice.CanLead() {
		t.Errorf("%q leads somewhere", w.notice.Text())
	}
}

// In the list of all that is worth knowing each item with a place has a button, and
// the list closes when it is gone to.
func TestListLeads(t *testing.T) {
	w, _ := openDrive(t)
	w.breakRing()
	w.showItems("notice.title", view.ItemsOf(w.last, w.units))
	w.lead("top_load.turns")
	if len(w.dialogs) != 0 || w.current().key != stageShape {
		t.Errorf("%d dialogs stay open in %s", len(w.dialogs), w.current().key)
	}
}
