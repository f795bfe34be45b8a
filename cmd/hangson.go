package cmd

import (
	"errors"
	"fmt"

	"github.com/spf13/cobra"

	"whatbout/demo"
	"whatbout/report"
	"whatbout/study"
)

type hangsOnFlags struct {
	plansFlags
	playing
	how, value   string
	figures      []string
	screen, keep int
}

// hangsOnPlays are the draws (or rows) and bouts of each way, unless told.
var hangsOnPlays = map[study.How][2]int{study.Shares: {20000, 2}, study.Screening: {120, 4}, study.Indices: {600, 6}}

func hangsOnCommand() *cobra.Command {
	var f hangsOnFlags
	c := &cobra.Command{
		Use:   "hangs-on [PLAN.yaml]",
		Short: "What the doubt about a plan's edge hangs on, in shares",
		Long: `What the plan's edge over fighting as usual hangs on: how much of the way it differs between possible truths comes from each part of what is
in doubt. Parts are drawn independently of each other; skills that are believed together are one part.

  --how shares     straight lines through draws of everything at once: cheap, and blind to curves and interplay (default)
  --how screening  each part moved alone from many places: which move the edge at all
  --how indices    a screening, then for the few parts that are left what each does by itself and in all, whatever the shape

With --figure (as for tornado) the parts are those figures, moved evenly over their ranges, and everything else as one.`,
		Example: "  whatbout hangs-on\n  whatbout hangs-on --how screening --rule no-step-back-after-a-block\n  whatbout hangs-on --how indices --figure bites.hip=0..10 --figure fighter:chin --value margin\n  whatbout hangs-on plan.yaml --fighter mine.yaml --opponent theirs.yaml --format csv > parts.csv",
		Args:    func(c *cobra.Command, args []string) error { return wrap(cobra.MaximumNArgs(1)(c, args)) },
		RunE:    func(c *cobra.Command, args []string) error { return f.run(c, args) },
	}
	f.plansFlags.add(c)
	f.addBaseline(c)
	f.playing.add(c, hangsOnPlays[study.Shares][0], hangsOnPlays[study.Shares][1], "; rows of the design where parts are moved (120 for screening, 600 for indices)")
	f.addFormat(c)
	c.Flags().StringVar(&f.how, "how", string(study.Shares), "shares, screening or indices")
	c.Flags().StringVar(&f.value, "value", "win", "what counts: win, margin, or a weighted sum of measures")
	c.Flags().StringArrayVar(&f.figures, "figure", nil, "a figure to move as a part, such as bites.hip=0..10 or opponent:chin; repeated")
	c.Flags().IntVar(&f.screen, "screen", 60, "rows of the screening before indices")
	c.Flags().IntVar(&f.keep, "keep", 4, "parts that indices looks at one by one")
	return c
}

// settle takes the draws and bouts of the way where none were named.
func (f *hangsOnFlags) settle(c *cobra.Command) {
	plays, ok := hangsOnPlays[study.How(f.how)]
	if ok && !c.Flags().Changed("draws") {
		f.draws = plays[0]
	}
	if ok && !c.Flags().Changed("bouts") {
		f.bouts = plays[1]
	}
}

func (f *hangsOnFlags) check() ([]*study.Lever, *study.Value, error) {
	value, wrong := readValue(f.value)
	levers, err := readLevers(f.figures)
	faults := []error{wrong, err, f.playing.check(4)}
	if _, ok := hangsOnPlays[study.How(f.how)]; !ok {
		faults = append(faults, fmt.Errorf("--how %q; expected shares, screening or indices", f.how))
	}
	if f.how == string(study.Shares) && len(f.figures) > 0 {
		faults = append(faults, errors.New("--figure goes with --how screening or indices; shares takes everything as it is believed"))
	}
	if f.screen < 3 || f.keep < 1 {
		faults = append(faults, fmt.Errorf("--screen %d --keep %d; expected at least 3 rows and 1 part", f.screen, f.keep))
	}
	return levers, value, errors.Join(faults...)
}

func (f *hangsOnFlags) run(c *cobra.Command, args []string) error {
	f.settle(c)
	levers, value, err := f.check()
	g, err := f.read(args, err, demo.StayClose)
	if err != nil {
		return err
	}
	plan, err := oneOf(g.plans)
	if err != nil {
		return err
	}
	return f.playing.run(c, func(store study.Store, progress func(done, of int)) error {
		q := &study.HangsOn{Meeting: f.meeting(g), Plan: plan, Against: g.plans[0], OpponentPlan: g.opponentPlan, Value: value, How: study.How(f.how), Levers: levers,
			Screen: f.screen, Keep: f.keep, Draws: f.draws, Bouts: f.bouts, Level: f.level, Workers: f.workers, Store: store, Progress: progress}
		result, err := q.Run(c.Context())
		if result == nil {
			return wrap(err)
		}
		out := report.NewHangsOn(q, result)
		out.Version, out.Inputs, out.Warnings, out.Again = Version, g.inputs, g.warnings(result.Partial), f.again(g, value)
		return f.show(c, out, err)
	})
}

// again is the line that gives the same result.
func (f *hangsOnFlags) again(g *given, value *study.Value) string {
	line := fmt.Sprintf("whatbout hangs-on --how %s", f.how) + f.playing.again(g) + " --value " + shellWord(value.Text)
	if f.how == string(study.Indices) {
		line += fmt.Sprintf(" --screen %d --keep %d", f.screen, f.keep)
	}
	for _, figure := range f.figures {
		line += " --figure " + shellWord(figure)
	}
	return line + g.again
}
