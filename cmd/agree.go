package cmd

import (
	"errors"
	"fmt"
	"path/filepath"
	"slices"

	"github.com/spf13/cobra"

	"whatbout/calibrate"
	"whatbout/internal/input"
	"whatbout/report"
	"whatbout/tape"
)

type agreeFlags struct {
	window, level float64
	format        string
	seed          uint64
}

func agreeCommand() *cobra.Command {
	var f agreeFlags
	c := &cobra.Command{
		Use:     "agree BOUT_DIR",
		Short:   "Say how far the codings of one bout agree, and where coders should look again",
		Example: "  whatbout agree mine/tape/badger-otter\n  whatbout agree mine/tape/badger-otter --window 0.2 --format csv > agreement.csv",
		Args:    func(c *cobra.Command, args []string) error { return wrap(cobra.ExactArgs(1)(c, args)) },
		RunE:    func(c *cobra.Command, args []string) error { return f.run(c, args[0]) },
	}
	c.Flags().Float64Var(&f.window, "window", .3, "s: how far the clocks of one event may lie apart")
	c.Flags().Float64Var(&f.level, "level", .95, "level of the intervals")
	c.Flags().StringVar(&f.format, "format", "text", "text, json or csv")
	c.Flags().Uint64Var(&f.seed, "seed", 1, "seed of the bootstraps; the same seed gives the same bytes")
	return c
}

func (f *agreeFlags) run(c *cobra.Command, dir string) error {
	options := calibrate.AgreeOptions{Window: f.window, Level: f.level, Windows: f.curve(), Seed: f.seed}
	faults := []error{options.Check()}
	if !slices.Contains([]string{"text", "json", "csv"}, f.format) {
		faults = append(faults, fmt.Errorf("--format %q; expected text, json or csv", f.format))
	}
	bout, codings, err := tape.ReadBoutDir(dir)
	if err := errors.Join(append(faults, err)...); err != nil {
		return inputError{err}
	}
	agreement, err := calibrate.Agree(bout, codings, options)
	if err != nil {
		return inputError{err}
	}
	out := &report.Agreement{Schema: report.AgreementSchema, Version: Version, Seed: f.seed, Agreement: *agreement,
		Again: fmt.Sprintf("whatbout agree %s --window %g --level %g --seed %d", dir, f.window, f.level, f.seed)}
	if out.Inputs, err = agreeInputs(dir, codings); err != nil {
		return inputError{err}
	}
	switch f.format {
	case "json":
		return out.JSON(c.OutOrStdout())
	case "csv":
		return out.CSV(c.OutOrStdout())
	}
	return out.Text(c.OutOrStdout())
}

// curve is the usual one with the window asked for.
func (f *agreeFlags) curve() []float64 {
	out := append(slices.Clone(calibrate.UsualWindows), f.window)
	slices.Sort(out)
	return slices.Compact(out)
}

func agreeInputs(dir string, codings []*tape.Coding) (out []report.Input, err error) {
	names := []string{"bout.yaml"}
	for _, c := range codings {
		names = append(names, c.Name+".csv")
	}
	for _, name := range names {
		file := filepath.Join(dir, name)
		data, err := input.ReadFile(file, 64<<20)
		if err != nil {
			return nil, err
		}
		out = append(out, report.Input{Name: file, SHA256: input.SHA256(data)})
	}
	return out, nil
}
