package cmd

import (
	"errors"
	"fmt"

	"github.com/spf13/cobra"

	"whatbout/report"
	"whatbout/sim"
	"whatbout/study"
	"whatbout/tactics"
	"whatbout/tape"
)

type boutFlags struct {
	onePlan
	seed            uint64
	draw, bout      int
	format, explain string
	round           int
}

func boutCommand() *cobra.Command {
	var f boutFlags
	c := &cobra.Command{
		Use:   "bout",
		Short: "Tell one simulated bout, or explain one moment of it",
		Long: `Tell one simulated bout. With --draw it is the bout of that seed, draw and number that a comparison plays; without, every figure stands
at its centre. --explain shows, for the last act at or before a clock, what the fighters could know, what their options weighed, what
was drawn, and why a strike landed or not.`,
		Example: "  whatbout bout --seed 3\n  whatbout bout --draw 17 --bout 4 --rule no-step-back-after-a-block\n  whatbout bout --seed 3 --explain 0:30.0 --round 2\n  whatbout bout --seed 3 --format tape > coded.csv",
		Args:    func(c *cobra.Command, args []string) error { return wrap(cobra.NoArgs(c, args)) },
		RunE:    func(c *cobra.Command, _ []string) error { return f.run(c) },
	}
	f.add(c)
	c.Flags().Uint64Var(&f.seed, "seed", 1, "seed; the same seed gives the same bytes")
	c.Flags().IntVar(&f.draw, "draw", -1, "draw of the figures, from 0 (default: the centre of everything)")
	c.Flags().IntVar(&f.bout, "bout", 0, "number of the bout in its draw, from 0")
	c.Flags().StringVar(&f.format, "format", "text", "text, tape or json")
	c.Flags().StringVar(&f.explain, "explain", "", "explain the last act at or before this clock, as m:ss.s since the bell")
	c.Flags().IntVar(&f.round, "round", 1, "the round of --explain")
	return c
}

// check lists everything that is wrong with the flags themselves and reads the clock.
func (f *boutFlags) check(c *cobra.Command) (clock int64, err error) {
	faults := []error{format(f.format, "text", "tape", "json")}
	if c.Flags().Changed("draw") && f.draw < 0 {
		faults = append(faults, fmt.Errorf("--draw %d; expected 0 or more, or no --draw for the centre of everything", f.draw))
	}
	if f.bout < 0 {
		faults = append(faults, fmt.Errorf("--bout %d; expected 0 or more", f.bout))
	}
	if f.explain == "" {
		if c.Flags().Changed("round") {
			faults = append(faults, errors.New("--round goes with --explain"))
		}
		return 0, wrap(errors.Join(faults...))
	}
	if clock, err = tape.ParseClock(f.explain); err != nil {
		faults = append(faults, fmt.Errorf("--explain: %w", err))
	}
	if f.format == "tape" {
		faults = append(faults, errors.New("--explain is told as text or json, not as tape"))
	}
	return clock, wrap(errors.Join(faults...))
}

func (f *boutFlags) run(c *cobra.Command) error {
	clock, err := f.check(c)
	m, err := f.read(err)
	if err != nil {
		return err
	}
	if f.explain != "" && (f.round < 1 || f.round > m.rules.Rounds || clock > int64(m.rules.RoundSeconds)*1e6) {
		return inputError{fmt.Errorf("--explain %s --round %d; expected rounds 1 to %d and clocks up to %s under %s", f.explain, f.round, m.rules.Rounds,
			tape.FormatClock(int64(m.rules.RoundSeconds)*1e6), m.rules.Name)}
	}
	b, trace := sim.NewBout(), &sim.Tracer{}
	if f.explain != "" {
		b.Watch = trace
	}
	one := study.One{Fighter: m.red, Opponent: m.blue, Joint: m.joint, Plan: m.plan, OpponentPlan: m.opponentPlan, Rules: m.rules, Seed: f.seed, Draw: f.draw, Bout: f.bout}
	o, err := one.Play(b)
	if err != nil {
		return wrap(err) // a plan or profile asks for more acts than a bout can follow
	}
	story := f.story(m, b, o)
	if f.explain != "" {
		return f.tellMoment(c, m, story, trace, clock)
	}
	switch f.format {
	case "tape":
		return tape.WriteCSV(c.OutOrStdout(), b.Events)
	case "json":
		return story.JSON(c.OutOrStdout())
	}
	return story.Text(c.OutOrStdout())
}

func (f *boutFlags) story(m *meeting, b *sim.Bout, o sim.Outcome) *report.Story {
	next := fmt.Sprintf("whatbout bout --seed %d --bout %d%s", f.seed, f.bout, m.underRules())
	if f.draw >= 0 {
		next += fmt.Sprintf(" --draw %d", f.draw)
	}
	return &report.Story{Names: [2]string{m.red.ID, m.blue.ID}, Plans: [2]string{planName(m.plan), planName(m.opponentPlan)}, Rules: m.rules, Seed: f.seed, Draw: f.draw,
		Bout: f.bout, Events: b.Events, Outcome: o, Inputs: m.inputs, Version: Version, Next: next + m.again + " --explain 0:30.0 --round 1"}
}

func (f *boutFlags) tellMoment(c *cobra.Command, m *meeting, story *report.Story, trace *sim.Tracer, clock int64) error {
	moment, ok := trace.Moment(story.Events, f.round, clock)
	if !ok {
		return inputError{fmt.Errorf("--explain %s --round %d: nobody has done anything by then; the bout ended in round %d at %s", f.explain, f.round,
			story.Outcome.Verdict.Round, report.Clock(story.Outcome.Verdict.Clock))}
	}
	out := &report.Moment{Story: story, Plans: [2]*tactics.Plan{m.plan, m.opponentPlan}, Moment: moment}
	if f.format == "json" {
		return out.JSON(c.OutOrStdout())
	}
	return out.Text(c.OutOrStdout())
}
