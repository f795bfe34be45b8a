package cmd

import (
	"context"
	"encoding/hex"
	"errors"
	"os"
	"os/exec"
	"strconv"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
	"github.com/spf13/cobra"
	"github.com/stretchr/testify/require"
)

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){
		"whatbout": func() { os.Exit(Run(context.Background(), os.Args[1:], os.Stdout, os.Stderr)) },
	})
}

// The scripts are the command line as a user meets it: one file a subject, in the language of testscript. Beyond its own words:
//
//	exits CODE COMMAND...    run, and expect that very exit code
//	sparse FILE BYTES        a file of that size that takes no room
//	unhex FILE HEX           a file of those bytes
//	repeat FILE TEXT TIMES   a file of that text again and again
//	faults N                 the last command's standard error has N lines, and nothing went to standard output
func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Dir:             "testdata/script",
		ContinueOnError: true,
		Cmds: map[string]func(ts *testscript.TestScript, neg bool, args []string){
			"exits": exits, "sparse": sparse, "unhex": unhex, "repeat": repeat, "faults": faults,
		},
	})
}

func exits(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: exits CODE COMMAND...")
	}
	code := 0
	err := ts.Exec(args[1], args[2:]...)
	if failed := new(exec.ExitError); errors.As(err, &failed) {
		code = failed.ExitCode()
	} else if err != nil {
		ts.Fatalf("%v", err)
	}
	if strconv.Itoa(code) != args[0] {
		ts.Fatalf("exit code %d; expected %s", code, args[0])
	}
}

func sparse(ts *testscript.TestScript, _ bool, args []string) {
	size, err := strconv.ParseInt(args[1], 10, 64)
	ts.Check(err)
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), nil, 0o644))
	ts.Check(os.Truncate(ts.MkAbs(args[0]), size))
}

func unhex(ts *testscript.TestScript, _ bool, args []string) {
	data, err := hex.DecodeString(args[1])
	ts.Check(err)
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), data, 0o644))
}

func repeat(ts *testscript.TestScript, _ bool, args []string) {
	times, err := strconv.Atoi(args[2])
	ts.Check(err)
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), []byte(strings.Repeat(strings.ReplaceAll(args[1], `\n`, "\n"), times)), 0o644))
}

func faults(ts *testscript.TestScript, _ bool, args []string) {
	if out := ts.ReadFile("stdout"); out != "" {
		ts.Fatalf("standard output is not empty: %q", out)
	}
	if n := strings.Count(ts.ReadFile("stderr"), "\n"); strconv.Itoa(n) != args[0] {
		ts.Fatalf("%d lines of faults; expected %s", n, args[0])
	}
}

// Every command says in a line what it is for and shows an example that begins with its own name; every flag is explained.
func TestHelpTexts(t *testing.T) {
	root := tree()
	commands := root.Commands()
	require.GreaterOrEqual(t, len(commands), 9)
	for _, c := range append(commands, root) {
		require.NotEmpty(t, c.Short, c.Name())
		require.Contains(t, c.Example, "  "+c.CommandPath()+" ", c.Name())
		code, out, errs := run(t, strings.Fields(strings.TrimPrefix(c.CommandPath()+" --help", "whatbout"))...)
		require.Equal(t, ExitFine, code, c.Name())
		require.Empty(t, errs)
		require.Contains(t, out, "Examples:", c.Name())
	}
	eachFlag(t, root)
}

func eachFlag(t *testing.T, c *cobra.Command) {
	for _, line := range strings.Split(c.LocalFlags().FlagUsages(), "\n") {
		if line = strings.TrimSpace(line); line != "" {
			require.Regexp(t, `^(-\w, )?--[\w-]+( \w+)?   +\S`, line, c.Name())
		}
	}
	for _, sub := range c.Commands() {
		eachFlag(t, sub)
	}
}
