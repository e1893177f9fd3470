package app

import (
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"fyne.io/fyne/v2/test"
	"fyne.io/fyne/v2/widget"

	"coilwright/physics/design"
)

// TestDrawer fills the drawer from the example, searches, takes a coil over and takes
// that back.
func TestDrawer(t *testing.T) {
	w := newWindow(t)
	w.stockFile = filepath.Join(t.TempDir(), "settings", "drawer.stock.json")
	before := w.session.Design()
	w.openDrawer()
	_, buttons := onTop(w)
	test.Tap(buttons["Start from an example"])
	info, err := os.Stat(w.stockFile)
	if err != nil {
		t.Fatal(err)
	}
	if runtime.GOOS != "windows" && info.Mode().Perm() != 0o600 {
		t.Errorf("the stock has the mode %v", info.Mode())
	}
	if stock, err := w.readStock(); err != nil || len(stock.Wires) != 4 {
		t.Errorf("kept are %d wires, %v", len(stock.Wires), err)
	}
	w.dismiss()
	if len(w.dialogs) != 0 {
		t.Fatal("the drawer does not close")
	}

	w.openDrawer() // opened again it knows the stock
	_, buttons = onTop(w)
	test.Tap(buttons["Search"])
	table := tableOnTop(w)
	rows, _ := table.Length()
	if rows == 0 {
		t.Fatal("the search lists nothing")
	}
	table.Select(widget.TableCellID{Row: 0, Col: 0})
	if len(w.dialogs) != 0 || w.session.UndoName() != "take a coil from the drawer" || !strings.HasPrefix(w.hint.Text(), "Taken over: ") {
		t.Errorf("taken over, %d dialogs are open, the step is %q, it says %q", len(w.dialogs), w.session.UndoName(), w.hint.Text())
	}
	taken := w.session.Design()
	if got := *w.last.Report.Resonance.Frequency; got/taken.TargetFrequency-1 > 0.01 || got/taken.TargetFrequency-1 < -0.01 || taken.Name != before.Name {
		t.Errorf("taken over, it rings at %g Hz, the target is %g Hz", got, taken.TargetFrequency)
	}
	w.undo()
	if got := w.session.Design(); got.Secondary != before.Secondary || got.TargetFrequency != before.TargetFrequency {
		t.Errorf("undone, the secondary is %+v", got.Secondary)
	}
}

func tableOnTop(w *Window) *widget.Table {
	for _, o := range test.LaidOutObjects(w.window.Canvas().Overlays().Top()) {
		if table, ok := o.(*widget.Table); ok {
			return table
		}
	}
	return nil
}

// A stock that cannot be read is told, and stays beside the new one.
func TestDrawerWithADamagedStock(t *testing.T) {
	w := newWindow(t)
	w.stockFile = filepath.Join(t.TempDir(), "drawer.stock.json")
	if err := os.WriteFile(w.stockFile, []byte("{"), 0o600); err != nil {
		t.Fatal(err)
	}
	w.openDrawer()
	w.dismiss()
	if err := w.writeStock(design.Stock{}); err != nil {
		t.Fatal(err)
	}
	if kept, err := os.ReadFile(w.stockFile + "~"); err != nil || string(kept) != "{" {
		t.Errorf("the damaged stock is %q, %v", kept, err)
	}
}
