//go:build ignore

// Licences prints the licences of everything that is linked into the two
// programs, for the file that goes with them. It ends with exit code 1 if a
// module has no licence it knows, or one that does not go with ours.
//
// usage: go run packaging/licences.go [-list]
package main

import (
	"bufio"
	"bytes"
	"flag"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
)

// kinds are the licences that let a program under the MIT licence be given on
// with their text, each told by words that only it has.
var kinds = []struct{ name, words string }{
	{"Apache-2.0", "Apache License"},
	{"BSD-3-Clause", "Neither the name"},
	{"BSD-2-Clause", "Redistribution and use in source and binary forms"},
	{"MIT", "Permission is hereby granted, free of charge"},
	{"ISC", "Permission to use, copy, modify, and/or distribute this software"},
	{"FTL or GPL-2.0, taken as FTL", "FreeType License"},
	{"Bitstream Vera and Arev", "Bitstream Vera"},
	{"OFL-1.1", "SIL OPEN FONT LICENSE"},
	{"CC-BY-4.0", "Creative Commons Attribution 4.0 International"},
	{"Zlib", "This software is provided 'as-is', without any express or implied warranty"},
	{"HarfBuzz, Old MIT", "without written agreement and without license or royalty fees"},
	{"Unlicense", "This is free and unencumbered software"},
}

func main() {
	list := flag.Bool("list", false, "print a line for each module instead of the texts")
	flag.Parse()
	modules, err := linked()
	if err != nil {
		fmt.Fprintln(os.Stderr, "licences:", err)
		os.Exit(1)
	}
	failed := false
	for _, m := range modules {
		texts, err := licences(m.folder)
		if err != nil || len(texts) == 0 {
			fmt.Fprintf(os.Stderr, "licences: %s has no licence: %v\n", m.name, err)
			failed = true
			continue
		}
		for _, text := range texts {
			kind := kindOf(text)
			if kind == "" {
				fmt.Fprintf(os.Stderr, "licences: %s has a licence that is not on the list\n", m.name)
				failed = true
			}
			if *list {
				fmt.Printf("%-28s %s\n", kind, m.name)
				continue
			}
			fmt.Printf("%s\n%s\n\n%s\n\n", strings.Repeat("=", 72), m.name, bytes.TrimSpace(text))
		}
	}
	if failed {
		os.Exit(1)
	}
}

// module is one that something in a program comes from.
type module struct{ name, folder string }

// linked returns the modules that the programs are made of, Go's own included.
func linked() ([]module, error) {
	format := "{{if and .Module (not .Module.Main)}}{{.Module.Path}} {{.Module.Version}}\t{{.Module.Dir}}{{end}}"
	c := exec.Command("go", "list", "-deps", "-f", format, "./cmd/coilwright", "./cmd/coilsheet")
	c.Stderr = os.Stderr
	c.Env = append(os.Environ(), "CGO_ENABLED=1")
	out, err := c.Output()
	if err != nil {
		return nil, err
	}
	modules := []module{{"Go " + runtime.Version(), runtime.GOROOT()}}
	lines := bufio.NewScanner(bytes.NewReader(out))
	for lines.Scan() {
		name, folder, ok := strings.Cut(lines.Text(), "\t")
		if m := (module{name, folder}); ok && !slices.Contains(modules, m) {
			modules = append(modules, m)
		}
	}
	slices.SortFunc(modules, func(a, b module) int { return strings.Compare(a.name, b.name) })
	return modules, lines.Err()
}

// licences returns the texts of the licence files in a module, those of fonts
// and of C sources below it too; a text that stands there twice comes once.
func licences(folder string) ([][]byte, error) {
	var texts [][]byte
	walk := func(path string, entry fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		name := strings.ToUpper(entry.Name())
		if entry.IsDir() {
			if path != folder && (folder == runtime.GOROOT() || name == "TESTDATA") {
				return fs.SkipDir
			}
			return nil
		}
		if filepath.Ext(name) == ".GO" ||
			!strings.HasPrefix(name, "LICEN") && !strings.HasPrefix(name, "COPYING") && !strings.HasPrefix(name, "UNLICENSE") {
			return nil
		}
		text, err := os.ReadFile(path)
		if err == nil && !slices.ContainsFunc(texts, func(t []byte) bool { return bytes.Equal(t, text) }) {
			texts = append(texts, text)
		}
		return err
	}
	return texts, filepath.WalkDir(folder, walk)
}

// kindOf names a licence, empty if it is none of those known.
func kindOf(text []byte) string {
	plain := strings.Join(strings.Fields(string(text)), " ")
	for _, k := range kinds {
		if strings.Contains(strings.ToLower(plain), strings.ToLower(k.words)) {
			return k.name
		}
	}
	return ""
}
