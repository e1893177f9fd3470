// Coilwright shows a small resonant high-voltage coil and answers live while
// its dimensions are changed.
//
// Usage:
//
//	coilwright [-version] [FILE.coil.json | FILE.lesson.json]
//
// Without a file it opens an example. It ends with exit code 0, with 1 and one
// line on standard error when it cannot start, and with 2 when it is called
// wrongly.
package main

import (
	"flag"
	"fmt"
	"io"
	"os"
	"runtime"

	fyneapp "fyne.io/fyne/v2/app"

	"coilwright/app"
	"coilwright/app/settings"
	_ "coilwright/cmd/coilwright/locale"
	"coilwright/release"
)

func main() {
	os.Exit(run(os.Args[1:], os.Stdout, os.Stderr))
}

// run is main with its surroundings as arguments; it returns the exit code.
func run(args []string, stdout, stderr io.Writer) int {
	const (
		exitRefused = 1
		exitUsage   = 2
	)
	flags := flag.NewFlagSet("coilwright", flag.ContinueOnError)
	flags.SetOutput(stderr)
	version := flags.Bool("version", false, "print which version this is")
	flags.Usage = func() { fmt.Fprintln(stderr, "usage: coilwright [-version] [FILE.coil.json | FILE.lesson.json]") }
	switch err := flags.Parse(args); {
	case err == flag.ErrHelp:
		return 0
	case err != nil:
		return exitUsage
	case *version:
		fmt.Fprintln(stdout, "coilwright", release.Version())
		return 0
	case flags.NArg() > 1:
		flags.Usage()
		return exitUsage
	}
	if err := findDisplay(runtime.GOOS, os.Getenv); err != nil {
		fmt.Fprintln(stderr, "coilwright:", err)
		return exitRefused
	}
	if err := show(flags.Arg(0)); err != nil {
		fmt.Fprintln(stderr, "coilwright:", err)
		return exitRefused
	}
	return 0
}

// show opens the window, with the design or lesson at path unless that is empty,
// and returns when it is closed.
func show(path string) error {
	kept, err := settings.Open(app.SettingsFile())
	if err != nil {
		return err
	}
	a := fyneapp.NewWithID(app.ID)
	a.SetCloudProvider(kept.Provider())
	w, err := app.New(a, app.Options{StateFolder: app.StateFolder(), StockFile: app.StockFile()})
	if err != nil {
		return err
	}
	open := w.OpenPath
	if app.IsLesson(path) {
		open = w.OpenLesson
	}
	if path != "" {
		if err := open(path); err != nil {
			return err
		}
	}
	w.Welcome()
	w.Window().ShowAndRun()
	w.Wait()
	return kept.Close()
}
