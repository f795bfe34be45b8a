package cmd

import (
	"errors"
	"fmt"

	"github.com/spf13/cobra"

	"whatbout/demo"
	"whatbout/report"
	"whatbout/study"
	"whatbout/tactics"
)

type tornadoFlags struct {
	plansFlags
	playing
	figures []string
	all     bool
	value   string
}

func tornadoCommand() *cobra.Command {
	var f tornadoFlags
	c := &cobra.Command{
		Use:   "tornado [PLAN.yaml]",
		Short: "Move many figures, each alone, and see which move the plan's edge most",
		Long: `Move many figures, each alone, from end to end of what is believed of it, and see how much the plan's edge over fighting as usual changes.

A figure (--figure, repeated) is one that sweep moves, with whose it is and its ends where they are not as believed: bites.hip, opponent:chin,
fighter:rate.jab=2..20. Without any, twenty that a corner asks about first; --all takes every one.`,
		Example: "  whatbout tornado\n  whatbout tornado --rule no-step-back-after-a-block --figure bites.hip=0..10 --figure chin --figure opponent:chin\n  whatbout tornado plan.yaml --fighter mine.yaml --opponent theirs.yaml --value margin --format csv > tornado.csv",
		Args:    func(c *cobra.Command, args []string) error { return wrap(cobra.MaximumNArgs(1)(c, args)) },
		RunE:    func(c *cobra.Command, args []string) error { return f.run(c, args) },
	}
	f.plansFlags.add(c)
	f.addBaseline(c)
	f.playing.add(c, 100, 12, "")
	f.addFormat(c)
	c.Flags().StringArrayVar(&f.figures, "figure", nil, "a figure to move, such as bites.hip, opponent:chin or rate.jab=2..20; repeated")
	c.Flags().BoolVar(&f.all, "all", false, "move every figure of both fighters (hundreds)")
	c.Flags().StringVar(&f.value, "value", "win", "what counts: win, margin, or a weighted sum of measures")
	return c
}

// levers are the figures that the flags name.
func (f *tornadoFlags) levers() (out []*study.Lever, err error) {
	switch {
	case f.all && len(f.figures) > 0:
		return nil, errors.New("--all and --figure exclude each other")
	case f.all:
		return study.AllLevers(), nil
	case len(f.figures) == 0:
		return study.UsualLevers(), nil
	}
	return readLevers(f.figures)
}

// readLevers reads figures with whose they are and their ends.
func readLevers(figures []string) (out []*study.Lever, err error) {
	var faults []error
	for _, text := range figures {
		l, err := study.ReadLever(text)
		if err != nil {
			err = fmt.Errorf("--figure: %w", err)
		}
		out, faults = append(out, l), append(faults, err)
	}
	return out, errors.Join(faults...)
}

// oneOf refuses more than one plan beside the one to start from.
func oneOf(plans []*tactics.Plan) (*tactics.Plan, error) {
	if len(plans) != 2 {
		return nil, wrap(fmt.Errorf("%d plans are named; expected one, which is held against as usual or --baseline", len(plans)-1))
	}
	return plans[1], nil
}

func (f *tornadoFlags) run(c *cobra.Command, args []string) error {
	value, wrong := readValue(f.value)
	levers, err := f.levers()
	g, err := f.read(args, errors.Join(wrong, err, f.playing.check(4)), demo.StayClose)
	if err != nil {
		return err
	}
	plan, err := oneOf(g.plans)
	if err != nil {
		return err
	}
	return f.playing.run(c, func(store study.Store, progress func(done, of int)) error {
		q := &study.Tornado{Meeting: f.meeting(g), Plan: plan, Against: g.plans[0], OpponentPlan: g.opponentPlan, Value: value, Levers: levers, Lenient: len(f.figures) == 0,
			Draws: f.draws, Bouts: f.bouts, Level: f.level, Workers: f.workers, Store: store, Progress: progress}
		result, err := q.Run(c.Context())
		if result == nil {
			return wrap(err)
		}
		out := report.NewTornado(q, result)
		out.Version, out.Inputs, out.Again = Version, g.inputs, f.again(g, value)
		out.Warnings = append(g.warnings(result.Partial), "a figure is moved while all others are drawn as they are believed to be; skills that are believed together are then not.")
		return f.show(c, out, err)
	})
}

// again is the line that gives the same result.
func (f *tornadoFlags) again(g *given, value *study.Value) string {
	line := "whatbout tornado" + f.playing.again(g) + " --value " + shellWord(value.Text)
	if f.all {
		line += " --all"
	}
	for _, figure := range f.figures {
		line += " --figure " + shellWord(figure)
	}
	return line + g.again
}
