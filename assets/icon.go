package assets

import _ "embed"

//go:generate go run icon_draw.go

// Icon is the program's icon, a PNG of 512 by 512 pixels drawn from icon.svg.
//
//go:embed icon.png
var Icon []byte
