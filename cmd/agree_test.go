package cmd

import (
	"encoding/csv"
	"encoding/json"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

const agreeBout = `format: whatbout.bout/1
id: mole-hare
rules: mma-3x5
red: mole
blue: hare
looked_for: [strikes, results, range]
invented: true
coded:
  - {round: 1, from: "0:00.0", to: "0:20.0"}
`

// Two coders of twenty seconds, to be counted by hand.
const (
	agreeAnn = `round,clock,corner,act,value,result
1,0:00.0,,range,long,
1,0:02.0,red,jab,head,clean
1,0:04.0,blue,cross,head,missed
1,0:06.0,red,low_kick,calf,clean
1,0:09.0,red,lead_hook,head,blocked
1,0:10.0,,range,pocket,
`
	agreeBea = `round,clock,corner,act,value,result
1,0:00.0,,range,long,
1,0:02.1,red,jab,head,clean
1,0:03.9,blue,rear_hook,head,clean
1,0:09.0,red,lead_hook,head,blocked
1,0:09.2,blue,jab,head,missed
1,0:14.0,,range,pocket,
`
)

func agreeFolder(t *testing.T, files map[string]string) string {
	t.Helper()
	dir := t.TempDir()
	for name, text := range files {
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644))
	}
	return dir
}

// By hand: Ann has four strikes, Bea four; jab, hook and cross/rear hook are the same event, so that agreement is 2·3/(4+4) = .75. One of
// three results differs, two of three acts are the same; the range agrees for 16 of 20 s.
func TestAgreeByHand(t *testing.T) {
	dir := agreeFolder(t, map[string]string{"bout.yaml": agreeBout, "ann.csv": agreeAnn, "bea.csv": agreeBea})
	code, out, errs := run(t, "agree", dir, "--format", "csv")
	require.Equal(t, ExitFine, code, errs)
	rows, err := csv.NewReader(strings.NewReader(out)).ReadAll()
	require.NoError(t, err)
	found := map[string]string{}
	disagreements := 0
	for _, r := range rows {
		found[r[0]+"/"+r[3]+"/"+r[4]] = r[5]
		if r[0] == "disagreement" {
			disagreements++
		}
	}
	for key, want := range map[string]string{"events/strikes/positive agreement": "0.75", "events/kicks/missed by first": "", "code/results/same": "0.666667",
		"code/act within strikes/same": "0.666667", "state/range/share of time": "0.8", "events/strikes/missed by second": "0.25",
		"events/strikes/events there were": "5.25"} { // Chapman: (4+1)(4+1)/(3+1) - 1
		require.Equal(t, want, found[key], key)
	}
	require.Equal(t, 4, disagreements) // the cross, the low kick, the second jab, the range

	code, text, _ := run(t, "agree", dir)
	require.Equal(t, ExitFine, code)
	require.Contains(t, text, "Not looked for, and so left out: steps")
	_, list, ok := strings.Cut(text, "Look at these together: the 4 largest of 4 disagreements of ann and bea, by clock\n")
	require.True(t, ok)
	lines := strings.Split(strings.TrimSpace(list), "\n")
	require.Len(t, lines, 5)
	for i, part := range []string{"clock of ann", "0:04.0", "low_kick calf clean", "jab head missed", "range, 4.0 s"} {
		require.Contains(t, lines[i], part)
	}
}

// The JSON has its schema, six digits a number, lists and no nulls, and the same bytes again.
func TestAgreeJSON(t *testing.T) {
	dir := agreeFolder(t, map[string]string{"bout.yaml": agreeBout, "ann.csv": agreeAnn, "bea.csv": agreeBea, "cat.csv": agreeAnn})
	code, out, errs := run(t, "agree", dir, "--format", "json")
	require.Equal(t, ExitFine, code, errs)
	var parsed struct {
		Schema string
		Inputs []any
		Pairs  []any
		All    map[string]any
	}
	require.NoError(t, json.Unmarshal([]byte(out), &parsed))
	require.Equal(t, "whatbout.agree/1", parsed.Schema)
	require.Len(t, parsed.Inputs, 4)
	require.Len(t, parsed.Pairs, 3)
	require.NotEmpty(t, parsed.All)
	require.NotContains(t, out, "null")
	for _, number := range regexp.MustCompile(`: (-?[0-9.e+-]+)`).FindAllStringSubmatch(out, -1) {
		x, err := strconv.ParseFloat(number[1], 64)
		require.NoError(t, err)
		six, err := strconv.ParseFloat(strconv.FormatFloat(x, 'g', 6, 64), 64)
		require.NoError(t, err)
		require.Equal(t, six, x, number[1])
	}
	_, again, _ := run(t, "agree", dir, "--format", "json")
	require.Equal(t, out, again)
}

// One coding is no agreement: what is printed is an assumption and says so.
func TestAgreeOfOne(t *testing.T) {
	code, out, _ := run(t, "agree", agreeFolder(t, map[string]string{"bout.yaml": agreeBout, "ann.csv": agreeAnn}))
	require.Equal(t, ExitFine, code)
	require.Contains(t, out, "an assumption")
	require.Contains(t, out, "one coding only")
	require.Contains(t, out, "judgement")
}

// Wrong input: exit code 2, nothing on stdout, and every fault of flags and files at once.
func TestAgreeFaults(t *testing.T) {
	dir := agreeFolder(t, map[string]string{"bout.yaml": agreeBout, "ann.csv": agreeAnn + "1,0:12.0,red,jabb,head,clean\n", "bea.csv": agreeBea + "9,0:15.0,red,jab,head,clean\n"})
	code, out, errs := run(t, "agree", dir, "--window", "9", "--level", "2", "--format", "xml")
	require.Equal(t, ExitInput, code)
	require.Empty(t, out)
	for _, part := range []string{"window of 9 s", "level of 2", `"xml"`, "ann.csv:8", "jab", "bea.csv:8", "round 9"} {
		require.Contains(t, errs, part)
	}
	for _, args := range [][]string{{"agree"}, {"agree", dir, dir}, {"agree", filepath.Join(dir, "none")}, {"agree", dir, "--nonsense"}} {
		code, out, _ := run(t, args...)
		require.Equal(t, ExitInput, code, args)
		require.Empty(t, out)
	}
}
