package main

import (
	"errors"
	"net"
	"strconv"
	"testing"
)

func TestFindDisplay(t *testing.T) {
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer listener.Close()
	port := listener.Addr().(*net.TCPAddr).Port
	if port < 6000 {
		t.Skipf("the system chose port %d, below those of displays", port)
	}
	served := "127.0.0.1:" + strconv.Itoa(port-6000)

	for _, test := range []struct {
		name, system, display string
		found                 bool
	}{
		{"none", "linux", "", false},
		{"none, BSD", "openbsd", "", false},
		{"none needed", "windows", "", true},
		{"none needed", "darwin", "", true},
		{"no number", "linux", "here", false},
		{"no number", "linux", ":", false},
		{"negative", "linux", ":-1", false},
		{"no such display", "linux", ":31999", false},
		{"no such display, with screen", "linux", "unix:31999.0", false},
		{"no such port", "linux", "127.0.0.1:65000", false},
		{"served", "linux", served, true},
		{"served, with screen", "linux", served + ".0", true},
		{"by socket", "linux", "/private/socket:0", true},
	} {
		err := findDisplay(test.system, func(key string) string {
			if key == "DISPLAY" {
				return test.display
			}
			return ""
		})
		if found := err == nil; found != test.found || !found && !errors.Is(err, errNoDisplay) {
			t.Errorf("%s: findDisplay(%s, %q) = %v, want found %v", test.name, test.system, test.display, err, test.found)
		}
	}
}
