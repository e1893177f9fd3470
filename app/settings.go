package app

import (
	"encoding/json"
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
)

// maxSettings bounds what is read of the settings file; ten recent files and
// the rest take a kilobyte or two.
const maxSettings = 1 << 20 // bytes

// SettingsFile returns where the toolkit keeps the window's settings; empty if
// the system names no place.
func SettingsFile() string {
	folder, err := os.UserConfigDir()
	if runtime.GOOS == "darwin" {
		folder, err = os.UserHomeDir()
		folder = filepath.Join(folder, "Library", "Preferences")
	}
	if err != nil {
		return ""
	}
	return filepath.Join(folder, "fyne", ID, "preferences.json")
}

// PrepareSettings makes the settings file one that its owner alone can read and
// that the toolkit can read without stumbling: a damaged one is put aside under
// a name of its own. It must run before the toolkit starts.
func PrepareSettings(path string) error {
	if path == "" {
		return nil
	}
	content, err := readSettings(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		// What follows makes it.
	case err != nil:
		return err
	case soundSettings(content):
		return os.Chmod(path, 0o600)
	default:
		aside := path + ".damaged"
		if err := errors.Join(os.Rename(path, aside), os.Chmod(aside, 0o600)); err != nil {
			return err
		}
	}
	if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
		return err
	}
	return os.WriteFile(path, []byte("{}\n"), 0o600)
}

func readSettings(path string) ([]byte, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return io.ReadAll(io.LimitReader(f, maxSettings+1))
}

// soundSettings says whether the toolkit can read settings: one object whose
// lists hold values of one kind, as it takes for granted.
func soundSettings(content []byte) bool {
	if len(content) > maxSettings {
		return false
	}
	var all map[string]any
	if json.Unmarshal(content, &all) != nil || all == nil {
		return false
	}
	for _, value := range all {
		list, _ := value.([]any)
		for _, item := range list {
			if kindOfSetting(item) == 0 || kindOfSetting(item) != kindOfSetting(list[0]) {
				return false
			}
		}
	}
	return true
}

// kindOfSetting sorts the values that a list of settings may hold; 0 is none of
// them.
func kindOfSetting(value any) int {
	switch value.(type) {
	case bool:
		return 1
	case float64:
		return 2
	case string:
		return 3
	}
	return 0
}
