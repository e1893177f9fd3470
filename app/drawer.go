package app

import (
	"bytes"
	"context"
	"errors"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/dialog"
	"fyne.io/fyne/v2/lang"
	fynetheme "fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"coilwright/app/disk"
	"coilwright/app/theme"
	"coilwright/app/view"
	"coilwright/assets"
	"coilwright/physics/design"
)

// StockFile returns where the user's stock is kept, beside the settings; empty if the
// system names no place.
func StockFile() string {
	settings := SettingsFile()
	if settings == "" {
		return ""
	}
	return filepath.Join(filepath.Dir(settings), "drawer.stock.json")
}

// openDrawer shows what is in the drawer and what can be built of it.
func (w *Window) openDrawer() {
	stock, err := w.readStock()
	d := w.session.Design()
	frequency := d.TargetFrequency
	if frequency == 0 && w.last != nil && w.last.Report.Resonance.Frequency != nil {
		const kilohertz = 1e3 // finer than a whole number of turns comes
		frequency = math.Round(*w.last.Report.Resonance.Frequency/kilohertz) * kilohertz
	}
	drawer := view.NewDrawer(stock, frequency, w.units)
	ctx, cancel := context.WithCancel(context.Background())
	stop := func() {}
	var sheet dialog.Dialog
	drawer.OnCancel = func() { stop() }
	drawer.OnStock = func(changed design.Stock) {
		stock = changed
		if err := w.writeStock(stock); err != nil {
			drawer.Say(text("drawer.not_kept", map[string]any{"Reason": err.Error()}))
		}
	}
	drawer.OnExample = func() (design.Stock, error) { return design.ReadStock(bytes.NewReader(assets.ExampleStock)) }
	drawer.OnTake = func(b design.Buildable) {
		sheet.Hide()
		w.session.Edit(lang.L("drawer.step"), func(d *design.Design) { takeOver(d, b.Design) })
		w.hint.Say(text("drawer.taken", map[string]any{"Coil": b.Words(&stock)}))
	}
	drawer.OnSearch = func(search design.DrawerSearch) {
		stop()
		searching, end := context.WithCancel(ctx)
		stop = end
		search.Stock = stock
		w.search(searching, drawer, w.session.Design(), search)
	}
	if err != nil {
		drawer.Say(text("drawer.unreadable", map[string]any{"Reason": err.Error()}))
	}
	if len(stock.Wires)+len(stock.Formers) == 0 {
		drawer.ShowStock()
	}
	sheet = w.openSheet(drawer.Object(), cancel)
}

// openSheet shows a sheet as large as the window lets it be; closed is called once it
// has gone.
func (w *Window) openSheet(content fyne.CanvasObject, closed func()) dialog.Dialog {
	d := dialog.NewCustomWithoutButtons(lang.L("drawer.title"), content, w.window)
	b := view.NewButton(lang.L("ask.close"), nil, d.Hide)
	b.Importance = widget.MediumImportance
	b.OnEscape = d.Hide
	d.SetButtons([]fyne.CanvasObject{b})
	d.Resize(w.window.Canvas().Size().Subtract(fyne.NewSquareSize(2 * fynetheme.Size(theme.SizeNameHeader))))
	w.show(d)
	d.SetOnClosed(func() {
		closed()
		w.closed(d)
	})
	return d
}

// progressPause is the least time between two looks at how far a search has come.
const progressPause = 150 * time.Millisecond

// search looks through the drawer beside the window.
func (w *Window) search(ctx context.Context, drawer *view.Drawer, base design.Design, search design.DrawerSearch) {
	drawer.Progress(design.DrawerProgress{})
	run := func(dispatch func(func())) {
		shown := time.Now()
		found, err := design.Drawer(ctx, base, search, func(p design.DrawerProgress) {
			if time.Since(shown) < progressPause || ctx.Err() != nil {
				return
			}
			shown = time.Now()
			dispatch(func() { drawer.Progress(p) })
		})
		dispatch(func() {
			var nothing *design.DrawerError
			switch {
			case errors.Is(err, context.Canceled):
				drawer.Fail(lang.L("drawer.cancelled"), nil, search.Stock)
			case errors.As(err, &nothing):
				drawer.Fail(err.Error(), nothing.Nearest, search.Stock)
			case err != nil:
				drawer.Fail(err.Error(), nil, search.Stock)
			default:
				drawer.Show(found, search.Stock)
			}
		})
	}
	if w.synchronous {
		run(func(f func()) { f() })
		return
	}
	go run(fyne.DoAndWait)
}

// takeOver gives a design the winding, top load and primary of another, and what was
// aimed at; name, driver, variants and readings stay.
func takeOver(d *design.Design, from design.Design) {
	d.Secondary, d.TopLoad, d.Primary, d.TargetFrequency = from.Secondary, from.TopLoad, from.Primary, from.TargetFrequency
}

// readStock reads the user's stock; one that was never kept is empty.
func (w *Window) readStock() (design.Stock, error) {
	if w.stockFile == "" {
		return w.stock, nil
	}
	s, err := design.ReadStockFile(w.stockFile)
	if errors.Is(err, fs.ErrNotExist) {
		return s, nil
	}
	return s, err
}

// writeStock keeps the user's stock in a file that nobody else can read.
func (w *Window) writeStock(s design.Stock) error {
	if w.stockFile == "" {
		w.stock = s
		return nil
	}
	var content bytes.Buffer
	if err := design.WriteStock(&content, s); err != nil {
		return err
	}
	const ownerFolder, ownerFile = 0o700, 0o600
	if err := os.MkdirAll(filepath.Dir(w.stockFile), ownerFolder); err != nil {
		return err
	}
	return disk.Replace(disk.OS, w.stockFile, content.Bytes(), disk.Options{Mode: ownerFile, Backup: true})
}
