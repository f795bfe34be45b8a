package cmd

import (
	"fmt"

	"github.com/spf13/cobra"

	"whatbout/report"
	"whatbout/study"
)

func censusCommand() *cobra.Command {
	var bouts, workers int
	c := &cobra.Command{
		Use:     "census",
		Short:   "Hold evenly matched simulated bouts against published numbers",
		Example: "  whatbout census\n  whatbout census --bouts 400",
		Args:    func(c *cobra.Command, args []string) error { return wrap(cobra.NoArgs(c, args)) },
		RunE: func(c *cobra.Command, _ []string) error {
			if bouts < 100 {
				return inputError{fmt.Errorf("--bouts %d; expected at least 100", bouts)}
			}
			rows, err := study.Census(c.Context(), bouts, workers)
			if err != nil {
				return err
			}
			return report.Census(c.OutOrStdout(), bouts, rows)
		},
	}
	c.Flags().IntVar(&bouts, "bouts", 4000, "bouts under mixed rules; the other rule sets get fewer")
	c.Flags().IntVar(&workers, "workers", 0, "workers (0: one a core); never changes the result")
	return c
}
