package tape

import (
	"archive/zip"
	"bytes"
	"fmt"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
)

const bookBout = "format: whatbout.bout/1\nid: one\nred: heron\nblue: otter\nrules: mma-3x5\n"

// cellOf is a value and its number format: a built-in one by its number (ECMA-376, part 1, 18.8.30) or a custom one.
type cellOf struct {
	value  any
	format int
	custom string
}

// bookOf writes one sheet of rows with the library; strings go to the table of shared strings.
func bookOf(t *testing.T, sheet string, clocks ...cellOf) []byte {
	f := excelize.NewFile()
	require.NoError(t, f.SetSheetName("Sheet1", sheet))
	require.NoError(t, f.SetSheetRow(sheet, "A1", &[]any{"Round", "Clock", "Corner", "Act"}))
	for i, c := range clocks {
		require.NoError(t, f.SetSheetRow(sheet, fmt.Sprintf("A%d", i+2), &[]any{1, c.value, "red", "jab"}))
		if c.format != 0 || c.custom != "" {
			style := &excelize.Style{NumFmt: c.format}
			if c.custom != "" {
				style = &excelize.Style{CustomNumFmt: &c.custom}
			}
			id, err := f.NewStyle(style)
			require.NoError(t, err)
			at := fmt.Sprintf("B%d", i+2)
			require.NoError(t, f.SetCellStyle(sheet, at, at, id))
		}
	}
	return written(t, f)
}

func written(t *testing.T, f *excelize.File) []byte {
	var out bytes.Buffer
	require.NoError(t, f.Write(&out))
	return out.Bytes()
}

func readBook(bout string, data []byte) (*Coding, error) {
	_, codings, err := ReadBoutFS(fstest.MapFS{"b/bout.yaml": {Data: []byte(bout)}, "b/anna.xlsx": {Data: data}, "b/~$anna.xlsx": {Data: []byte("lock")}}, "b")
	if err != nil {
		return nil, err
	}
	return codings[0], nil
}

// A time is kept as a part of a day, 65.3/86400 (ECMA-376, part 1, 18.17.4.2), and shown by its format: 20 is h:mm, 21 h:mm:ss, 45
// mm:ss, 46 [h]:mm:ss, 47 mm:ss.0 (18.8.30). A spreadsheet takes a typed 1:05 for h:mm.
func TestBookClocks(t *testing.T) {
	const at = 65.3 / 86400
	for _, c := range []struct {
		cell cellOf
		want int64
	}{
		{cellOf{at, 21, ""}, 65_300_000}, {cellOf{at, 45, ""}, 65_300_000}, {cellOf{at, 46, ""}, 65_300_000}, {cellOf{at, 47, ""}, 65_300_000},
		{cellOf{at, 0, "m:ss.0"}, 65_300_000}, {cellOf{at, 0, "[m]:ss.000"}, 65_300_000}, {cellOf{65. / 1440, 20, ""}, 65e6},
		{cellOf{65.3, 0, ""}, 65_300_000}, {cellOf{65, 0, ""}, 65e6}, {cellOf{65.3, 2, ""}, 65_300_000}, {cellOf{"1:05.3", 0, ""}, 65_300_000},
		{cellOf{"1:05,3", 49, ""}, 65_300_000}, {cellOf{"0:01:05", 0, ""}, 65e6}, {cellOf{59.96 / 86400, 45, ""}, 59_960_000},
	} {
		coding, err := readBook(bookBout+"clock: up\n", bookOf(t, "Sheet1", c.cell))
		require.NoError(t, err, c.cell)
		require.Equal(t, []Row{{Event: Event{Round: 1, Clock: c.want, Act: Jab}, Line: 2}}, coding.Rows, c.cell)
		if c.cell.format == 20 {
			require.Equal(t, []string{"b/anna.xlsx:2: 1 times are kept as hours and minutes and read as minutes and seconds, as they are shown (this row first); give the column the format mm:ss.0 or text"}, coding.Warnings)
		} else {
			require.Empty(t, coding.Warnings, c.cell)
		}
	}
	// Parts of a day that have lost their format.
	coding, err := readBook(bookBout+"clock: up\n", bookOf(t, "Sheet1", cellOf{value: at}, cellOf{value: 0.00125}))
	require.NoError(t, err)
	require.Equal(t, int64(65_300_000), coding.Rows[0].Clock)
	require.Equal(t, int64(108e6), coding.Rows[1].Clock)
	require.Len(t, coding.Warnings, 1)
	for _, c := range []struct {
		cell cellOf
		want string
	}{
		{cellOf{at, 20, ""}, `b/anna.xlsx:2: the cell shows "00:01" and keeps 1:05.3; expected a format that shows the time`},
		{cellOf{65. / 1440, 45, ""}, `b/anna.xlsx:2: the cell shows "05:00" and keeps 65:00.0`},
		{cellOf{65. / 1440, 21, ""}, "b/anna.xlsx:2: the clock 65:00.0 is past the bell; expected at most 5:00.0; if minutes and seconds were typed"},
		{cellOf{at, 18, ""}, `b/anna.xlsx:2: "12:01 AM" is no clock; expected m:ss.s, such as 1:05.3, or seconds; it is a time of day`},
		{cellOf{at, 22, ""}, "b/anna.xlsx:2:"}, {cellOf{"late", 0, ""}, `b/anna.xlsx:2: "late" is no clock`}, {cellOf{true, 0, ""}, `b/anna.xlsx:2: "TRUE" is no clock`},
	} {
		_, err := readBook(bookBout+"clock: up\n", bookOf(t, "Sheet1", c.cell))
		require.ErrorContains(t, err, c.want, c.cell)
	}
}

// The sheet of the coding's name is taken before the first, wherever it stands; rows without content are passed over.
func TestBookSheets(t *testing.T) {
	book := func(extra func(f *excelize.File) error) []byte {
		f := excelize.NewFile()
		_, err := f.NewSheet("Anna")
		require.NoError(t, err)
		require.NoError(t, f.SetSheetRow("Anna", "A2", &[]any{"round", "clock", "corner", "act", "value", "", "note"}))
		require.NoError(t, f.SetSheetRow("Anna", "A4", &[]any{1, "0:04", "red", "jab"}))
		require.NoError(t, f.SetSheetRow("Anna", "A5", &[]any{1, "0:05", "blue", "calf kick", nil, nil, "a\nb"}))
		require.NoError(t, extra(f))
		return written(t, f)
	}
	coding, err := readBook(bookBout, book(func(f *excelize.File) error { return f.SetCellFormula("Anna", "I9", `""`) }))
	require.NoError(t, err)
	require.Equal(t, []Row{{Event: Event{Round: 1, Clock: 4e6, Act: Jab}, Line: 4},
		{Event: Event{Round: 1, Clock: 5e6, Corner: BlueCorner, Act: LowKick, Value: Calf}, Note: "a\nb", Line: 5}}, coding.Rows)
	_, err = readBook(bookBout, book(func(f *excelize.File) error { return f.SetCellValue("Anna", "F5", "what") }))
	require.ErrorContains(t, err, "b/anna.xlsx:5:6: a cell in a column without a name")
	_, err = readBook(bookBout, book(func(f *excelize.File) error { return f.SetCellValue("Anna", "J5", "what") }))
	require.ErrorContains(t, err, "b/anna.xlsx:5:10: a cell in a column without a name")
	_, err = readBook(bookBout, book(func(f *excelize.File) error { return f.SetCellValue("Anna", "XFD7", "far") }))
	require.ErrorContains(t, err, "b/anna.xlsx:7: row 7 with 16384 cells; expected at most 100000 rows of 256 cells")
	_, err = readBook(bookBout, book(func(f *excelize.File) error { return f.SetCellValue("Anna", "A100001", "far") }))
	require.ErrorContains(t, err, "b/anna.xlsx:100001: row 100001 with 1 cells; expected at most 100000 rows")
}

// Strings inside the sheet instead of in the shared table (t="inlineStr", ECMA-376, part 1, 18.3.1.53), as other programs write them;
// the streaming writer of the library does.
func TestBookInlineStrings(t *testing.T) {
	f := excelize.NewFile()
	w, err := f.NewStreamWriter("Sheet1")
	require.NoError(t, err)
	require.NoError(t, w.SetRow("A1", []any{"round", "clock", "corner", "act"}))
	require.NoError(t, w.SetRow("A2", []any{1, "1:05.3", "red", "jab"}))
	require.NoError(t, w.Flush())
	data := written(t, f)
	require.Contains(t, unzipped(t, data, "xl/worksheets/sheet1.xml"), `t="inlineStr"`)
	require.Contains(t, unzipped(t, bookOf(t, "Sheet1", cellOf{value: "1:05.3"}), "xl/worksheets/sheet1.xml"), `t="s"`)
	coding, err := readBook(bookBout, data)
	require.NoError(t, err)
	require.Equal(t, int64(65_300_000), coding.Rows[0].Clock)
}

func unzipped(t *testing.T, data []byte, name string) string {
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	require.NoError(t, err)
	f, err := z.Open(name)
	require.NoError(t, err)
	var out bytes.Buffer
	_, err = out.ReadFrom(f)
	require.NoError(t, err)
	return out.String()
}

func TestBookFaults(t *testing.T) {
	locked := func() []byte {
		f := excelize.NewFile()
		var out bytes.Buffer
		require.NoError(t, f.Write(&out, excelize.Options{Password: "secret"}))
		return out.Bytes()
	}
	// 20 MiB of blanks zip to 20 kB: more than a workbook may unpack to.
	var bomb bytes.Buffer
	z := zip.NewWriter(&bomb)
	w, err := z.Create("xl/worksheets/sheet1.xml")
	require.NoError(t, err)
	_, err = w.Write(bytes.Repeat([]byte(" "), 20<<20))
	require.NoError(t, err)
	require.NoError(t, z.Close())
	for name, c := range map[string]struct {
		data []byte
		want string
	}{
		"empty":   {nil, "the workbook cannot be read"},
		"text":    {[]byte("round,clock\n"), "the workbook cannot be read"},
		"locked":  {locked(), "expected an unencrypted XLSX file; or save the sheet as CSV"},
		"bomb":    {bomb.Bytes(), "the workbook cannot be read: unzip size exceeds"},
		"large":   {make([]byte, bookLimit+1), "the file has 8388609 bytes; expected at most 8388608"},
		"no rows": {written(t, excelize.NewFile()), "the sheet is empty"},
		"act":     {bookOf(t, "Sheet1", cellOf{value: "1:60"}), `b/anna.xlsx:2: "1:60" is no clock`},
	} {
		_, err := readBook(bookBout, c.data)
		require.ErrorContains(t, err, "b/anna.xlsx", name)
		require.ErrorContains(t, err, c.want, name)
	}
	folder := folderOf(bookBout, "round,clock,corner,act\n1,0:05,red,jab\n1,0:06,red,jab\n")
	folder["b/a.xlsx"] = &fstest.MapFile{Data: bookOf(t, "x", cellOf{value: "0:05"}, cellOf{value: "0:06"})}
	_, _, err = ReadBoutFS(folder, "b")
	require.ErrorContains(t, err, "b/a.xlsx: the coding a stands twice")
}

// Whatever a workbook holds, it is read or a fault.
func FuzzBook(f *testing.F) {
	t := &testing.T{}
	good := bookOf(t, "Sheet1", cellOf{value: 65.3 / 86400, format: 47}, cellOf{value: "1:06"})
	f.Add(good)
	f.Add(good[:len(good)/2])
	f.Add([]byte("PK\x03\x04"))
	f.Fuzz(func(t *testing.T, data []byte) {
		coding, err := readBook(bookBout, data)
		require.Equal(t, err == nil, coding != nil)
		if err != nil {
			require.True(t, strings.HasPrefix(err.Error(), "b/"), err.Error())
		}
	})
}
