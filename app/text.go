package app

import (
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/lang"

	"coilwright/app/view"
	"coilwright/assets"
	"coilwright/plotting"
)

// english is the language that every text exists in.
const english = "en"

// translated makes the texts of a language without a file from the English ones;
// nil: they stand in for it as they are.
var translated func(english []byte) []byte

// loadTexts gives the toolkit the texts of the window. Where there is no
// translation into the user's language the English texts stand in for it: the
// toolkit has its own words in many languages and would otherwise show the
// bare keys of ours.
func loadTexts() error {
	if err := lang.AddTranslationsFS(assets.Text, assets.TextFolder); err != nil {
		return err
	}
	language, _, _ := strings.Cut(lang.SystemLocale().LanguageString(), "-")
	if _, err := assets.Text.ReadFile(assets.TextFolder + "/" + language + ".json"); err == nil {
		return nil
	}
	texts, err := assets.Text.ReadFile(assets.TextFolder + "/" + english + ".json")
	if err != nil {
		return err
	}
	if translated != nil {
		texts = translated(texts)
	}
	return lang.AddTranslationsForLocale(texts, fyne.Locale(language))
}

// text is lang.L with named values for the places in a text.
func text(key string, values map[string]any) string {
	return lang.L(key, values)
}

// inLanguage returns a style whose words are in the user's language.
func inLanguage(style plotting.Style) plotting.Style {
	style.Language = view.Language
	return style
}
