package main

import (
	"encoding/json"
	"io"

	"coilwright/app/disk"
)

// printJSON prints a value as JSON that people can read.
func printJSON(to io.Writer, value any) error {
	encoder := json.NewEncoder(to)
	encoder.SetIndent("", "  ")
	encoder.SetEscapeHTML(false)
	return encoder.Encode(value)
}

// writeFile writes a file whole or not at all. Who may read it is up to the
// user's mask.
func writeFile(path string, content []byte) error {
	return disk.Replace(disk.OS, path, content, disk.Options{Mode: 0o666})
}
