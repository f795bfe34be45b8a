package tape

import (
	"bytes"
	"errors"
	"fmt"
	"strconv"
	"strings"

	"github.com/xuri/excelize/v2"

	"whatbout/internal/input"
)

// Workbooks are zipped, so what they unpack to is limited as well.
const (
	bookLimit  = 8 << 20
	unzipLimit = 16 << 20 // a coding of 2,500 rows unpacks to 1 MiB
	bookRows   = 100_000
	bookWidth  = 256 // cells in a row; one far to the right would take memory for all before it
)

// book is a workbook (XLSX, ECMA-376) of which single sheets are read.
type book struct {
	file     string
	data     []byte
	minutes  int // clocks that the sheet keeps as hours and minutes
	first    int // line of the first of them
	warnings []string
}

// source reads the sheet with one of the names (in any case of letters), or else, where anySheet allows it, the first sheet.
func (b *book) source(anySheet bool, names ...string) source {
	return func(known, required []string, row func(int, func(string) string)) (faults input.Faults) {
		defer func() {
			if what := recover(); what != nil { // the library is not ours, and the file may be hostile
				faults = input.Faults{{File: b.file, What: fmt.Sprintf("the workbook cannot be read: %v", what), Want: "a sheet that a spreadsheet saved"}}
			}
		}()
		limits := excelize.Options{UnzipSizeLimit: unzipLimit, UnzipXMLSizeLimit: unzipLimit}
		f, err := excelize.OpenReader(bytes.NewReader(b.data), limits)
		if err != nil {
			return b.refuse("the workbook cannot be read: "+err.Error(), "an unencrypted XLSX file")
		}
		defer f.Close() // of memory only
		name, ok := pick(f.GetSheetList(), anySheet, names)
		if !ok {
			return b.refuse("the workbook has no sheet "+strings.Join(names, " or "), "one of that name")
		}
		return b.sheet(f, name, known, required, row)
	}
}

func (b *book) refuse(what, want string) input.Faults {
	return input.Faults{{File: b.file, What: what, Want: want, Hint: "or save the sheet as CSV"}}
}

func pick(sheets []string, anySheet bool, names []string) (string, bool) {
	for _, name := range names {
		for _, sheet := range sheets {
			if strings.EqualFold(strings.TrimSpace(sheet), name) {
				return sheet, true
			}
		}
	}
	if anySheet && len(sheets) > 0 {
		return sheets[0], true
	}
	return "", false
}

// sheet reads every row twice: as it is shown and as it is kept.
func (b *book) sheet(f *excelize.File, name string, known, required []string, row func(int, func(string) string)) input.Faults {
	shown, err := f.Rows(name)
	if err != nil {
		return b.refuse("the sheet cannot be read: "+err.Error(), "rows of cells")
	}
	defer shown.Close()
	kept, err := f.Rows(name)
	if err != nil {
		return b.refuse("the sheet cannot be read: "+err.Error(), "rows of cells")
	}
	defer kept.Close()
	var more input.Faults
	b.minutes, b.warnings = 0, nil
	line := 0
	faults := input.ReadCells(b.file, func() (int, []string, bool) {
		if !shown.Next() || !kept.Next() {
			return 0, nil, false
		}
		line++
		cells, err := shown.Columns()
		raw, err2 := kept.Columns(excelize.Options{RawCellValue: true})
		if err := errors.Join(err, err2); err != nil {
			more.Add(input.Fault{File: b.file, Line: line, What: "the row cannot be read: " + err.Error(), Want: "a row of cells"})
			return 0, nil, false
		}
		if line > bookRows || len(cells) > bookWidth {
			more.Add(input.Fault{File: b.file, Line: line, What: fmt.Sprintf("row %d with %d cells", line, len(cells)),
				Want: fmt.Sprintf("at most %d rows of %d cells", bookRows, bookWidth), Hint: "delete what stands far from the coding"})
			return 0, nil, false
		}
		for i := range cells {
			if i < len(raw) {
				cells[i] = b.cell(cells[i], raw[i], line, &more)
			}
		}
		return line, cells, true
	}, known, required, row)
	if err := errors.Join(shown.Error(), kept.Error()); err != nil {
		more.Add(input.Fault{File: b.file, Line: line + 1, What: "the row cannot be read: " + err.Error(), Want: "rows of a sheet"})
	}
	for _, f := range more {
		faults.Add(f)
	}
	if b.minutes > 0 {
		b.warnings = append(b.warnings, input.Fault{File: b.file, Line: b.first,
			What: fmt.Sprintf("%d times are kept as hours and minutes and read as minutes and seconds, as they are shown (this row first)", b.minutes),
			Hint: "give the column the format mm:ss.0 or text"}.Error())
	}
	return faults
}

// cell gives the text of a cell as it is shown, and a time as m:ss.s: a spreadsheet keeps it as a part of a day, finer than its
// format may show. A 1:05 that somebody typed is kept as an hour and five minutes and shown as 01:05, or as 1:05:00.
func (b *book) cell(shown, raw string, line int, faults *input.Faults) string {
	part, err := strconv.ParseFloat(raw, 64)
	if err != nil || !strings.Contains(shown, ":") {
		return shown
	}
	seen, ok := parseTime(shown)
	if !ok || part < 0 || part > 1000 {
		return shown // refused where a clock is read
	}
	us := days(part)
	switch {
	case us-seen.us < 1e6 && seen.us-us < 1e6:
		return FormatClock(us)
	case us == seen.us*60:
		if b.minutes++; b.minutes == 1 {
			b.first = line
		}
		return FormatClock(seen.us)
	}
	faults.Add(input.Fault{File: b.file, Line: line, What: fmt.Sprintf("the cell shows %.40q and keeps %s", shown, FormatClock(us)),
		Want: "a format that shows the time, such as mm:ss.0 or [m]:ss.0"})
	return shown
}
