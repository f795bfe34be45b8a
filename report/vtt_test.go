package report

import (
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

var timing = regexp.MustCompile(`^(\d{2,}:[0-5]\d:[0-5]\d\.\d{3}) --> (\d{2,}:[0-5]\d:[0-5]\d\.\d{3})$`)

// readVTT reads a file by the rules for writers of the W3C recommendation (WebVTT: The Web Video Text Tracks Format, section 4.1): the
// signature line, an empty line, blocks apart from each other by empty lines, each a comment that begins with NOTE and has no arrow, or a cue:
// a line for its name without an arrow, its timing, and text without bare &, < or >. Starts never go back. It gives the cues' lines.
func readVTT(t *testing.T, data string) [][]string {
	t.Helper()
	require.True(t, strings.HasPrefix(data, "WEBVTT\n\n") || data == "WEBVTT\n", "%.20q", data)
	require.NotContains(t, data, "\x00")
	require.NotContains(t, data, "\r")
	var cues [][]string
	before := ""
	for _, block := range strings.Split(strings.TrimSuffix(data, "\n"), "\n\n")[1:] {
		lines := strings.Split(block, "\n")
		require.NotContains(t, lines, "")
		if strings.HasPrefix(block, "NOTE ") {
			require.NotContains(t, block, "-->")
			continue
		}
		require.GreaterOrEqual(t, len(lines), 2)
		require.NotContains(t, lines[0], "-->")
		times := timing.FindStringSubmatch(lines[1])
		require.NotNil(t, times, lines[1])
		require.Less(t, times[1], times[2])
		require.LessOrEqual(t, before, times[1])
		before = times[1]
		for _, text := range lines[2:] {
			require.NotContains(t, text, "<")
			require.NotContains(t, text, ">")
			bare := strings.NewReplacer("&amp;", "", "&lt;", "", "&gt;", "").Replace(text)
			require.NotContains(t, bare, "&")
		}
		cues = append(cues, lines)
	}
	return cues
}

func TestVTT(t *testing.T) {
	var b strings.Builder
	require.NoError(t, WriteVTT(&b, []string{"one --> two\n\nthree"}, []Cue{
		{3_725_999_999, 3_726_000_000 + 4e6, "later <b>& \"so\"-->\n\n\r\nnext"},
		{0, 1_500_000, "first\x00one"},
	}))
	cues := readVTT(t, b.String())
	require.Equal(t, [][]string{
		{"1", "00:00:00.000 --> 00:00:01.500", "first", "one"},
		{"2", "01:02:05.999 --> 01:02:10.000", `later &lt;b&gt;&amp; "so"--&gt;`, "next"},
	}, cues)
	require.Contains(t, b.String(), "NOTE one -> two\nthree\n")
	require.Equal(t, "123:00:00.001", videoTime(123*3600e6+1000))
	b.Reset()
	require.NoError(t, WriteVTT(&b, nil, nil))
	require.Equal(t, "WEBVTT\n", b.String())
	require.Panics(t, func() { _ = WriteVTT(&b, nil, []Cue{{5, 5, "x"}}) })
}

func TestScoutWords(t *testing.T) {
	require.Equal(t, []string{"0", "+1", "-1", "0.0", "+0.1"}, []string{signed(-.3, 0), signed(.6, 0), signed(-.6, 0), signed(0, 1), signed(.06, 1)})
	clips := []Clip{{Bout: "a", Round: 1, Clock: "0:01.0"}, {Bout: "a", Round: 1, Clock: "0:02.0"}, {Bout: "a", Round: 2, Clock: "0:03.0"}, {Bout: "b", Round: 2, Clock: "0:04.0"}}
	require.Equal(t, "a R1 0:01.0, 0:02.0, R2 0:03.0; b R2 0:04.0", clipLine(clips, 4))
	require.Equal(t, "a R1 0:01.0, 0:02.0 and 2 more", clipLine(clips, 2))
	require.Equal(t, "1:05.3", ClockOf(65_399_999))
}
