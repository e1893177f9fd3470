package assets

import _ "embed"

// ExampleStock is what the drawer of the school physics club of the examples holds.
//
//go:embed stock/club.stock.json
var ExampleStock []byte
