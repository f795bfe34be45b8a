// Package input reads what users write: YAML and CSV files with every fault listed by file, line and column, each with
// what was expected and the nearest known word; it also writes files so that a crash leaves the old or the new one.
//
// It decides what is a well-formed file and a well-formed number, word or list. What the values mean, and which
// combinations of them make sense, is left to the caller, who adds faults of its own to the same list.
package input

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"unicode"
)

const (
	printedFaults = 50   // more than this on a screen help nobody
	keptFaults    = 1000 // a hostile file could otherwise fill the memory with faults
)

// Fault is one thing wrong in a user's file. Line and Column count from 1; 0 means not known.
// Want and Hint may be empty.
type Fault struct {
	File             string
	Line, Column     int
	What, Want, Hint string
}

// Error gives "file:line:column: what; expected want; hint" on one line, leaving out what is not known.
func (f Fault) Error() string {
	var b strings.Builder
	b.WriteString(f.File)
	if f.Line > 0 {
		fmt.Fprintf(&b, ":%d", f.Line)
		if f.Column > 0 {
			fmt.Fprintf(&b, ":%d", f.Column)
		}
	}
	if b.Len() > 0 {
		b.WriteString(": ")
	}
	b.WriteString(f.What)
	if f.Want != "" {
		b.WriteString("; expected " + f.Want)
	}
	if f.Hint != "" {
		b.WriteString("; " + f.Hint)
	}
	return strings.Map(printable, b.String())
}

// printable keeps a fault on one line, and control sequences of a hostile file off the terminal.
func printable(r rune) rune {
	if unicode.IsPrint(r) {
		return r
	}
	return ' '
}

// Faults are all the faults found; as an error they print one a line.
type Faults []Fault

// Add keeps one more fault; beyond 1000 faults are dropped.
func (f *Faults) Add(one Fault) {
	if len(*f) < keptFaults {
		*f = append(*f, one)
	}
}

// Err is nil when there are no faults, and otherwise the faults in the order of file, line and column.
func (f Faults) Err() error {
	if len(f) == 0 {
		return nil
	}
	return f.sorted()
}

// Error prints the first 50 faults in the order of file, line and column, and how many more there are.
func (f Faults) Error() string {
	var lines []string
	for _, one := range f.sorted()[:min(len(f), printedFaults)] {
		lines = append(lines, one.Error())
	}
	if more := len(f) - printedFaults; more > 0 {
		atLeast := ""
		if len(f) >= keptFaults {
			atLeast = "at least "
		}
		lines = append(lines, fmt.Sprintf("and %s%d more", atLeast, more))
	}
	return strings.Join(lines, "\n")
}

func (f Faults) sorted() Faults {
	out := slices.Clone(f)
	slices.SortStableFunc(out, func(a, b Fault) int {
		return cmp.Or(cmp.Compare(a.File, b.File), cmp.Compare(a.Line, b.Line), cmp.Compare(a.Column, b.Column))
	})
	return out
}
