package cmd

import (
	"errors"
	"fmt"

	"github.com/spf13/cobra"

	"whatbout/calibrate"
	"whatbout/fighter"
	"whatbout/report"
	"whatbout/study"
)

type nextFlags struct {
	compareFlags
	coder, tolerance float64
	minutes          []float64
}

func nextCommand() *cobra.Command {
	var f nextFlags
	c := &cobra.Command{
		Use:   "next [PLAN.yaml ...]",
		Short: "What to code next to choose better between plans, and when no further tape can matter",
		Long: "What to code next. Knowledge wins something only where it changes the choice between plans; this says how much, on the average, in bouts of\n" +
			"100: for everything in doubt, for groups of figures, and for more minutes of tape of each kind of situation, the most for your time first.",
		Example: "  whatbout next\n  whatbout next --rule no-step-back-after-a-block --work 90\n  whatbout next plan.yaml --fighter mine.yaml --opponent theirs.yaml",
		RunE:    func(c *cobra.Command, args []string) error { return f.run(c, args) },
	}
	c.Flags().StringVar(&f.fighter, "fighter", "", "profile of the fighter with the plan")
	c.Flags().StringVar(&f.opponent, "opponent", "", "profile of the opponent")
	c.Flags().StringVar(&f.opponentPlan, "opponent-plan", "", "plan of the opponent (default: as usual)")
	c.Flags().StringVar(&f.baseline, "baseline", "", "first plan to choose from (default: as usual)")
	c.Flags().StringArrayVar(&f.named, "rule", nil, "a named rule of plans/; repeated, they make one plan")
	c.Flags().StringVar(&f.rules, "rules", "mma-3x5", "rule set: a built-in name or a file")
	c.Flags().StringVar(&f.format, "format", "text", "text, json or csv")
	c.Flags().Uint64Var(&f.seed, "seed", 1, "seed; the same seed gives the same bytes")
	c.Flags().IntVar(&f.draws, "draws", 8000, "draws of the figures (possible truths); many draws tell more than many bouts")
	c.Flags().IntVar(&f.bouts, "bouts", 2, "bouts for each draw and plan")
	c.Flags().IntVar(&f.workers, "workers", 0, "workers (0: one a core); never changes the result")
	c.Flags().Float64Var(&f.level, "level", 0.95, "level of the intervals")
	c.Flags().Float64Var(&f.coder, "work", 60, "your minutes of work for a round of tape")
	c.Flags().Float64SliceVar(&f.minutes, "minutes", []float64{6, 15, 30}, "minutes of tape to value, of each situation")
	c.Flags().Float64Var(&f.tolerance, "tolerance", .1, "bouts in 100 below which a better choice does not matter")
	c.Flags().BoolVar(&f.quiet, "quiet", false, "no progress")
	f.resume.add(c)
	return c
}

func (f *nextFlags) check() error {
	faults := []error{format(f.format, shownFormats...)}
	if f.draws < 4 || f.bouts < 2 || f.bouts > mostBouts || f.workers < 0 || !(f.level > .5 && f.level < 1) {
		faults = append(faults, fmt.Errorf("expected --draws from 4, --bouts from 2 to %d, --workers from 0 and --level above 0.5 and below 1", mostBouts))
	}
	if !(f.coder > 0 && f.coder <= 10000) || !(f.tolerance > 0 && f.tolerance <= 50) || len(f.minutes) == 0 {
		faults = append(faults, errors.New("expected --work above 0, --tolerance above 0 and at most 50, and at least one of --minutes"))
	}
	for _, m := range f.minutes {
		if !(m > 0 && m <= 100000) {
			faults = append(faults, fmt.Errorf("--minutes %g; expected minutes above 0", m))
		}
	}
	return errors.Join(faults...)
}

func (f *nextFlags) run(c *cobra.Command, args []string) (err error) {
	if err := f.check(); err != nil {
		return inputError{err}
	}
	g, err := f.read(args)
	if err != nil {
		return inputError{err}
	}
	q := &study.Next{
		Meeting: study.Meeting{Fighter: g.red, Opponent: g.blue, Joint: g.joint, Rules: g.rules, Seed: f.seed}, Plans: g.plans, OpponentPlan: g.opponentPlan,
		Draws: f.draws, Bouts: f.bouts, Level: f.level, Minutes: f.minutes, Workers: f.workers,
	}
	yields, err := calibrate.Yields(&fighter.Pair{Red: g.red, Blue: g.blue, Joint: g.joint}, g.rules)
	if err != nil {
		return err
	}
	for c, y := range yields {
		q.Adds[c], q.Shares[c] = y.Adds, y.Share
	}
	if q.Store, err = f.resume.open(); err != nil {
		return err
	}
	defer f.resume.close(&err)
	done := func() {}
	if !f.quiet {
		q.Progress, done = progressOn(c.ErrOrStderr())
	}
	result, err := q.Run(c.Context())
	done()
	if result == nil {
		return wrap(err)
	}
	out := report.NewNext(q, result)
	out.Version, out.Inputs, out.Tolerance, out.CoderMinutes = Version, g.inputs, f.tolerance/100, f.coder*60/float64(g.rules.RoundSeconds)
	out.Again = f.again(g)
	out.Warnings = g.warnings(result.Partial)
	return errors.Join(show(c, f.format, out), err)
}

// again is the line that gives the same result.
func (f *nextFlags) again(g *given) string {
	line := "whatbout next" + g.underRules() + fmt.Sprintf(" --seed %d --draws %d --bouts %d --level %g --work %g --tolerance %g", f.seed, f.draws, f.bouts, f.level, f.coder, f.tolerance)
	for _, m := range f.minutes {
		line += fmt.Sprintf(" --minutes %g", m)
	}
	return line + g.again
}
