package input

import (
	"encoding/binary"
	"fmt"
	"strings"
	"testing"
	"unicode/utf16"
	"unicode/utf8"

	"github.com/stretchr/testify/require"
)

func sheetRows(text string) (rows []string, faults Faults) {
	faults = ReadSheet("f", strings.NewReader(text), []string{"round", "act", "note"}, []string{"round"}, func(line int, get func(string) string) {
		rows = append(rows, fmt.Sprintf("%d|%q|%q|%q", line, get("round"), get("act"), get("note")))
	})
	return rows, faults
}

// RFC 2781, section 5: U+12345 is D808 DF45 in UTF-16, and =Ra is 003D 0052 0061; the marks before them are those of sections 3.2 and 4.
func TestUTF16(t *testing.T) {
	const egg = "\U00012345=Ra"
	for _, text := range []string{"\xfe\xff\xd8\x08\xdf\x45\x00\x3d\x00\x52\x00\x61", "\xff\xfe\x08\xd8\x45\xdf\x3d\x00\x52\x00\x61\x00"} {
		_, faults := sheetRows(text)
		require.ErrorContains(t, faults.Err(), fmt.Sprintf("f:1:1: unknown column %q", strings.ToLower(egg)))
	}
}

// A separator that the cells use more often than the header does not win.
func TestSeparator(t *testing.T) {
	rows, faults := sheetRows("round;act;note\n1;jab;a,b,c,d,e\n")
	require.NoError(t, faults.Err())
	require.Equal(t, []string{`2|"1"|"jab"|"a,b,c,d,e"`}, rows)
	rows, faults = sheetRows("round\n7\n")
	require.NoError(t, faults.Err())
	require.Equal(t, []string{`2|"7"|""|""`}, rows)
}

func TestCells(t *testing.T) {
	lines := [][]string{nil, {" Round", "note"}, {"1"}, {"", " "}, {"2", "x", "", " "}, {"3", "y", "z"}}
	at := 0
	var rows []string
	faults := ReadCells("f", func() (int, []string, bool) {
		if at == len(lines) {
			return 0, nil, false
		}
		at++
		return at, lines[at-1], true
	}, []string{"round", "note"}, []string{"round"}, func(line int, get func(string) string) {
		rows = append(rows, fmt.Sprintf("%d|%s|%s", line, get("round"), get("note")))
	})
	require.Equal(t, []string{"3|1|", "5|2|x"}, rows)
	require.EqualError(t, faults.Err(), "f:6:3: a cell in a column without a name; expected a name for it in the header line")
}

// Text in UTF-16 is read as the same text in UTF-8.
func FuzzSheet(f *testing.F) {
	f.Add("round,act\r\n1,\"a\r\nb\"\r\n")
	f.Add("sep=;\nround;act;\n1;\U0001d11e;\n")
	f.Fuzz(func(t *testing.T, text string) {
		rows, faults := sheetRows(text)
		checkFaults(t, faults)
		if !utf8.ValidString(text) || strings.HasPrefix(text, "\ufeff") {
			return
		}
		wide := []byte{0xff, 0xfe}
		for _, unit := range utf16.Encode([]rune(text)) {
			wide = binary.LittleEndian.AppendUint16(wide, unit)
		}
		same, again := sheetRows(string(wide))
		require.Equal(t, rows, same)
		require.Equal(t, faults, again)
	})
}
