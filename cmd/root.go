// Package cmd is the command line: one file a command, exit codes in one place, streams passed in.
package cmd

import (
	"context"
	"errors"
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"whatbout/internal/input"
)

// Version is the program's version.
const Version = "0.2.0"

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

// tree gives the command and all below it.
func tree() *cobra.Command {
	root := &cobra.Command{
		Use:           "whatbout",
		Short:         "What does a game plan change, and how sure may one be?",
		Long:          "whatbout compares game plans by simulation from coded tape. Start with the invented demo:\n\n  whatbout compare",
		Example:       "  whatbout compare\n  whatbout sweep bites.hip --from 0 --to 10\n  whatbout bout --seed 3 --explain 0:30.0",
		Version:       Version,
		Args:          noSuchCommand,
		RunE:          showHelp,
		SilenceErrors: true,
		SilenceUsage:  true,
	}
	root.SetFlagErrorFunc(func(_ *cobra.Command, err error) error { return inputError{err} })
	for _, g := range groups() {
		root.AddGroup(&cobra.Group{ID: g.id, Title: g.title})
		for _, c := range g.commands {
			c.GroupID = g.id
			root.AddCommand(c)
		}
	}
	complete(root)
	root.InitDefaultHelpCmd()
	root.InitDefaultCompletionCmd()
	for _, c := range root.Commands() {
		switch c.Name() {
		case "completion":
			c.Args, c.RunE = noSuchCommand, showHelp
			c.Example = "  whatbout completion bash > whatbout.bash"
		case "help":
			c.Args = func(c *cobra.Command, args []string) error {
				if found, _, err := root.Find(args); found == root || err != nil {
					return noSuchCommand(root, args)
				}
				return nil
			}
			c.Example = "  whatbout help sweep"
		}
	}
	return root
}

// group is what belongs to one kind of question.
type group struct {
	id, title string
	commands  []*cobra.Command
}

// groups lists all commands but help and completion, in the order of their use.
func groups() []group {
	return []group{
		{"ask", "Ask what a plan changes:", []*cobra.Command{compareCommand(), chooseCommand(), creditCommand(), adjustCommand(), sweepCommand(), tornadoCommand(), hangsOnCommand(), nextCommand()}},
		{"hand", "Hand it over, look at it, keep it:", []*cobra.Command{sheetCommand(), serveCommand(), boutCommand(), partCommand(), replayCommand(), runCommand(), showCommand()}},
		{"tape", "From coded tape to profiles:", []*cobra.Command{scoutCommand(), calibrateCommand(), evidenceCommand(), populationCommand(), sketchCommand()}},
		{"check", "Check tape, coders and the model:", []*cobra.Command{validateCommand(), agreeCommand(), auditCommand(), censusCommand()}},
		{"start", "Begin:", []*cobra.Command{initCommand()}},
	}
}

func showHelp(c *cobra.Command, _ []string) error { return c.Help() }

// noSuchCommand refuses a first word that is no command, with the nearest.
func noSuchCommand(c *cobra.Command, args []string) error {
	if len(args) == 0 {
		return nil
	}
	var known []string
	for _, sub := range c.Commands() {
		known = append(known, sub.Name())
	}
	return inputError{fmt.Errorf("there is no command %q; %s", args[0], input.DidYouMean(args[0], known))}
}

// Run runs the command line and returns its exit code.
func Run(ctx context.Context, args []string, stdout, stderr io.Writer) int {
	root := tree()
	root.SetArgs(args)
	root.SetOut(stdout)
	root.SetErr(stderr)
	err := root.ExecuteContext(ctx)
	var mendable inputError
	switch {
	case err == nil:
		return ExitFine
	case errors.Is(err, context.Canceled):
		fmt.Fprintln(stderr, "whatbout: interrupted; what was finished is above")
		return ExitInterrupted
	}
	fmt.Fprintf(stderr, "whatbout: %v\n", err)
	if errors.As(err, &mendable) || strings.HasPrefix(err.Error(), "unknown command") { // cobra's own words for a word too many
		return ExitInput
	}
	return ExitFailed
}
