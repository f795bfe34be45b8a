package tape

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"
)

var columns = []string{"round", "clock", "corner", "act", "value", "defence", "result", "how", "limb"}

// WriteCSV writes events as coded tape (RFC 4180): clocks as m:ss.s with as many decimals as keep the value.
func WriteCSV(w io.Writer, events []Event) error {
	out := csv.NewWriter(w)
	rows := [][]string{columns}
	for i := range events {
		e := &events[i]
		rows = append(rows, []string{strconv.Itoa(int(e.Round)), FormatClock(e.Clock), e.Corner.String(), e.Act.String(),
			e.Value.String(), e.Defence.String(), e.Result.String(), e.How.String(), e.Limb.String()})
	}
	return out.WriteAll(rows)
}

// FormatClock writes microseconds since the bell as m:ss.s.
func FormatClock(us int64) string {
	s := fmt.Sprintf("%d:%02d.%06d", us/60e6, us/1e6%60, us%1e6)
	s = strings.TrimRight(s, "0")
	if strings.HasSuffix(s, ".") {
		s += "0"
	}
	return s
}

// ParseClock reads m:ss.s as microseconds since the bell.
func ParseClock(s string) (int64, error) {
	minutes, rest, ok := strings.Cut(s, ":")
	whole, fraction, _ := strings.Cut(rest, ".")
	m, err := strconv.ParseUint(minutes, 10, 16)
	sec, err2 := strconv.ParseUint(whole, 10, 8)
	if !ok || err != nil || err2 != nil || len(whole) != 2 || sec > 59 || len(fraction) > 6 {
		return 0, fmt.Errorf("%q is no clock; expected m:ss.s since the bell, such as 1:05.3", s)
	}
	us, err := strconv.ParseUint((fraction + "000000")[:6], 10, 32)
	if err != nil {
		return 0, fmt.Errorf("%q is no clock; expected m:ss.s since the bell, such as 1:05.3", s)
	}
	return int64(m)*60e6 + int64(sec)*1e6 + int64(us), nil
}

// ReadCSV reads coded tape. Columns come by name; round, clock, corner and act must be there. All faults are returned joined,
// each with file and line. Rows must be in order of round and clock; equal clocks keep their order.
func ReadCSV(file string, r io.Reader) ([]Event, error) {
	in := csv.NewReader(r)
	header, err := in.Read()
	if err != nil {
		return nil, fmt.Errorf("%s:1: no header; expected the columns %s", file, strings.Join(columns, ", "))
	}
	at := map[string]int{}
	var faults []error
	for i, name := range header {
		if _, twice := at[name]; twice {
			faults = append(faults, fmt.Errorf("%s:1: column %q stands twice", file, name))
		}
		at[name] = i
	}
	for _, name := range columns[:4] {
		if _, ok := at[name]; !ok {
			faults = append(faults, fmt.Errorf("%s:1: column %q is missing", file, name))
		}
	}
	if len(faults) > 0 {
		return nil, errors.Join(faults...)
	}
	var events []Event
	for {
		row, err := in.Read()
		if err == io.EOF {
			break
		}
		line, _ := in.FieldPos(0)
		if err != nil {
			return nil, errors.Join(append(faults, fmt.Errorf("%s: %w", file, err))...)
		}
		p := rowParser{file: file, line: line, row: row, at: at}
		e := p.event()
		if n := len(events); n > 0 && (e.Round < events[n-1].Round || e.Round == events[n-1].Round && e.Clock < events[n-1].Clock) {
			p.fault("the row is earlier than the one before; sort rows by round and clock")
		}
		faults = append(faults, p.faults...)
		events = append(events, e)
	}
	return events, errors.Join(faults...)
}

type rowParser struct {
	file   string
	line   int
	row    []string
	at     map[string]int
	faults []error
}

func (p *rowParser) fault(format string, args ...any) {
	p.faults = append(p.faults, fmt.Errorf("%s:%d: %s", p.file, p.line, fmt.Sprintf(format, args...)))
}

func (p *rowParser) cell(name string) string {
	if i, ok := p.at[name]; ok && i < len(p.row) {
		return p.row[i]
	}
	return ""
}

// word finds a cell among known words; the index of the empty cell is 0 where words has "" first.
func word[T ~uint8](p *rowParser, column string, words []string) T {
	cell := p.cell(column)
	for i, w := range words {
		if w == cell {
			return T(i)
		}
	}
	p.fault("%s %q is not known; expected one of %s", column, cell, strings.Join(words, " "))
	return 0
}

func (p *rowParser) event() Event {
	var e Event
	round, err := strconv.ParseUint(p.cell("round"), 10, 8)
	if err != nil || round < 1 {
		p.fault("round %q; expected a whole number from 1", p.cell("round"))
	}
	e.Round = uint8(round)
	if e.Clock, err = ParseClock(p.cell("clock")); err != nil {
		p.fault("%v", err)
	}
	e.Corner = word[Corner](p, "corner", cornerNames[:])
	e.Act = word[Act](p, "act", actNames[:])
	if e.Act == NoAct && len(p.faults) == 0 {
		p.fault("the act is missing")
	}
	e.Value = word[Value](p, "value", valueNames[:])
	e.Defence = word[Defence](p, "defence", defenceNames[:])
	e.Result = word[Result](p, "result", resultNames[:])
	e.How = word[How](p, "how", howNames[:])
	e.Limb = word[Limb](p, "limb", limbNames[:])
	return e
}
