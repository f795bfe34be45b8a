package cmd

import (
	"bytes"
	"context"
	"encoding/json"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

func run(t *testing.T, args ...string) (int, string, string) {
	t.Helper()
	var out, err bytes.Buffer
	code := Run(context.Background(), args, &out, &err)
	return code, out.String(), err.String()
}

// Same inputs and seed: the same bytes, whatever the number of workers.
func TestSameBytesForAnyWorkers(t *testing.T) {
	var first string
	for _, workers := range []string{"1", "2", "8"} {
		code, out, _ := run(t, "compare", "--draws", "12", "--bouts", "4", "--format", "json", "--quiet", "--workers", workers)
		require.Equal(t, ExitFine, code)
		if first == "" {
			first = out
		}
		require.Equal(t, first, out)
	}
	var parsed map[string]any
	require.NoError(t, json.Unmarshal([]byte(first), &parsed))
	require.Equal(t, "whatbout.compare/1", parsed["schema"])
	require.Len(t, parsed["plans"], 2)
	// No number shows more than six digits: the last bits of a sum differ between targets.
	for _, number := range regexp.MustCompile(`: (-?[0-9.e+-]+)`).FindAllStringSubmatch(first, -1) {
		x, err := strconv.ParseFloat(number[1], 64)
		require.NoError(t, err)
		six, err := strconv.ParseFloat(strconv.FormatFloat(x, 'g', 6, 64), 64)
		require.NoError(t, err)
		require.Equal(t, six, x, number[1])
	}
}

func TestExitCodes(t *testing.T) {
	for _, args := range [][]string{{"compare", "--rules", "chess"}, {"compare", "--draws", "1"}, {"compare", "--nonsense"}, {"bout", "--format", "x"}, {"compare", "--format", "x"}} {
		code, out, err := run(t, args...)
		require.Equal(t, ExitInput, code, args)
		require.Empty(t, out)
		require.True(t, strings.HasPrefix(err, "whatbout: "), err)
	}
}

func TestCancelledRunSaysSo(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	var out, err bytes.Buffer
	require.Equal(t, ExitInterrupted, Run(ctx, []string{"compare", "--quiet"}, &out, &err))
}

// What the README shows is what the program prints.
func TestReadmeExample(t *testing.T) {
	readme, err := os.ReadFile("../README.md")
	require.NoError(t, err)
	_, rest, ok := strings.Cut(string(readme), "$ whatbout compare --quiet\n")
	require.True(t, ok)
	shown, _, _ := strings.Cut(rest, "    ...\n")
	_, out, _ := run(t, "compare", "--quiet")
	require.NotEmpty(t, shown)
	for _, line := range strings.Split(strings.TrimSuffix(shown, "\n"), "\n") {
		require.Contains(t, out, strings.TrimPrefix(line, "    "))
	}
}

// The demo as files gives what the demo gives: init, calibrate and compare close the loop.
func TestInitCalibrateCompare(t *testing.T) {
	dir := t.TempDir() + "/mine"
	code, out, _ := run(t, "init", dir)
	require.Equal(t, ExitFine, code)
	require.Contains(t, out, "whatbout compare")
	tapes, err := os.ReadDir(dir + "/tape")
	require.NoError(t, err)
	args := []string{"calibrate", "--out", dir + "/again"}
	for _, e := range tapes {
		args = append(args, dir+"/tape/"+e.Name())
	}
	code, _, _ = run(t, args...)
	require.Equal(t, ExitFine, code)
	for _, id := range []string{"badger", "heron"} {
		first, err := os.ReadFile(dir + "/profiles/" + id + ".yaml")
		require.NoError(t, err)
		second, err := os.ReadFile(dir + "/again/" + id + ".yaml")
		require.NoError(t, err)
		require.Equal(t, string(first), string(second))
	}
	code, out, _ = run(t, "validate", dir+"/plans/stay-close.yaml", dir+"/again/heron.yaml", dir+"/tape/badger-otter")
	require.Equal(t, ExitFine, code, out)
	code, out, _ = run(t, "compare", dir+"/plans/stay-close.yaml", "--fighter", dir+"/again/badger.yaml", "--opponent", dir+"/again/heron.yaml",
		"--draws", "8", "--bouts", "4", "--quiet")
	require.Equal(t, ExitFine, code)
	require.Contains(t, out, `with "stay close"`)
	code, _, errs := run(t, "compare", dir+"/plans/stay-close.yaml", "--fighter", dir+"/again/heron.yaml", "--opponent", dir+"/again/heron.yaml")
	require.NotEqual(t, ExitFine, code)
	require.Contains(t, errs, "two different fighters")
	code, _, errs = run(t, "compare", "--rule", "no-step-bak-after-a-block")
	require.Equal(t, ExitInput, code)
	require.Contains(t, errs, "no-step-back-after-a-block")
}
