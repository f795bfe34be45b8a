package cmd

import (
	"encoding/csv"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"whatbout/internal/infer"
)

// demoTape writes the demo and gives its folders of tape.
func demoTape(t *testing.T) (folder string, all []string) {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "mine")
	code, _, errs := run(t, "init", dir)
	require.Equal(t, ExitFine, code, errs)
	all, err := filepath.Glob(dir + "/tape/*")
	require.NoError(t, err)
	return dir, all
}

func scout(t *testing.T, args ...string) string {
	t.Helper()
	code, out, errs := run(t, append([]string{"scout"}, args...)...)
	require.Equal(t, ExitFine, code, errs)
	require.Empty(t, errs)
	return out
}

func TestScout(t *testing.T) {
	_, all := demoTape(t)
	args := append(all, "--fighter", "heron")
	text := scout(t, args...)
	require.Contains(t, text, "What heron does when, in 3 coded bouts")
	lines := strings.Split(text[:strings.Index(text, "\nShown:")], "\n")
	require.LessOrEqual(t, len(lines), 27)
	require.Equal(t, text, scout(t, args...))
	require.Regexp(t, `\n[* ] [a-z ]+: .* times? in \d+\.\d free minutes, \d+\.\d expected: \d+\.\d\d times as often as elsewhere \(\d`, text)
	require.Greater(t, len(scout(t, append(args, "--all")...)), 5*len(text))

	var result struct {
		Schema     string
		Compared   int
		Situations int
		Tendencies []struct {
			Situation, Does, Unit string
			Count, Of             float64
			Share                 infer.Interval
			Compared              bool
			Q                     float64
			Clips                 []struct{ Bout, Clock string }
		}
		Places []struct {
			Fighter, Place string
			Acts, Expected float64
			Ratio          struct{ Low, Centre, High, Z float64 }
			Q              float64
		}
	}
	require.NoError(t, json.Unmarshal([]byte(scout(t, append(args, "--format", "json")...)), &result))
	require.Equal(t, "whatbout.scout/1", result.Schema)
	compared := 0
	for _, x := range result.Tendencies {
		require.Len(t, x.Clips, int(x.Count), x.Situation)
		require.True(t, x.Share.Low <= x.Share.Centre && x.Share.Centre <= x.Share.High, x)
		if x.Unit == "moments" {
			i := infer.Wilson(x.Count, x.Of, .95)
			require.InDelta(t, i.Low, x.Share.Low, 1e-5)
			require.InDelta(t, i.High, x.Share.High, 1e-5)
		}
		if x.Compared {
			compared++
		}
	}
	require.Equal(t, result.Compared, compared)
	require.Greater(t, len(result.Places), 10)
	for _, x := range result.Places {
		require.Equal(t, "heron", x.Fighter)
		require.True(t, x.Ratio.Low <= x.Ratio.Centre && x.Ratio.Centre <= x.Ratio.High, x)
		require.Equal(t, x.Acts > x.Expected, x.Ratio.Centre > 1, x)
	}
	rows, err := csv.NewReader(strings.NewReader(scout(t, append(args, "--format", "csv")...))).ReadAll()
	require.NoError(t, err)
	require.Len(t, rows, len(result.Tendencies)+1)
	require.Equal(t, result.Tendencies[0].Situation, rows[1][0])
}

// A round of mma-3x5 and its rest take six minutes (300 + 60 s, Unified Rules of MMA), so that a cue of round 2 begins two seconds before
// its clock, six minutes on.
func TestScoutCues(t *testing.T) {
	dir, all := demoTape(t)
	file := filepath.Join(dir, "cues.vtt")
	text := scout(t, filepath.Join(dir, "tape/badger-otter"), "--fighter", "badger", "--vtt", file)
	data, err := os.ReadFile(file)
	require.NoError(t, err)
	require.True(t, strings.HasPrefix(string(data), "WEBVTT\n\nNOTE whatbout scout of badger, bout badger-otter\n"))
	require.Contains(t, text, "What badger does when, in 1 coded bout,")
	_, cue, ok := strings.Cut(string(data), "\n00:06:")
	require.True(t, ok)
	require.Regexp(t, `^(?s)\d\d\.\d{3} --> 00:0[67]:\d\d\.\d{3}\n.*\(round 2, 0:`, cue[:200])
	scout(t, append(all, "--fighter", "badger", "--vtt", file)...)
	names, err := filepath.Glob(dir + "/cues-*.vtt")
	require.NoError(t, err)
	require.Len(t, names, 3)
}

func TestScoutRefuses(t *testing.T) {
	dir, all := demoTape(t)
	otter := filepath.Join(dir, "tape/badger-otter")
	vtt := filepath.Join(dir, "x.vtt")
	for _, c := range []struct {
		args []string
		want string
	}{
		{append(all, "--fighter", "bager"), `did you mean "badger"?`},
		{all, "--fighter"},
		{[]string{"--fighter", "badger"}, "at least 1"},
		{[]string{otter, "--fighter", "badger", "--format", "html"}, "text, json or csv"},
		{[]string{otter, "--fighter", "badger", "--level", "1"}, "--level"},
		{[]string{otter, otter, "--fighter", "badger"}, "give each once"},
		{[]string{otter, "--fighter", "badger", "--coding", "event"}, `did you mean "events"?`},
		{[]string{otter, dir + "/none", dir + "/neither", "--fighter", "badger"}, "neither"},
	} {
		code, out, errs := run(t, append(append([]string{"scout"}, c.args...), "--vtt", vtt)...)
		require.Equal(t, ExitInput, code, c.args)
		require.Empty(t, out)
		require.Contains(t, errs, c.want)
		require.NoFileExists(t, vtt)
	}
}
