package session

import "slices"

// RecentStore keeps lists of texts between runs of the program; it is a part
// of fyne.Preferences.
type RecentStore interface {
	StringList(key string) []string
	SetStringList(key string, list []string)
}

const (
	recentKey = "recent files"
	maxRecent = 10 // what a menu shows without scrolling
)

// Recent returns the paths of the files opened or saved last, newest first.
// Some may be gone by now.
func (s *Session) Recent() []string { return s.opts.Recent.StringList(recentKey) }

// ForgetRecent takes path off the list, because it could not be opened.
func (s *Session) ForgetRecent(path string) {
	list := slices.DeleteFunc(slices.Clone(s.Recent()), func(p string) bool { return p == path })
	s.opts.Recent.SetStringList(recentKey, list)
	s.notify()
}

// ClearRecent empties the list.
func (s *Session) ClearRecent() {
	s.opts.Recent.SetStringList(recentKey, []string{})
	s.notify()
}

func (s *Session) remember(path string) {
	list := slices.DeleteFunc(slices.Clone(s.Recent()), func(p string) bool { return p == path })
	list = slices.Insert(list, 0, path)
	s.opts.Recent.SetStringList(recentKey, list[:min(len(list), maxRecent)])
}

// memory is a RecentStore that lasts as long as the session.
type memory struct{ list []string }

func (m *memory) StringList(string) []string            { return m.list }
func (m *memory) SetStringList(_ string, list []string) { m.list = list }
