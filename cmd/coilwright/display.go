package main

import (
	"errors"
	"fmt"
	"net"
	"strconv"
	"strings"
	"time"
)

// errNoDisplay says that no window can be shown here. The toolkit itself would
// end in a traceback.
var errNoDisplay = errors.New("no display to open a window on")

// dialTimeout bounds the wait for a display on another machine.
const dialTimeout = 5 * time.Second

// findDisplay returns an error that wraps errNoDisplay if no window can be
// shown, with the operating system and its environment as arguments. Only X11
// and Wayland are asked: elsewhere a program always has a screen.
func findDisplay(system string, getenv func(string) string) error {
	switch system {
	case "linux", "freebsd", "netbsd", "openbsd", "dragonfly":
	default:
		return nil
	}
	if usesWayland && getenv("WAYLAND_DISPLAY") != "" {
		return nil
	}
	name := getenv("DISPLAY")
	if name == "" {
		return fmt.Errorf("%w: DISPLAY is not set", errNoDisplay)
	}
	if strings.Contains(name, "/") { // a protocol or a socket by name: leave it to the X library
		return nil
	}
	host, number, err := splitDisplay(name)
	if err != nil {
		return fmt.Errorf("%w: DISPLAY is %q", errNoDisplay, name)
	}
	if !answers(host, number) {
		return fmt.Errorf("%w: nothing answers at DISPLAY %q", errNoDisplay, name)
	}
	return nil
}

// splitDisplay takes "host:number.screen" apart; host and screen may be
// missing.
//
// Source: X(7), section "Display names".
func splitDisplay(name string) (host string, number int, err error) {
	colon := strings.LastIndex(name, ":")
	if colon < 0 {
		return "", 0, errNoDisplay
	}
	digits, _, _ := strings.Cut(name[colon+1:], ".")
	n, err := strconv.ParseUint(digits, 10, 16)
	return name[:colon], int(n), err
}

// answers reports whether an X server takes connections: on this machine
// through its socket, which Linux servers also have under an abstract name,
// and on others at TCP port 6000 plus number.
//
// Source: X(7), section "Display names"; Xserver(1), section "Network
// connections".
func answers(host string, number int) bool {
	if host != "" && host != "unix" {
		const firstPort = 6000
		return dials("tcp", net.JoinHostPort(strings.Trim(host, "[]"), strconv.Itoa(firstPort+number)))
	}
	socket := "/tmp/.X11-unix/X" + strconv.Itoa(number)
	return dials("unix", socket) || dials("unix", "@"+socket)
}

func dials(network, address string) bool {
	c, err := net.DialTimeout(network, address, dialTimeout)
	if err != nil {
		return false
	}
	c.Close()
	return true
}
