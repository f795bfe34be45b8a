package cmd

import (
	"encoding/csv"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"whatbout/calibrate"
)

// The demo's tape was made by the model: with each bout held back nothing may be called wrong. JSON and CSV, here
// of two bouts, have every figure of every round, and the same bytes for any number of workers.
func TestAuditOfTheDemo(t *testing.T) {
	_, all := demoTape(t)
	args := append([]string{"audit", "--hold-back", "bout", "--require", "fit", "--quiet"}, all...)
	code, text, errs := run(t, args...)
	require.Equal(t, ExitFine, code, errs)
	require.Empty(t, errs)
	for _, part := range []string{"18 rounds of 6 bouts", "with profiles made without that bout", "Nothing is called wrong.",
		"each bout held back, against the fighter's own rates in all other rounds: the model beats this rival by both scores.", "each round held back, against the fighter's last round",
		"Times of acts begun", "Brier score", "Coded values inside their interval", "PIT at", "The same again: whatbout audit"} {
		require.Contains(t, text, part)
	}
	require.NotContains(t, text, "in-sample")

	args = append([]string{"audit", "--quiet"}, all[:2]...)
	_, out, _ := run(t, append(args, "--format", "json", "--workers", "1")...)
	_, again, _ := run(t, append(args, "--format", "json", "--workers", "5")...)
	require.Equal(t, out, again)
	require.NotContains(t, out, "null")
	var result struct {
		Schema   string
		InSample bool `json:"in_sample"`
		Inputs   []struct{ Name, SHA256 string }
		Verdicts []struct{ Group, Verdict string }
		Cells    []any
	}
	require.NoError(t, json.Unmarshal([]byte(out), &result))
	require.Equal(t, "whatbout.audit/2", result.Schema)
	require.True(t, result.InSample)
	require.Len(t, result.Inputs, 4) // a bout.yaml and a coding for each of two bouts
	require.Len(t, result.Verdicts, len(calibrate.AuditGroups))
	require.Len(t, result.Cells, 6*2*31) // rounds, fighters, figures

	_, table, _ := run(t, append(args, "--format", "csv")...)
	rows, err := csv.NewReader(strings.NewReader(table)).ReadAll()
	require.NoError(t, err)
	count := map[string]int{}
	for _, r := range rows {
		count[r[0]]++
	}
	require.Equal(t, map[string]int{"section": 1, "verdict": 8, "part": 3*6 + 2 + 1, "pit": 6 * 9, "coverage": 2 * 7, "times": 2 * 3, "times curve": 9 * 3, "setting": 12 * 3,
		"landing": 6, "landing curve": 8, "against": count["against"], "total": count["total"], "round": 6 * 2 * 31}, count)
	require.LessOrEqual(t, count["total"], 3*31, "three fighters; what never happened is no total")
	require.Greater(t, count["total"], 3*25)
	require.GreaterOrEqual(t, count["against"], 2*5, "at least each round held back against rates, by both scores, in all and four groups")
}

// Profiles that rest on tape are said to. With the corners' acts of one bout swapped something does not fit, and --require fit fails.
func TestAuditRequiresAFit(t *testing.T) {
	mine, all := demoTape(t)
	profiles := filepath.Join(mine, "made")
	code, _, errs := run(t, append([]string{"calibrate", "--out", profiles}, all...)...)
	require.Equal(t, ExitFine, code, errs)
	bout := filepath.Join(mine, "tape", "heron-lynx")
	args := []string{"audit", filepath.Join(profiles, "heron.yaml"), filepath.Join(profiles, "lynx.yaml"), bout, "--require", "fit", "--quiet"}
	code, text, errs := run(t, args...)
	require.Equal(t, ExitFine, code, errs)
	require.Contains(t, text, "in-sample: the profiles rest on tape")

	file := filepath.Join(bout, "events.csv")
	data, err := os.ReadFile(file)
	require.NoError(t, err)
	swapped := strings.NewReplacer(",red,", ",blue,", ",blue,", ",red,").Replace(string(data))
	require.NoError(t, os.WriteFile(file, []byte(swapped), 0o644))
	code, text, errs = run(t, args...)
	require.Equal(t, ExitFailed, code)
	require.Contains(t, text, calibrate.DoesNot)
	require.Contains(t, errs, "not everything fits: ")
}

// Wrong input: exit code 2, nothing on stdout, all faults at once.
func TestAuditFaults(t *testing.T) {
	mine, all := demoTape(t)
	bad := filepath.Join(mine, "bad.yaml")
	require.NoError(t, os.WriteFile(bad, []byte("format: nothing\n"), 0o644))
	code, out, errs := run(t, "audit", bad, filepath.Join(mine, "none.yaml"), filepath.Join(mine, "nowhere"), "--rounds", "3", "--workers", "-1", "--format", "xml",
		"--require", "luck", "--hold-back", "round=x")
	require.Equal(t, ExitInput, code)
	require.Empty(t, out)
	for _, part := range []string{"bad.yaml", "none.yaml", "nowhere", "3 predictive rounds", "-1 workers", `"xml"`, `--require "luck"`, `--hold-back "round=x"`} {
		require.Contains(t, errs, part)
	}
	for _, args := range [][]string{{"audit"}, {"audit", bad}, {"audit", all[0], "--hold-back", "bout"}} {
		code, out, _ := run(t, args...)
		require.Equal(t, ExitInput, code, args)
		require.Empty(t, out)
	}
}

// One number of round, or one bout, is held back and audited alone; what is not there is refused with the nearest, and so is a bout whose fighters
// were in no other. Of a bout that was coded twice it is said which coding is audited.
func TestAuditHoldsBack(t *testing.T) {
	mine, all := demoTape(t)
	audit := func(args ...string) (int, string, string) {
		return run(t, append([]string{"audit", "--quiet"}, args...)...)
	}
	code, text, errs := audit(append(all, "--hold-back", "round=3")...)
	require.Equal(t, ExitFine, code, errs)
	require.Contains(t, text, "6 rounds of 6 bouts")
	require.Contains(t, text, "with profiles made without any round 3")
	require.Contains(t, text, "round 3 held back, against the fighter's own rates in all other rounds: ")
	require.Contains(t, text, "--hold-back round=3")

	code, text, errs = audit(append(all, "--hold-back", "heron-lynx")...)
	require.Equal(t, ExitFine, code, errs)
	require.Contains(t, text, "3 rounds of 1 bout")
	require.Contains(t, text, "heron-lynx held back, against the fighter's own rates in all other rounds: who is better cannot be told by either score")

	code, _, errs = audit(append(all, "--hold-back", "heron-linx")...)
	require.Equal(t, ExitInput, code)
	require.Contains(t, errs, `did you mean "heron-lynx"?`)
	code, _, errs = audit(append(all, "--hold-back", "round=4")...)
	require.Equal(t, ExitInput, code)
	require.Contains(t, errs, "no bout has a coded round 4")

	bout := filepath.Join(mine, "tape", "heron-lynx")
	code, _, errs = audit(bout, "--hold-back", "bout")
	require.Equal(t, ExitInput, code)
	require.Contains(t, errs, "without what is held back there is no tape of")
	data, err := os.ReadFile(filepath.Join(bout, "events.csv"))
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(filepath.Join(bout, "second.csv"), data, 0o644))
	code, text, errs = audit(bout)
	require.Equal(t, ExitFine, code, errs)
	require.Contains(t, text, `heron-lynx: coded 2 times; the coding "events" is audited`)
	require.Contains(t, text, "in-sample: the profiles were made from these very rounds")
	_, full, _ := audit(bout, "--full")
	for _, part := range []string{"heron          straights", "lynx           straights", "other acts in answer"} {
		require.NotContains(t, text, part)
		require.Contains(t, full, part)
	}
}

// Ten seconds cannot tell anything, which is no fit: exit code 1, not 2.
func TestAuditRequiresMoreThanTooLittle(t *testing.T) {
	mine, _ := demoTape(t)
	bout := filepath.Join(mine, "tape", "heron-lynx")
	about, events := filepath.Join(bout, "bout.yaml"), filepath.Join(bout, "events.csv")
	data, err := os.ReadFile(about)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(about, append(data, "coded: [{round: 1, from: \"0:00\", to: \"0:10\"}]\n"...), 0o644))
	data, err = os.ReadFile(events)
	require.NoError(t, err)
	var short strings.Builder
	for line := range strings.Lines(string(data)) {
		if strings.HasPrefix(line, "round,") || strings.HasPrefix(line, "1,0:0") {
			short.WriteString(line)
		}
	}
	require.NoError(t, os.WriteFile(events, []byte(short.String()), 0o644))
	code, text, errs := run(t, "audit", bout, "--require", "fit", "--quiet")
	require.Equal(t, ExitFailed, code, errs)
	require.Contains(t, errs, "too little tape to tell whether anything fits")
	require.NotContains(t, text, calibrate.DoesNot)
}
