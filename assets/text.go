package assets

import "embed"

// Text holds what the window says, one JSON file a language, in [TextFolder].
//
//go:embed text/*.json
var Text embed.FS

// TextFolder is the folder of the files in [Text].
const TextFolder = "text"
