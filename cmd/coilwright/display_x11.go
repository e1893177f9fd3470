//go:build !wayland

package main

// usesWayland says for which display server the toolkit was built: X11, which
// Wayland desktops offer too.
const usesWayland = false
