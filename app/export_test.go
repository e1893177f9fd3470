package app

import (
	"bytes"
	"os"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"coilwright/app/view"
)

func TestExport(t *testing.T) {
	w := newWindow(t)
	files, err := exportFiles("folder", exportFormats, w.last, view.Millimetres, time.Now())
	if err != nil {
		t.Fatal(err)
	}
	begins := map[string]string{".png": "\x89PNG\r\n", ".svg": "<?xml", ".pdf": "%PDF-", ".csv": ""}
	var names []string
	for _, f := range files {
		names = append(names, filepath.Base(f.path))
		if begin := begins[filepath.Ext(f.path)]; !bytes.HasPrefix(f.content, []byte(begin)) || len(f.content) == 0 {
			t.Errorf("%s begins with %q", f.path, f.content[:min(len(f.content), 8)])
		}
	}
	// Three figures in four formats and the drawing, which has no numbers, in
	// three.
	if len(files) != 15 || !slices.Contains(names, bareFileName(w.last.Design.Name)+"-coil.svg") {
		t.Errorf("exported %d files: %v", len(files), names)
	}
}

func TestExportAsksBeforeWritingOver(t *testing.T) {
	w := newWindow(t)
	folder := t.TempDir()
	w.exportTo(folder, []string{"csv"}, w.last)
	entries, err := os.ReadDir(folder)
	if err != nil || len(entries) != int(figureCount) {
		t.Fatalf("%d files written, error %v", len(entries), err)
	}
	w.dismiss()
	kept := filepath.Join(folder, entries[0].Name())
	if err := os.WriteFile(kept, []byte("mine"), 0o666); err != nil {
		t.Fatal(err)
	}
	w.exportTo(folder, []string{"csv"}, w.last)
	w.dismiss()
	if content, err := os.ReadFile(kept); err != nil || string(content) != "mine" {
		t.Errorf("a file that was there now holds %q, error %v", content, err)
	}
}

func TestProblemIsNotPrinted(t *testing.T) {
	w := newWindow(t)
	w.breakRing()
	if w.buildable() != nil || len(w.dialogs) != 1 {
		t.Errorf("a coil that cannot be built is printed; %d questions", len(w.dialogs))
	}
}

func TestSheet(t *testing.T) {
	w := newWindow(t)
	path, err := writeSheet(w.last, w.units, time.Date(2026, 1, 2, 3, 4, 5, 0, time.UTC))
	if err != nil {
		t.Fatal(err)
	}
	defer os.RemoveAll(filepath.Dir(path))
	content, err := os.ReadFile(path)
	if err != nil || !bytes.HasPrefix(content, []byte("%PDF-")) {
		t.Errorf("%s is no PDF, error %v", path, err)
	}
}
