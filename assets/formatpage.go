package assets

import _ "embed"

// FormatPage is the description of the file formats, as Markdown.
//
//go:embed format/format.md
var FormatPage string
