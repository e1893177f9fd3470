package session

import (
	"crypto/sha256"
	"io/fs"
	"os"
	"sync"
	"time"
)

// watchEvery is how often the file of the open design is looked at: often
// enough to be told before the next thought, seldom enough for a network folder.
const watchEvery = 2 * time.Second

// watch looks after the file of the open design while another program may
// write to it. It asks the file rather than the system for changes, because
// network folders announce none.
type watch struct {
	opts Options
	seen func(path string, sum [sha256.Size]byte) // on the UI goroutine

	mu   sync.Mutex
	path string
	disk [sha256.Size]byte // what the session thinks the file holds
	info fs.FileInfo       // of the file when it was read last; nil: never
	told [sha256.Size]byte
	stop chan struct{} // nil: not started
}

func newWatch(opts Options, seen func(string, [sha256.Size]byte)) *watch {
	return &watch{opts: opts, seen: seen}
}

// follow looks after the file at path from now on, which holds what sum says.
func (w *watch) follow(path string, sum [sha256.Size]byte) {
	w.mu.Lock()
	defer w.mu.Unlock()
	if path == w.path && sum == w.disk {
		return
	}
	w.path, w.disk, w.told, w.info = path, sum, sum, nil
	if w.stop == nil && path != "" && !w.opts.Synchronous {
		w.stop = make(chan struct{})
		go w.run(w.stop)
	}
}

func (w *watch) run(stop chan struct{}) {
	tick := time.NewTicker(watchEvery)
	defer tick.Stop()
	for {
		select {
		case <-stop:
			return
		case <-tick.C:
			w.look()
		}
	}
}

// look tells the session once about each content that is not the session's.
// A file that is not there, or cannot be read, is a matter for the next save.
func (w *watch) look() {
	w.mu.Lock()
	path, last := w.path, w.info
	w.mu.Unlock()
	if path == "" {
		return
	}
	info, err := w.opts.Disk.Stat(path)
	if err != nil || last != nil && os.SameFile(info, last) && info.ModTime().Equal(last.ModTime()) && info.Size() == last.Size() {
		return
	}
	content, err := readFile(w.opts.Disk, path)
	if err != nil {
		return
	}
	sum := sha256.Sum256(content)
	w.mu.Lock()
	news := path == w.path && sum != w.told
	if path == w.path {
		w.info, w.told = info, sum
	}
	w.mu.Unlock()
	if news {
		w.opts.dispatch(func() { w.seen(path, sum) })
	}
}

func (w *watch) close() {
	w.mu.Lock()
	defer w.mu.Unlock()
	w.path = ""
	if w.stop != nil {
		close(w.stop)
		w.stop = nil
	}
}

// OnFileChanged adds a listener that is called when another program has
// written something else to the file of the open design.
func (s *Session) OnFileChanged(listener func()) { s.fileChanged = append(s.fileChanged, listener) }

// fileSeen is told what the file at path holds by now.
func (s *Session) fileSeen(path string, sum [sha256.Size]byte) {
	if s.closed || path != s.file.path || sum == s.file.disk || s.lanes[path].writes(sum) {
		return // it was the session itself, meanwhile
	}
	for _, listener := range s.fileChanged {
		listener()
	}
}
