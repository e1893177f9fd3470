package sheet

import (
	"bytes"
	"compress/zlib"
	"context"
	"encoding/csv"
	"fmt"
	"io"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"gonum.org/v1/plot/vg"

	"coilwright/physics/design"
	"coilwright/physics/winding"
	"coilwright/plotting"
)

// clubBuild is the sheet of a school club's coil: 310 turns of AWG 32, a ring of
// 19 turns, a primary of 4.
func clubBuild(t testing.TB) Build {
	t.Helper()
	b, err := club()
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// club computes it once.
var club = sync.OnceValues(func() (Build, error) {
	d := design.New()
	d.Name = "Club coil"
	b, err := NewBuild(context.Background(), d, winding.DefaultSettings(), plotting.Units{})
	b.Identity = Identity{Name: d.Name, Date: time.Date(2026, 3, 14, 15, 9, 0, 0, time.UTC), Fingerprint: design.Fingerprint(d), Version: "1.2.3"}
	b.Inputs = []string{"310 turns of AWG 32 on 25 mm"}
	return b, err
})

// written returns what a function writes.
func written(t testing.TB, write func(io.Writer) error) []byte {
	t.Helper()
	var file bytes.Buffer
	if err := write(&file); err != nil {
		t.Fatal(err)
	}
	return file.Bytes()
}

// pages reads the text of every page back with another program, poppler's
// pdftotext.
func pages(t *testing.T, file []byte) []string {
	t.Helper()
	program, err := exec.LookPath("pdftotext")
	if err != nil {
		t.Skip("pdftotext is not installed")
	}
	path := filepath.Join(t.TempDir(), "sheet.pdf")
	if err := os.WriteFile(path, file, 0o600); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command(program, path, "-").Output()
	if err != nil {
		t.Fatalf("pdftotext: %v", err)
	}
	return strings.Split(strings.TrimSuffix(string(out), "\f"), "\f")
}

// TestBuildSheetReadsBack finds what a maker looks for in the text of the pages.
func TestBuildSheetReadsBack(t *testing.T) {
	b := clubBuild(t)
	for name, paper := range map[string]plotting.Paper{"a4": plotting.A4, "letter": plotting.Letter} {
		read := pages(t, written(t, func(w io.Writer) error { return WriteBuild(w, paper, b) }))
		if len(read) < 4 {
			t.Fatalf("%s: %d pages", name, len(read))
		}
		for i, page := range read {
			for _, says := range []string{"Club coil", "2026-03-14", "Coilwright 1.2.3", b.Fingerprint, fmt.Sprintf("page %d of %d", i+1, len(read))} {
				if !strings.Contains(page, says) {
					t.Errorf("%s: page %d does not say %q", name, i+1, says)
				}
			}
		}
		all := plainSpace(strings.Join(read, "\n"))
		for _, says := range []string{
			"Frequency, bare winding", "Capacitance of the top load alone", "Resistance of the secondary", "Inductance of the primary", "13.2 Ω",
			"Frequency against turns", "Winding count of the ring", "measured",
			"AWG 14 wire for the ring", "M6 nut", "Ring", "Secondary", "Primary", "Wiring", "Swap test", "Before it is switched on",
			"Check: outside diameter 44.5 mm (calliper)", "Check: resistance 13.2 Ω (ohmmeter)",
			"pacemaker", "No number on this sheet says that a coil is safe",
		} {
			if !strings.Contains(all, says) {
				t.Errorf("%s: no page says %q", name, says)
			}
		}
		steps := len(b.Plan.Ring.Steps) + len(b.Plan.Secondary.Steps) + len(b.Plan.Primary.Steps)
		if got := strings.Count(all, "Check: "); got != steps {
			t.Errorf("%s: %d checks on paper, want %d, one a step", name, got, steps)
		}
	}
}

// plainSpace makes one space of every stretch of spaces of any kind.
func plainSpace(text string) string {
	return strings.Join(strings.FieldsFunc(text, func(r rune) bool { return r == ' ' || r == '\n' || r == '\u202f' }), " ")
}

func TestSameBuildSameBytes(t *testing.T) {
	b := clubBuild(t)
	write := func() []byte {
		return written(t, func(w io.Writer) error { return WriteBuild(w, plotting.A4, b) })
	}
	if !bytes.Equal(write(), write()) {
		t.Error("the same coil gave two different files")
	}
}

// segment is a straight line in points.
type segment struct{ x0, y0, x1, y1 float64 }

// segments returns the straight lines of each page of a PDF file, from the
// operators in its content streams: the file's own units are points.
func segments(t testing.TB, file []byte) [][]segment {
	t.Helper()
	var all [][]segment
	streams := regexp.MustCompile(`(?s)/Filter /FlateDecode /Length \d+>>\nstream\n(.*?)\nendstream`)
	moves := regexp.MustCompile(`(?m)^([-\d.]+) ([-\d.]+) m ?\n?([-\d.]+) ([-\d.]+) l`)
	for _, m := range streams.FindAllSubmatch(file, -1) {
		r, err := zlib.NewReader(bytes.NewReader(m[1]))
		if err != nil {
			continue
		}
		content, err := io.ReadAll(r)
		if err != nil || !bytes.Contains(content, []byte(" m")) {
			continue
		}
		var page []segment
		for _, line := range moves.FindAllSubmatch(content, -1) {
			var v [4]float64
			for i := range v {
				v[i], _ = strconv.ParseFloat(string(line[i+1]), 64)
			}
			page = append(page, segment{v[0], v[1], v[2], v[3]})
		}
		if len(page) > 0 {
			all = append(all, page)
		}
	}
	return all
}

// has reports whether a page has a line of a length in m, to a hundredth of a
// millimetre.
func has(page []segment, metres float64) bool {
	for _, s := range page {
		if l := math.Hypot(s.x1-s.x0, s.y1-s.y0) / 72 * 0.0254; math.Abs(l-metres) < 1e-5 {
			return true
		}
	}
	return false
}

// TestTemplatesAreToScale measures lines in the PDF's own units, 1/72 inch.
func TestTemplatesAreToScale(t *testing.T) {
	b := clubBuild(t)
	all := Templates(&b)
	names := map[string]bool{}
	for _, template := range all {
		names[template.Name] = true
	}
	if len(names) != 4 || !names["disc"] || !names["gauge"] || !names["ring-strip"] || !names["secondary-strip"] {
		t.Fatalf("the templates are %v", names)
	}
	read := segments(t, written(t, func(w io.Writer) error { return WriteTemplates(w, plotting.A4, b.Identity, all) }))
	if len(read) != len(all) {
		t.Fatalf("%d pages with lines, want %d", len(read), len(all))
	}
	w, top := b.Geometry.Winding, b.Geometry.TopLoad
	for i, page := range read {
		if !has(page, 0.100) || !has(page, 4*0.0254) {
			t.Errorf("page %d (%s) has no line of 100 mm or of 4 in", i+1, all[i].Name)
		}
		for _, l := range map[string][]float64{
			"disc":            {top.OuterRadius() + 2e-3 - top.HubRadius},
			"ring-strip":      {math.Pi * (2*top.TurnRadius - top.WireDiameter)},
			"secondary-strip": {math.Pi * 0.025, w.Turns*w.Pitch + 20e-3},
			"gauge":           {w.Turns*w.Pitch + 16e-3},
		}[all[i].Name] {
			if !has(page, l) {
				t.Errorf("%s has no line of %.5f m", all[i].Name, l)
			}
		}
	}
	rays := 0
	for _, s := range read[0] {
		if l := math.Hypot(s.x1-s.x0, s.y1-s.y0) / 72 * 0.0254; math.Abs(l-(top.OuterRadius()+2e-3-top.HubRadius)) < 1e-5 {
			rays++
		}
	}
	if rays != 19 {
		t.Errorf("the disc has %d rays, want 19", rays)
	}
}

// TestLargeTemplateSplits lays the tiles of a large one together again: every
// ray of the disc is as long over all pages as it is whole.
func TestLargeTemplateSplits(t *testing.T) {
	b := clubBuild(t)
	large := spacingDisc(24, 0.050, 0.200)
	read := segments(t, written(t, func(w io.Writer) error { return WriteTemplates(w, plotting.Letter, b.Identity, []Template{large}) }))
	f := newFlow(plotting.Letter)
	if len(read) < 6 {
		t.Fatalf("a disc of 412 mm lies on %d pages", len(read))
	}
	for i, page := range read {
		if !has(page, 0.100) || !has(page, 4*0.0254) {
			t.Errorf("part %d has no check lines", i+1)
		}
		for _, s := range page {
			for _, x := range []float64{s.x0, s.x1} {
				if x < f.left().Points()-0.1 || x > f.right().Points()+0.1 {
					t.Fatalf("part %d has a line to x = %g pt, beyond its edges", i+1, x)
				}
			}
		}
		if cross := mm(overlap).Points() / 72 * 0.0254; !has(page, cross) {
			t.Errorf("part %d has no cross", i+1)
		}
	}
	text := pages(t, written(t, func(w io.Writer) error { return WriteTemplates(w, plotting.Letter, b.Identity, []Template{large}) }))
	if last := text[len(text)-1]; !strings.Contains(last, fmt.Sprintf("Part %d of %d", len(text), len(text))) {
		t.Errorf("the last part says %q", last)
	}
}

func TestClipped(t *testing.T) {
	room := vg.Rectangle{Max: vg.Point{X: 10, Y: 10}}
	for _, test := range []struct {
		from, to, a, b vg.Point
		inside         bool
	}{
		{vg.Point{X: -5, Y: 5}, vg.Point{X: 15, Y: 5}, vg.Point{X: 0, Y: 5}, vg.Point{X: 10, Y: 5}, true},
		{vg.Point{X: 2, Y: 2}, vg.Point{X: 3, Y: 3}, vg.Point{X: 2, Y: 2}, vg.Point{X: 3, Y: 3}, true},
		{vg.Point{X: -5, Y: 0}, vg.Point{X: 5, Y: 10}, vg.Point{X: 0, Y: 5}, vg.Point{X: 5, Y: 10}, true},
		{vg.Point{X: -5, Y: 11}, vg.Point{X: 15, Y: 11}, vg.Point{}, vg.Point{}, false},
		{vg.Point{X: -1, Y: 9.5}, vg.Point{X: 0.2, Y: 11}, vg.Point{}, vg.Point{}, false},
	} {
		a, b, inside := clipped(test.from, test.to, room)
		if inside != test.inside || inside && (math.Hypot(float64(a.X-test.a.X), float64(a.Y-test.a.Y)) > 1e-9 || math.Hypot(float64(b.X-test.b.X), float64(b.Y-test.b.Y)) > 1e-9) {
			t.Errorf("clipped(%v, %v) = %v, %v, %v, want %v, %v, %v", test.from, test.to, a, b, inside, test.a, test.b, test.inside)
		}
	}
}

// TestTemplateSVG reads the size and the check line of an SVG file back.
func TestTemplateSVG(t *testing.T) {
	b := clubBuild(t)
	for _, template := range Templates(&b) {
		file := string(written(t, func(w io.Writer) error { return WriteTemplateSVG(w, template) }))
		size := regexp.MustCompile(`<svg width="([\d.]+)pt" height="([\d.]+)pt" viewBox="0 0 ([\d.]+) ([\d.]+)"`).FindStringSubmatch(file)
		if size == nil || size[1] != size[3] || size[2] != size[4] {
			t.Fatalf("%s begins with %.200q, want equal points in size and view", template.Name, file)
		}
		found := false
		for _, m := range regexp.MustCompile(`d="M([-\d.]+),([-\d.]+)L([-\d.]+),([-\d.]+)"`).FindAllStringSubmatch(file, -1) {
			var v [4]float64
			for i := range v {
				v[i], _ = strconv.ParseFloat(m[i+1], 64)
			}
			if l := math.Hypot(v[2]-v[0], v[3]-v[1]) / 72 * 25.4; math.Abs(l-100) < 0.02 {
				found = true
			}
		}
		if !found {
			t.Errorf("%s has no line of 100 mm", template.Name)
		}
	}
}

func TestShopList(t *testing.T) {
	b := clubBuild(t)
	one, ten := ShopOf(b.Design, b.Plan, 1), ShopOf(b.Design, b.Plan, 10)
	for i, item := range ten.Items {
		switch {
		case item.Cut && (math.Abs(item.Buy-item.Needed*11) > 0.1+1e-9 || item.Buy < item.Needed*11-1e-9):
			t.Errorf("%s: %g m for ten, want eleven times %g m, rounded up to 0.1 m", item.Name, item.Buy, item.Needed)
		case item.Key == "hub" && (item.Buy != 12 || one.Items[i].Buy != 2):
			t.Errorf("%g hubs for ten, %g for one, want 12 and 2", item.Buy, one.Items[i].Buy)
		}
	}
	priced := ten.Priced(map[string]float64{"hub": 0.25, "wire.ring": 1.5, "none such": 3, "tape": math.Inf(1)})
	cost, without := priced.Total()
	var want float64
	for _, i := range priced.Items {
		switch i.Key {
		case "hub":
			want += 0.25 * 12
		case "wire.ring":
			want += 1.5 * i.Buy
		}
	}
	if math.Abs(cost-want) > 1e-9 || without != len(priced.Items)-2 {
		t.Errorf("Total() = %g, %d without a price, want %g, %d", cost, without, want, len(priced.Items)-2)
	}
	rows, err := csv.NewReader(bytes.NewReader(written(t, priced.WriteCSV))).ReadAll()
	if err != nil || len(rows) != len(ten.Items)+1 || rows[0][0] != "item" {
		t.Fatalf("the list reads back as %d rows, %v", len(rows), err)
	}
	for i, row := range rows[1:] {
		if row[0] != priced.Items[i].Name || row[3] != "10" || (row[6] != "") != (priced.Items[i].Price > 0) {
			t.Errorf("row %d is %q", i+1, row)
		}
	}
	text := plainSpace(strings.Join(pages(t, written(t, func(w io.Writer) error {
		return WriteShop(w, plotting.A4, b.Identity, priced, plotting.Units{})
	})), "\n"))
	for _, says := range []string{"Shop list", "For 10 coils", "Hub of the ring", "3.00", fmt.Sprintf("%.2f", cost)} {
		if !strings.Contains(text, says) {
			t.Errorf("the page does not say %q:\n%s", says, text)
		}
	}
}

// TestSet numbers copies and varies a ladder.
func TestSet(t *testing.T) {
	d := design.New()
	d.Name = "Class"
	set, err := SetOf(d, 1, "secondary.turns", []string{"300", "320"})
	if err != nil || len(set) != 2 || set[1].Secondary.Turns != 320 || set[0].Secondary.Turns != 300 || set[1].Name != "Class 320" {
		t.Fatalf("SetOf = %+v, %v", set, err)
	}
	set, err = SetOf(d, 1, "secondary.former_diameter_m", []string{"22mm", "0.03"})
	if err != nil || set[0].Secondary.FormerDiameter != 0.022 || set[1].Secondary.FormerDiameter != 0.03 {
		t.Errorf("a ladder of formers gives %v", err)
	}
	for _, values := range [][]string{{"many"}, {"-5"}, nil} {
		if _, err := SetOf(d, 1, "secondary.turns", values); err == nil {
			t.Errorf("SetOf(%q) has no error", values)
		}
	}
	if _, err := SetOf(d, 1, "no such key", []string{"1"}); err == nil {
		t.Error("an unknown key has no error")
	}
	b := clubBuild(t)
	var builds []Build
	for i := range 3 {
		b.Number = NumberText(i+1, 3)
		builds = append(builds, b)
	}
	read := pages(t, written(t, func(w io.Writer) error { return WriteBuild(w, plotting.A4, builds...) }))
	each := len(read) / 3
	for i := range 3 {
		if says := fmt.Sprintf("coil %d of 3", i+1); !strings.Contains(read[i*each], says) {
			t.Errorf("page %d does not say %q", i*each+1, says)
		}
	}
	labels := plainSpace(strings.Join(pages(t, written(t, func(w io.Writer) error { return WriteLabels(w, plotting.A4, builds...) })), "\n"))
	if strings.Count(labels, "coil 2 of 3") != 2 || !strings.Contains(labels, "Packed by") || !strings.Contains(labels, "measured") {
		t.Errorf("the labels say %s", labels)
	}
	if NumberText(1, 1) != "" {
		t.Error("a single coil has a number")
	}
}
