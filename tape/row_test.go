package tape

import (
	"bytes"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// Words of the trade are read, and the vocabulary's are written. Common practice, no source.
func TestAliases(t *testing.T) {
	const header = "corner,act,value,defence,result,limb,round,clock\n"
	for cells, want := range map[string]string{
		"red,teep,body,,,":                     "front_kick,body,,,,",
		"red,push kick,,,,":                    "front_kick,,,,,",
		"red,Push-Kick,,,,":                    "front_kick,,,,,",
		"red,straight,head,block,blocked,rear": "cross,head,guard,blocked,,rear",
		"red,roundhouse,head,,,":               "high_kick,head,,,,",
		"red,roundhouse,body,,,":               "body_kick,body,,,,",
		"red,roundhouse,leg,,,":                "low_kick,,,,,",
		"red,roundhouse,calf,,,":               "low_kick,calf,,,,",
		"red,hook,body,,miss,lead":             "lead_hook,body,,missed,,lead",
		"red,hook,,,,rear":                     "rear_hook,,,,,rear",
		"red,calf kick,,,,":                    "low_kick,calf,,,,",
		"red,rear uppercut,,,,":                "uppercut,,,,,rear",
		"red,double leg,,,takedown,":           "shoot,,,taken_down,,",
		"red,clinch,,,made,":                   "tie_up,,,made,,",
		"red,range,clinch,,,":                  "range,clinch,,,,",
	} {
		events, err := ReadCSV("x.csv", strings.NewReader(header+cells+",1,0:01.5\n"))
		require.NoError(t, err, cells)
		var b bytes.Buffer
		require.NoError(t, WriteCSV(&b, events))
		_, row, _ := strings.Cut(b.String(), "\n")
		require.Equal(t, "1,0:01.5,red,"+want+"\n", row, cells)
	}
}

// No alias hides a word of the vocabulary.
func TestAliasesAreNew(t *testing.T) {
	for alias := range actAliases {
		require.NotContains(t, actNames, alias)
	}
	for alias := range valueAliases {
		require.NotContains(t, valueNames, alias)
	}
	for alias := range defenceAliases {
		require.NotContains(t, defenceNames, alias)
	}
	for alias := range resultAliases {
		require.NotContains(t, resultNames, alias)
	}
}

func TestRowFaults(t *testing.T) {
	_, err := ReadCSV("x.csv", strings.NewReader(`round,clock,corner,act,value,defence,result,how,limb,note
1,0:01.0,red,crosss,,,,,,
0,0:02.0,red,jab,,,,,,
1,NaN,red,jab,,,,,,
1,0:03.0,gren,,,,,,,
1,0:04.0,red,hook,,,,,,
1,0:05.0,red,roundhouse,,,,,,
1,0:06.0,red,jab,haed,parrry,cleen,stet,leed,
1,0:07.0,red,calf_kick,outside,,,,,
1,0:08.0,red,rear_uppercut,,,,,lead,
1,0:02.0,red,jab,,,,,,
1,0:09.0,red,jab
`))
	for _, want := range []string{
		`x.csv:2: act "crosss" is not known; did you mean "cross"?`, `x.csv:3: round "0"`, `x.csv:4: "NaN" is no clock`,
		`x.csv:5: corner "gren" is not known`, `x.csv:5: the act is missing`, `x.csv:6: which act "hook" is cannot be told; expected limb lead or rear`,
		`x.csv:7: which act "roundhouse"`, `x.csv:8: value "haed" is not known; did you mean "head"?`, `did you mean "parry"?`,
		`did you mean "clean"?`, `did you mean "set"?`, `did you mean "lead"?`, `x.csv:9: value outside for "calf_kick"`,
		`x.csv:10: limb lead for "rear_uppercut"`, `x.csv:11: the row is earlier`, `4 fields in the row`,
	} {
		require.ErrorContains(t, err, want)
	}
	_, err = ReadCSV("x.csv", strings.NewReader("round,clock,corner,act\n1,0:01.0,red,\xff\n"))
	require.ErrorContains(t, err, "x.csv:2:14: byte 0xff is not UTF-8")
}

func TestClocks(t *testing.T) {
	for text, want := range map[string]int64{"0:00": 0, "0:00.0": 0, "1:05.3": 65_300_000, "5:00.0": 300_000_000, "0:00.000001": 1} {
		got, err := ParseClock(text)
		require.NoError(t, err, text)
		require.Equal(t, want, got, text)
	}
	for _, text := range []string{"", "5", "0:5.0", "0:60.0", "-1:00.0", "0:-1.0", "0:00.0000001", "0:+1.0", "0:01.-1", "1e1:00.0", "99999:00.0", "inf"} {
		_, err := ParseClock(text)
		require.Error(t, err, text)
	}
	rapid.Check(t, func(t *rapid.T) {
		us := rapid.Int64Range(0, 65535*60e6).Draw(t, "us")
		back, err := ParseClock(FormatClock(us))
		require.NoError(t, err)
		require.Equal(t, us, back)
	})
}

// What is read and written again is read as the same.
func FuzzTape(f *testing.F) {
	f.Add("round,clock,corner,act,note\n1,0:05.0,red,jab,\"a, \"\"b\"\"\n\"\n")
	f.Add("round,clock,corner,act,value,limb\n1,0:05.0,red,roundhouse,leg,rear\n1,0:05.0,,range,boxing,\n")
	f.Add("clock,round,corner,act\r\n0:05,1,blue,teep\r\n")
	f.Fuzz(func(t *testing.T, s string) {
		rows, faults := readRows("f.csv", strings.NewReader(s))
		if faults.Err() != nil {
			return
		}
		var b bytes.Buffer
		require.NoError(t, writeRows(&b, rows))
		back, faults := readRows("f.csv", &b)
		require.NoError(t, faults.Err())
		for i := range rows {
			rows[i].Line, back[i].Line = 0, 0
		}
		require.Equal(t, rows, back)
	})
}
