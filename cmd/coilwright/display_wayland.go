//go:build wayland

package main

// usesWayland says for which display server the toolkit was built.
const usesWayland = true
