package app

import (
	"bytes"
	"path/filepath"
	"strconv"
	"time"

	"fyne.io/fyne/v2"

	"coilwright/app/disk"
	"coilwright/app/session"
	"coilwright/app/view"
)

// enlargedType is how much larger lines and letters are in a figure that fills
// the window: it is looked at from across a room.
const enlargedType = 1.6

// none is no figure.
const none = -1

// pointedFigure returns the figure or, behind them, the drawing that the
// pointer was on last.
func (w *Window) pointedFigure() (*view.Figure, *painting) {
	if w.pointed == figureCount {
		return w.drawing, w.coil
	}
	return w.figures[w.pointed], w.plots[w.pointed]
}

// enlarge gives the whole window to the figure that the pointer was on last, or
// takes it back.
func (w *Window) enlarge() {
	w.enterStage(stageShape)
	if w.enlarged != none {
		w.shrink()
		return
	}
	figure, p := w.pointedFigure()
	w.enlarged = w.pointed
	if w.pointed != figureCount { // the handles of the drawing stand at its own scale
		p.magnify(enlargedType)
	}
	w.frame.Show(w.current().side, figure.Object())
	w.fill(true)
}

// shrink puts an enlarged figure back and reports whether there was one.
func (w *Window) shrink() bool {
	if w.enlarged == none {
		return false
	}
	w.enlarged = none
	for _, p := range w.plots {
		p.magnify(1)
	}
	w.fill(false)
	s := w.current()
	w.frame.Show(s.side, s.rest)
	s.rest.Refresh() // the figure has its size from the whole window
	return true
}

// magnify draws lines and letters larger.
func (p *painting) magnify(by float64) {
	p.magnified = by
	p.artist.setSpace(p, p.spaceOf(p.figure.Picture()))
}

// spaceOf is the space of a picture as the painting is to fill it.
func (p *painting) spaceOf(picture *view.Picture) view.Space {
	space := picture.Space()
	space.Scale *= p.magnified
	return space
}

// onPaper returns where a place of the picture is on what was drawn.
func (p *painting) onPaper(at fyne.Position) fyne.Position {
	return fyne.NewPos(at.X/float32(p.magnified), at.Y/float32(p.magnified))
}

// onScreen is the way back.
func (p *painting) onScreen(x, y float64) fyne.Position {
	return fyne.NewPos(float32(x*p.magnified), float32(y*p.magnified))
}

// saveFigure writes the figure that the pointer was on last into a file of its
// own, without asking, and says where: a picture ready to be pasted elsewhere.
func (w *Window) saveFigure() {
	r := w.buildable()
	if r == nil {
		return
	}
	name, content, err := figureFile(w.pointed, r, w.units, time.Now())
	if err != nil {
		w.fail(err)
		return
	}
	begin := filepath.Join(w.folder(), name)
	w.writeBeside(func() func() {
		path := freePath(w.disk, begin, "."+exportFormats[0])
		err := disk.Replace(w.disk, path, content, disk.Options{Mode: exportMode})
		return func() {
			if err != nil {
				w.writeFailed(path, err)
				return
			}
			w.hint.Say(text("figure.saved", map[string]any{"File": filepath.Base(path), "Folder": filepath.Dir(path)}))
		}
	})
}

// figureFile draws a figure for a file; its name has no ending.
func figureFile(i int, r *session.Result, units view.Units, now time.Time) (name string, content []byte, err error) {
	all, err := exportsOf(r, units, now)
	if err != nil {
		return "", nil, err
	}
	chosen := all[min(i, len(all)-1)]
	switch {
	case i == figureCount:
		chosen = all[len(all)-1] // the drawing of the coil
	case i == figureSize && r.Curves.Height.Kind != "":
		chosen = all[len(all)-2] // the figure shown in its place
	}
	var drawn bytes.Buffer
	_, err = chosen.write(&drawn, exportFormats[0], r.Design.Name, now)
	return bareFileName(r.Design.Name) + "-" + chosen.name, drawn.Bytes(), err
}

// freePath returns the first of "begin.png", "begin-2.png" and so on that is no
// file yet.
func freePath(system disk.FileSystem, begin, end string) string {
	for i := 1; ; i++ {
		path := begin + end
		if i > 1 {
			path = begin + "-" + strconv.Itoa(i) + end
		}
		if _, err := system.Stat(path); err != nil {
			return path
		}
	}
}

// figureItems are the entries of the menu about the figure under the pointer.
func (w *Window) figureItems() []*fyne.MenuItem {
	return []*fyne.MenuItem{
		item("menu.enlarge", control(fyne.KeyL), w.enlarge),
		item("menu.save_figure", controlShift(fyne.KeyE), w.saveFigure),
	}
}
