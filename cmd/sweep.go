package cmd

import (
	"errors"
	"fmt"

	"github.com/spf13/cobra"

	"whatbout/fighter"
	"whatbout/report"
	"whatbout/study"
)

type sweepFlags struct {
	onePlan
	playing
	from, to float64
	whose    string
	points   int
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
  adherence                per cent of decisions at which the plan is followed`,
		Example: "  whatbout sweep bites.hip --from 0 --to 10\n  whatbout sweep rate.jab --from 2 --to 20 --points 4 --rule jab-before-everything\n  whatbout sweep adherence --from 0 --to 100 --rule no-step-back-after-a-block --format csv > curve.csv",
		Args:    func(c *cobra.Command, args []string) error { return wrap(cobra.ExactArgs(1)(c, args)) },
		RunE:    func(c *cobra.Command, args []string) error { return f.run(c, args[0]) },
	}
	f.onePlan.add(c)
	f.playing.add(c, 200, 12, "")
	f.addFormat(c)
	c.Flags().Float64Var(&f.from, "from", 0, "first value, in the figure's unit")
	c.Flags().Float64Var(&f.to, "to", 0, "last value")
	c.Flags().IntVar(&f.points, "points", 7, "how many values, evenly spaced, both ends included")
	c.Flags().StringVar(&f.whose, "whose", "", "fighter or opponent (default: opponent for bites, else fighter)")
	return c
}

// check lists everything that is wrong with the flags themselves.
func (f *sweepFlags) check(c *cobra.Command, name string) (*study.Dial, error) {
	d, err := study.DialNamed(name)
	faults := []error{err, f.playing.check(4)}
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
	if d != nil && d.OfPlan() && (f.plan == "" && len(f.named) == 0 || f.whose == "opponent") {
		faults = append(faults, errors.New("adherence is that of the fighter's plan; name one with --plan or --rule"))
	}
	return d, wrap(errors.Join(faults...))
}

func (f *sweepFlags) run(c *cobra.Command, name string) error {
	d, err := f.check(c, name)
	m, err := f.onePlan.read(err)
	if err != nil {
		return err
	}
	return f.playing.run(c, func(_ study.Store, progress func(done, of int)) error {
		q := &study.Sweep{
			Fighter: m.red, Opponent: m.blue, Joint: m.joint, Plan: m.plan, OpponentPlan: m.opponentPlan, Dial: d, At: study.Spaced(f.from, f.to, f.points), Rules: m.rules,
			Seed: f.seed, Draws: f.draws, Bouts: f.bouts, Level: f.level, Workers: f.workers, Progress: progress,
		}
		if f.whose == "opponent" || f.whose == "" && d.Theirs {
			q.Whose = 1
		}
		result, err := q.Run(c.Context())
		if result == nil {
			return wrap(err) // a figure that cannot go there, or an interruption
		}
		return f.show(c, f.describe(q, m, result), err)
	})
}

func (f *sweepFlags) describe(q *study.Sweep, m *meeting, r *study.SweepResult) *report.Sweep {
	moved, whose := q.Fighter, "fighter"
	if q.Whose == 1 {
		moved, whose = q.Opponent, "opponent"
	}
	out := &report.Sweep{
		Schema: report.SweepSchema, Version: Version, Seed: q.Seed, Draws: r.Draws, Bouts: r.Bouts, Level: q.Level, Rules: q.Rules.Name,
		Fighter: q.Fighter.ID, Opponent: q.Opponent.ID, Plan: planName(q.Plan), Points: r.Points, Inputs: m.inputs,
		Figure: report.SweepFigure{Name: q.Dial.Name, Of: moved.ID, Plain: q.Dial.Plain(report.Title(moved.ID)), Unit: q.Dial.Unit,
			Calibrated: r.Calibrated, Believed: r.Believed, Source: r.Source.String()},
		Again: fmt.Sprintf("whatbout sweep %s --from %g --to %g --points %d --whose %s%s --seed %d --draws %d --bouts %d --level %g", q.Dial.Name, f.from, f.to,
			f.points, whose, m.underRules(), q.Seed, q.Draws, q.Bouts, q.Level) + m.again,
	}
	for _, x := range q.At {
		if believed, ok := q.Dial.RealBelieved(moved, x); ok {
			out.Figure.RealBelieved = append(out.Figure.RealBelieved, believed)
		}
	}
	out.Warnings = sweepWarnings(q, m, r)
	return out
}

func sweepWarnings(q *study.Sweep, m *meeting, r *study.SweepResult) (out []string) {
	if m.demo {
		out = append(out, "the demo is invented: fighters, styles and bouts are our own; its tape was made by the engine.")
	}
	if r.Source != fighter.FromTape && !q.Dial.OfPlan() {
		out = append(out, "no tape of this fighter moved this figure: the curve shows what would follow, not where the fighter stands on it.")
	}
	if r.Partial {
		out = append(out, "interrupted: the figures rest on the draws that were finished.")
	}
	return out
}
