package cmd

import (
	"errors"
	"fmt"

	"github.com/spf13/cobra"

	"whatbout/demo"
	"whatbout/report"
	"whatbout/study"
)

type partFlags struct {
	plansFlags
	seed       uint64
	draw, bout int
	turned     bool
	format     string
}

func partCommand() *cobra.Command {
	var f partFlags
	c := &cobra.Command{
		Use:   "part [PLAN.yaml]",
		Short: "The first moment at which one bout parts under a plan and as usual, on the same luck",
		Long: `The first moment at which one bout goes another way under a plan than as usual (or than under --baseline), on the same luck: when, who, what each
did and why, and how both bouts end. Until then they are the same bout. With --draw they are the bouts of that seed, draw and number that a
comparison plays; without, every figure stands at its centre.`,
		Example: "  whatbout part\n  whatbout part --rule no-step-back-after-a-block --draw 17 --bout 4\n  whatbout part plan.yaml --turned --fighter mine.yaml --opponent theirs.yaml",
		RunE:    func(c *cobra.Command, args []string) error { return f.run(c, args) },
	}
	f.plansFlags.add(c)
	f.addBaseline(c)
	c.Flags().Uint64Var(&f.seed, "seed", 1, "seed; the same seed gives the same bytes")
	c.Flags().IntVar(&f.draw, "draw", -1, "draw of the figures, from 0 (default: the centre of everything)")
	c.Flags().IntVar(&f.bout, "bout", 0, "number of the bout in its draw, from 0")
	c.Flags().BoolVar(&f.turned, "turned", false, "take the first bout from --bout on that the two end with another winner")
	c.Flags().StringVar(&f.format, "format", "text", "text or json")
	return c
}

// mostLooked is in how many bouts a turned one is looked for.
const mostLooked = 1000

func (f *partFlags) check(c *cobra.Command) error {
	faults := []error{format(f.format, "text", "json")}
	if c.Flags().Changed("draw") && f.draw < 0 {
		faults = append(faults, fmt.Errorf("--draw %d; expected 0 or more, or no --draw for the centre of everything", f.draw))
	}
	if f.bout < 0 {
		faults = append(faults, fmt.Errorf("--bout %d; expected 0 or more", f.bout))
	}
	return errors.Join(faults...)
}

func (f *partFlags) run(c *cobra.Command, args []string) error {
	g, err := f.read(args, f.check(c), demo.StayClose)
	switch {
	case err != nil:
		return err
	case len(g.plans) != 2:
		return inputError{fmt.Errorf("%d plans are named; expected one, which is held against as usual or --baseline", len(g.plans)-1)}
	}
	p, err := f.part(g)
	if err != nil {
		return wrap(err) // a plan or profile asks for more acts than a bout can follow
	}
	out := f.describe(g, p)
	if f.format == "json" {
		return out.JSON(c.OutOrStdout())
	}
	return out.Text(c.OutOrStdout())
}

// part plays the bout, or looks for one that turned.
func (f *partFlags) part(g *given) (*study.Parting, error) {
	one := study.One{Fighter: g.red, Opponent: g.blue, Joint: g.joint, Plan: g.plans[0], OpponentPlan: g.opponentPlan, Rules: g.rules, Seed: f.seed, Draw: f.draw, Bout: f.bout}
	if f.turned {
		bout, err := one.Turned(g.plans[1], mostLooked)
		if err != nil {
			return nil, err
		}
		if bout < 0 {
			return nil, inputError{fmt.Errorf("--turned: none of the %d bouts from %d on has another winner under %q", mostLooked, f.bout, g.plans[1].Name)}
		}
		one.Bout, f.bout = bout, bout
	}
	return one.Part(g.plans[1])
}

func (f *partFlags) describe(g *given, p *study.Parting) *report.Parting {
	out := &report.Parting{Parting: p, Opponent: g.opponentPlan, Inputs: g.inputs, Warnings: g.warnings(false), Version: Version, Again: f.again(g)}
	for i := range p.Bouts {
		out.Stories[i] = &report.Story{Names: [2]string{g.red.ID, g.blue.ID}, Plans: [2]string{planName(g.plans[i]), planName(g.opponentPlan)}, Rules: g.rules,
			Seed: f.seed, Draw: f.draw, Bout: f.bout, Events: p.Bouts[i].Events, Outcome: p.Bouts[i].Outcome, Inputs: g.inputs, Version: Version}
	}
	return out
}

// again is the line that gives the same bytes.
func (f *partFlags) again(g *given) string {
	line := fmt.Sprintf("whatbout part%s --seed %d --bout %d", g.underRules(), f.seed, f.bout)
	if f.draw >= 0 {
		line += fmt.Sprintf(" --draw %d", f.draw)
	}
	return line + g.again
}
