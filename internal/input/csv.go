package input

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"slices"
	"strings"
)

const maxCSV = 64 << 20

// ReadCSV reads RFC 4180 records under a header line that names the columns, in any order; known are all the names that
// may stand there and required those that must. UTF-8, a byte order mark allowed, no NUL, at most 64 MiB. row is called
// for every well-formed record with its line in the file, counted from 1; get gives the field of a known column, "" for
// one that the header lacks, and panics on a name that is not known. Rows are not handed over when the header lacks a
// required column or has one twice, but their form is still checked. file only names the file in faults, of which each has
// a line; columns of faults count bytes. A regular file in r that is too large is refused before it is read.
func ReadCSV(file string, r io.Reader, known, required []string, row func(line int, get func(col string) string)) Faults {
	c := &table{file: file, known: known}
	data, ok := c.load(r)
	if !ok {
		return c.faults
	}
	return c.read(csv.NewReader(bytes.NewReader(data)), required, row)
}

func (c *table) read(records *csv.Reader, required []string, row func(int, func(string) string)) Faults {
	records.FieldsPerRecord = -1 // counted here, so that the fault can say both numbers
	records.ReuseRecord = true
	header, err := records.Read()
	switch {
	case errors.Is(err, io.EOF):
		c.fault(1, 1, "the file is empty", "a header line with the names of the columns", "")
		return c.faults
	case err != nil:
		c.syntax(err)
		return c.faults
	}
	usable := c.header(slices.Clone(header), required, records.FieldPos)
	c.rows(records, usable, row)
	return c.faults.sorted()
}

type table struct {
	file   string
	known  []string
	sheet  bool // from a spreadsheet: capitals in the header, empty rows and columns
	width  int
	unused []int // columns without a name
	column map[string]int
	faults Faults
}

func (c *table) fault(line, column int, what, want, hint string) {
	c.faults.Add(Fault{c.file, line, column, what, want, hint})
}

// sizeOf is 0 for what is no regular file.
func sizeOf(r io.Reader) int64 {
	if file, ok := r.(fs.File); ok {
		if info, err := file.Stat(); err == nil && info.Mode().IsRegular() {
			return info.Size()
		}
	}
	return 0
}

func (c *table) load(r io.Reader) ([]byte, bool) {
	data, ok := c.fetch(r)
	if !ok {
		return nil, false
	}
	data = bytes.TrimPrefix(data, bom)
	if at, what := badBytes(data); what != "" {
		c.fault(at.Line, at.Column, what, "text in UTF-8", "")
		return nil, false
	}
	return data, true
}

func (c *table) fetch(r io.Reader) ([]byte, bool) {
	if size := sizeOf(r); size > maxCSV {
		c.fault(1, 1, fmt.Sprintf("the file has %d bytes", size), fmt.Sprintf("at most %d", maxCSV), "")
		return nil, false
	}
	data, err := io.ReadAll(io.LimitReader(r, maxCSV+1))
	if err != nil {
		c.fault(1, 1, cause(err), "a file that can be read", "")
		return nil, false
	}
	if len(data) > maxCSV {
		c.fault(1, 1, fmt.Sprintf("the file has more than %d bytes", maxCSV), "a smaller file", "")
		return nil, false
	}
	return data, true
}

// header fills in where the columns stand; false when the rows cannot be read by name.
func (c *table) header(names, required []string, place func(field int) (line, column int)) bool {
	c.width, c.column = len(names), map[string]int{}
	usable := true
	if c.sheet {
		names = lower(names)
	}
	for i, name := range names {
		line, column := place(i)
		if c.sheet && name == "" {
			c.unused = append(c.unused, i)
			continue
		}
		if !slices.Contains(c.known, name) {
			c.fault(line, column, fmt.Sprintf("unknown column %q", name), "", DidYouMean(name, c.known))
			continue
		}
		if _, twice := c.column[name]; twice {
			c.fault(line, column, fmt.Sprintf("column %q stands twice", name), "each column once", "")
			usable = false
			continue
		}
		c.column[name] = i
	}
	line, column := place(0)
	for _, name := range required {
		if _, there := c.column[name]; !there {
			hint := ""
			if near := Nearest(name, names); near != "" && !slices.Contains(c.known, near) {
				hint = fmt.Sprintf("is %q meant for it?", near)
			}
			c.fault(line, column, fmt.Sprintf("column %q is missing", name), strings.Join(required, ","), hint)
			usable = false
		}
	}
	return usable
}

func (c *table) rows(records *csv.Reader, usable bool, row func(int, func(string) string)) {
	for {
		record, err := records.Read()
		if errors.Is(err, io.EOF) {
			return
		}
		if err != nil {
			if !c.syntax(err) {
				return
			}
			continue
		}
		line, column := records.FieldPos(0)
		if c.sheet && blank(record) {
			continue
		}
		if len(record) != c.width {
			c.fault(line, column, fmt.Sprintf("%d fields in the row", len(record)), fmt.Sprintf("%d, as in the header", c.width), "")
			continue
		}
		if c.nameless(line, record, records.FieldPos) {
			continue
		}
		if usable {
			row(line, func(col string) string { return c.field(record, col) })
		}
	}
}

func (c *table) field(record []string, col string) string {
	i, there := c.column[col]
	if there {
		return record[i]
	}
	if !slices.Contains(c.known, col) {
		panic(fmt.Sprintf("input: column %q is not among the known ones", col))
	}
	return ""
}

// syntax lists a fault of quoting; false when no further record can be read.
func (c *table) syntax(err error) bool {
	if p, ok := errors.AsType[*csv.ParseError](err); ok {
		c.fault(p.Line, p.Column, "no CSV: "+p.Err.Error(), "fields after RFC 4180", `a " inside a field is written "" and the field in quotes`)
		return true
	}
	c.fault(1, 1, cause(err), "a file that can be read", "")
	return false
}
