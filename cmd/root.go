// Package cmd is the command line: one file a command, exit codes in one place, streams passed in.
package cmd

import (
	"context"
	"errors"
	"fmt"
	"io"

	"github.com/spf13/cobra"
)

// Version is the program's version.
const Version = "0.1.0"

// Exit codes of the built binary.
const (
	ExitFine        = 0
	ExitFailed      = 1
	ExitInput       = 2
	ExitInterrupted = 130
)

// inputError marks what the user can mend: wrong input or usage.
type inputError struct{ error }

func (e inputError) Unwrap() error { return e.error }

// Run runs the command line and returns its exit code.
func Run(ctx context.Context, args []string, stdout, stderr io.Writer) int {
	root := &cobra.Command{
		Use:           "whatbout",
		Short:         "What does a game plan change, and how sure may one be?",
		Long:          "whatbout compares game plans by simulation from coded tape. Start with the invented demo:\n\n  whatbout compare",
		Version:       Version,
		SilenceErrors: true,
		SilenceUsage:  true,
	}
	root.SetArgs(args)
	root.SetOut(stdout)
	root.SetErr(stderr)
	root.SetFlagErrorFunc(func(_ *cobra.Command, err error) error { return inputError{err} })
	root.AddCommand(compareCommand(), boutCommand(), censusCommand(), calibrateCommand(), initCommand(), validateCommand(), agreeCommand())
	err := root.ExecuteContext(ctx)
	var input inputError
	switch {
	case err == nil:
		return ExitFine
	case errors.Is(err, context.Canceled):
		fmt.Fprintln(stderr, "whatbout: interrupted; what was finished is above")
		return ExitInterrupted
	}
	fmt.Fprintf(stderr, "whatbout: %v\n", err)
	if errors.As(err, &input) {
		return ExitInput
	}
	return ExitFailed
}
