package assets

import (
	"embed"
	"io/fs"
)

//go:embed examples/*.coil.json
var examples embed.FS

// Example is a design file to start from.
type Example struct {
	Name    string // of the file, without folder
	Content []byte
}

// Examples returns the example designs in the order of their file names. They
// are the coils of a school physics club.
func Examples() []Example {
	const folder = "examples"
	entries, err := fs.ReadDir(examples, folder)
	if err != nil {
		panic("assets: embedded examples: " + err.Error())
	}
	var all []Example
	for _, entry := range entries {
		content, err := fs.ReadFile(examples, folder+"/"+entry.Name())
		if err != nil {
			panic("assets: embedded examples: " + err.Error())
		}
		all = append(all, Example{Name: entry.Name(), Content: content})
	}
	return all
}
