package app

import (
	"os"
	"path/filepath"
)

// folderName is that of the program's own folders among the user's.
const folderName = "coilwright"

// SettingsFile returns where the window's settings are kept; empty if the
// system names no place.
func SettingsFile() string {
	folder, err := os.UserConfigDir()
	if err != nil {
		return ""
	}
	return filepath.Join(folder, folderName, "settings.json")
}
