package plotting

import (
	"image/color"
	"math"
	"testing"
)

// linear returns the colour's red, green and blue in proportion to light.
//
// Source: IEC 61966-2-1 (sRGB), in the form of WCAG 2.2, relative luminance.
func linear(c color.NRGBA) [3]float64 {
	f := func(v uint8) float64 {
		x := float64(v) / 255
		if x <= 0.04045 {
			return x / 12.92
		}
		return math.Pow((x+0.055)/1.055, 2.4)
	}
	return [3]float64{f(c.R), f(c.G), f(c.B)}
}

func luminance(c color.NRGBA) float64 {
	l := linear(c)
	return 0.2126*l[0] + 0.7152*l[1] + 0.0722*l[2]
}

// contrast is that of WCAG 2.2, 1 to 21.
func contrast(a, b color.NRGBA) float64 {
	hi, lo := luminance(a), luminance(b)
	if lo > hi {
		hi, lo = lo, hi
	}
	return (hi + 0.05) / (lo + 0.05)
}

func TestWordsAndLinesStandOut(t *testing.T) {
	for _, s := range styles {
		for _, test := range []struct {
			name   string
			c      color.NRGBA
			least  float64
			source string
		}{
			{"ink", s.style.Ink, 7, "WCAG 2.2, 1.4.6"},
			{"muted", s.style.Muted, 4.5, "WCAG 2.2, 1.4.3: text"},
			{"second", s.style.Second, 4.5, "WCAG 2.2, 1.4.3: text"},
			{"target", s.style.Target, 4.5, "WCAG 2.2, 1.4.3: text"},
			{"warning", s.style.Warning, 4.5, "WCAG 2.2, 1.4.3: text"},
			{"spare", s.style.Spare, 4.5, "WCAG 2.2, 1.4.3: text"},
			{"wire", s.style.Wire, 4.5, "WCAG 2.2, 1.4.3: text"},
			{"brass", s.style.Brass, 3, "WCAG 2.2, 1.4.11: graphics"},
		} {
			if got := contrast(test.c, s.style.Background); got < test.least {
				t.Errorf("%s: contrast of %s to the ground is %.2f, want at least %g (%s)", s.name, test.name, got, test.least, test.source)
			}
		}
		shaded := over(s.style.Background, s.style.Shade)
		if got := contrast(s.style.Warning, shaded); got < 4.5 {
			t.Errorf("%s: contrast of the words on the shade is %.2f, want at least 4.5 (WCAG 2.2, 1.4.3)", s.name, got)
		}
	}
}

// TestCurvesDifferForEveryEye looks at the two curves as eyes without one kind of
// cone see them. Dashes tell them apart as well.
func TestCurvesDifferForEveryEye(t *testing.T) {
	// Source: Machado, Oliveira, Fernandes, A physiologically-based model for
	// simulation of color vision deficiency, IEEE TVCG 15 (2009), severity 1;
	// the matrices from memory, each row adding up to 1.
	for _, eye := range []struct {
		name string
		m    [3][3]float64
	}{
		{"protanopia", [3][3]float64{{0.152286, 1.052583, -0.204868}, {0.114503, 0.786281, 0.099216}, {-0.003882, -0.048116, 1.051998}}},
		{"deuteranopia", [3][3]float64{{0.367322, 0.860646, -0.227968}, {0.280085, 0.672501, 0.047413}, {-0.011820, 0.042940, 0.968881}}},
		{"tritanopia", [3][3]float64{{1.255528, -0.076749, -0.178779}, {-0.078411, 0.930809, 0.147602}, {0.004733, 0.691367, 0.303900}}},
	} {
		for _, s := range styles {
			a, b := linear(s.style.Wire), linear(s.style.Second)
			distance := 0.0
			for _, row := range eye.m {
				var x, y float64
				for i, k := range row {
					x += k * a[i]
					y += k * b[i]
				}
				// The cube root is roughly how bright light appears.
				distance += math.Pow(math.Cbrt(x)-math.Cbrt(y), 2)
			}
			// 0.1 is a step anyone sees side by side; the two differ by more.
			if distance = math.Sqrt(distance); distance < 0.2 {
				t.Errorf("%s, %s: wire and second curve are %.2f apart, want at least 0.2", s.name, eye.name, distance)
			}
		}
	}
}

func TestPrintIsNeitherFineNorSmall(t *testing.T) {
	s := Print()
	if s.CurveWidth < 1.5 || s.GuideWidth < 1.5 {
		t.Errorf("lines of %g and %g pt, want 1.5 pt or more", s.CurveWidth, s.GuideWidth)
	}
	if s.TickSize < 9 || s.LabelSize < 9 || s.TitleSize < 9 {
		t.Errorf("type of %g, %g and %g pt, want 9 pt or more", s.TickSize, s.LabelSize, s.TitleSize)
	}
	if s.Background != rgb(0xFFFFFF) {
		t.Errorf("the ground is %v, want white", s.Background)
	}
}
