package tape

import (
	"io"

	"whatbout/internal/input"
)

// WriteCSV writes events as coded tape (RFC 4180) without notes: clocks as m:ss.s with as many decimals as keep the value.
func WriteCSV(w io.Writer, events []Event) error {
	rows := make([]Row, len(events))
	for i, e := range events {
		rows[i].Event = e
	}
	return writeRows(w, rows)
}

// ReadCSV reads the events of coded tape and leaves the notes out, as kind to spreadsheets as ReadBoutDir, but without a bout:
// clocks count up from the bell, and rows must be in order of round and clock; equal clocks keep their order. Columns come by
// name; round, clock, corner and act must be there. All faults are returned as one error (input.Faults), each with file and
// line. Whether the words of a row fit together is left to Bout.Check.
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

func readRows(file string, r io.Reader) ([]Row, input.Faults) {
	from := func(known, required []string, row func(int, func(string) string)) input.Faults {
		return input.ReadSheet(file, r, known, required, row)
	}
	rows, _, faults := readTable(file, from, &eventKind, timing{clock: "up", length: longest, sorted: true})
	return rows, faults
}
