// Measure drags every slider of the real window and prints what that takes.
//
// Usage, with a display or under Xvfb:
//
//	go run ./.ci/measure [-steps N] [-long N] [FILE.coil.json]
//
// Each slider in sight is dragged to and fro in N steps of 16 ms. Printed are
// the time from the start of the process to the first complete set of pictures,
// and for each slider: sets of pictures a second, the widest gap between two of
// them, the time that the UI goroutine spends in the program's own code for
// each step and at most at once, and processor time for each step, the
// toolkit's and the graphics' included. Then one slider is dragged for -long
// steps, and the live heap before and after is printed, with resident memory.
package main

import (
	"flag"
	"fmt"
	"os"
	"runtime"
	"strings"
	"syscall"
	"time"

	"fyne.io/fyne/v2"
	fyneapp "fyne.io/fyne/v2/app"

	"coilwright/app"
)

// pause is the time between two steps: a screen of 60 pictures a second.
const pause = 16 * time.Millisecond

func main() {
	started := processStart()
	steps := flag.Int("steps", 600, "`steps` of the drag of each slider")
	long := flag.Int("long", 10000, "`steps` of the drag before the heap is measured again")
	flag.Parse()
	window, err := app.New(fyneapp.NewWithID(app.ID+".measure"), app.Options{})
	if err == nil && flag.NArg() > 0 {
		err = window.OpenPath(flag.Arg(0))
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, "measure:", err)
		os.Exit(1)
	}
	go func() {
		for !window.Drawn() {
			time.Sleep(time.Millisecond)
		}
		fmt.Printf("start to the first complete set of pictures: %d ms\n\n", time.Since(started).Milliseconds())
		time.Sleep(2 * time.Second) // caches of the toolkit, the driver's solve
		measure(window, *steps, *long)
		fyne.Do(func() { os.Exit(0) })
	}()
	window.Window().ShowAndRun()
}

func measure(window *app.Window, steps, long int) {
	var keys []string
	fyne.DoAndWait(func() { keys = window.Sliders() })
	fmt.Printf("%-32s %10s %10s %12s %12s %10s\n", "slider", "pictures/s", "widest gap", "UI per step", "UI at most", "CPU/step")
	for _, key := range keys {
		before := cpu()
		m := window.Drag(key, steps, pause)
		used := cpu() - before
		fmt.Printf("%-32s %10.1f %7.0f ms %9.2f ms %9.1f ms %7.1f ms\n", key,
			float64(m.Pictures)/m.Elapsed.Seconds(), ms(m.Widest), ms(m.UI)/float64(m.Steps), ms(m.Slowest), ms(used)/float64(m.Steps))
	}
	if long == 0 || len(keys) == 0 {
		return
	}
	before := heap()
	window.Drag(keys[0], long, pause/4)
	time.Sleep(time.Second)
	after := heap()
	fmt.Printf("\n%d steps more: live heap %.1f MB before, %.1f MB after; resident %s\n", long, before, after, resident())
}

func ms(d time.Duration) float64 {
	return float64(d) / float64(time.Millisecond)
}

// cpu returns the processor time that the process has used.
func cpu() time.Duration {
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		return 0
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}

// heap returns the live heap after a collection, in MB.
func heap() float64 {
	var m runtime.MemStats
	runtime.GC()
	runtime.GC() // finalizers of the first have run
	runtime.ReadMemStats(&m)
	return float64(m.HeapAlloc) / 1e6
}

// resident returns the resident memory as the kernel words it.
func resident() string {
	status, err := os.ReadFile("/proc/self/status")
	if err != nil {
		return "unknown"
	}
	for line := range strings.Lines(string(status)) {
		if rest, ok := strings.CutPrefix(line, "VmRSS:"); ok {
			return strings.TrimSpace(rest)
		}
	}
	return "unknown"
}

// processStart returns when the process was started, within a hundredth of a
// second, or now where the kernel does not tell.
func processStart() time.Time {
	info, err := os.Stat("/proc/self")
	if err != nil {
		return time.Now()
	}
	return info.ModTime()
}
