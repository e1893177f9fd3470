package plotting

import (
	"image"
	"image/color"
	"math"

	xfont "golang.org/x/image/font"
	"golang.org/x/image/font/opentype"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"

	"coilwright/plotting/affine"
)

// watcher is a canvas that draws nothing and remembers what it was asked to:
// where every text lies, measured by its own glyphs, and every line.
type watcher struct {
	width, height vg.Length
	state         watchState
	stack         []watchState
	texts         []seenText
	lines         []seenLine
}

type watchState struct {
	m     affine.Map
	width vg.Length
	color color.Color
	dash  []vg.Length
}

type seenText struct {
	text string
	box  vg.Rectangle // of its ink
	ink  color.Color
}

type seenLine struct {
	points []vg.Point
	width  vg.Length
	ink    color.Color
	dash   []vg.Length
}

var _ vg.CanvasSizer = (*watcher)(nil)

func newWatcher(width, height vg.Length) *watcher {
	return &watcher{width: width, height: height, state: watchState{m: affine.Identity}}
}

func (w *watcher) Size() (x, y vg.Length)                 { return w.width, w.height }
func (w *watcher) SetLineWidth(l vg.Length)               { w.state.width = l }
func (w *watcher) SetLineDash(d []vg.Length, _ vg.Length) { w.state.dash = d }
func (w *watcher) SetColor(c color.Color)                 { w.state.color = c }
func (w *watcher) Rotate(a float64)                       { w.state.m = w.state.m.Rotate(a) }
func (w *watcher) Translate(p vg.Point)                   { w.state.m = w.state.m.Translate(p.X.Points(), p.Y.Points()) }
func (w *watcher) Scale(x, y float64)                     { w.state.m = w.state.m.Scale(x, y) }
func (w *watcher) Push()                                  { w.stack = append(w.stack, w.state) }
func (w *watcher) Fill(vg.Path)                           {}
func (w *watcher) DrawImage(vg.Rectangle, image.Image)    {}

func (w *watcher) Pop() {
	w.state = w.stack[len(w.stack)-1]
	w.stack = w.stack[:len(w.stack)-1]
}

func (w *watcher) at(x, y float64) vg.Point {
	x, y = w.state.m.Apply(x, y)
	return vg.Point{X: vg.Length(x), Y: vg.Length(y)}
}

func (w *watcher) Stroke(path vg.Path) {
	line := seenLine{width: w.state.width, ink: w.state.color, dash: w.state.dash}
	for _, step := range path {
		if step.Type == vg.MoveComp && len(line.points) > 0 {
			w.lines = append(w.lines, line)
			line.points = nil
		}
		if step.Type == vg.MoveComp || step.Type == vg.LineComp {
			line.points = append(line.points, w.at(step.Pos.X.Points(), step.Pos.Y.Points()))
		}
	}
	w.lines = append(w.lines, line)
}

func (w *watcher) FillString(f font.Face, p vg.Point, text string) {
	face, err := opentype.NewFace(f.Face, &opentype.FaceOptions{Size: f.Font.Size.Points(), DPI: 72, Hinting: xfont.HintingNone})
	if err != nil {
		panic("watcher: " + err.Error())
	}
	ink, _ := xfont.BoundString(face, text)
	box := vg.Rectangle{
		Min: vg.Point{X: vg.Length(math.Inf(1)), Y: vg.Length(math.Inf(1))},
		Max: vg.Point{X: vg.Length(math.Inf(-1)), Y: vg.Length(math.Inf(-1))},
	}
	for _, x := range []float64{float64(ink.Min.X) / 64, float64(ink.Max.X) / 64} {
		for _, y := range []float64{-float64(ink.Min.Y) / 64, -float64(ink.Max.Y) / 64} {
			q := w.at(p.X.Points()+x, p.Y.Points()+y)
			box.Min.X, box.Min.Y = min(box.Min.X, q.X), min(box.Min.Y, q.Y)
			box.Max.X, box.Max.Y = max(box.Max.X, q.X), max(box.Max.Y, q.Y)
		}
	}
	w.texts = append(w.texts, seenText{text, box, w.state.color})
}

// found says whether a text was drawn.
func (w *watcher) found(text string) bool {
	for _, t := range w.texts {
		if t.text == text {
			return true
		}
	}
	return false
}

// crosses says whether a line runs through a rectangle.
func (l seenLine) crosses(r vg.Rectangle) bool {
	r = grown(r, l.width/2)
	for i := 1; i < len(l.points); i++ {
		p, q := l.points[i-1], l.points[i]
		n := math.Ceil(float64(distance(p, q))*4) + 1
		for k := 0.0; k <= n; k++ {
			at := p.Add(q.Sub(p).Scale(vg.Length(k / n)))
			if at.X > r.Min.X && at.X < r.Max.X && at.Y > r.Min.Y && at.Y < r.Max.Y {
				return true
			}
		}
	}
	return false
}
