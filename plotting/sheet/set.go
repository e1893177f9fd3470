package sheet

import (
	"context"
	"fmt"
	"strconv"
	"strings"

	"coilwright/physics/design"
	"coilwright/physics/si"
	"coilwright/physics/winding"
	"coilwright/plotting"
)

// SetOf returns the designs of a set: copies of one coil, or a ladder in which
// the number at a key takes the given values in turn. Values are plain numbers in
// the unit of the key, which its name ends in.
func SetOf(d design.Design, copies int, key string, values []string) ([]design.Design, error) {
	if key == "" {
		set := make([]design.Design, max(1, copies))
		for i := range set {
			set[i] = d
		}
		return set, nil
	}
	if named, err := design.KeyOf(d, key); err == nil {
		key = named
	}
	if len(values) == 0 {
		return nil, fmt.Errorf("sheet: no values of %s", key)
	}
	set := make([]design.Design, 0, len(values))
	for _, text := range values {
		x, err := ladderValue(key, text)
		if err != nil {
			return nil, fmt.Errorf("%s: %q: %w", key, text, err)
		}
		member := d
		if err := design.Set(&member, key, x); err != nil {
			return nil, err
		}
		member.Name = strings.TrimSpace(d.Name + " " + text)
		set = append(set, member)
	}
	return set, nil
}

// ladderValue reads a value as the unit of its key has it; lengths may be typed
// with a unit, "16mm".
func ladderValue(key, text string) (float64, error) {
	if strings.HasSuffix(key, "_m") {
		return si.ParseIn(text, si.Metre)
	}
	return strconv.ParseFloat(text, 64)
}

// NumberText says which coil of a set a sheet is of; of a single one it says
// nothing.
func NumberText(n, all int) string {
	if all <= 1 {
		return ""
	}
	return fmt.Sprintf("coil %d of %d", n, all)
}

// NewBuild computes what a sheet shows of a design; identity and inputs are left
// to the caller. A design that cannot be built has none: the error is then
// [design.Problems].
func NewBuild(ctx context.Context, d design.Design, settings winding.Settings, units plotting.Units) (Build, error) {
	unit := si.Millimetre
	if units.Inch {
		unit = si.Inch
	}
	b := Build{Design: d, Units: units}
	var err error
	if b.Plan, err = design.WindingPlan(d, settings, unit); err != nil {
		return Build{}, err
	}
	if b.Geometry, err = d.Geometry(); err != nil {
		return Build{}, err
	}
	if b.Report, err = design.Evaluate(ctx, d); err != nil {
		return Build{}, err
	}
	b.Curves, err = design.ComputeCurves(ctx, d, design.CurveOptions{})
	return b, err
}
