// Package app builds the window: it ties the open design of package session to
// the views, and holds menus, files, preferences and help.
//
// Start reading at [New]. State goes down: a change of the session reaches
// every view by changed, a result by resulted. Wishes go up: a view calls the
// session. All of it runs on the UI goroutine; figures are drawn on the
// session's worker by artist.
package app

import (
	"sync/atomic"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/dialog"
	"fyne.io/fyne/v2/lang"

	"coilwright/app/disk"
	"coilwright/app/session"
	"coilwright/app/theme"
	"coilwright/app/view"
	"coilwright/assets"
	"coilwright/physics/design"
	"coilwright/plotting"
)

// ID names the program to the desktop; its preferences are kept under it.
const ID = "org.coilwright.Coilwright"

// Least size of the window at which everything is in reach, in
// density-independent pixels, the size it has when first opened, and one larger
// than any screen, for settings that were tampered with.
var (
	leastSize   = fyne.NewSize(1024, 700)
	firstSize   = fyne.NewSize(1280, 800)
	largestSize = fyne.NewSize(8192, 8192)
)

// Options is what the window needs beyond the application.
type Options struct {
	// Synchronous solves and draws inside the call that asks for it, for tests.
	Synchronous bool
	// StateFolder is where the open design is kept against a crash; empty:
	// nowhere. See [StateFolder].
	StateFolder string
	// Disk is what files are written to and designs read from; nil: the machine's.
	Disk disk.FileSystem
	// Beside is [session.Options.Beside].
	Beside func(work func() (then func()))
	// StockFile is where the user's stock is kept; empty: nowhere. See [StockFile].
	StockFile string
}

// Window is the program's one window.
type Window struct {
	app     fyne.App
	window  fyne.Window
	session *session.Session
	artist  *artist

	header  *view.Header
	cards   *view.Cards
	hint    *view.Hint
	drawing *view.Figure
	figures [figureCount]*view.Figure
	results *view.Results
	notice  *view.Notice
	frame   *view.Frame

	stages []*entered // in the order of the bar
	at     int        // which of them is shown

	plots [figureCount]*painting
	coil  *painting
	over  atomic.Int32                          // what is drawn beside the winding, for the worker
	held  atomic.Pointer[plotting.SectionFrame] // the scale of the drawing during a drag, likewise

	kept  kept // variants, solved
	hands []*hand
	grips *view.Grips

	lenses   []*lens // of all figures that have one
	closeUps [figureCount]lens
	readouts [figureCount]*view.Readout
	readAt   [figureCount]fyne.Position // where the pointer was on each last
	meter    meter

	pressed  *pressed // the figure under the pressed pointer; nil: none
	clicks   [2]int   // steps of the history before each of the last two presses on a figure
	pointed  int      // the figure the pointer was on last; figureCount: the drawing
	enlarged int      // the one that has the whole window, likewise; none: no figure

	varyRing, varyBody *view.Segments // what the curve of the top load changes
	overlay            *view.Segments // what is drawn beside the winding
	menu               menu
	dialogs            []dialog.Dialog // open, the last one on top
	fileQuestion       dialog.Dialog   // about a file that another program has written to; nil: never asked
	saveQuestion       dialog.Dialog   // about a save that failed, likewise

	disk     disk.FileSystem
	errands  errands
	document int  // rises with every document that is opened
	ended    bool // the window is closed

	units       view.Units
	appearance  theme.Appearance
	scale       int             // per cent; 0: as the desktop
	largeText   bool            // larger than usual
	stockFile   string          // where the stock is kept; empty: in stock
	stock       design.Stock    // of a window without a file for it
	stopFinding func()          // ends the search for a target that is under way
	stateFolder string          // for what is kept between runs; empty: nowhere
	synchronous bool            // nothing runs beside the window, for tests
	last        *session.Result // on screen; nil before the first
}

// New builds the window on a first example. Texts are loaded and the theme is
// set for the whole application.
func New(a fyne.App, options Options) (*Window, error) {
	if err := loadTexts(); err != nil {
		return nil, err
	}
	a.SetIcon(fyne.NewStaticResource("coilwright.png", assets.Icon))
	w := &Window{
		app: a, artist: &artist{}, enlarged: none, stateFolder: options.StateFolder, stockFile: options.StockFile,
		synchronous: options.Synchronous, stopFinding: func() {}, disk: options.Disk,
	}
	if w.disk == nil {
		w.disk = disk.OS
	}
	w.units, w.appearance = preferredLook(a.Preferences())
	w.scale, w.largeText = preferredScale(a.Preferences()), a.Preferences().Bool(preferLargeText)
	if w.scale > 0 {
		if err := applyScale(w.scale); err != nil {
			return nil, err
		}
	}
	w.artist.setLarge(w.largeText)
	a.Settings().SetTheme(w.theme())

	w.session = session.New(session.Options{
		Dispatch:    w.dispatch,
		Synchronous: options.Synchronous,
		Draw:        w.artist.draw,
		DrawDrive:   w.artist.drawDriver,
		Recent:      a.Preferences(),
		Disk:        w.disk,
		Beside:      options.Beside,
		StateFolder: options.StateFolder,
	})
	w.window = a.NewWindow(lang.L("app.name"))
	w.window.SetMaster()
	w.window.SetPadded(false)
	w.build()
	w.session.OnOpen(w.documentOpened)
	w.session.OnBusy(w.busyChanged)
	w.session.OnChange(w.changed)
	w.session.OnResult(w.resulted)
	w.session.OnDrive(w.driven)
	w.session.OnFileChanged(w.fileChanged)
	w.session.OnKeepFailed(w.keepFailed)
	w.window.SetCloseIntercept(w.close)
	w.window.SetOnDropped(w.dropped)
	a.Settings().AddListener(func(fyne.Settings) { w.restyle() })
	w.window.Resize(w.preferredSize())
	w.restyle()
	w.showUnits()

	example, err := firstExample()
	if err != nil {
		return nil, err
	}
	w.session.New(example)
	w.showStage()
	w.greet()
	return w, nil
}

// Window returns the toolkit's window.
func (w *Window) Window() fyne.Window {
	return w.window
}

// build makes the views and lays them out.
func (w *Window) build() {
	w.buildStages()
	w.header = view.NewHeader(w.stageKeys()...)
	w.header.OnStage = w.enter
	w.header.OnUndo = w.undo
	w.header.OnRedo = w.redo
	w.header.OnUnits = w.setUnits
	w.header.OnAppearance = w.toggleAppearance
	w.header.OnHelp = func() { w.showPage(pageUsing) }

	w.hint = view.NewHint()
	w.header.OnHint = w.hint.Show
	w.cards = view.NewCards(w.session)
	w.cards.OnHint = w.hint.Show
	w.cards.OnSay = w.hint.Say
	w.cards.SetFolded(w.app.Preferences().StringListWithFallback(preferFolded, foldedAtFirst))
	w.cards.OnFold = func(folded []string) { w.app.Preferences().SetStringList(preferFolded, folded) }

	w.cards.OnFind = w.find
	w.cards.OnDrawer = w.openDrawer

	w.buildFigures()
	w.results = view.NewResults()
	w.results.OnHint = w.hint.Show
	w.results.OnBehind = w.showBehind
	w.results.OnAir = w.showAir
	w.results.OnDrive = w.leadToDriver
	w.notice = view.NewNotice()
	w.notice.Nearest = w.cards.Nearest
	w.notice.OnApply = w.cards.Apply
	w.notice.OnAll = func(items []view.Item) { w.showItems("notice.title", items) }
	w.notice.OnLead = w.lead
	w.notice.Leads = w.leads
	w.notice.OnHint = w.hint.Show

	w.buildMenu()
	w.window.Canvas().SetOnTypedKey(w.typedKey)
	w.addLensKeys()
	w.frame = view.NewFrame(view.FrameParts{
		Header:  w.header.Object(),
		Hint:    w.hint.Object(),
		Results: w.results.Object(),
		Notice:  w.notice.Object(),
	})
	w.window.SetContent(w.frame.Object())
}

// documentOpened is called when another document takes the window.
func (w *Window) documentOpened() {
	w.document++
	w.cards.SetOpened(w.session.Design())
	for _, l := range w.lenses {
		l.shown.Store(nil)
	}
}

// changed shows the design and the state of its file and history.
func (w *Window) changed() {
	if s := w.current(); s.built {
		s.stage.changed(w.session.Design())
	}
	w.showMenu()
	w.showTitle()
}

// resulted shows a result and what was drawn of it.
func (w *Window) resulted(r session.Result) {
	if w.last != nil && r.Number == w.last.Number && r.Drive == w.last.Drive {
		w.showDrawn(r.Drawn) // nothing but drawn again
		return
	}
	w.last = &r
	w.results.Show(&r, w.units)
	w.notice.Show(&r, w.units)
	w.showDrawn(r.Drawn)
	if s := w.current(); s.built {
		s.stage.show(&r)
	}
}

// driven shows an answer about the driver and what was drawn of it.
func (w *Window) driven(r session.DriveResult) {
	w.showDrawn(r.Drawn)
	for _, s := range w.stages {
		if d, ok := s.stage.(*driveStage); ok && s.built {
			d.answer(&r)
		}
	}
}

// redraw draws everything that is shown again, as far as it is not right any
// more.
func (w *Window) redraw() {
	w.session.Redraw()
	w.session.RedrawDrive()
}

// name returns what the design is called in the window.
func (w *Window) name() string {
	if name := w.session.Design().Name; name != "" {
		return name
	}
	return lang.L("app.unnamed")
}

// showTitle shows the name with what is to be known about its file, in the header
// and to the desktop.
func (w *Window) showTitle() {
	title, mark := "app.title", ""
	switch told := w.errands.told; {
	case told == savingFile:
		title, mark = "app.title_saving", lang.L("header.saving")
	case told == readingFile:
		title, mark = "app.title_reading", lang.L("header.reading")
	case w.session.Modified():
		title, mark = "app.title_unsaved", lang.L("header.unsaved")
	}
	w.header.Show(w.name(), mark, w.session.UndoName() != "", w.session.RedoName() != "")
	if text := lang.L(title, map[string]any{"Name": w.name()}); text != w.window.Title() {
		w.window.SetTitle(text)
	}
}
