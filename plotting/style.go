package plotting

import (
	"image/color"

	"gonum.org/v1/plot/vg"
)

// Palette names every colour of the drawings by what it stands for. Copper and
// blue, amber and green keep apart for colour-blind eyes too, and whatever
// differs in colour differs in dash, shape or words as well.
type Palette struct {
	Background color.NRGBA
	Ink        color.NRGBA // titles and the present design's numbers
	Muted      color.NRGBA // axis titles, tick labels, dimension lines
	Grid       color.NRGBA
	Axis       color.NRGBA
	Wire       color.NRGBA // copper: the coil's own curve, its turns
	Second     color.NRGBA // blue, dashed: what the first curve is compared with
	Target     color.NRGBA // green, dashed
	Warning    color.NRGBA // amber: limits, and the words on a shaded region
	Shade      color.NRGBA // translucent amber: what cannot be built
	Spare      color.NRGBA // slate: turns wound and dropped again
	Brass      color.NRGBA // the hub
	Former     color.NRGBA
	Bench      color.NRGBA
}

// Style is how a drawing looks: colours, line widths and sizes of type. The
// zero Style draws nothing; begin with [Light], [Dark] or [Print] and change
// what a theme wants otherwise.
type Style struct {
	Palette

	CurveWidth vg.Length
	GuideWidth vg.Length // drop lines, limits, targets
	ThinWidth  vg.Length // grid, axes, dimension lines
	DotRadius  vg.Length // of the present design's mark

	TitleSize vg.Length
	LabelSize vg.Length // axis titles and words on the figure
	TickSize  vg.Length

	// Language returns an English format in the language of the drawing; nil:
	// English.
	Language func(english string) string
}

// Light is the style for a light screen.
func Light() Style {
	return screen(Palette{
		Background: rgb(0xFFFFFF),
		Ink:        rgb(0x22303A),
		Muted:      rgb(0x5A6872),
		Grid:       rgb(0xECE7DF),
		Axis:       rgb(0xB9B2A6),
		Wire:       rgb(0xB25F2A),
		Second:     rgb(0x2C6E8F),
		Target:     rgb(0x3E7D3A),
		Warning:    rgb(0x8F5A00),
		Shade:      color.NRGBA{R: 0xC9, G: 0x9A, B: 0x4A, A: 0x38},
		Spare:      rgb(0x61707C),
		Brass:      rgb(0xB08A1E),
		Former:     rgb(0xE3DDD2),
		Bench:      rgb(0xB9B2A6),
	})
}

// Dark is the style for a dark screen.
func Dark() Style {
	return screen(Palette{
		Background: rgb(0x1F262C),
		Ink:        rgb(0xECE7DF),
		Muted:      rgb(0x9AA7B1),
		Grid:       rgb(0x2A333B),
		Axis:       rgb(0x4A5762),
		Wire:       rgb(0xE39058),
		Second:     rgb(0x6FB3D2),
		Target:     rgb(0x8FBF7F),
		Warning:    rgb(0xE5B454),
		Shade:      color.NRGBA{R: 0xE5, G: 0xB4, B: 0x54, A: 0x2C},
		Spare:      rgb(0x9AA7B1),
		Brass:      rgb(0xD9B44A),
		Former:     rgb(0x36424B),
		Bench:      rgb(0x5A6872),
	})
}

// screen is the part of a style that light and dark share; one point is one
// logical pixel.
func screen(p Palette) Style {
	return Style{
		Palette:    p,
		CurveWidth: 2,
		GuideWidth: 1.25,
		ThinWidth:  1,
		DotRadius:  4.5,
		TitleSize:  14,
		LabelSize:  11.5,
		TickSize:   11,
	}
}

// Scaled returns the style with lines and type so many times as large.
func (s Style) Scaled(by vg.Length) Style {
	for _, size := range []*vg.Length{&s.CurveWidth, &s.GuideWidth, &s.ThinWidth, &s.DotRadius, &s.TitleSize, &s.LabelSize, &s.TickSize} {
		*size *= by
	}
	return s
}

// Print is the style for paper: dark on white, curves from 1.5 pt and type from
// 9 pt, so that a grey copy and a picture taken with a phone still read. Only
// the grid and dimension lines are thinner.
func Print() Style {
	return Style{
		Palette: Palette{
			Background: rgb(0xFFFFFF),
			Ink:        rgb(0x111111),
			Muted:      rgb(0x333333),
			Grid:       rgb(0xDDDDDD),
			Axis:       rgb(0x777777),
			Wire:       rgb(0x8A3F0F),
			Second:     rgb(0x17506F),
			Target:     rgb(0x2B5E27),
			Warning:    rgb(0x6E4600),
			Shade:      rgb(0xEFE6D3),
			Spare:      rgb(0x4A555E),
			Brass:      rgb(0xA8861F),
			Former:     rgb(0xE4E4E4),
			Bench:      rgb(0x777777),
		},
		CurveWidth: 2.25,
		GuideWidth: 1.5,
		ThinWidth:  0.6,
		DotRadius:  3.5,
		TitleSize:  12,
		LabelSize:  9.5,
		TickSize:   9,
	}
}

// Dash patterns. Each kind of line keeps its own, in every style.
func (s Style) secondDash() []vg.Length { return []vg.Length{3.5 * s.CurveWidth, 2 * s.CurveWidth} }
func (s Style) targetDash() []vg.Length { return []vg.Length{6 * s.GuideWidth, 2.5 * s.GuideWidth} }
func (s Style) dropDash() []vg.Length   { return []vg.Length{2.4 * s.GuideWidth, 2.4 * s.GuideWidth} }
func (s Style) limitDash() []vg.Length  { return []vg.Length{1.2 * s.GuideWidth, 1.6 * s.GuideWidth} }

func rgb(hex uint32) color.NRGBA {
	return color.NRGBA{R: uint8(hex >> 16), G: uint8(hex >> 8), B: uint8(hex), A: 0xFF}
}

// faded returns the colour with its opacity scaled.
func faded(c color.NRGBA, opacity float64) color.NRGBA {
	c.A = uint8(float64(c.A)*opacity + 0.5)
	return c
}

// blend returns the mixture of two opaque colours, share of it the second.
func blend(a, b color.NRGBA, share float64) color.NRGBA {
	mix := func(x, y uint8) uint8 { return uint8(float64(x)*(1-share) + float64(y)*share + 0.5) }
	return color.NRGBA{R: mix(a.R, b.R), G: mix(a.G, b.G), B: mix(a.B, b.B), A: 0xFF}
}

// over returns what is seen of a translucent colour on an opaque one.
func over(ground, c color.NRGBA) color.NRGBA {
	opaque := c
	opaque.A = 0xFF
	return blend(ground, opaque, float64(c.A)/0xFF)
}
