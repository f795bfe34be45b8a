package cmd

import (
	"errors"

	"github.com/spf13/cobra"

	"whatbout/internal/input"
	"whatbout/report"
	"whatbout/study"
)

func sheetCommand() *cobra.Command {
	var f compareFlags
	var out string
	c := &cobra.Command{
		Use:   "sheet [PLAN.yaml ...]",
		Short: "One page for the corner: what to do, the sign that it is not working, what then, and the price",
		Long: `One page for the corner, of the first plan named: the three things to do, what they move, the sign that it is not working, what to change to
then (the best of the further plans), and the price. Figures are those of whatbout compare with the same flags.`,
		Example: "  whatbout sheet\n  whatbout sheet --rule no-step-back-after-a-block --out sheet.html\n  whatbout sheet first.yaml second.yaml --fighter mine.yaml --opponent theirs.yaml",
		RunE:    func(c *cobra.Command, args []string) error { return f.sheet(c, args, out) },
	}
	f.add(c)
	c.Flags().StringVar(&out, "out", "", "write the sheet as a page to this file: one file, no network, prints on one sheet")
	return c
}

// sheet compares and says what a corner needs of it.
func (f *compareFlags) sheet(c *cobra.Command, args []string, file string) error {
	var sheet *report.Sheet
	err := f.play(c, args, func(q *study.Comparison, out *report.Comparison, failed error) error {
		if failed != nil {
			return failed // half a comparison is nothing to take to a corner
		}
		trace, err := traceOf(q).Run(c.Context())
		if err != nil {
			return err
		}
		rounded, err := report.Rounded(out)
		if err != nil {
			return err
		}
		sheet = report.NewSheet(rounded.(*report.Comparison), 1, q.Plans[1], trace, nil)
		if f.demo() {
			sheet.Notes = append(sheet.Notes, "the demo is invented: fighters, styles and bouts are our own.")
		}
		return nil
	})
	if sheet == nil {
		return err
	}
	if file != "" {
		err = errors.Join(err, wrap(input.WriteStream(file, sheet.HTML)))
	}
	return errors.Join(sheet.Text(c.OutOrStdout()), err)
}
