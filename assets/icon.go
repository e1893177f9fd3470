package assets

import _ "embed"

// Icon is the program's icon, a PNG of 512 by 512 pixels drawn from IconSVG; a
// test of the window compares the two.
//
//go:embed icon.png
var Icon []byte

// IconSVG is the same icon as a drawing.
//
//go:embed icon.svg
var IconSVG []byte
