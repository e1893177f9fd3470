package app

import (
	"image/png"
	"os"
	"path/filepath"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"
)

// TestAFigureFillsTheWindow enlarges the figure pointed at, sets a value in it
// and puts it back.
func TestAFigureFillsTheWindow(t *testing.T) {
	w := newWindow(t)
	p := w.plots[figureTurns]
	before := p.space
	w.figures[figureTurns].Picture().MouseMoved(&desktop.MouseEvent{})
	w.enlarge()
	if p.space.Width < 2*before.Width || p.space.Height < 3*before.Height {
		t.Errorf("enlarged, the figure has %v, before %v", p.space, before)
	}
	if p.space.Scale != enlargedType*before.Scale {
		t.Errorf("enlarged, it is drawn at %g pixels to the point, want %g", p.space.Scale, enlargedType*before.Scale)
	}
	const turns = 250
	f := w.figureFrame(figureTurns)
	x, y := f.Place(turns, (f.YMin+f.YMax)/2)
	at := p.onScreen(float64(x), float64(y))
	w.figures[figureTurns].Pad().MouseDown(&desktop.MouseEvent{Button: desktop.MouseButtonPrimary, PointEvent: fyne.PointEvent{Position: at}})
	releaseFigure(w, figureTurns)
	if got := w.session.Design().Secondary.Turns; got != turns {
		t.Errorf("a press at %d turns gives %g", turns, got)
	}
	w.typedKey(&fyne.KeyEvent{Name: fyne.KeyEscape})
	if p.space != before || w.filled() {
		t.Errorf("put back, the figure has %v, before %v", p.space, before)
	}
	w.enlarge()
	w.enlarge()
	if p.space != before {
		t.Errorf("enlarged twice, the figure has %v, before %v", p.space, before)
	}
}

func TestAFigureIsSavedByOneKey(t *testing.T) {
	w := newWindow(t)
	folder := t.TempDir()
	w.app.Preferences().SetString(preferFolder, folder)
	for i, want := range []string{"Desk coil-frequency.png", "Desk coil-capacitance.png", "Desk coil-count.png", "Desk coil-coil.png"} {
		w.pointed = i
		w.saveFigure()
		file, err := os.Open(filepath.Join(folder, want))
		if err != nil {
			t.Fatal(err)
		}
		picture, err := png.Decode(file)
		file.Close()
		if err != nil || picture.Bounds().Dx() < 1000 {
			t.Errorf("%s: error %v", want, err)
		}
	}
	w.pointed = figureTurns
	w.saveFigure()
	if _, err := os.Stat(filepath.Join(folder, "Desk coil-frequency-2.png")); err != nil {
		t.Errorf("a second picture takes no name of its own: %v", err)
	}
	pick(w.varyRing, varyHeight)
	w.pointed = figureSize
	w.saveFigure()
	if _, err := os.Stat(filepath.Join(folder, "Desk coil-height.png")); err != nil {
		t.Errorf("the figure of the height is not the one saved: %v", err)
	}
}
