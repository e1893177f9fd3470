package plotting

import (
	"math"
	"strings"
	"sync"

	"codeberg.org/go-fonts/dejavu/dejavusans"
	"codeberg.org/go-fonts/dejavu/dejavusansbold"
	xfont "golang.org/x/image/font"
	"golang.org/x/image/font/opentype"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
)

// typeface is the family of every drawing: it has all the symbols of the trade,
// Ω µ π ₀ ⁻¹ √ − among them.
const typeface = "DejaVu Sans"

func sans(size vg.Length) font.Font { return font.Font{Typeface: typeface, Size: size} }

func bold(size vg.Length) font.Font {
	return font.Font{Typeface: typeface, Weight: xfont.WeightBold, Size: size}
}

// typesetter returns the one that all drawings share. Plots carry it
// themselves, so that gonum's defaults are left as they are.
var typesetter = sync.OnceValue(func() *setter {
	parse := func(ttf []byte) *opentype.Font {
		f, err := opentype.Parse(ttf)
		if err != nil {
			panic("plotting: the font built into the program is broken: " + err.Error())
		}
		return f
	}
	return &setter{
		Plain: text.Plain{Fonts: font.NewCache(font.Collection{
			{Font: sans(0), Face: parse(dejavusans.TTF)},
			{Font: bold(0), Face: parse(dejavusansbold.TTF)},
		})},
		widths:  map[setWord]vg.Length{},
		extents: map[font.Font]font.Extents{},
	}
})

// setter is a [text.Handler] that measures every word only once. It may be used
// by several goroutines.
type setter struct {
	text.Plain
	mu      sync.RWMutex
	widths  map[setWord]vg.Length
	extents map[font.Font]font.Extents
}

type setWord struct {
	font font.Font
	text string
}

// maxWords bounds the memory of measured words: numbers under a moving hand are
// new ones all the time.
const maxWords = 1 << 14

// Extents implements [text.Handler].
func (s *setter) Extents(f font.Font) font.Extents {
	s.mu.RLock()
	e, ok := s.extents[f]
	s.mu.RUnlock()
	if ok {
		return e
	}
	e = s.Plain.Extents(f)
	s.mu.Lock()
	defer s.mu.Unlock()
	if len(s.extents) >= maxWords {
		clear(s.extents)
	}
	s.extents[f] = e
	return e
}

// width is how far a line of text advances.
func (s *setter) width(line string, f font.Font) vg.Length {
	key := setWord{f, line}
	s.mu.RLock()
	w, ok := s.widths[key]
	s.mu.RUnlock()
	if ok {
		return w
	}
	face := s.Fonts.Lookup(f, f.Size)
	w = face.Width(line)
	s.mu.Lock()
	defer s.mu.Unlock()
	if len(s.widths) >= maxWords {
		clear(s.widths)
	}
	s.widths[key] = w
	return w
}

// Box implements [text.Handler].
func (s *setter) Box(line string, f font.Font) (width, height, depth vg.Length) {
	e := s.Extents(f)
	return s.width(line, f), e.Ascent, e.Descent
}

// Draw implements [text.Handler]: lines run downwards one type size apart, the
// block as a whole aligned to at.
func (s *setter) Draw(c vg.Canvas, txt string, style text.Style, at vg.Point) {
	txt = strings.TrimRight(txt, "\n")
	if txt == "" {
		return
	}
	c.SetColor(style.Color)
	if style.Rotation != 0 {
		c.Push()
		defer c.Pop()
		c.Rotate(style.Rotation)
		sin, cos := math.Sincos(style.Rotation)
		x, y := float64(at.X), float64(at.Y)
		at = vg.Point{X: vg.Length(x*cos + y*sin), Y: vg.Length(y*cos - x*sin)}
	}
	face := s.Fonts.Lookup(style.Font, style.Font.Size)
	lines := s.Lines(txt)
	top := at.Y + style.Height(txt)*vg.Length(style.YAlign) - s.Extents(style.Font).Ascent
	for i, line := range lines {
		c.FillString(face, vg.Point{
			X: at.X + vg.Length(style.XAlign)*s.width(line, style.Font),
			Y: top + vg.Length(len(lines)-i)*style.Font.Size,
		}, line)
	}
}

// block is a few lines of text set on a drawing by their outline.
type block struct {
	lines   []string
	font    font.Font
	outline vg.Point
}

func newBlock(txt string, f font.Font) block {
	b := block{lines: strings.Split(txt, "\n"), font: f}
	for _, line := range b.lines {
		b.outline.X = max(b.outline.X, typesetter().width(line, f))
	}
	b.outline.Y = f.Size * vg.Length(letterRise+letterDrop+lineStep*float64(len(b.lines)-1))
	return b
}

// The part of the type size that letters take up above and below the base
// line: what a box round text must hold. DejaVu's own ascent and descent leave
// room for accents on capitals.
const (
	letterRise = 0.80
	letterDrop = 0.22
	lineStep   = 1.22 // from base line to base line
)

// size is the outline of the block.
func (b block) size() vg.Point { return b.outline }

// draw sets the block with its outline's lower left corner at a point, each
// line shifted by align of the room left over: 0 left, 0.5 centred, 1 right.
func (b block) draw(c vg.Canvas, corner vg.Point, align float64) {
	face := typesetter().Fonts.Lookup(b.font, b.font.Size)
	width := b.size().X
	for i, line := range b.lines {
		room := width - typesetter().width(line, b.font)
		up := letterDrop + lineStep*float64(len(b.lines)-1-i)
		c.FillString(face, vg.Point{X: corner.X + room*vg.Length(align), Y: corner.Y + b.font.Size*vg.Length(up)}, line)
	}
}
