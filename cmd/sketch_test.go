package cmd

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"whatbout/fighter"
)

const voleBody = "stature 1.72, span 1.77, leg 0.90, weight 70, southpaw"

// A sketch of every archetype can be compared, and the comparison says that it rests on assumption alone.
func TestSketchesCanBeCompared(t *testing.T) {
	dir := t.TempDir()
	names, _ := fighter.Archetypes()
	for _, name := range names {
		code, out, errs := run(t, "sketch", "--archetype", name, "--id", name, "--body", voleBody, "--out", filepath.Join(dir, name+".yaml"))
		require.Equal(t, ExitFine, code, errs)
		require.Contains(t, out, "every figure is an assumption")
	}
	for i, name := range names {
		other := names[(i+1)%len(names)]
		code, out, errs := run(t, "compare", "--rule", "no-step-back-after-a-block", "--fighter", filepath.Join(dir, name+".yaml"), "--opponent",
			filepath.Join(dir, other+".yaml"), "--draws", "4", "--bouts", "2", "--quiet")
		require.Equal(t, ExitFine, code, errs)
		require.Regexp(t, "(?i)What "+strings.ReplaceAll(name, "_", " ")+` rests on: 0 figures moved by tape, 0 from the population, \d+ assumptions`, out)
	}
	code, out, _ := run(t, "validate", filepath.Join(dir, "kicker.yaml"))
	require.Equal(t, ExitFine, code, out)
}

func TestSketchToStandardOutputAndFromAnswers(t *testing.T) {
	dir := t.TempDir()
	keep, file := filepath.Join(dir, "answers.yaml"), filepath.Join(dir, "vole.yaml")
	code, direct, errs := run(t, "sketch", "--archetype", "wrestler", "--id", "vole", "--body", voleBody, "--keep", keep)
	require.Equal(t, ExitFine, code, errs)
	p, err := fighter.ReadProfile("out", []byte(direct))
	require.NoError(t, err)
	require.Equal(t, fighter.Body{Stature: 1.72, Span: 1.77, Leg: .9, Weight: 70, Southpaw: true}, p.Body)
	code, _, errs = run(t, "sketch", "--answers", keep, "--out", file)
	require.Equal(t, ExitFine, code, errs)
	again, err := os.ReadFile(file)
	require.NoError(t, err)
	require.Equal(t, direct, string(again))
}

// Enter keeps the archetype's answer, what is no answer is asked again.
func TestSketchAsks(t *testing.T) {
	s := &fighter.Sketch{Archetype: "kicker", Answers: map[string]fighter.Habit{}}
	var out bytes.Buffer
	lines := append([]string{"often", "never", "r"}, make([]string, 13)...)
	require.NoError(t, askHabits(strings.NewReader(strings.Join(lines, "\n")+"\n"), &out, s))
	require.Equal(t, map[string]fighter.Habit{"presses_forward": fighter.Often, "gives_ground": fighter.Rarely}, s.Answers)
	require.Contains(t, out.String(), `"never" is no answer`)
	require.Contains(t, out.String(), " 9/15 kicks low [often]: ")
	require.ErrorContains(t, askHabits(strings.NewReader("r\no\n"), &out, s), "question 3 of 15")

	dir := t.TempDir()
	typed := filepath.Join(dir, "typed")
	require.NoError(t, os.WriteFile(typed, []byte(strings.Repeat("o\n", 15)), 0o644))
	in, err := os.Open(typed)
	require.NoError(t, err)
	defer in.Close()
	defer func(before *os.File) { os.Stdin = before }(os.Stdin)
	os.Stdin = in
	code, profile, errs := run(t, "sketch", "--ask", "--id", "vole", "--body", voleBody)
	require.Equal(t, ExitFine, code, errs)
	require.Contains(t, profile, "# presses forward: often\n")
	require.Contains(t, errs, "15/15")
	code, profile, _ = run(t, "sketch", "--ask", "--id", "vole", "--body", voleBody) // nothing is left to read
	require.Equal(t, ExitInput, code)
	require.Empty(t, profile)
}

// All faults at once, and no file after any of them.
func TestSketchRefuses(t *testing.T) {
	dir := t.TempDir()
	file, bad, good := filepath.Join(dir, "out.yaml"), filepath.Join(dir, "bad.yaml"), filepath.Join(dir, "good.yaml")
	require.NoError(t, os.WriteFile(bad, []byte("format: whatbout.sketch/1\nanswers:\n  jab: often\n  shoots: never\n"), 0o644))
	require.NoError(t, os.WriteFile(good, []byte("format: whatbout.sketch/1\nid: vole\nanswers: {jabs: often}\n"), 0o644))
	for _, c := range []struct {
		args  []string
		wants []string
	}{
		{nil, []string{"--archetype, --answers or --ask", "--id", "--body"}},
		{[]string{"--archetype", "kiker", "--body", "stature 18"}, []string{`did you mean "kicker"?`, "stature", "span", "--id"}},
		{[]string{"--answers", bad, "--archetype", "kicker"}, []string{"bad.yaml:3:", "bad.yaml:4:", `did you mean "jabs"?`}},
		{[]string{"--answers", good, "--id", "shrew"}, []string{"--id and the file of answers", "--body"}},
		{[]string{"--answers", dir + "/none.yaml"}, []string{"no such file"}},
		{[]string{"--archetype", "kicker", "--id", "vole", "--body", voleBody, "--keep", file}, []string{"one file"}},
		{[]string{"more"}, []string{"more"}},
	} {
		code, out, errs := run(t, append([]string{"sketch", "--out", file}, c.args...)...)
		require.Equal(t, ExitInput, code, c.args)
		require.Empty(t, out)
		for _, want := range c.wants {
			require.Contains(t, errs, want)
		}
		require.NoFileExists(t, file)
	}
	keep := filepath.Join(dir, "keep.yaml")
	code, _, _ := run(t, "sketch", "--archetype", "kicker", "--id", "vole", "--body", voleBody, "--keep", keep, "--out", dir+"/none/out.yaml")
	require.Equal(t, ExitFailed, code)
	require.NoFileExists(t, keep)
}
