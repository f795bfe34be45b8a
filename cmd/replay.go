package cmd

import (
	"errors"
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"whatbout/internal/input"
	"whatbout/report"
	"whatbout/study"
	"whatbout/tactics"
	"whatbout/web/replay"
)

type replayFlags struct {
	corners
	named      []string
	rulePlans  []string
	seed       uint64
	draw, bout int
	out        string
}

func replayCommand() *cobra.Command {
	var f replayFlags
	c := &cobra.Command{
		Use:   "replay [PLAN.yaml [PLAN.yaml]] --out FILE.html",
		Short: "Write one simulated bout as a page: both from above, step by step, with the tape and the reasons",
		Long: `Write one simulated bout as one file for a browser: both fighters from above, what their own limbs reach, each act as it comes, the tape
beside it and why it happened. The file asks for nothing, so that it can be sent. The bout is that of whatbout bout with the same --seed,
--draw and --bout. With one plan it is played under it; with two, under both on the same luck, side by side, with the moment they part.
Without any plan it is as usual.`,
		Example: "  whatbout replay --seed 3 --out bout.html\n  whatbout replay --rule no-step-back-after-a-block --as-usual --draw 17 --bout 4 --out two.html",
		Args:    func(c *cobra.Command, args []string) error { return wrap(cobra.MaximumNArgs(2)(c, args)) },
	}
	usual := c.Flags().Bool("as-usual", false, "beside one plan: the same bout as usual on the same luck")
	c.RunE = func(c *cobra.Command, args []string) error { return f.run(c, args, *usual) }
	f.add(c)
	c.Flags().StringArrayVar(&f.named, "rule", nil, "a named rule of plans/; repeated, they make one plan")
	c.Flags().StringArrayVar(&f.rulePlans, "rule-plan", nil, "a plan of named rules of plans/, joined by +; repeated, each is a plan")
	c.Flags().Uint64Var(&f.seed, "seed", 1, "seed; the same seed gives the same bytes")
	c.Flags().IntVar(&f.draw, "draw", -1, "draw of the figures, from 0 (default: the centre of everything)")
	c.Flags().IntVar(&f.bout, "bout", 0, "number of the bout in its draw, from 0")
	c.Flags().StringVar(&f.out, "out", "", "the file to write")
	return c
}

func (f *replayFlags) check(c *cobra.Command) error {
	var faults []error
	if f.out == "" {
		faults = append(faults, errors.New("no file to write; name one, such as --out bout.html"))
	}
	if c.Flags().Changed("draw") && f.draw < 0 {
		faults = append(faults, fmt.Errorf("--draw %d; expected 0 or more, or no --draw for the centre of everything", f.draw))
	}
	if f.bout < 0 {
		faults = append(faults, fmt.Errorf("--bout %d; expected 0 or more", f.bout))
	}
	return errors.Join(faults...)
}

// read reads what the flags and words name. The plans are one or two; nil is as usual.
func (f *replayFlags) read(c *cobra.Command, files []string, usual bool) (*given, []*tactics.Plan, error) {
	var plans []*tactics.Plan
	g, err := f.corners.read(f.check(c), func(g *given) {
		for _, file := range files {
			g.plans = append(g.plans, g.plan("", file))
		}
		if len(f.named) > 0 {
			g.plans = append(g.plans, g.named(f.named))
		}
		for _, rules := range f.rulePlans {
			g.plans = append(g.plans, g.rulePlan(rules))
		}
		plans = g.plans
		switch {
		case len(plans) > 2 || usual && len(plans) == 2:
			g.faults = append(g.faults, fmt.Errorf("more than two bouts side by side cannot be followed; name two plans, or one with --as-usual"))
		case usual && len(plans) == 0:
			g.faults = append(g.faults, errors.New("--as-usual goes beside a plan; without any the bout is as usual"))
		case len(plans) == 0:
			plans = []*tactics.Plan{nil}
		case usual:
			plans = []*tactics.Plan{nil, plans[0]}
			g.again += " --as-usual"
		}
	})
	return g, plans, err
}

func (f *replayFlags) run(c *cobra.Command, files []string, usual bool) error {
	g, plans, err := f.read(c, files, usual)
	if err != nil {
		return err
	}
	one := &study.One{Fighter: g.red, Opponent: g.blue, Joint: g.joint, OpponentPlan: g.opponentPlan, Rules: g.rules, Seed: f.seed, Draw: f.draw, Bout: f.bout}
	r, err := report.NewReplay(one, plans...)
	if err != nil {
		return wrap(err) // a plan or profile asks for more acts than a bout can follow
	}
	r.Inputs, r.Version = g.inputs, Version
	r.Next = fmt.Sprintf("whatbout replay --seed %d --bout %d", f.seed, f.bout)
	if f.draw >= 0 {
		r.Next += fmt.Sprintf(" --draw %d", f.draw)
	}
	r.Next += g.underRules() + g.again + " --out " + shellWord(f.out)
	if err := input.WriteStream(f.out, func(w io.Writer) error { return replay.File(w, r) }); err != nil {
		return wrap(err)
	}
	return f.tell(c, r)
}

// tell says in a few lines what the file shows.
func (f *replayFlags) tell(c *cobra.Command, r *report.Replay) error {
	out := c.OutOrStdout()
	fmt.Fprintf(out, "%s: %s.\n", f.out, r.Story(0).Which())
	for i := range r.Bouts {
		s := r.Story(i)
		fmt.Fprintf(out, "%s: %s\n", s.Plans[0], s.Ending())
	}
	if r.Parting != nil {
		for _, line := range r.PartingText() {
			fmt.Fprintln(out, line)
		}
	}
	_, err := fmt.Fprintln(out, "Open it in a browser; it asks for nothing else.")
	return err
}
