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
	args := append([]string{"audit", "--hold-back", "bout", "--require", "fit", "--rounds", "199"}, all...)
	code, text, errs := run(t, args...)
	require.Equal(t, ExitFine, code, errs)
	require.Empty(t, errs)
	for _, part := range []string{"Coded rounds: 18, of bouts: 6.", "Against plain rates", "Coded values inside their interval", "PIT at", "Again: whatbout audit"} {
		require.Contains(t, text, part)
	}
	require.NotContains(t, text, "in-sample")

	args = append([]string{"audit"}, all[:2]...)
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
	require.Equal(t, "whatbout.audit/1", result.Schema)
	require.True(t, result.InSample)
	require.Len(t, result.Inputs, 4) // a bout.yaml and a coding for each of two bouts
	require.Len(t, result.Verdicts, len(calibrate.AuditGroups))
	require.Len(t, result.Cells, 6*2*21) // rounds, fighters, figures

	_, table, _ := run(t, append(args, "--format", "csv")...)
	rows, err := csv.NewReader(strings.NewReader(table)).ReadAll()
	require.NoError(t, err)
	count := map[string]int{}
	for _, r := range rows {
		count[r[0]]++
	}
	require.Equal(t, map[string]int{"section": 1, "verdict": 5, "pit": 45, "total": 3 * 21, "coverage": 12, "against rates": 3, "round": 252}, count)
}

// Profiles that rest on tape are said to. With the corners' acts of one bout swapped something does not fit, and --require fit fails.
func TestAuditRequiresAFit(t *testing.T) {
	mine, all := demoTape(t)
	profiles := filepath.Join(mine, "made")
	code, _, errs := run(t, append([]string{"calibrate", "--out", profiles}, all...)...)
	require.Equal(t, ExitFine, code, errs)
	bout := filepath.Join(mine, "tape", "heron-lynx")
	args := []string{"audit", filepath.Join(profiles, "heron.yaml"), filepath.Join(profiles, "lynx.yaml"), bout, "--require", "fit"}
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
		"--require", "luck", "--hold-back", "round")
	require.Equal(t, ExitInput, code)
	require.Empty(t, out)
	for _, part := range []string{"bad.yaml", "none.yaml", "nowhere", "3 predictive rounds", "-1 workers", `"xml"`, `--require "luck"`, `--hold-back "round"`} {
		require.Contains(t, errs, part)
	}
	for _, args := range [][]string{{"audit"}, {"audit", bad}, {"audit", all[0], "--hold-back", "bout"}} {
		code, out, _ := run(t, args...)
		require.Equal(t, ExitInput, code, args)
		require.Empty(t, out)
	}
}
