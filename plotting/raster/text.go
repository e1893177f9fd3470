package raster

import (
	"image"
	"image/draw"
	"math"
	"sync"

	xfont "golang.org/x/image/font"
	"golang.org/x/image/font/opentype"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"
)

// FillString implements [vg.Canvas]. Text that runs along an edge of the image
// comes from the kept runs and starts on a whole pixel; text at any other angle
// is filled glyph by glyph.
func (c *Canvas) FillString(face font.Face, at vg.Point, text string) {
	if text == "" || face.Face == nil {
		return
	}
	m := c.state.toPixel
	quarters, upright := quarterTurns(m.XX, m.YX, m.XY, m.YY)
	if !upright {
		c.fillGlyphs(face, at, text)
		return
	}
	run := texts.get(textKey{face.Face, face.Font.Size.Points() * m.Magnification(), quarters, text})
	x, y := m.Apply(at.X.Points(), at.Y.Points())
	r := run.Rect.Add(image.Pt(pixel(x), pixel(y))).Add(c.img.Rect.Min)
	draw.DrawMask(c.img, r, image.NewUniform(c.state.color), image.Point{}, run, run.Rect.Min, draw.Over)
}

// quarterTurns tells by how many quarter turns counter-clockwise a map turns
// text, if it does that and scales evenly and no more.
func quarterTurns(xx, yx, xy, yy float64) (turns int, ok bool) {
	slack := 1e-6 * (math.Abs(xx) + math.Abs(yx))
	// Pixels count downwards, so an unturned map has yy = -xx.
	if math.Abs(xx+yy) > slack || math.Abs(yx-xy) > slack {
		return 0, false
	}
	switch {
	case math.Abs(yx) <= slack && xx > 0:
		return 0, true
	case math.Abs(xx) <= slack && yx < 0:
		return 1, true
	case math.Abs(yx) <= slack && xx < 0:
		return 2, true
	case math.Abs(xx) <= slack && yx > 0:
		return 3, true
	}
	return 0, false
}

// textKey names a run of text at a size and direction.
type textKey struct {
	font     *opentype.Font
	size     float64 // pixels to the em
	quarters int
	text     string
}

// textCache keeps rendered runs, which are masks with their origin at the start
// of the base line, and the faces they are rendered with.
type textCache struct {
	mu    sync.RWMutex
	runs  map[textKey]*image.Alpha
	area  int // pixels in all runs
	faces map[textKey]xfont.Face
}

// texts is shared by all canvases, so that a new window size finds the labels
// of the last one.
var texts = textCache{runs: map[textKey]*image.Alpha{}, faces: map[textKey]xfont.Face{}}

// maxTextArea is how many pixels of text are kept, 8 MB; numbers under a moving
// hand would else fill memory.
const maxTextArea = 8 << 20

// get returns the mask of a run. Masks are never changed once returned.
func (t *textCache) get(key textKey) *image.Alpha {
	t.mu.RLock()
	run, ok := t.runs[key]
	t.mu.RUnlock()
	if ok {
		return run
	}
	t.mu.Lock()
	defer t.mu.Unlock()
	if run, ok := t.runs[key]; ok {
		return run
	}
	run = turn(t.render(key), key.quarters)
	if t.area > maxTextArea {
		clear(t.runs)
		clear(t.faces)
		t.area = 0
	}
	t.runs[key] = run
	t.area += len(run.Pix)
	return run
}

// render draws an unturned run.
func (t *textCache) render(key textKey) *image.Alpha {
	faceKey := textKey{font: key.font, size: key.size}
	face, ok := t.faces[faceKey]
	if !ok {
		// 72 dots to the inch make the size in points one in pixels. A hinted
		// run would not be as wide as the layout took it to be.
		var err error
		face, err = opentype.NewFace(key.font, &opentype.FaceOptions{Size: key.size, DPI: 72, Hinting: xfont.HintingNone})
		if err != nil {
			return image.NewAlpha(image.Rectangle{})
		}
		t.faces[faceKey] = face
	}
	ink, _ := xfont.BoundString(face, key.text)
	mask := image.NewAlpha(image.Rect(ink.Min.X.Floor()-1, ink.Min.Y.Floor()-1, ink.Max.X.Ceil()+1, ink.Max.Y.Ceil()+1))
	drawer := xfont.Drawer{Dst: mask, Src: image.Opaque, Face: face}
	drawer.DrawString(key.text)
	return mask
}

// turn returns the mask turned by quarters counter-clockwise about its origin.
func turn(mask *image.Alpha, quarters int) *image.Alpha {
	for range quarters {
		r := mask.Rect
		turned := image.NewAlpha(image.Rect(r.Min.Y, -r.Max.X, r.Max.Y, -r.Min.X))
		for y := r.Min.Y; y < r.Max.Y; y++ {
			for x := r.Min.X; x < r.Max.X; x++ {
				turned.SetAlpha(y, -x-1, mask.AlphaAt(x, y))
			}
		}
		mask = turned
	}
	return mask
}

// fillGlyphs fills the outlines of text under any map.
func (c *Canvas) fillGlyphs(face font.Face, at vg.Point, text string) {
	var (
		buffer   sfnt.Buffer
		em       = fixed.Int26_6(face.Face.UnitsPerEm())
		perUnit  = face.Font.Size / vg.Length(em)
		previous sfnt.GlyphIndex
		path     vg.Path
	)
	for i, letter := range text {
		glyph, err := face.Face.GlyphIndex(&buffer, letter)
		if err != nil {
			continue
		}
		if i > 0 {
			if kern, err := face.Face.Kern(&buffer, previous, glyph, em, xfont.HintingNone); err == nil {
				at.X += vg.Length(kern) * perUnit
			}
		}
		previous = glyph
		advance, err := face.Face.GlyphAdvance(&buffer, glyph, em, xfont.HintingNone)
		if err != nil {
			continue
		}
		segments, err := face.Face.LoadGlyph(&buffer, glyph, em, nil)
		if err == nil {
			path = appendGlyph(path, segments, at, perUnit)
		}
		at.X += vg.Length(advance) * perUnit
	}
	c.Fill(path)
}

// appendGlyph appends the outline of a glyph with its origin at a point.
func appendGlyph(path vg.Path, segments sfnt.Segments, at vg.Point, perUnit vg.Length) vg.Path {
	to := func(p fixed.Point26_6) vg.Point { // an outline's y points down
		return vg.Point{X: at.X + vg.Length(p.X)*perUnit, Y: at.Y - vg.Length(p.Y)*perUnit}
	}
	open := false
	for _, s := range segments {
		switch s.Op {
		case sfnt.SegmentOpMoveTo:
			if open {
				path.Close()
			}
			path.Move(to(s.Args[0]))
			open = true
		case sfnt.SegmentOpLineTo:
			path.Line(to(s.Args[0]))
		case sfnt.SegmentOpQuadTo:
			path.QuadTo(to(s.Args[0]), to(s.Args[1]))
		case sfnt.SegmentOpCubeTo:
			path.CubeTo(to(s.Args[0]), to(s.Args[1]), to(s.Args[2]))
		}
	}
	if open {
		path.Close()
	}
	return path
}
