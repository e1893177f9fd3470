package driver

import "slices"

// Battery is a supply as it is bought: its open voltage, what it loses inside,
// and what it holds.
type Battery struct {
	Code       string  // short and stable
	What       string  // in a few words
	Voltage    float64 // V, open
	Resistance float64 // ohm, inside or of its leads
	Charge     float64 // A s until it is empty at some tens of mA; 0: it does not run out
	Allowed    float64 // A it is made for; 0: not stated
	Source     string
	Status     string // as that of a [Source]
}

const ampereHour = 3600 // A s

// batteries are the presets. Of resistances only the orders of magnitude are
// known: they differ by a factor of two among samples and rise with age.
var batteries = []Battery{
	{"block_fresh", "9 V block, fresh", 9, 1.5, 0.55 * ampereHour, 0, "alkaline block: 1 to 2 ohm (learningaboutelectronics.com, battery internal resistance), about 600 mAh rated (poweringautos.com), less at 100 mA", "seen"},
	{"block_tired", "9 V block, tired", 7.5, 6, 0.1 * ampereHour, 0, "common practice, no source", "assumption"},
	{"cells_4", "four AA cells", 6, 0.6, 2 * ampereHour, 0, "alkaline AA, 0.15 ohm each when fresh at room temperature (EPFL Graph Search, internal resistance); charge at 100 mA", "seen"},
	{"cells_6", "six AA cells", 9, 0.9, 2 * ampereHour, 0, "alkaline AA, 0.15 ohm each when fresh at room temperature (EPFL Graph Search, internal resistance); charge at 100 mA", "seen"},
	{"lithium_2", "two lithium-ion cells", 7.4, 0.12, 2.5 * ampereHour, 0, "cells of 18 x 65 mm with their protection", "from memory"},
	{"usb", "USB port", 5, 0.3, 0, 0.5, "USB 2.0 specification: 5 V, 0.5 A; resistance of the cable: common practice", "from memory"},
	{"bench", "bench supply", 12, 0.05, 0, 0, "leads of half a metre; common practice, no source", "assumption"},
}

// Batteries returns the presets of supplies, the usual one first.
func Batteries() []Battery { return slices.Clone(batteries) }

// RunTime returns how long in s the battery lasts at a mean current in A; 0 if it
// does not run out or nothing is drawn. It sags on the way: what runs near
// its least supply stops sooner.
func (b Battery) RunTime(current float64) float64 {
	if b.Charge == 0 || current <= 0 {
		return 0
	}
	return b.Charge / current
}
