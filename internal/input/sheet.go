package input

import (
	"bytes"
	"encoding/binary"
	"encoding/csv"
	"fmt"
	"io"
	"strings"
	"unicode/utf16"
	"unicode/utf8"
)

// ReadSheet is ReadCSV for text that a spreadsheet saved: UTF-8, or UTF-16 with its byte order mark; fields between commas,
// semicolons or tabs, whichever of them gives the header line most known names (or as a first line such as sep=; says); lines
// that end in LF, CRLF or CR. Column names may have capitals and spaces around them; rows without any content are passed over,
// and so are empty columns without a name.
func ReadSheet(file string, r io.Reader, known, required []string, row func(line int, get func(col string) string)) Faults {
	c := &table{file: file, known: known, sheet: true}
	data, ok := c.fetch(r)
	if ok {
		data, ok = c.decode(data)
	}
	if !ok {
		return c.faults
	}
	comma, data := separator(data, known)
	records := csv.NewReader(bytes.NewReader(data))
	records.Comma = comma
	return c.read(records, required, row)
}

// ReadCells is ReadSheet for cells that are text already: next gives the row's number in the sheet, counted from 1, and its
// cells, until ok is false. Rows shorter than the header are filled up with empty cells.
func ReadCells(file string, next func() (line int, cells []string, ok bool), known, required []string, row func(line int, get func(col string) string)) Faults {
	c := &table{file: file, known: known, sheet: true}
	line, header, ok := next()
	for ok && blank(header) {
		line, header, ok = next()
	}
	if !ok {
		c.fault(1, 1, "the sheet is empty", "a header line with the names of the columns", "")
		return c.faults
	}
	place := func(field int) (int, int) { return line, field + 1 }
	usable := c.header(header, required, place)
	var cells []string
	for line, cells, ok = next(); ok; line, cells, ok = next() {
		for len(cells) < c.width {
			cells = append(cells, "")
		}
		if blank(cells) || c.nameless(line, cells, place) || !usable {
			continue
		}
		row(line, func(col string) string { return c.field(cells, col) })
	}
	return c.faults.sorted()
}

// nameless finds what nobody would read: a cell that is not empty in a column without a name.
func (c *table) nameless(line int, cells []string, place func(field int) (line, column int)) bool {
	at := -1
	for _, i := range c.unused {
		if !blank(cells[i : i+1]) {
			at = i
		}
	}
	for i := c.width; i < len(cells); i++ {
		if !blank(cells[i : i+1]) {
			at = i
		}
	}
	if at < 0 {
		return false
	}
	_, column := place(at)
	c.fault(line, column, "a cell in a column without a name", "a name for it in the header line", "")
	return true
}

func blank(cells []string) bool {
	for _, cell := range cells {
		if strings.TrimSpace(cell) != "" {
			return false
		}
	}
	return true
}

func lower(names []string) []string {
	out := make([]string, len(names))
	for i, name := range names {
		out[i] = strings.ToLower(strings.TrimSpace(name))
	}
	return out
}

// The byte order marks of UTF-16: The Unicode Standard, table 23-6 (UTF-8's is bom).
var (
	bigEndian    = []byte{0xfe, 0xff}
	littleEndian = []byte{0xff, 0xfe}
)

func (c *table) decode(data []byte) ([]byte, bool) {
	var at *Node
	var what string
	switch {
	case bytes.HasPrefix(data, bigEndian):
		data, at, what = utf16Text(data[2:], binary.BigEndian)
	case bytes.HasPrefix(data, littleEndian):
		data, at, what = utf16Text(data[2:], binary.LittleEndian)
	default:
		data = bytes.TrimPrefix(data, bom)
	}
	if what == "" {
		if at, what = badBytes(data); what != "" && at.Line == 1 && bytes.HasPrefix(data, []byte("PK")) {
			what = "a workbook (XLSX)" // by its first bytes a zip archive
		}
	}
	if what != "" {
		c.fault(at.Line, at.Column, what, "text in UTF-8, or UTF-16 with a byte order mark", "save it as CSV in UTF-8")
		return nil, false
	}
	if !bytes.ContainsRune(data, '\n') {
		data = bytes.ReplaceAll(data, []byte("\r"), []byte("\n"))
	}
	return data, true
}

// utf16Text gives UTF-8; a half of a pair and a half of a unit have a place in it.
func utf16Text(data []byte, order binary.ByteOrder) (out []byte, at *Node, what string) {
	out = make([]byte, 0, len(data))
	for len(data) > 0 && what == "" {
		if len(data) == 1 {
			what = "half a UTF-16 unit at the end"
			break
		}
		r := rune(order.Uint16(data))
		data = data[2:]
		if utf16.IsSurrogate(r) {
			low := rune(0)
			if len(data) > 1 {
				low = rune(order.Uint16(data))
				data = data[2:]
			}
			whole := utf16.DecodeRune(r, low)
			if whole == utf8.RuneError {
				what = fmt.Sprintf("half a UTF-16 pair, %04x", r)
				break
			}
			r = whole
		}
		out = utf8.AppendRune(out, r)
	}
	begin := bytes.LastIndexByte(out, '\n') + 1
	return out, &Node{Line: 1 + bytes.Count(out, []byte("\n")), Column: 1 + utf8.RuneCount(out[begin:])}, what
}

// separator looks at the header line; a first line that only names the separator is emptied, which keeps the lines' numbers.
func separator(data []byte, known []string) (rune, []byte) {
	const all = ",;\t" // of two that do as well the first
	first, rest, _ := bytes.Cut(data, []byte("\n"))
	if said, ok := bytes.CutPrefix(bytes.ToLower(bytes.TrimSuffix(first, []byte("\r"))), []byte("sep=")); ok && len(said) == 1 && strings.Contains(all, string(said)) {
		return rune(said[0]), append([]byte("\n"), rest...)
	}
	best, most := ',', 0
	for _, comma := range all {
		records := csv.NewReader(bytes.NewReader(data))
		records.Comma, records.FieldsPerRecord = comma, -1
		header, _ := records.Read()
		if n := count(lower(header), known); n > most {
			best, most = comma, n
		}
	}
	return best, data
}

func count(names, known []string) (n int) {
	for _, name := range known {
		for _, there := range names {
			if there == name {
				n++
				break
			}
		}
	}
	return n
}
