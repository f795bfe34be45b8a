package cmd

import (
	"errors"
	"fmt"

	"github.com/spf13/cobra"

	"whatbout/internal/infer"
	"whatbout/report"
	"whatbout/study"
	"whatbout/tactics"
)

type compareFlags struct {
	fighter, opponent, opponentPlan, baseline string
	named                                     []string
	rules, format                             string
	seed                                      uint64
	draws, bouts                              int
	workers                                   int
	level, within                             float64
	quiet, truth                              bool
	resume                                    resumeFlag
	page                                      string
}

func compareCommand() *cobra.Command {
	var f compareFlags
	c := &cobra.Command{
		Use:     "compare [PLAN.yaml ...]",
		Short:   "Compare game plans with fighting as usual; without files, on the invented demo",
		Example: "  whatbout compare\n  whatbout compare --rule no-step-back-after-a-block\n  whatbout compare plan.yaml --fighter mine.yaml --opponent theirs.yaml\n  whatbout compare --rules mma-5x5 --seed 7\n  whatbout compare --within 1\n  whatbout compare --truth\n  whatbout compare --format json > result.json\n  whatbout compare --report out.html",
		RunE:    func(c *cobra.Command, args []string) error { return f.run(c, args) },
	}
	f.add(c)
	c.Flags().StringVar(&f.format, "format", "text", "text, json or csv")
	c.Flags().BoolVar(&f.truth, "truth", false, "show the demo's truth beside the answer")
	c.Flags().StringVar(&f.page, "report", "", "write a report for a browser to this file: one file, no network, prints")
	return c
}

// add gives a command the flags that say what is compared.
func (f *compareFlags) add(c *cobra.Command) {
	c.Flags().StringVar(&f.fighter, "fighter", "", "profile of the fighter with the plan")
	c.Flags().StringVar(&f.opponent, "opponent", "", "profile of the opponent")
	c.Flags().StringVar(&f.opponentPlan, "opponent-plan", "", "plan of the opponent (default: as usual)")
	c.Flags().StringVar(&f.baseline, "baseline", "", "plan to compare with (default: as usual)")
	c.Flags().StringArrayVar(&f.named, "rule", nil, "a named rule of plans/; repeated, they make one plan")
	c.Flags().StringVar(&f.rules, "rules", "mma-3x5", "rule set: a built-in name or a file")
	c.Flags().Uint64Var(&f.seed, "seed", 1, "seed; the same seed gives the same bytes")
	c.Flags().IntVar(&f.draws, "draws", 400, fmt.Sprintf("draws of the figures (possible truths); with --within the most, %d unless given", mostDraws))
	c.Flags().IntVar(&f.bouts, "bouts", 24, "bouts for each draw and plan")
	c.Flags().IntVar(&f.workers, "workers", 0, "workers (0: one a core); never changes the result")
	c.Flags().Float64Var(&f.level, "level", 0.95, "level of the intervals")
	c.Flags().Float64Var(&f.within, "within", 0, "add draws until every difference in bouts won is known within this many bouts in 100")
	c.Flags().BoolVar(&f.quiet, "quiet", false, "no progress")
	f.resume.add(c)
}

func wrap(err error) error {
	if err == nil {
		return nil
	}
	return inputError{err}
}

const (
	mostDraws = 20000  // how far --within goes by itself
	mostBouts = 100000 // a draw: a worker keeps the figures of all of them, 0.5 kB each
)

func (f *compareFlags) check(c *cobra.Command) error {
	if err := format(f.format, shownFormats...); err != nil {
		return err
	}
	if f.draws < 4 || f.bouts < 2 || f.bouts > mostBouts || f.workers < 0 || !(f.level > .5 && f.level < 1) {
		return fmt.Errorf("expected --draws from 4, --bouts from 2 to %d, --workers from 0 and --level above 0.5 and below 1", mostBouts)
	}
	if !c.Flags().Changed("within") {
		return nil
	}
	if !(f.within > 0 && f.within <= 50) {
		return fmt.Errorf("--within %g; expected bouts in 100, above 0 and at most 50", f.within)
	}
	if !c.Flags().Changed("draws") {
		f.draws = mostDraws
	}
	if f.draws < infer.FirstLook {
		return fmt.Errorf("--within with --draws %d; expected at least %d, where it first looks", f.draws, infer.FirstLook)
	}
	return nil
}

func (f *compareFlags) run(c *cobra.Command, args []string) error {
	return f.play(c, args, func(q *study.Comparison, out *report.Comparison, err error) error {
		if f.page != "" && err == nil {
			err = f.writePage(c, q, out)
		}
		return errors.Join(show(c, f.format, out), err)
	})
}

// play compares what the flags name and hands the result on, with the error of an interruption if it is not whole.
func (f *compareFlags) play(c *cobra.Command, args []string, tell func(*study.Comparison, *report.Comparison, error) error) (err error) {
	if err := f.check(c); err != nil {
		return inputError{err}
	}
	given, err := f.read(args)
	if err != nil {
		return inputError{err}
	}
	if f.truth && !given.demo {
		return inputError{errors.New("--truth goes with the demo's fighters only; leave out --fighter and --opponent")}
	}
	q := &study.Comparison{
		Fighter: given.red, Opponent: given.blue, Joint: given.joint, Plans: given.plans, OpponentPlan: given.opponentPlan, Rules: given.rules,
		Seed: f.seed, Draws: f.draws, Bouts: f.bouts, Level: f.level, Within: f.within / 100, Workers: f.workers,
	}
	done := func() {}
	if q.Store, err = f.resume.open(); err != nil {
		return err
	}
	defer f.resume.close(&err)
	if !f.quiet {
		q.Progress, done = progressOn(c.ErrOrStderr())
	}
	result, err := q.Run(c.Context())
	done()
	if result == nil {
		return err
	}
	out := f.describe(q, result, given)
	if f.truth && err == nil {
		out.Truth, err = truth(c.Context(), q)
	}
	return tell(q, out, err)
}

func (f *compareFlags) describe(q *study.Comparison, r *study.Result, g *given) *report.Comparison {
	out := report.NewComparison(q, r)
	out.Version, out.Inputs, out.Again = Version, g.inputs, f.again(q, g)
	out.Warnings = append(out.Warnings, g.warnings(r.Partial)...)
	return out
}

// adherence says how well a plan is taken to be followed; there is nothing to follow in "as usual".
func adherence(p *tactics.Plan) []string {
	if len(p.Rules) == 0 {
		return nil
	}
	return []string{fmt.Sprintf("%q is followed at %.0f %% of decisions when fresh (standard deviation %.0f points), less when tired or hurt: an assumption.",
		p.Name, 100*p.Adherence.Share, 100*p.Adherence.SD)}
}

// again is the line that gives the same result.
func (f *compareFlags) again(q *study.Comparison, g *given) string {
	line := "whatbout compare" + g.underRules() + fmt.Sprintf(" --seed %d --draws %d --bouts %d --level %g", q.Seed, q.Draws, q.Bouts, q.Level)
	if f.within > 0 {
		line += fmt.Sprintf(" --within %g", f.within)
	}
	if f.truth {
		line += " --truth"
	}
	return line + g.again
}
