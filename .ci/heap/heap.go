// The endurance test builds this file into the window's main package; no other
// build has it. On SIGUSR1 it collects garbage and writes how many goroutines
// there are and how much of the heap is in use to the file that
// COILWRIGHT_FIGURES names, and beside it a profile of what holds the heap.
package main

import (
	"fmt"
	"os"
	"os/signal"
	"runtime"
	"runtime/pprof"
	"strings"
	"syscall"
)

func init() {
	path := os.Getenv("COILWRIGHT_FIGURES")
	if path == "" {
		return
	}
	asked := make(chan os.Signal, 1)
	signal.Notify(asked, syscall.SIGUSR1)
	go func() {
		for range asked {
			if err := writeFigures(path); err != nil {
				fmt.Fprintln(os.Stderr, "figures:", err)
			}
		}
	}()
}

// writeFigures writes the figures whole, so that a reader who sees the file has
// all of them.
func writeFigures(path string) error {
	runtime.GC()
	runtime.GC() // the first leaves what finalizers held
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	profile, err := os.Create(path + ".heap")
	if err != nil {
		return err
	}
	if err := pprof.WriteHeapProfile(profile); err != nil {
		return err
	}
	if err := profile.Close(); err != nil {
		return err
	}
	var stacks strings.Builder
	if err := pprof.Lookup("goroutine").WriteTo(&stacks, 1); err != nil {
		return err
	}
	if err := os.WriteFile(path+".goroutines", []byte(stacks.String()), 0o600); err != nil {
		return err
	}
	const mebi = 1 << 20
	text := fmt.Sprintf("%10d %7.1f %8.1f\n", runtime.NumGoroutine(), float64(m.HeapAlloc)/mebi, float64(m.Sys-m.HeapReleased)/mebi)
	if err := os.WriteFile(path+".part", []byte(text), 0o600); err != nil {
		return err
	}
	return os.Rename(path+".part", path)
}
