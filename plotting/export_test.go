package plotting

import (
	"bytes"
	"encoding/binary"
	"encoding/csv"
	"encoding/xml"
	"errors"
	"hash/crc32"
	"image/png"
	"io"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"coilwright/physics/design"
)

var exported = vg.Point{X: 7 * vg.Inch, Y: 4.5 * vg.Inch}

func turnsDrawing(t testing.TB) Drawing {
	t.Helper()
	p, err := TurnsFigure(turnsCurve(), Units{}, Print())
	if err != nil {
		t.Fatal(err)
	}
	return Figure(p)
}

func TestWritePNG(t *testing.T) {
	for _, test := range []struct {
		dpi           float64
		width, height int
		perMetre      uint32
	}{
		{0, 2100, 1350, 11811}, // 300/0.0254
		{150, 1050, 675, 5906},
	} {
		var file bytes.Buffer
		if err := WritePNG(&file, turnsDrawing(t), exported, test.dpi); err != nil {
			t.Fatal(err)
		}
		chunks := pngChunks(t, file.Bytes())
		if chunks[1].kind != "pHYs" {
			t.Errorf("chunks %v, want pHYs second", chunks)
		}
		body := chunks[1].body
		x, y, unit := binary.BigEndian.Uint32(body), binary.BigEndian.Uint32(body[4:]), body[8]
		if x != test.perMetre || y != test.perMetre || unit != 1 {
			t.Errorf("pHYs says %d × %d, unit %d, want %d to the metre", x, y, unit, test.perMetre)
		}
		img, err := png.Decode(&file)
		if err != nil {
			t.Fatal(err)
		}
		if size := img.Bounds().Size(); size.X != test.width || size.Y != test.height {
			t.Errorf("the picture is %v, want %d × %d (7 × 4.5 in)", size, test.width, test.height)
		}
	}
}

type pngChunk struct {
	kind string
	body []byte
}

// pngChunks takes a file apart and checks every chunk's sum.
func pngChunks(t *testing.T, file []byte) []pngChunk {
	t.Helper()
	var chunks []pngChunk
	for rest := file[8:]; len(rest) > 0; {
		n := binary.BigEndian.Uint32(rest)
		body := rest[8 : 8+n]
		if sum := crc32.ChecksumIEEE(rest[4 : 8+n]); sum != binary.BigEndian.Uint32(rest[8+n:]) {
			t.Errorf("chunk %s has a wrong sum", rest[4:8])
		}
		chunks = append(chunks, pngChunk{string(rest[4:8]), body})
		rest = rest[12+n:]
	}
	return chunks
}

func TestWritePNGRefusesAbsurdSizes(t *testing.T) {
	for _, size := range []vg.Point{{}, {X: -1, Y: 5}, {X: 1e6, Y: 1e6}, {X: vg.Length(math.NaN()), Y: 5}} {
		if err := WritePNG(io.Discard, turnsDrawing(t), size, 0); err == nil {
			t.Errorf("a picture of %v was written", size)
		}
	}
}

func TestWriteSVG(t *testing.T) {
	var file bytes.Buffer
	if err := WriteSVG(&file, turnsDrawing(t), exported); err != nil {
		t.Fatal(err)
	}
	var words []string
	decoder := xml.NewDecoder(&file)
	for {
		token, err := decoder.Token()
		if err == io.EOF {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
		switch token := token.(type) {
		case xml.CharData:
			words = append(words, string(token))
		case xml.StartElement:
			for _, a := range token.Attr {
				if token.Name.Local == "text" && a.Name.Local == "style" && !strings.Contains(a.Value, "sans-serif") {
					t.Errorf("text is set in %q, want a sans serif to fall back on", a.Value)
				}
			}
		}
	}
	all := strings.Join(words, " ")
	for _, want := range []string{"Frequency against turns", "frequency (MHz)", "310 turns · 1.909"} {
		if !strings.Contains(all, want) {
			t.Errorf("no %q in the file", want)
		}
	}
}

func TestWriteCSV(t *testing.T) {
	for _, test := range []struct {
		name    string
		table   Table
		header  string
		columns [][]float64
	}{
		{"turns", TurnsTable(turnsCurve()), "turns|frequency without top load (Hz)|frequency with top load (Hz)", [][]float64{turnsCurve().Turns, turnsCurve().Bare, turnsCurve().WithTopLoad}},
		{"size", SizeTable(sizeCurve()), "outside diameter (m)|capacitance (F)|capacitance of the smooth ring (F)", [][]float64{sizeCurve().OuterDiameter, sizeCurve().Capacitance, sizeCurve().Smooth}},
		{"torus", SizeTable(torusCurve()), "outside diameter (m)|capacitance (F)", [][]float64{torusCurve().OuterDiameter, torusCurve().Capacitance}},
		{"count", CountTable(countCurve()), "turns|wire used (m)|ring filled (rad)", [][]float64{countCurve().Turn, countCurve().WireUsed, countCurve().Fill}},
		{"nothing", SizeTable(design.SizeCurve{Kind: design.NoTopLoad}), "outside diameter (m)|capacitance (F)", [][]float64{nil, nil}},
	} {
		var file bytes.Buffer
		if err := WriteCSV(&file, test.table); err != nil {
			t.Fatalf("%s: %v", test.name, err)
		}
		rows, err := csv.NewReader(&file).ReadAll()
		if err != nil {
			t.Fatalf("%s: %v", test.name, err)
		}
		if got := strings.Join(rows[0], "|"); got != test.header {
			t.Errorf("%s: header %q, want %q", test.name, got, test.header)
		}
		if len(rows)-1 != len(test.columns[0]) {
			t.Errorf("%s: %d rows, want %d", test.name, len(rows)-1, len(test.columns[0]))
			continue
		}
		for i, row := range rows[1:] {
			for j, cell := range row {
				if v, err := strconv.ParseFloat(cell, 64); err != nil || v != test.columns[j][i] {
					t.Errorf("%s: row %d, column %d reads %q, want %v exactly", test.name, i+1, j+1, cell, test.columns[j][i])
				}
			}
		}
	}
}

func TestWriteCSVRefuses(t *testing.T) {
	holed := TurnsTable(turnsCurve())
	holed.Columns[1][2] = math.NaN()
	uneven := TurnsTable(turnsCurve())
	uneven.Columns[1] = uneven.Columns[1][1:]
	for _, test := range []struct {
		name  string
		table Table
		want  error
	}{{"not a number", holed, ErrNotFinite}, {"uneven", uneven, ErrNoCurve}} {
		if err := WriteCSV(io.Discard, test.table); !errors.Is(err, test.want) {
			t.Errorf("%s: error %v, want %v", test.name, err, test.want)
		}
	}
}

// clubSheet is a sheet of a coil of a school's physics club.
func clubSheet() Sheet {
	return Sheet{
		Title:    "Desk coil of the physics club",
		Curves:   design.Curves{Turns: turnsCurve(), Size: sizeCurve(), Count: countCurve()},
		Geometry: deskCoil(),
		Footer: Footer{
			Name: "Desk coil", Date: time.Date(2026, 3, 14, 15, 9, 0, 0, time.UTC), Fingerprint: "7f3a-19c2",
			Inputs: []string{
				"310 turns AWG 32 single", "former 25.0 mm", "over bench 18.0 mm", "ring 19 turns AWG 14 bare",
				"ring former 14.0 mm", "hub 10.0 mm", "primary 4 turns, 46.0 mm across", "wood, 0.75 m over earth",
			},
		},
	}
}

func TestWriteSheet(t *testing.T) {
	for _, paper := range []struct {
		name  string
		paper Paper
		size  string // as pdfinfo prints it
	}{{"A4", A4, "595.28 x 841.89"}, {"Letter", Letter, "612 x 792"}} {
		s := clubSheet()
		s.Paper = paper.paper
		var first, second bytes.Buffer
		for _, file := range []*bytes.Buffer{&first, &second} {
			if err := WriteSheet(file, s); err != nil {
				t.Fatal(err)
			}
		}
		if !bytes.Equal(first.Bytes(), second.Bytes()) {
			t.Errorf("%s: the same sheet gave two different files", paper.name)
		}
		t.Run(paper.name, func(t *testing.T) {
			text := pdfTool(t, first.Bytes(), "pdftotext", "-")
			for _, want := range []string{
				"Desk coil of the physics club", "Frequency against turns", "310 turns · 1.909", "Capacitance against ring size",
				"44.5", "Winding count of the ring", "½ filled", "page 1 of 2", "page 2 of 2", "2026-03-14", "design 7f3a-19c2",
				"wood, 0.75 m over earth", "69.1", "bench top, earth 750",
			} {
				if !strings.Contains(text, want) {
					t.Errorf("no %q in the text of the file", want)
				}
			}
			info := pdfTool(t, first.Bytes(), "pdfinfo")
			for _, want := range []string{paper.size, "Pages:           2", "2026"} {
				if !strings.Contains(info, want) {
					t.Errorf("no %q in\n%s", want, info)
				}
			}
			// Embedded, and with a map from glyphs back to letters.
			fonts := strings.Split(strings.TrimSpace(pdfTool(t, first.Bytes(), "pdffonts")), "\n")
			if len(fonts) != 4 {
				t.Fatalf("want two fonts under two lines of heading, got %q", fonts)
			}
			for _, font := range fonts[2:] {
				if !strings.Contains(font, "CID TrueType") || strings.Count(font, "yes") < 2 {
					t.Errorf("font %q is not embedded or not searchable", font)
				}
			}
		})
	}
}

// pdfTool runs a program of poppler-utils on a file, which it names before the
// other arguments.
func pdfTool(t *testing.T, file []byte, name string, arguments ...string) string {
	t.Helper()
	program, err := exec.LookPath(name)
	if err != nil {
		t.Skipf("%s is not installed", name)
	}
	path := filepath.Join(t.TempDir(), "sheet.pdf")
	if err := os.WriteFile(path, file, 0o600); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command(program, append([]string{path}, arguments...)...).CombinedOutput()
	if err != nil {
		t.Fatalf("%s: %v\n%s", name, err, out)
	}
	return string(out)
}

func TestWriteSheetRefusesWhatIsNoNumber(t *testing.T) {
	s := clubSheet()
	s.Curves.Size.Capacitance[2] = math.NaN()
	if err := WriteSheet(io.Discard, s); !errors.Is(err, ErrNotFinite) {
		t.Errorf("error %v, want ErrNotFinite", err)
	}
}

// TestSheetKeepsItsWords draws the parts of a sheet on a canvas that measures
// them: long names and many inputs stay on the page.
func TestSheetKeepsItsWords(t *testing.T) {
	s := clubSheet()
	s.Title = strings.Repeat("A very long name of a coil ", 8)
	s.Footer.Name = s.Title
	s.Footer.Inputs = append(s.Footer.Inputs, strings.Repeat("an input without end ", 10))
	style := Print()
	figures, err := s.figures(style)
	if err != nil {
		t.Fatal(err)
	}
	for _, paper := range []Paper{A4, Letter} {
		w := newWatcher(paper.Width, paper.Height)
		c := draw.Crop(draw.New(w), sheetMargin, -sheetMargin, sheetMargin, -sheetMargin)
		c = s.title(c, style)
		c = s.Footer.draw(c, style, "page 1 of 2")
		stack(c, figures)
		inspect(t, "sheet", w, style)
		for _, text := range w.texts {
			if text.box.Min.X < sheetMargin-1 || text.box.Max.X > paper.Width-sheetMargin+1 {
				t.Errorf("%q at %v reaches into the margin", text.text, text.box)
			}
		}
	}
}

// TestFootedKeepsTheDrawingAboveItsFooter looks where the words of a footed
// figure come to stand.
func TestFootedKeepsTheDrawingAboveItsFooter(t *testing.T) {
	style := Print()
	footer := clubSheet().Footer
	w := newWatcher(exported.X, exported.Y)
	if err := Footed(turnsDrawing(t), footer, style)(draw.New(w)); err != nil {
		t.Fatal(err)
	}
	inspect(t, "footed figure", w, style)
	var name, axis vg.Length
	for _, text := range w.texts {
		switch text.text {
		case footer.Name:
			name = text.box.Max.Y
		case "turns of the secondary":
			axis = text.box.Min.Y
		}
	}
	if !(name > 0 && axis > name) {
		t.Errorf("the axis is named %v over the foot, the footer reaches to %v", axis, name)
	}
}

func TestWritePDF(t *testing.T) {
	var first, second bytes.Buffer
	for _, file := range []*bytes.Buffer{&first, &second} {
		if err := WritePDF(file, turnsDrawing(t), exported, "Frequency", time.Date(2026, 3, 14, 0, 0, 0, 0, time.UTC)); err != nil {
			t.Fatal(err)
		}
	}
	if !bytes.Equal(first.Bytes(), second.Bytes()) {
		t.Error("the same figure gave two different files")
	}
	if text := pdfTool(t, first.Bytes(), "pdftotext", "-"); !strings.Contains(text, "frequency (MHz)") {
		t.Errorf("no axis title in\n%s", text)
	}
}

func BenchmarkWriteSheet(b *testing.B) {
	s := clubSheet()
	for b.Loop() {
		if err := WriteSheet(io.Discard, s); err != nil {
			b.Fatal(err)
		}
	}
}
