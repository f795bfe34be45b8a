package tape

import (
	"encoding/binary"
	"fmt"
	"strings"
	"testing"
	"unicode/utf16"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// 23:20:50,5 is the example of ISO 8601 (2004, 4.2.2.4, from memory), which prefers the comma and allows the point; RFC 3339
// (5.8) has 20:39 of minutes and seconds in 00:20:39 and 23:20:50.52. The rest: exact.
func TestTypedTimes(t *testing.T) {
	for cell, want := range map[string]int64{
		"1:05": 65e6, "01:05": 65e6, "1:05.3": 65_300_000, "1:05,3": 65_300_000, "65.3": 65_300_000, "65,3": 65_300_000, "65": 65e6,
		"0:01:05": 65e6, "00:01:05.3": 65_300_000, " 0:01:05,25 ": 65_250_000, "0": 0, "0:00": 0, "90:00": 5400e6,
		"23:20:50,5": 84_050_500_000, "23:20:50.52": 84_050_520_000, "00:20:39": 1_239_000_000, "65.30000000000001": 65_300_000, "7e1": 70e6,
	} {
		got, ok := parseTime(cell)
		require.True(t, ok, cell)
		require.Equal(t, want, got.us, cell)
	}
	for _, cell := range []string{"", "1:5", "1:60", "1:05:3", "1:60:00", "0:01:05:12", "-1", "-0:05", "NaN", "Inf", "0x10", "1_0", "1,065.3", "1.05.3",
		"1:05 AM", "12:01:05 am", "::", ":05", "1:", "1e99", "+5", "1:05.1234567", "3932101"} {
		_, ok := parseTime(cell)
		require.False(t, ok, cell)
	}
	// A spreadsheet keeps a time as a part of a day (ECMA-376, part 1, 18.17.4.2): 65 s is 65/86400 = 0.000752314814814815.
	for cell, want := range map[string]int64{"0.000752314814814815": 65e6, "0.000752": 64_973_000, "7.55787037037037E-04": 65_300_000} {
		got, ok := parseTime(cell)
		require.True(t, ok && got.tiny, cell)
		require.Equal(t, want, days(got.number), cell)
	}
	rapid.Check(t, func(t *rapid.T) {
		us := rapid.Int64Range(0, 65535*60e6).Draw(t, "us")
		got, ok := parseTime(strings.Replace(FormatClock(us), ".", ",", 1))
		require.True(t, ok)
		require.Equal(t, us, got.us)
		ms := rapid.Int64Range(0, 3600e3).Draw(t, "ms")
		require.Equal(t, ms*1e3, days(float64(ms)/86400e3))
	})
}

// readWith reads rows of round, clock and value (as jabs, told apart by their notes a, b, c and so on) under more lines of bout.yaml.
func readWith(t *testing.T, more string, cells ...string) (clocks []string, warnings []string, err error) {
	text := header[:len(header)-1] + ",note\n"
	for i, cell := range cells {
		text += fmt.Sprintf("%s,red,jab,head,,,,,%c\n", cell, 'a'+i)
	}
	_, codings, err := ReadBoutFS(folderOf("format: whatbout.bout/1\nid: one\nred: heron\nblue: otter\nrules: mma-3x5\n"+more, text), "b")
	if err != nil {
		return nil, nil, err
	}
	for _, r := range codings[0].Rows {
		clocks = append(clocks, fmt.Sprintf("%s %d %s", r.Note, r.Round, FormatClock(r.Clock)))
	}
	return clocks, codings[0].Warnings, nil
}

func TestClockForms(t *testing.T) {
	const late = "b/a.csv:%d: the row is earlier than the one before (%d of %d rows, this one first); sorted by round and clock%s"
	for _, c := range []struct {
		more  string
		cells []string
		want  []string
		warn  []string
	}{
		{"", []string{"1,0:01:05", "1,65.5", `1,"1:06,5"`, "2,0:00"}, []string{"a 1 1:05.0", "b 1 1:05.5", "c 1 1:06.5", "d 2 0:00.0"}, nil},
		{"clock: down\n", []string{"1,5:00", "1,4:59.5", "1,0:00", "2,2:00"}, []string{"a 1 0:00.0", "b 1 0:00.5", "c 1 5:00.0", "d 2 3:00.0"}, nil},
		{"clock: video\nbells: [\"0:12\", \"6:20.5\"]\n", []string{"1,0:12", "1,1:17.3", "2,0:06:21"}, []string{"a 1 0:00.0", "b 1 1:05.3", "c 2 0:00.5"}, nil},
		{"clock: video\nbells: [0:12, \"6:20.5\"]\n", []string{",0:12", ",5:12", ",6:20.5"}, []string{"a 1 0:00.0", "b 1 5:00.0", "c 2 0:00.0"}, nil},
		// Rows out of order, and equal clocks, which keep theirs.
		{"clock: up\n", []string{"1,2:00", "1,1:00", "1,1:00", "1,0:30"}, []string{"d 1 0:30.0", "b 1 1:00.0", "c 1 1:00.0", "a 1 2:00.0"},
			[]string{fmt.Sprintf(late, 3, 2, 4, ", as clock: up has it")}},
		{"", []string{"1,0:10", "1,0:30", "1,0:20", "1,0:40", "1,0:50"}, []string{"a 1 0:10.0", "c 1 0:20.0", "b 1 0:30.0", "d 1 0:40.0", "e 1 0:50.0"},
			[]string{fmt.Sprintf(late, 4, 1, 5, "")}},
		{"", []string{"2,0:10", "2,0:20", "1,0:10", "1,0:20"}, []string{"c 1 0:10.0", "d 1 0:20.0", "a 2 0:10.0", "b 2 0:20.0"},
			[]string{fmt.Sprintf(late, 4, 1, 4, "")}},
		{"clock: down\n", []string{"1,0:10", "1,0:20"}, []string{"b 1 4:40.0", "a 1 4:50.0"}, []string{fmt.Sprintf(late, 3, 1, 2, ", as clock: down has it")}},
		{"", []string{"1,0:30", "2,0:30"}, []string{"a 1 0:30.0", "b 2 0:30.0"},
			[]string{"b/a.csv:2: the rows do not show whether the clock counts up or down; read as up; write clock: up or clock: down in bout.yaml"}},
		// Parts of a day.
		{"", []string{"1,0", "1,0.000752314814814815", "1,0.00125"}, []string{"a 1 0:00.0", "b 1 1:05.0", "c 1 1:48.0"},
			[]string{"b/a.csv:3: the clocks are read as parts of a day: 0.000752314814814815 is 1:05.0; write numbers: days or numbers: seconds in bout.yaml"}},
		{"numbers: days\n", []string{"1,0.0007", "1,1:05"}, []string{"a 1 1:00.48", "b 1 1:05.0"}, nil},
		{"numbers: seconds\n", []string{"1,0.000752", "1,0.0008"}, []string{"a 1 0:00.000752", "b 1 0:00.0008"}, nil},
		{"", []string{"1,1.05", "1,1.10"}, []string{"a 1 0:01.05", "b 1 0:01.1"},
			[]string{"b/a.csv:2: the clocks are plain numbers under 10 and read as seconds; write numbers: seconds in bout.yaml if they are; 1:05 needs a colon"}},
	} {
		got, warnings, err := readWith(t, c.more, c.cells...)
		require.NoError(t, err, c.cells)
		require.Equal(t, c.want, got, c.cells)
		require.Equal(t, c.warn, warnings, c.cells)
	}
}

func TestClockFaults(t *testing.T) {
	for want, c := range map[string][]string{
		`b/a.csv:2: "1:5" is no clock; expected m:ss.s, such as 1:05.3, or seconds; write seconds with two digits`:                       {"", "1,1:5"},
		`b/a.csv:2: "1:05:00 AM" is no clock; expected m:ss.s, such as 1:05.3, or seconds; it is a time of day`:                          {"", "1,1:05:00 AM"},
		`b/a.csv:2: "00:01:05:12" is no clock; expected m:ss.s, such as 1:05.3, or seconds; write frames as parts of a second`:           {"", "1,00:01:05:12"},
		"b/a.csv:3: the clocks run backwards; expected clocks since the bell, since bout.yaml does not say otherwise; write clock: down": {"", "1,4:00", "1,3:00", "1,2:00"},
		"b/a.csv:3: the clock 0.000752 may be seconds or a part of a day; expected m:ss.s":                                               {"", "1,0:01", "1,0.000752"},
		"b/a.csv:2: the clock shows 5:00.1 and counts down; expected at most 5:00.0":                                                     {"clock: down\n", "1,5:00.1"},
		"b/a.csv:2: 0:09.0 is before the bell of round 1; expected at least 0:10.0":                                                      {"clock: video\nbells: [10]\n", "1,0:09"},
		"b/a.csv:2: 0:09.0 is before the first bell; expected at least 0:10.0":                                                           {"clock: video\nbells: [10]\n", ",0:09"},
		"b/a.csv:2: round 2 has no bell; expected 2 bells in bout.yaml":                                                                  {"clock: video\nbells: [10]\n", "2,9:09"},
		"b/a.csv:2: the clock 5:00.1 is past the bell":                                                                                   {"clock: video\nbells: [10]\n", "1,5:10.1"},
		`b/a.csv:2: round ""; expected a whole number from 1`:                                                                            {"", ",0:09"},
		"b/bout.yaml:6:8: bells without clock: video":                                                                                    {"bells: [10]\n", "1,0:09"},
		`b/bout.yaml:1:1: key "bells" is missing`:                                                                                        {"clock: video\n", "1,0:09"},
		`b/bout.yaml:7:8: the bell at "9" is not after the one before`:                                                                   {"clock: video\nbells: [10, 9]\n", "1,0:19"},
		`b/bout.yaml:7:8: "ten" is no time`:                                                                                              {"clock: video\nbells: [ten]\n", "1,0:19"},
		"b/bout.yaml:7:8: 4 bells; expected one for each round, 1 to 3":                                                                  {"clock: video\nbells: [1, 2, 3, 4]\n", "1,0:19"},
		"b/bout.yaml:6:8: clock is \"dwon\"":                                                                                             {"clock: dwon\n", "1,0:19"},
	} {
		_, _, err := readWith(t, c[0], c[1:]...)
		require.ErrorContains(t, err, want)
	}
}

// A video without a round column, as somebody codes who only watches the player's time.
func TestVideoWithoutRounds(t *testing.T) {
	bout := "format: whatbout.bout/1\nid: one\nred: heron\nblue: otter\nrules: mma-3x5\nclock: video\nbells: [10, 370]\n"
	_, codings, err := ReadBoutFS(folderOf(bout, "clock,corner,act\n0:11,red,jab\n6:11,blue,jab\n"), "b")
	require.NoError(t, err)
	require.Equal(t, []Event{{Round: 1, Clock: 1e6, Act: Jab}, {Round: 2, Clock: 1e6, Act: Jab, Corner: BlueCorner}}, codings[0].Events())
	_, _, err = ReadBoutFS(folderOf(plainBout, "clock,corner,act\n0:11,red,jab\n"), "b")
	require.ErrorContains(t, err, `column "round" is missing`)
}

// Writing and reading in any form of clock gives the same moments.
func TestClockFormsAgree(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		us := rapid.SliceOfN(rapid.Int64Range(0, 300e3), 3, 20).Draw(t, "ms")
		for i := range us {
			us[i] *= 1e3
		}
		bell := rapid.Int64Range(0, 3600e6).Draw(t, "bell")
		for more, shown := range map[string]func(us int64) string{
			"clock: up\n":   func(us int64) string { return strings.Replace(FormatClock(us), ".", ",", 1) },
			"clock: down\n": func(us int64) string { return FormatClock(300e6 - us) },
			fmt.Sprintf("clock: video\nbells: [%q]\n", FormatClock(bell)): func(us int64) string { return FormatClock(bell + us) },
			"clock: up\nnumbers: days\n":                                  func(us int64) string { return fmt.Sprintf("%.15f", float64(us)/86400e6) },
			"clock: up\nnumbers: seconds\n":                               func(us int64) string { return fmt.Sprint(float64(us) / 1e6) },
		} {
			text := "round;clock;corner;act\n"
			for _, u := range us {
				text += "1;" + shown(u) + ";red;jab\n"
			}
			bout := "format: whatbout.bout/1\nid: one\nred: heron\nblue: otter\nrules: mma-3x5\n" + more
			_, codings, err := ReadBoutFS(folderOf(bout, text), "b")
			require.NoError(t, err)
			seen := map[int]int64{}
			for i, r := range codings[0].Rows {
				seen[r.Line] = r.Clock
				require.True(t, i == 0 || codings[0].Rows[i-1].Clock <= r.Clock)
			}
			for i, u := range us {
				require.Equal(t, u, seen[i+2], more)
			}
		}
	})
}

func utf16Of(order binary.AppendByteOrder, mark, text string) string {
	out := []byte(mark)
	for _, unit := range utf16.Encode([]rune(text)) {
		out = order.AppendUint16(out, unit)
	}
	return string(out)
}

// The same rows from any spreadsheet. Byte order marks: The Unicode Standard, table 23-6 (EF BB BF, FE FF, FF FE). The notes are the
// examples of RFC 4180, section 2, rules 6 and 7 (b CRLF bb, b""bb), and U+1D11E, which is D834 DD1E in UTF-16 (RFC 2781, section 5).
func TestSpreadsheetText(t *testing.T) {
	const plain = "round,clock,corner,act,note\r\n1,0:05.0,red,jab,\"b\r\nbb\"\r\n1,0:06.5,blue,cross,\"b\"\"bb, \U0001d11e; \t\"\r\n"
	with := func(comma string) string {
		head, rest, _ := strings.Cut(plain, "\r\n1,0:05.0,red,jab,")
		return strings.ReplaceAll(head, ",", comma) + "\r\n" + strings.ReplaceAll("1,0:05.0,red,jab,", ",", comma) +
			strings.Replace(rest, "1,0:06.5,blue,cross,", strings.ReplaceAll("1,0:06!5,blue,cross,", ",", comma), 1)
	}
	semicolon := strings.Replace(with(";"), "0:06!5", "0:06,5", 1)
	for name, text := range map[string]string{
		"comma":            plain,
		"line feeds":       strings.ReplaceAll(plain, "\r\n", "\n"),
		"carriage returns": strings.Replace(strings.ReplaceAll(plain, "\r\n", "\r"), "b\rbb", "b\rbb", 1),
		"semicolon":        semicolon,
		"tab":              strings.Replace(with("\t"), "0:06!5", "6,5", 1),
		"said":             "sep=;\r\n" + semicolon,
		"UTF-8 mark":       "\xef\xbb\xbf" + plain,
		"UTF-16 LE":        utf16Of(binary.LittleEndian, "\xff\xfe", plain),
		"UTF-16 BE":        utf16Of(binary.BigEndian, "\xfe\xff", semicolon),
		"capitals":         strings.Replace(plain, "round,clock", "Round, CLOCK ", 1),
		"empty rows":       strings.Replace(plain, "note\r\n", "note\r\n,,,,\r\n", 1) + ",,,,\r\n,,,,\r\n",
		"empty columns":    "round,clock,corner,act,note,,\n1,0:05.0,red,jab,\"b\nbb\",,\n1,0:06.5,blue,cross,\"b\"\"bb, \U0001d11e; \t\", ,\n",
		"one line end":     strings.TrimSuffix(plain, "\r\n"),
	} {
		_, codings, err := ReadBoutFS(folderOf("format: whatbout.bout/1\nid: one\nred: heron\nblue: otter\nrules: mma-3x5\n", text), "b")
		require.NoError(t, err, name)
		require.Empty(t, codings[0].Warnings, name)
		rows := codings[0].Rows
		require.Len(t, rows, 2, name)
		require.Less(t, rows[0].Line, rows[1].Line)
		rows[0].Line, rows[1].Line = 0, 0
		require.Equal(t, []Row{{Event: Event{Round: 1, Clock: 5e6, Act: Jab}, Note: "b\nbb"},
			{Event: Event{Round: 1, Clock: 6_500_000, Corner: BlueCorner, Act: Cross}, Note: "b\"bb, \U0001d11e; \t"}}, rows, name)
	}
}

func TestSpreadsheetFaults(t *testing.T) {
	for text, want := range map[string]string{
		"round;clock;corner;act\n1;0:05;red\n":               "b/a.csv:2:1: 3 fields in the row; expected 4",
		"sep=;\nround;clock;corner;act\n1;0:05;red;jabb\n":   `b/a.csv:3: act "jabb" is not known`,
		"round;clock;corner;act;\n1;0:05;red;jab;what\n":     "b/a.csv:2:16: a cell in a column without a name",
		"round\tclock\tcorner\tact\n1\t0:05\tgren\tjab\n":    `b/a.csv:2: corner "gren"`,
		"\xff\xfer\x00\x00\xd8":                              "b/a.csv:1:2: half a UTF-16 pair, d800",
		"\xfe\xff\xdc\x00":                                   "b/a.csv:1:1: half a UTF-16 pair, dc00",
		"\xfe\xff\x00r\x00":                                  "b/a.csv:1:2: half a UTF-16 unit at the end",
		"r\x00o\x00":                                         "b/a.csv:1:2: a NUL byte; expected text in UTF-8, or UTF-16 with a byte order mark; save it as CSV in UTF-8",
		"round,clock,corner,act,note\n1,0:05,red,jab,\xe9\n": "b/a.csv:2:16: byte 0xe9 is not UTF-8",
		"PK\x03\x04":               "a workbook (XLSX)",
		"round;clock,corner;act\n": "is missing",
		utf16Of(binary.LittleEndian, "\xff\xfe", "round,clock,corner,act\r\n1,0:05,red,jab\r\n1,x,red,jab\r\n"): `b/a.csv:3: "x" is no clock`,
	} {
		_, _, err := ReadBoutFS(folderOf(plainBout, text), "b")
		require.ErrorContains(t, err, want, "%q", text)
	}
}
