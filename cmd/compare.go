package cmd

import (
	"context"
	"errors"
	"fmt"
	"os"
	"time"

	"github.com/spf13/cobra"

	"whatbout/demo"
	"whatbout/report"
	"whatbout/sim"
	"whatbout/sim/kernel"
	"whatbout/study"
	"whatbout/tactics"
	"whatbout/tape"
)

type compareFlags struct {
	fighter, opponent, opponentPlan, baseline string
	named                                     []string
	rules, format                             string
	seed                                      uint64
	draws, bouts                              int
	workers                                   int
	level                                     float64
	quiet, truth                              bool
}

func compareCommand() *cobra.Command {
	var f compareFlags
	c := &cobra.Command{
		Use:     "compare [PLAN.yaml ...]",
		Short:   "Compare game plans with fighting as usual; without files, on the invented demo",
		Example: "  whatbout compare\n  whatbout compare --rule no-step-back-after-a-block\n  whatbout compare plan.yaml --fighter mine.yaml --opponent theirs.yaml\n  whatbout compare --rules mma-5x5 --seed 7\n  whatbout compare --truth\n  whatbout compare --format json > result.json",
		RunE:    func(c *cobra.Command, args []string) error { return f.run(c, args) },
	}
	c.Flags().StringVar(&f.fighter, "fighter", "", "profile of the fighter with the plan")
	c.Flags().StringVar(&f.opponent, "opponent", "", "profile of the opponent")
	c.Flags().StringVar(&f.opponentPlan, "opponent-plan", "", "plan of the opponent (default: as usual)")
	c.Flags().StringVar(&f.baseline, "baseline", "", "plan to compare with (default: as usual)")
	c.Flags().StringArrayVar(&f.named, "rule", nil, "a named rule of plans/; repeated, they make one plan")
	c.Flags().StringVar(&f.rules, "rules", "mma-3x5", "rule set")
	c.Flags().StringVar(&f.format, "format", "text", "text, json or csv")
	c.Flags().Uint64Var(&f.seed, "seed", 1, "seed; the same seed gives the same bytes")
	c.Flags().IntVar(&f.draws, "draws", 400, "draws of the figures (possible truths)")
	c.Flags().IntVar(&f.bouts, "bouts", 12, "bouts for each draw and plan")
	c.Flags().IntVar(&f.workers, "workers", 0, "workers (0: one a core); never changes the result")
	c.Flags().Float64Var(&f.level, "level", 0.95, "level of the intervals")
	c.Flags().BoolVar(&f.quiet, "quiet", false, "no progress")
	c.Flags().BoolVar(&f.truth, "truth", false, "show the demo's truth beside the answer")
	return c
}

func wrap(err error) error {
	if err == nil {
		return nil
	}
	return inputError{err}
}

func (f *compareFlags) run(c *cobra.Command, args []string) error {
	if f.format != "text" && f.format != "json" && f.format != "csv" {
		return inputError{fmt.Errorf("--format %q; expected text, json or csv", f.format)}
	}
	if f.draws < 4 || f.bouts < 2 || f.workers < 0 || !(f.level > .5 && f.level < 1) {
		return inputError{errors.New("expected --draws from 4, --bouts from 2, --workers from 0 and --level above 0.5 and below 1")}
	}
	rules, err := tape.RuleSetNamed(f.rules)
	if err != nil {
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
		Fighter: given.red, Opponent: given.blue, Plans: given.plans, OpponentPlan: given.opponentPlan, Rules: rules,
		Seed: f.seed, Draws: f.draws, Bouts: f.bouts, Level: f.level, Workers: f.workers,
	}
	if !f.quiet {
		q.Progress = progress(c)
	}
	result, err := q.Run(c.Context())
	if result == nil {
		return err
	}
	out := f.describe(q, result)
	out.Inputs, out.Again = given.inputs, out.Again+given.again
	if given.demo {
		out.Warnings = append([]string{"the demo is invented: fighters, styles and bouts are our own; its tape was made by the engine."}, out.Warnings...)
	}
	if f.truth {
		var truthErr error
		if out.Truth, truthErr = truth(c.Context(), q); truthErr != nil {
			return truthErr
		}
	}
	return errors.Join(f.write(c, out), err)
}

func (f *compareFlags) describe(q *study.Comparison, r *study.Result) *report.Comparison {
	out := &report.Comparison{
		Schema: "whatbout.compare/1", Version: Version, Seed: q.Seed, Draws: r.Draws, TapeDraws: r.TapeDraws, Bouts: r.Bouts, Rules: q.Rules.Name,
		Fighter: q.Fighter.ID, Opponent: q.Opponent.ID, OpponentPlan: planName(q.OpponentPlan), Plans: r.Plans, Differences: r.Differences,
		Profile: q.Fighter, Other: q.Opponent, Level: q.Level,
		Again: fmt.Sprintf("whatbout compare --rules %s --seed %d --draws %d --bouts %d --level %g", q.Rules.Name, q.Seed, q.Draws, q.Bouts, q.Level),
	}
	out.Warnings = []string{
		"\"as usual\" is the average of the coded rounds over the opponents met.",
		fmt.Sprintf("the plan is followed at %.0f %% of decisions when fresh, less when tired or hurt: an assumption with a spread.", 100*q.Plans[len(q.Plans)-1].Adherence.Share),
	}
	if r.Partial {
		out.Warnings = append(out.Warnings, "interrupted: the figures rest on the draws that were finished.")
	}
	return out
}

func (f *compareFlags) write(c *cobra.Command, out *report.Comparison) error {
	switch f.format {
	case "json":
		return out.JSON(c.OutOrStdout())
	case "csv":
		return out.CSV(c.OutOrStdout())
	}
	return out.Text(c.OutOrStdout())
}

// progress prints plain lines, at most one a second; on a terminal they overwrite each other.
func progress(c *cobra.Command) func(done, of int) {
	last := time.Now()
	end := "\n"
	if file, ok := c.ErrOrStderr().(*os.File); ok {
		if info, err := file.Stat(); err == nil && info.Mode()&os.ModeCharDevice != 0 {
			end = "\r"
		}
	}
	return func(done, of int) {
		if time.Since(last) > time.Second || done == of {
			last = time.Now()
			fmt.Fprintf(c.ErrOrStderr(), "%d of %d draws%s", done, of, end)
		}
	}
}

// truthBouts gives the truth of a win share a standard error below 0.8 points.
const truthBouts = 4000

// truth plays the invented fighters as they really are, at the centre of every assumption.
func truth(ctx context.Context, q *study.Comparison) (map[string]float64, error) {
	out := map[string]float64{}
	b := sim.NewBout()
	b.Setup(q.Rules, sim.AverageWorld())
	if err := b.Sides[1].Load(q.Opponent.Body, demo.Truth(q.Opponent.ID), nil, 1, q.Rules); err != nil {
		return nil, err
	}
	for _, p := range q.Plans {
		plan, err := tactics.Compile(p)
		if err != nil {
			return nil, err
		}
		if err := b.Sides[0].Load(q.Fighter.Body, demo.Truth(q.Fighter.ID), plan, 1, q.Rules); err != nil {
			return nil, err
		}
		b.Sides[0].Follow(plan.Shares(0))
		for i := range truthBouts {
			if ctx.Err() != nil {
				return nil, ctx.Err()
			}
			if b.Run(kernel.NewKey(q.Seed, 1<<40, uint64(i))).Verdict.Winner == 0 {
				out[p.Name] += 1.0 / truthBouts
			}
		}
	}
	return out, nil
}
