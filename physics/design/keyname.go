package design

import (
	"fmt"
	"slices"
	"strings"
)

// keyNames are the keys that people name in a word or two.
var keyNames = map[string]string{
	"turns":         keyTurns,
	"pitch":         keyPitch,
	"packing":       keyPacking,
	"former":        keyFormer,
	"base":          keyBase,
	"ring turns":    keyRingTurns,
	"ring former":   keyRingFormer,
	"hub":           keyHub,
	"height":        keyTopHeight,
	"top height":    keyTopHeight,
	"primary turns": "primary.turns",
	"tap":           "primary.tap_turns",
	"ceiling":       "room.ceiling_height_m",
	"board":         "room.circuit_diameter_m",
}

// unitsOfKeys are the units that end a key.
var unitsOfKeys = []string{"m", "f", "h", "hz", "ohm", "v", "c", "deg", "pa", "s"}

// KeyOf returns the key of a number of d by its name: the key itself, a word or
// two such as "turns", "ring former" or "hub", or the end of a key with or
// without its unit, "tube_diameter", if it is the end of one only. Spaces and
// hyphens stand for underlines.
//
// The error wraps [ErrNoNumber] and says which keys it could be.
func KeyOf(d Design, name string) (string, error) {
	name = strings.TrimSpace(name)
	if _, _, err := Range(d, name); err == nil {
		return name, nil
	}
	words := strings.ToLower(strings.NewReplacer("-", " ", "_", " ").Replace(name))
	if key, ok := keyNames[strings.Join(strings.Fields(words), " ")]; ok {
		if _, _, err := Range(d, key); err == nil {
			return key, nil
		}
		return "", fmt.Errorf("%w: this design has no %s", ErrNoNumber, key)
	}
	keys := numberKeys(&d)
	ending := strings.Join(strings.Fields(words), "_")
	meant := slices.DeleteFunc(slices.Clone(keys), func(key string) bool {
		last := key[strings.LastIndexByte(key, '.')+1:]
		bare, unit := last, ""
		if i := strings.LastIndexByte(last, '_'); i > 0 {
			bare, unit = last[:i], last[i+1:]
		}
		return ending != last && (ending != bare || !slices.Contains(unitsOfKeys, unit))
	})
	switch len(meant) {
	case 1:
		return meant[0], nil
	case 0:
		return "", fmt.Errorf("%w: %q; the coil's are %s", ErrNoNumber, shortened(name),
			strings.Join(slices.DeleteFunc(keys, func(key string) bool { return !ofCoil(key) }), ", "))
	}
	return "", fmt.Errorf("%w: %q could be %s", ErrNoNumber, shortened(name), strings.Join(meant, " or "))
}

// ofCoil reports whether a key is one of the winding or the top load.
func ofCoil(key string) bool {
	return strings.HasPrefix(key, "secondary.") || strings.HasPrefix(key, "top_load.")
}

// isObject reports whether a value has keys of its own.
func isObject(v value) bool {
	_, ok := v.(object)
	return ok
}

// numberKeys returns the keys of all numbers of a design of d's kinds.
func numberKeys(d *Design) []string {
	var keys []string
	var walk func(path string, o object)
	walk = func(path string, o object) {
		for _, f := range o.fields() {
			if !o.belongs(f) || f.need == spare && isObject(f.value) && f.value.unset() {
				continue
			}
			switch v := f.value.(type) {
			case object:
				walk(join(path, f.key), v)
			case quantity, whole, optional:
				keys = append(keys, join(path, f.key))
			}
		}
	}
	var format string
	var version int
	walk("", wholeDesign(d, &format, &version))
	return slices.DeleteFunc(keys, func(key string) bool { return key == "version" })
}
