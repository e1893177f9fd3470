package assets

import (
	"embed"
	"io/fs"
)

//go:embed lessons/*.lesson.json
var lessons embed.FS

// Lessons returns the prepared lessons in the order of their file names.
func Lessons() []Example { return embedded(lessons, "lessons") }

// embedded returns the files of an embedded folder.
func embedded(files embed.FS, folder string) []Example {
	entries, err := fs.ReadDir(files, folder)
	if err != nil {
		panic("assets: embedded files: " + err.Error())
	}
	all := make([]Example, len(entries))
	for i, entry := range entries {
		content, err := fs.ReadFile(files, folder+"/"+entry.Name())
		if err != nil {
			panic("assets: embedded files: " + err.Error())
		}
		all[i] = Example{Name: entry.Name(), Content: content}
	}
	return all
}
