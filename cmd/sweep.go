package cmd

import (
	"errors"
	"fmt"

	"github.com/spf13/cobra"

	"whatbout/demo"
	"whatbout/fighter"
	"whatbout/report"
	"whatbout/study"
)

type sweepFlags struct {
	corners
	playing
	plans, named, rulePlans []string
	usual                   bool
	from, to                float64
	whose, value            string
	points                  int
}

func sweepCommand() *cobra.Command {
	var f sweepFlags
	c := &cobra.Command{
		Use:   "sweep FIGURE --from A --to B",
		Short: "Move one thing and see what follows, as a curve with intervals",
		Long: `Move one thing, in units of the trade, and see what follows.

Figures (complete with the tab key; all of them are explained in the sources, study/dial.go):
  bites.CUE                hand, hip, leg, level: feints bitten on, of ten; the opponent's unless --whose says otherwise
  rate.MOVE                times begun per free minute, such as rate.jab
  defends.THREAT.RESPONSE  of ten such attacks taken for real, such as defends.straight.step_back
  skill.attack.FAMILY      of 100, how many come off clean against an average fighter, such as skill.attack.straight
  skill.defence.FAMILY     of 100 by an average fighter, how many come off clean against this one
  reaction.choice          milliseconds; step: metres; chin, power.hands, tiring: multiples of the usual
  adherence                per cent of decisions at which the plan is followed

With several plans (--plan, --rule, --rule-plan, and --usual for none) it says where the better plan changes, and how sure that is.`,
		Example: "  whatbout sweep bites.hip --from 0 --to 10\n  whatbout sweep skill.attack.straight --from 10 --to 60 --usual --rule jab-before-everything --rule-plan feint-then-go\n  whatbout sweep rate.jab --from 2 --to 20 --points 4 --rule jab-before-everything\n  whatbout sweep adherence --from 0 --to 100 --rule no-step-back-after-a-block --format csv > curve.csv",
		Args:    func(c *cobra.Command, args []string) error { return wrap(cobra.ExactArgs(1)(c, args)) },
		RunE:    func(c *cobra.Command, args []string) error { return f.run(c, args[0]) },
	}
	f.corners.add(c)
	c.Flags().StringArrayVar(&f.plans, "plan", nil, "plan of the fighter (default: as usual); repeated, each is held against the others")
	c.Flags().StringArrayVar(&f.named, "rule", nil, "a named rule of plans/; repeated, they make one plan")
	c.Flags().StringArrayVar(&f.rulePlans, "rule-plan", nil, "a plan of named rules of plans/, joined by +; repeated, each is a plan")
	c.Flags().BoolVar(&f.usual, "usual", false, "hold the plans against fighting as usual too")
	c.Flags().StringVar(&f.value, "value", "win", "what plans are held against each other by: win, margin, or a weighted sum of measures")
	f.playing.add(c, 200, 12, "")
	f.addFormat(c)
	c.Flags().Float64Var(&f.from, "from", 0, "first value, in the figure's unit")
	c.Flags().Float64Var(&f.to, "to", 0, "last value")
	c.Flags().IntVar(&f.points, "points", 7, "how many values, evenly spaced, both ends included")
	c.Flags().StringVar(&f.whose, "whose", "", "fighter or opponent (default: opponent for bites, else fighter)")
	return c
}

// check lists everything that is wrong with the flags themselves.
func (f *sweepFlags) check(c *cobra.Command, name string) (*study.Dial, *study.Value, error) {
	d, err := study.DialNamed(name)
	value, wrong := study.ReadValue(f.value)
	if wrong != nil {
		wrong = fmt.Errorf("--value: %w", wrong)
	}
	faults := []error{err, wrong, f.playing.check(4)}
	for _, flag := range []string{"from", "to"} {
		if !c.Flags().Changed(flag) {
			faults = append(faults, fmt.Errorf("--%s is missing; expected the curve's ends, such as --from 2 --to 8", flag))
		}
	}
	if d != nil && c.Flags().Changed("from") && c.Flags().Changed("to") && !(f.from >= d.Low && f.to <= d.High && f.from < f.to) {
		faults = append(faults, fmt.Errorf("--from %g --to %g; expected rising values from %g to %g (%s)", f.from, f.to, d.Low, d.High, d.Unit))
	}
	if f.whose != "" && f.whose != "fighter" && f.whose != "opponent" {
		faults = append(faults, fmt.Errorf("--whose %q; expected fighter or opponent", f.whose))
	}
	if f.points < 2 || f.points > 50 {
		faults = append(faults, fmt.Errorf("--points %d; expected 2 to 50", f.points))
	}
	if d != nil && d.OfPlan() && (len(f.plans)+len(f.named)+len(f.rulePlans) == 0 || f.whose == "opponent") {
		faults = append(faults, errors.New("adherence is that of the fighter's plan; name one with --plan or --rule"))
	}
	return d, value, wrap(errors.Join(faults...))
}

// read reads the plans that the flags name, as usual first.
func (f *sweepFlags) read(earlier error) (*given, error) {
	return f.corners.read(earlier, func(g *given) {
		if f.usual {
			g.again += " --usual"
			g.plans = append(g.plans, demo.AsUsual)
		}
		for _, file := range f.plans {
			g.plans = append(g.plans, g.plan("--plan", file))
		}
		if len(f.named) > 0 {
			g.plans = append(g.plans, g.named(f.named))
		}
		for _, rules := range f.rulePlans {
			g.plans = append(g.plans, g.rulePlan(rules))
		}
		if len(g.plans) == 0 {
			g.plans = append(g.plans, demo.AsUsual)
		}
	})
}

func (f *sweepFlags) run(c *cobra.Command, name string) error {
	d, value, err := f.check(c, name)
	g, err := f.read(err)
	if err != nil {
		return err
	}
	q := &study.Sweep{
		Meeting: f.meeting(g), Plans: g.plans, OpponentPlan: g.opponentPlan, Value: value, Dial: d, At: study.Spaced(f.from, f.to, f.points),
		Draws: f.draws, Bouts: f.bouts, Level: f.level, Workers: f.workers,
	}
	if f.whose == "opponent" || f.whose == "" && d.Theirs {
		q.Whose = 1
	}
	return f.playing.run(c, func(store study.Store, progress func(done, of int)) error {
		q.Store, q.Progress = store, progress
		result, err := q.Run(c.Context())
		if result == nil {
			return wrap(err) // a figure that cannot go there, or an interruption
		}
		return f.show(c, f.describe(q, g, result), err)
	})
}

func (f *sweepFlags) describe(q *study.Sweep, g *given, r *study.SweepResult) *report.Sweep {
	out := report.NewSweep(q, r)
	out.Version, out.Inputs, out.Warnings = Version, g.inputs, sweepWarnings(q, g, r)
	out.Again = fmt.Sprintf("whatbout sweep %s --from %g --to %g --points %d --whose %s", q.Dial.Name, f.from, f.to, f.points, []string{"fighter", "opponent"}[q.Whose]) +
		f.playing.again(g)
	if f.value != "win" {
		out.Again += " --value " + shellWord(q.Value.Text)
	}
	out.Again += g.again
	return out
}

func sweepWarnings(q *study.Sweep, g *given, r *study.SweepResult) (out []string) {
	if g.demo {
		out = append(out, "the demo is invented: fighters, styles and bouts are our own; its tape was made by the engine.")
	}
	if r.Source != fighter.FromTape && !q.Dial.OfPlan() {
		out = append(out, "no tape of this fighter moved this figure: the curve shows what would follow, not where the fighter stands on it.")
	}
	if len(q.Plans) > 1 {
		out = append(out, "between the points the curves are taken to be straight; intervals of crossings are of the mean over what is possible, not of one truth.")
	}
	if r.Partial {
		out = append(out, "interrupted: the figures rest on the draws that were finished.")
	}
	return out
}
