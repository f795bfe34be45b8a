package cmd

import (
	"fmt"

	"github.com/spf13/cobra"

	"whatbout/demo"
	"whatbout/report"
	"whatbout/study"
)

type creditFlags struct {
	plansFlags
	playing
}

func creditCommand() *cobra.Command {
	var f creditFlags
	c := &cobra.Command{
		Use:   "credit [PLAN.yaml]",
		Short: "Which rule of a plan does the work, alone, left out and as its share; without files, on the invented demo",
		Long: fmt.Sprintf(`Which rule of a plan does the work. Each rule is added alone to fighting as usual and left out of the whole plan; its share of what the plan
changes is the mean over all orders in which the rules can be added, so that the shares add up to the whole. All on the same luck. Of plans
with more than %d rules the orders are drawn.`, study.ExactRules),
		Example: "  whatbout credit\n  whatbout credit plan.yaml --fighter mine.yaml --opponent theirs.yaml\n  whatbout credit --rule feint-then-go --rule no-step-back-after-a-block",
		RunE:    func(c *cobra.Command, args []string) error { return f.run(c, args) },
	}
	f.plansFlags.add(c)
	f.playing.add(c, 250, 12, "")
	f.addFormat(c)
	return c
}

// read reads the one plan that is asked about.
func (f *creditFlags) read(args []string) (*given, error) {
	g, err := f.plansFlags.read(args, f.playing.check(4), demo.StayClose)
	switch {
	case err != nil:
		return nil, err
	case len(g.plans) != 2:
		return nil, inputError{fmt.Errorf("%d plans are named; expected one, whose rules are held against each other (--rule, repeated, makes one plan)", len(g.plans)-1)}
	case len(g.plans[1].Rules) == 0:
		return nil, inputError{fmt.Errorf("the plan %q has no rules; expected at least one", g.plans[1].Name)}
	}
	return g, nil
}

func (f *creditFlags) run(c *cobra.Command, args []string) error {
	g, err := f.read(args)
	if err != nil {
		return err
	}
	return f.playing.run(c, func(store study.Store, progress func(done, of int)) error {
		q := &study.Credit{
			Meeting: f.meeting(g), Plan: g.plans[1], OpponentPlan: g.opponentPlan, Draws: f.draws, Bouts: f.bouts, Level: f.level, Workers: f.workers,
			Store: store, Progress: progress,
		}
		result, err := q.Run(c.Context())
		if result == nil {
			return wrap(err)
		}
		out := report.NewCredit(q, result)
		out.Version, out.Inputs, out.Again, out.Warnings = Version, g.inputs, "whatbout credit"+f.playing.again(g)+g.again, g.warnings(result.Partial)
		return f.show(c, out, err)
	})
}
