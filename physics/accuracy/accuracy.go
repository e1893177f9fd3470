// Package accuracy sets our numbers beside published and independent ones: a
// table for whoever doubts a result. Everything is SI; differences are relative.
//
// Start with [Rows]. The values of others are in the folder reference, each
// file with its source, and are part of the program, so that the comparison is
// made by the program that its user has, on the machine that he has.
//
// What is compared, and how much is allowed, is decided by what the other side
// can bear: the digits it prints, the error it states, or what a maker needs.
// Tests elsewhere hold the same values to what was reached, which is often a
// hundred times closer.
package accuracy

import (
	"context"
	"math"

	"coilwright/physics/sentence"
	"coilwright/physics/si"
)

// Row compares one value of others with ours.
type Row struct {
	Group      sentence.Text // what rows in one block have in common
	Quantity   sentence.Text
	Case       sentence.Text // what it is the quantity of
	Source     sentence.Text
	Theirs     float64 // SI
	Ours       float64 // SI
	Unit       si.Unit // an SI unit
	Difference float64 // (ours - theirs)/theirs
	Allowed    float64 // largest magnitude of Difference
	Within     bool    // whether it is kept
}

// A group computes the rows of one block.
type group struct {
	name sentence.Text
	rows func(context.Context, *table) error
}

func groups() []group {
	return []group{
		{sentence.New("Wire"), wires},
		{sentence.New("Bodies with an exact answer"), exactBodies},
		{sentence.New("Bodies by boundary elements"), boundaryElements},
		{sentence.New("Wire rings"), wireRings},
		{sentence.New("Inductance"), inductances},
		{sentence.New("Resistance to alternating current"), resistances},
		{sentence.New("Modes against full matrices of every turn"), modes},
		{sentence.New("Modes against a full-wave solution"), fullWave},
		{sentence.New("Measured coils"), measured},
	}
}

// Rows computes the whole table, group by group. A value that could not be
// computed at all is an error; one that is too far off is a row that is not
// within.
func Rows(ctx context.Context) ([]Row, error) {
	var t table
	for _, g := range groups() {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		t.group = g.name
		if err := g.rows(ctx, &t); err != nil {
			return nil, err
		}
	}
	return t.rows, nil
}

// Beyond returns how many rows are not within what is allowed.
func Beyond(rows []Row) int {
	n := 0
	for _, r := range rows {
		if !r.Within {
			n++
		}
	}
	return n
}

// table collects rows.
type table struct {
	group sentence.Text
	rows  []Row
}

// subject is what a row is about.
type subject struct {
	quantity sentence.Text
	unit     si.Unit
	source   sentence.Text
	allowed  float64
}

// add compares ours with theirs.
func (t *table) add(s subject, of sentence.Text, theirs, ours float64) {
	difference := (ours - theirs) / theirs
	t.rows = append(t.rows, Row{
		Group: t.group, Quantity: s.quantity, Case: of, Source: s.source,
		Theirs: theirs, Ours: ours, Unit: s.unit,
		Difference: difference, Allowed: s.allowed,
		Within: math.Abs(difference) <= s.allowed, // not if it is NaN
	})
}
