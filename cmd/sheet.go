package cmd

import (
	"errors"
	"fmt"

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
		Long: `One page for the corner, of the first plan named: the three things to do, what each is worth and moves, the sign that it is not working, what to change to
then (the best of the further plans), and the price. Figures are those of whatbout compare with the same flags,
what things are worth that of whatbout credit.`,
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
		shown := rounded.(*report.Comparison)
		worths, note, err := f.worths(c, q, shown)
		if err != nil {
			return err
		}
		sheet = report.NewSheet(shown, 1, q.Plans[1], trace, worths)
		sheet.Notes = append(sheet.Notes, note...)
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

// What is played to say what each thing is worth: as whatbout credit plays it, unless the comparison asks for less.
const (
	creditedDraws = 250
	creditedBouts = 12
)

// worths says what each thing to do is worth, for the first plan, with a note on where that comes from. It is worked out from as usual, and of a
// plan of one thing the answer says it already.
func (f *compareFlags) worths(c *cobra.Command, q *study.Comparison, out *report.Comparison) ([]report.Worth, []string, error) {
	plan := q.Plans[1]
	things := out.Things(plan)
	if len(q.Plans[0].Rules) > 0 || len(things) < 2 {
		return nil, nil, nil
	}
	credit := &study.Credit{
		Meeting: study.Meeting{Fighter: q.Fighter, Opponent: q.Opponent, Joint: q.Joint, Rules: q.Rules, Seed: q.Seed}, Plan: plan, OpponentPlan: q.OpponentPlan,
		Groups: things, Draws: min(q.Draws, creditedDraws), Bouts: min(q.Bouts, creditedBouts), Level: q.Level, Workers: q.Workers, Store: q.Store, Progress: q.Progress,
	}
	r, err := credit.Run(c.Context())
	if err != nil {
		return nil, nil, err
	}
	var worths []report.Worth
	for i := range r.Groups {
		worths = append(worths, report.WorthOf(&r.Groups[i]))
	}
	return worths, []string{fmt.Sprintf("worths are shares of the plan's difference over all orders of its rules (whatbout credit, %d draws of %d bouts); in brackets %.0f %% of the simulation.",
		r.Draws, r.Bouts, 100*q.Level)}, nil
}
