package input

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/iotest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func readAll(text string) (rows []string, faults Faults) {
	faults = ReadCSV("f.csv", strings.NewReader(text), []string{"round", "act", "note"}, []string{"round", "act"}, func(line int, get func(string) string) {
		rows = append(rows, fmt.Sprintf("%d|%s|%s|%s", line, get("round"), get("act"), get("note")))
	})
	return rows, faults
}

// The examples of quoting are those of RFC 4180, section 2, rules 5 to 7, in our columns.
func TestCSV(t *testing.T) {
	rows, faults := readAll("\xef\xbb\xbfact,round\r\njab,1\r\n\"b\r\nbb\",2\r\n\"b\"\"bb\",3\r\n\"a,b\",4")
	require.NoError(t, faults.Err())
	require.Equal(t, []string{"2|1|jab|", "3|2|b\nbb|", "5|3|b\"bb|", "6|4|a,b|"}, rows)
	for text, want := range map[string]string{
		"":                                "f.csv:1:1: the file is empty; expected a header line",
		"round,act,nota\n":                `f.csv:1:11: unknown column "nota"; did you mean "note"?`,
		"round,acts\n":                    `f.csv:1:1: column "act" is missing; expected round,act; is "acts" meant for it?`,
		"round,act,act\n":                 `f.csv:1:11: column "act" stands twice`,
		"round,act\n1\n1,2,3\n":           "f.csv:3:1: 3 fields in the row; expected 2, as in the header",
		"round,act\n1,a\"b\n1\n":          "f.csv:3:1: 1 fields in the row",
		"round,act\n1,\"a\n":              "f.csv:2:6: no CSV: extraneous or missing \" in quoted-field",
		"round,act\n1,a\x00\n":            "f.csv:2:4: a NUL byte",
		"round,act\n1,a\x1b[2J\n":         "f.csv:2:4: control character U+001B",
		"round,act\n\n1,\xc3\n":           "f.csv:3:3: byte 0xc3 is not UTF-8",
		"\"":                              "no CSV",
		strings.Repeat("x", maxCSV+1):     "f.csv:1:1: the file has more than 67108864 bytes",
		"round,act\n1,a\"b\n1,\"c\"d\n1,": "f.csv:2:4: no CSV: bare \" in non-quoted-field",
	} {
		_, faults := readAll(text)
		assert.ErrorContains(t, faults.Err(), want, "%.40q", text)
	}
	rows, faults = readAll("round,act,what\n1,a\"b,\n2,jab,\n3\n")
	require.Equal(t, []string{"3|2|jab|"}, rows)
	require.Len(t, faults, 3)
	rows, faults = readAll("round\n2\n3,4\n")
	require.Empty(t, rows)
	require.Len(t, faults, 2)
	require.PanicsWithValue(t, `input: column "acct" is not among the known ones`, func() {
		ReadCSV("", strings.NewReader("a\n1\n"), []string{"a"}, nil, func(_ int, get func(string) string) { get("acct") })
	})
	faults = ReadCSV("f", iotest.ErrReader(errors.New("worn out")), nil, nil, nil)
	require.ErrorContains(t, faults.Err(), "f:1:1: worn out")
}

// RFC 4180, section 2: what a writer of CSV quotes after rules 5 to 7 comes back as it was. Line ends are left out of the
// fields but for \n, because encoding/csv reads \r\n inside quotes as \n.
func TestCSVReadsBack(t *testing.T) {
	field := rapid.StringMatching(`[a-zé"', \n;#-]*`)
	rapid.Check(t, func(t *rapid.T) {
		want := rapid.SliceOf(rapid.Custom(func(t *rapid.T) [2]string {
			return [2]string{field.Draw(t, "act"), field.Draw(t, "note")}
		})).Draw(t, "rows")
		var text strings.Builder
		w := csv.NewWriter(&text)
		require.NoError(t, w.Write([]string{"note", "act"}))
		for _, row := range want {
			require.NoError(t, w.Write([]string{row[1], row[0]}))
		}
		w.Flush()
		var got [][2]string
		faults := ReadCSV("f", strings.NewReader(text.String()), []string{"act", "note"}, nil, func(_ int, get func(string) string) {
			got = append(got, [2]string{get("act"), get("note")})
		})
		require.NoError(t, faults.Err())
		require.Len(t, got, len(want))
		require.Equal(t, fmt.Sprint(want), fmt.Sprint(got))
	})
}

// A file of 1 GiB (sparse, so that the test needs no room) is refused by its size, before a byte of it is read.
func TestCSVRefusesALargeFileUnread(t *testing.T) {
	path := filepath.Join(t.TempDir(), "large.csv")
	require.NoError(t, os.WriteFile(path, nil, 0o600))
	require.NoError(t, os.Truncate(path, 1<<30))
	file, err := os.Open(path)
	require.NoError(t, err)
	defer file.Close()
	faults := ReadCSV("f", file, nil, nil, nil)
	require.EqualError(t, faults.Err(), "f:1:1: the file has 1073741824 bytes; expected at most 67108864")
	at, err := file.Seek(0, io.SeekCurrent)
	require.NoError(t, err)
	require.Zero(t, at, "bytes read")
}

// Whatever the bytes, ReadCSV ends without a panic, lines of the rows grow, and every fault has its place.
func FuzzCSV(f *testing.F) {
	for _, s := range []string{"round,act\n1,jab\n", "round,act\r\n\"1\n\",\"\"\"\"\r\n", "act,round,note\n,,", "\"", "round,act\n1\n\n1,2", "\xef\xbb\xbfround,act\n1,\"a\"b"} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		last := 1
		faults := ReadCSV("f", strings.NewReader(string(data)), []string{"round", "act"}, []string{"round"}, func(line int, get func(string) string) {
			require.Greater(t, line, last)
			require.NotContains(t, get("round")+get("act"), "\x00")
			last = line
		})
		checkFaults(t, faults)
	})
}
