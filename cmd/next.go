package cmd

import (
	"errors"
	"fmt"

	"github.com/spf13/cobra"

	"whatbout/calibrate"
	"whatbout/demo"
	"whatbout/fighter"
	"whatbout/report"
	"whatbout/study"
)

type nextFlags struct {
	plansFlags
	playing
	value            string
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
		Example: "  whatbout next\n  whatbout next --rule no-step-back-after-a-block --work 90\n  whatbout next --value 'win - 0.01*head_strikes_absorbed'\n  whatbout next plan.yaml --fighter mine.yaml --opponent theirs.yaml",
		RunE:    func(c *cobra.Command, args []string) error { return f.run(c, args) },
	}
	f.plansFlags.add(c)
	f.addPopulation(c)
	f.addBaseline(c)
	f.playing.add(c, 8000, 2, "; many draws tell more than many bouts")
	f.addFormat(c)
	c.Flags().StringVar(&f.value, "value", "win", "what counts: win, margin, or a weighted sum of measures (see whatbout help choose)")
	c.Flags().Float64Var(&f.coder, "work", 60, "your minutes of work for a round of tape")
	c.Flags().Float64SliceVar(&f.minutes, "minutes", []float64{6, 15, 30}, "minutes of tape to value, of each situation")
	c.Flags().Float64Var(&f.tolerance, "tolerance", .1, "bouts in 100 (hundredths of what counts) below which a better choice does not matter")
	return c
}

func (f *nextFlags) check() (*study.Value, error) {
	v, err := readValue(f.value)
	faults := []error{err, f.playing.check(4)}
	if !(f.coder > 0 && f.coder <= 10000) || !(f.tolerance > 0 && f.tolerance <= 1e6) || len(f.minutes) == 0 {
		faults = append(faults, errors.New("expected --work above 0, --tolerance above 0, and at least one of --minutes"))
	}
	for _, m := range f.minutes {
		if !(m > 0 && m <= 100000) {
			faults = append(faults, fmt.Errorf("--minutes %g; expected minutes above 0", m))
		}
	}
	return v, errors.Join(faults...)
}

func (f *nextFlags) run(c *cobra.Command, args []string) error {
	value, err := f.check()
	g, err := f.read(args, err, demo.StayClose)
	if err != nil {
		return err
	}
	yields, err := calibrate.Yields(&fighter.Pair{Red: g.red, Blue: g.blue, Joint: g.joint}, g.rules)
	if err != nil {
		return err
	}
	return f.playing.run(c, func(store study.Store, progress func(done, of int)) error {
		q := &study.Next{
			Meeting: f.meeting(g), Plans: g.plans, OpponentPlan: g.opponentPlan, Value: value,
			Draws: f.draws, Bouts: f.bouts, Level: f.level, Minutes: f.minutes, Workers: f.workers, Store: store, Progress: progress,
		}
		for c, y := range yields {
			q.Adds[c], q.Shares[c], q.Southpaw[c] = y.Adds, y.Share, y.Southpaw
		}
		result, err := q.Run(c.Context())
		if result == nil {
			return wrap(err)
		}
		out := report.NewNext(q, result)
		out.Version, out.Inputs, out.Tolerance, out.CoderMinutes = Version, g.inputs, f.tolerance/100, f.coder*60/float64(g.rules.RoundSeconds)
		out.Again = f.again(g)
		out.Warnings = g.warnings(result.Partial)
		return f.show(c, out, err)
	})
}

// again is the line that gives the same result.
func (f *nextFlags) again(g *given) string {
	line := "whatbout next" + f.playing.again(g) + fmt.Sprintf(" --value %s --work %g --tolerance %g", shellWord(f.value), f.coder, f.tolerance)
	for _, m := range f.minutes {
		line += fmt.Sprintf(" --minutes %g", m)
	}
	return line + g.again
}
