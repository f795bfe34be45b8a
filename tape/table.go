package tape

import (
	"bytes"
	"fmt"
	"strconv"
	"strings"

	"whatbout/internal/input"
)

// kind says how the rows of one kind of file are read.
type kind[T any] struct {
	columns  []string
	required int // so many of them must be there
	read     func(p *cells) T
	place    func(row *T, round uint8, clock int64)
}

// source hands over the rows of a file or a sheet; see input.ReadSheet.
type source func(known, required []string, row func(line int, get func(col string) string)) input.Faults

func textSource(file string, data []byte) source {
	return func(known, required []string, row func(int, func(string) string)) input.Faults {
		return input.ReadSheet(file, bytes.NewReader(data), known, required, row)
	}
}

// readTable reads all rows in the order of round and clock. A row with a fault is not among them.
func readTable[T any](file string, from source, k *kind[T], t timing) (rows []T, warnings []string, faults input.Faults) {
	c := &clocks{timing: t, file: file, faults: &faults} // faults of the words; those of the form come from input
	var read []T
	var bad []bool
	required := k.columns[:k.required]
	if t.clock == "video" {
		required = required[1:] // the bells say the round
	}
	form := from(k.columns, required, func(line int, get func(string) string) {
		p := cells{file: file, line: line, get: get, faults: &faults}
		c.stamps = append(c.stamps, p.stamp(t.clock == "video"))
		read = append(read, k.read(&p))
		bad = append(bad, p.bad)
	})
	for _, f := range form {
		faults.Add(f)
	}
	rows = []T{}
	for _, i := range c.settle() {
		if !bad[i] {
			k.place(&read[i], c.stamps[i].round, c.stamps[i].us)
			rows = append(rows, read[i])
		}
	}
	return rows, c.warnings, faults
}

// stamp reads round and clock; the round may be missing where bells say it.
func (p *cells) stamp(bells bool) stamp {
	s := stamp{line: p.line}
	cell := strings.TrimSpace(p.get("round"))
	round, err := strconv.ParseUint(cell, 10, 8)
	if (err != nil || round < 1) && !(bells && cell == "") {
		p.fault(fmt.Sprintf("round %.40q", p.get("round")), "a whole number from 1", "")
	}
	s.round = uint8(round)
	var ok bool
	if s.typed, ok = parseTime(p.get("clock")); !ok {
		p.fault(fmt.Sprintf("%.40q is no clock", p.get("clock")), timeWant, timeHint(p.get("clock")))
	}
	s.bad = p.bad
	return s
}
