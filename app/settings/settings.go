// Package settings keeps what the user chose in the window between runs, in one
// file that is whole whatever happens while it is written.
//
// Start reading at [Open]. The toolkit keeps such values too, but empties its
// file before it writes it and reads it while another window is writing.
package settings

import (
	"encoding/json"
	"errors"
	"io"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"sync"
	"time"

	"fyne.io/fyne/v2"

	"coilwright/app/disk"
)

const (
	maxSize       = 1 << 20                // bytes; ten recent files and the rest take a kilobyte or two
	settleTime    = 300 * time.Millisecond // so that a row of changes is written once
	damagedSuffix = ".damaged"
	mode          = 0o600 // recent files are nobody else's business
)

// Store holds settings by their names. Several goroutines may use it.
type Store struct {
	path string // empty: memory only

	lock      sync.Mutex
	values    map[string]json.RawMessage
	changed   map[string]bool // since the file was written
	listeners []func()
	timer     *time.Timer // runs a save; nil: none is due

	saving sync.Mutex // held while the file is written
}

var (
	_ fyne.Preferences              = (*Store)(nil)
	_ fyne.CloudProviderPreferences = provider{}
)

// Open reads the settings in the file at path, which need not be there yet;
// without a path they last as long as the program. A damaged file is put aside
// under a name of its own. The file can then be read by its owner alone.
func Open(path string) (*Store, error) {
	s := &Store{path: path, values: map[string]json.RawMessage{}, changed: map[string]bool{}}
	if path == "" {
		return s, nil
	}
	values, err := read(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return s, os.MkdirAll(filepath.Dir(path), 0o700)
	case errors.Is(err, errDamaged):
		aside := path + damagedSuffix
		return s, errors.Join(os.Rename(path, aside), os.Chmod(aside, mode))
	case err != nil:
		return nil, err
	}
	s.values = values
	return s, os.Chmod(path, mode)
}

var errDamaged = errors.New("damaged settings")

func read(path string) (map[string]json.RawMessage, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	content, err := io.ReadAll(io.LimitReader(f, maxSize+1))
	if err != nil {
		return nil, err
	}
	var values map[string]json.RawMessage
	if len(content) > maxSize || json.Unmarshal(content, &values) != nil || values == nil {
		return nil, errDamaged
	}
	return values, nil
}

// Close writes what is not in the file yet.
func (s *Store) Close() error {
	s.lock.Lock()
	if s.timer != nil {
		s.timer.Stop()
		s.timer = nil
	}
	s.lock.Unlock()
	return s.save()
}

// save writes what changed here over what the file holds by now: another window
// may have changed other settings.
func (s *Store) save() error {
	s.saving.Lock()
	defer s.saving.Unlock()
	s.lock.Lock()
	changed, values := s.changed, maps.Clone(s.values)
	s.changed = map[string]bool{}
	s.lock.Unlock()
	if len(changed) == 0 || s.path == "" {
		return nil
	}
	if there, err := read(s.path); err == nil {
		for key := range changed {
			if value, ok := values[key]; ok {
				there[key] = value
			} else {
				delete(there, key)
			}
		}
		values = there
	}
	content, err := json.MarshalIndent(values, "", "\t")
	if err == nil {
		err = disk.Replace(disk.OS, s.path, append(content, '\n'), disk.Options{Mode: mode})
	}
	if err != nil {
		s.lock.Lock()
		maps.Copy(s.changed, changed)
		s.lock.Unlock()
	}
	return err
}

// set takes a value, nil to forget it, and has it written soon.
func (s *Store) set(key string, value any) {
	var content json.RawMessage
	if value != nil {
		encoded, err := json.Marshal(value)
		if err != nil { // a number that is none
			return
		}
		content = encoded
	}
	s.lock.Lock()
	if content == nil {
		delete(s.values, key)
	} else {
		s.values[key] = content
	}
	s.changed[key] = true
	if s.timer == nil && s.path != "" {
		s.timer = time.AfterFunc(settleTime, s.settled)
	}
	listeners := s.listeners
	s.lock.Unlock()
	for _, listener := range listeners {
		listener()
	}
}

// settled writes a row of changes. Should it fail, the next change or [Store.Close] tries
// again, and the latter tells.
func (s *Store) settled() {
	s.lock.Lock()
	s.timer = nil
	s.lock.Unlock()
	_ = s.save()
}

// get returns the value of a key, or fallback where it has none of that kind.
func get[T any](s *Store, key string, fallback T) T {
	s.lock.Lock()
	content, ok := s.values[key]
	s.lock.Unlock()
	var value *T
	if !ok || json.Unmarshal(content, &value) != nil || value == nil {
		return fallback
	}
	return *value
}
