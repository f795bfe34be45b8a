package tape

import (
	"fmt"
	"io"
	"strconv"
	"strings"
)

// WriteCSV writes events as coded tape (RFC 4180) without notes: clocks as m:ss.s with as many decimals as keep the value.
func WriteCSV(w io.Writer, events []Event) error {
	rows := make([]Row, len(events))
	for i, e := range events {
		rows[i].Event = e
	}
	return writeRows(w, rows)
}

// FormatClock writes microseconds since the bell (0 or more) as m:ss.s, with as few decimals, at least one, as keep the value.
func FormatClock(us int64) string {
	s := fmt.Sprintf("%d:%02d.%06d", us/60e6, us/1e6%60, us%1e6)
	s = strings.TrimRight(s, "0")
	if strings.HasSuffix(s, ".") {
		s += "0"
	}
	return s
}

// ParseClock reads m:ss.s, with up to six decimals or none, as microseconds since the bell.
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

// ReadCSV reads the events of coded tape and leaves the notes out. Columns come by name; round, clock, corner and act must be
// there. All faults are returned as one error (input.Faults), each with file and line. Rows must be in order of round and
// clock; equal clocks keep their order. Whether the words of a row fit together is left to Bout.Check.
func ReadCSV(file string, r io.Reader) ([]Event, error) {
	rows, faults := readRows(file, r)
	if err := faults.Err(); err != nil {
		return nil, err
	}
	var events []Event
	for i := range rows {
		events = append(events, rows[i].Event)
	}
	return events, nil
}
