package assets

import "embed"

//go:embed examples/*.coil.json
var examples embed.FS

// Example is a file to start from.
type Example struct {
	Name    string // of the file, without folder
	Content []byte
}

// Examples returns the example designs in the order of their file names. They
// are the coils of a school physics club.
func Examples() []Example { return embedded(examples, "examples") }
