package assets

import _ "embed"

// Pages of help, as Markdown.
var (
	//go:embed help/using.md
	UsingPage string
	//go:embed help/cautions.md
	CautionsPage string
	//go:embed help/air.md
	AirPage string
	//go:embed help/measuring-analyser.md
	MeasuringAnalyserPage string
	//go:embed help/measuring-ring-down.md
	MeasuringRingDownPage string
	//go:embed help/about.md
	AboutPage string
)
