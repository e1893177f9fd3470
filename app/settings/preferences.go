package settings

import "fyne.io/fyne/v2"

// Provider returns what makes a Fyne application keep its preferences in the
// store; see [fyne.App.SetCloudProvider], which has nothing to do with a network
// here.
func (s *Store) Provider() fyne.CloudProvider { return provider{s} }

type provider struct{ *Store }

func (p provider) CloudPreferences(fyne.App) fyne.Preferences { return p.Store }
func (provider) ProviderName() string                         { return "settings file" }
func (provider) ProviderDescription() string                  { return "" }
func (provider) ProviderIcon() fyne.Resource                  { return nil }
func (provider) Setup(fyne.App) error                         { return nil }
func (provider) Cleanup(fyne.App)                             {}

// The methods of [fyne.Preferences]. A value of another kind counts as none.

func (s *Store) Bool(key string) bool                            { return get(s, key, false) }
func (s *Store) BoolWithFallback(key string, fallback bool) bool { return get(s, key, fallback) }
func (s *Store) SetBool(key string, value bool)                  { s.set(key, value) }

func (s *Store) BoolList(key string) []bool { return get(s, key, []bool{}) }
func (s *Store) BoolListWithFallback(key string, fallback []bool) []bool {
	return get(s, key, fallback)
}
func (s *Store) SetBoolList(key string, value []bool) { s.set(key, list(value)) }

func (s *Store) Float(key string) float64 { return get(s, key, 0.0) }
func (s *Store) FloatWithFallback(key string, fallback float64) float64 {
	return get(s, key, fallback)
}
func (s *Store) SetFloat(key string, value float64) { s.set(key, value) }

func (s *Store) FloatList(key string) []float64 { return get(s, key, []float64{}) }
func (s *Store) FloatListWithFallback(key string, fallback []float64) []float64 {
	return get(s, key, fallback)
}
func (s *Store) SetFloatList(key string, value []float64) { s.set(key, list(value)) }

func (s *Store) Int(key string) int                           { return get(s, key, 0) }
func (s *Store) IntWithFallback(key string, fallback int) int { return get(s, key, fallback) }
func (s *Store) SetInt(key string, value int)                 { s.set(key, value) }

func (s *Store) IntList(key string) []int { return get(s, key, []int{}) }
func (s *Store) IntListWithFallback(key string, fallback []int) []int {
	return get(s, key, fallback)
}
func (s *Store) SetIntList(key string, value []int) { s.set(key, list(value)) }

func (s *Store) String(key string) string                       { return get(s, key, "") }
func (s *Store) StringWithFallback(key, fallback string) string { return get(s, key, fallback) }
func (s *Store) SetString(key, value string)                    { s.set(key, value) }

func (s *Store) StringList(key string) []string { return get(s, key, []string{}) }
func (s *Store) StringListWithFallback(key string, fallback []string) []string {
	return get(s, key, fallback)
}
func (s *Store) SetStringList(key string, value []string) { s.set(key, list(value)) }

func (s *Store) RemoveValue(key string) { s.set(key, nil) }

// list returns a copy that is a list even if it is empty: none would read as
// never set.
func list[T any](values []T) []T { return append([]T{}, values...) }

func (s *Store) AddChangeListener(listener func()) {
	s.lock.Lock()
	defer s.lock.Unlock()
	s.listeners = append(s.listeners, listener)
}

func (s *Store) ChangeListeners() []func() {
	s.lock.Lock()
	defer s.lock.Unlock()
	return s.listeners
}
