package cmd

import (
	"bytes"
	"context"
	"encoding/json"
	"os"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"whatbout/internal/input"
	"whatbout/tape"
)

// A rule set may be a file of one's own; it is hashed and named in the line that repeats the run.
func TestRulesFromAFile(t *testing.T) {
	r, err := tape.RuleSetNamed("mma-3x5")
	require.NoError(t, err)
	r.Name, r.Rounds, r.RoundSeconds = "one short round", 1, 60
	file := t.TempDir() + "/our rules.yaml"
	require.NoError(t, os.WriteFile(file, tape.WriteRuleSet(r), 0o600))
	code, out, errs := run(t, "compare", "--draws", "8", "--bouts", "2", "--quiet", "--format", "json", "--rules", file)
	require.Equal(t, ExitFine, code, errs)
	var o struct {
		Rules, Again string
		Inputs       []struct{ Name, SHA256 string }
	}
	require.NoError(t, json.Unmarshal([]byte(out), &o))
	require.Equal(t, "one short round", o.Rules)
	require.Contains(t, o.Again, "--rules '"+file+"'")
	require.Equal(t, 1, strings.Count(o.Again, "--rules"))
	last := o.Inputs[len(o.Inputs)-1]
	require.Equal(t, file, last.Name)
	require.Equal(t, input.SHA256(tape.WriteRuleSet(r)), last.SHA256)

	require.NoError(t, os.WriteFile(file, []byte("format: whatbout.rules/1\nname: x\nround: 3\n"), 0o600))
	code, _, errs = run(t, "compare", "--rules", file)
	require.Equal(t, ExitInput, code)
	require.Contains(t, errs, "round")
	code, _, errs = run(t, "compare", "--rules", "mma-3x6")
	require.Equal(t, ExitInput, code)
	require.Contains(t, errs, "mma-3x5")
	require.Contains(t, errs, "no such file")
}

// shortRules keeps tests of the command short.
func shortRules(t *testing.T) string {
	t.Helper()
	r, err := tape.RuleSetNamed("mma-3x5")
	require.NoError(t, err)
	r.Name, r.Rounds, r.RoundSeconds = "short", 1, 60
	file := t.TempDir() + "/short.yaml"
	require.NoError(t, os.WriteFile(file, tape.WriteRuleSet(r), 0o600))
	return file
}

func TestWithin(t *testing.T) {
	rules := shortRules(t)
	var first string
	for _, workers := range []string{"1", "2", "8"} {
		code, out, errs := run(t, "compare", "--quiet", "--rules", rules, "--bouts", "4", "--within", "6", "--workers", workers)
		require.Equal(t, ExitFine, code, errs)
		if first == "" {
			first = out
		}
		require.Equal(t, first, out)
	}
	require.Contains(t, first, "known within ± 6 in 100 bouts, as asked")
	require.Contains(t, first, "--draws 20000 --bouts 4 --level 0.95 --within 6 --rules")
	code, out, _ := run(t, "compare", "--quiet", "--rules", rules, "--bouts", "4", "--within", "1", "--draws", "120")
	require.Equal(t, ExitFine, code)
	require.Contains(t, out, "The target of ± 1 in 100 bouts was not reached; it would take about")
	for _, args := range [][]string{{"--within", "0"}, {"--within", "-1"}, {"--within", "NaN"}, {"--within", "51"}, {"--within", "1", "--draws", "99"}} {
		code, _, errs := run(t, append([]string{"compare"}, args...)...)
		require.Equal(t, ExitInput, code, args)
		require.Contains(t, errs, "--within")
	}
}

// The line that a run prints gives the same bytes.
func TestAgain(t *testing.T) {
	rules := shortRules(t)
	code, out, _ := run(t, "compare", "--quiet", "--rules", rules, "--draws", "12", "--bouts", "3", "--seed", "9", "--level", "0.9", "--rule", "one-and-out")
	require.Equal(t, ExitFine, code)
	_, line, ok := strings.Cut(out, "The same again: whatbout ")
	require.True(t, ok)
	line, _, _ = strings.Cut(line, "\n")
	_, again, _ := run(t, append(strings.Fields(line), "--quiet")...)
	require.Equal(t, out, again)
}

// Every plan's adherence is named, and the opponent's.
func TestEveryAdherenceIsNamed(t *testing.T) {
	dir := t.TempDir()
	write := func(name, share string) string {
		file := dir + "/" + name + ".yaml"
		require.NoError(t, os.WriteFile(file, []byte("format: whatbout.plan/1\nname: "+name+"\nadherence: {share: "+share+
			", sd: 0.05}\nrules:\n  - {name: r, at: answer, never: [step_back]}\n"), 0o600))
		return file
	}
	code, out, errs := run(t, "compare", "--quiet", "--draws", "8", "--bouts", "2", "--rules", shortRules(t), write("first", "0.9"), write("second", "0.6"),
		"--opponent-plan", write("theirs", "0.7"))
	require.Equal(t, ExitFine, code, errs)
	require.Contains(t, out, `"first" is followed at 90 % of decisions`)
	require.Contains(t, out, `"second" is followed at 60 % of decisions`)
	require.Contains(t, out, `"theirs" is followed at 70 % of decisions`)
	require.Contains(t, out, `Heron fights with "theirs"`)
}

// Interrupted in the middle, the command ends within a second and says what was finished.
func TestInterruptedKeepsWhatIsDone(t *testing.T) {
	_, _, _ = run(t, "compare", "--quiet", "--draws", "4", "--bouts", "2") // the demo's profiles are calibrated once
	ctx, cancel := context.WithCancel(context.Background())
	var at time.Time
	time.AfterFunc(2500*time.Millisecond, func() { at = time.Now(); cancel() })
	var out, errs bytes.Buffer
	code := Run(ctx, []string{"compare", "--draws", "1000000", "--rules", shortRules(t)}, &out, &errs)
	require.Equal(t, ExitInterrupted, code, errs.String())
	require.Less(t, time.Since(at), time.Second)
	require.Contains(t, out.String(), "interrupted: the figures rest on the draws that were finished")
	require.Contains(t, errs.String(), " of 1250000 draws, about ", "plain lines where there is no terminal")
}

// A quiet run says nothing.
func TestQuiet(t *testing.T) {
	_, _, errs := run(t, "compare", "--quiet", "--draws", "8", "--bouts", "2", "--rules", shortRules(t))
	require.Empty(t, errs)
}

func TestShellWord(t *testing.T) {
	for s, want := range map[string]string{"a/b.yaml": "a/b.yaml", "my plan.yaml": "'my plan.yaml'", "it's": `'it'\''s'`, "": "''", "$x": "'$x'"} {
		require.Equal(t, want, shellWord(s))
	}
}
