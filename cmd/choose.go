package cmd

import (
	"errors"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"whatbout/demo"
	"whatbout/internal/infer"
	"whatbout/report"
	"whatbout/study"
)

type chooseFlags struct {
	fighter, opponent, opponentPlan string
	rulePlans                       []string
	value, rules, format            string
	seed                            uint64
	draws, bouts, workers           int
	level, tolerance                float64
	acceptHarm, quiet               bool
	resume                          resumeFlag
}

// demoPlans are what the demo chooses from beside its own plan.
var demoPlans = []string{"no-step-back-after-a-block", "feint-then-go", "sprawl-first-ask-later"}

func chooseCommand() *cobra.Command {
	var f chooseFlags
	c := &cobra.Command{
		Use:   "choose [PLAN.yaml ...]",
		Short: "Which of these plans, at what price, and is it close; without files, on the invented demo",
		Long: `Which of several plans (as usual is always among them) to take. Bouts go where they lower the expected loss of the choice most, until what
they leave of it is within --tolerance. A plan that raises head strikes absorbed, knockdowns suffered or stoppage losses above as usual is
kept out, unless --accept-harm lets it in.

What counts (--value) is win, margin (the judges' margin in points), or a sum of measures with weights, such as
'win - 0.01*head_strikes_absorbed': a bout won is then worth a hundred head strikes absorbed.`,
		Example: "  whatbout choose\n  whatbout choose one.yaml other.yaml --fighter mine.yaml --opponent theirs.yaml\n  whatbout choose --rule-plan feint-then-go --rule-plan one-and-out+save-the-legs-when-tired\n  whatbout choose --value 'win - 0.01*head_strikes_absorbed' --tolerance 0.3",
		RunE:    func(c *cobra.Command, args []string) error { return f.run(c, args) },
	}
	c.Flags().StringVar(&f.fighter, "fighter", "", "profile of the fighter who chooses")
	c.Flags().StringVar(&f.opponent, "opponent", "", "profile of the opponent")
	c.Flags().StringVar(&f.opponentPlan, "opponent-plan", "", "plan of the opponent (default: as usual)")
	c.Flags().StringArrayVar(&f.rulePlans, "rule-plan", nil, "a further plan of named rules of plans/, joined by +; repeated, each is a plan")
	c.Flags().StringVar(&f.value, "value", "win", "what counts: win, margin, or a weighted sum of measures")
	c.Flags().Float64Var(&f.tolerance, "tolerance", 0.5, "expected loss that the simulation may leave, in bouts of 100 (hundredths of what counts)")
	c.Flags().BoolVar(&f.acceptHarm, "accept-harm", false, "let plans be chosen that raise head strikes absorbed, knockdowns or stoppage losses")
	c.Flags().StringVar(&f.rules, "rules", "mma-3x5", "rule set: a built-in name or a file")
	c.Flags().StringVar(&f.format, "format", "text", "text, json or csv")
	c.Flags().Uint64Var(&f.seed, "seed", 1, "seed; the same seed gives the same bytes")
	c.Flags().IntVar(&f.draws, "draws", 1000, fmt.Sprintf("most draws of the figures (possible truths) for a plan, from %d", infer.FirstLook))
	c.Flags().IntVar(&f.bouts, "bouts", 24, "bouts for each draw and plan")
	c.Flags().IntVar(&f.workers, "workers", 0, "workers (0: one a core); never changes the result")
	c.Flags().Float64Var(&f.level, "level", 0.95, "level of the intervals")
	c.Flags().BoolVar(&f.quiet, "quiet", false, "no progress")
	f.resume.add(c)
	return c
}

// check lists everything that is wrong with the flags themselves.
func (f *chooseFlags) check() (*study.Value, error) {
	v, err := study.ReadValue(f.value)
	if err != nil {
		err = fmt.Errorf("--value: %w", err)
	}
	faults := []error{err, format(f.format, "text", "json", "csv")}
	if f.draws < infer.FirstLook || f.bouts < 2 || f.bouts > mostBouts || f.workers < 0 || !(f.level > .5 && f.level < 1) {
		faults = append(faults, fmt.Errorf("expected --draws from %d, --bouts from 2 to %d, --workers from 0 and --level above 0.5 and below 1", infer.FirstLook, mostBouts))
	}
	if !(f.tolerance > 0 && f.tolerance <= 1e6) {
		faults = append(faults, fmt.Errorf("--tolerance %g; expected bouts in 100, above 0", f.tolerance))
	}
	return v, errors.Join(faults...)
}

// read reads everything that the flags and arguments name and lists all faults, those found earlier first.
func (f *chooseFlags) read(args []string, earlier error) (*given, error) {
	files := compareFlags{fighter: f.fighter, opponent: f.opponent, opponentPlan: f.opponentPlan, rules: f.rules}
	if len(args) == 0 && len(f.rulePlans) == 0 && f.fighter != "" && f.opponent != "" {
		return nil, errors.Join(earlier, errors.New("no plan to choose; name a PLAN.yaml or a --rule-plan"))
	}
	g, err := files.read(args)
	if g == nil {
		return nil, errors.Join(earlier, err)
	}
	rulePlans := f.rulePlans
	if len(args) == 0 { // what compare puts in where no plan is named
		g.plans = g.plans[:1]
		if len(rulePlans) == 0 {
			g.plans = append(g.plans, demo.StayClose)
			rulePlans = demoPlans
		}
	}
	faults := []error{earlier}
	if len(args) > 0 || g.demo {
		faults = append(faults, err)
	}
	g.faults = nil
	for _, text := range rulePlans {
		g.rulePlan(text, len(f.rulePlans) > 0)
	}
	g.distinct()
	return g, errors.Join(append(faults, g.faults...)...)
}

// rulePlan adds a plan of named rules joined by +.
func (g *given) rulePlan(text string, told bool) {
	again := g.again
	g.plans = append(g.plans, g.named(strings.Split(text, "+")))
	g.again = again
	if told {
		g.again += " --rule-plan " + shellWord(text)
	}
}

func (f *chooseFlags) run(c *cobra.Command, args []string) (err error) {
	value, err := f.check()
	g, err := f.read(args, err)
	if err != nil {
		return inputError{err}
	}
	q := &study.Choice{
		Meeting: study.Meeting{Fighter: g.red, Opponent: g.blue, Joint: g.joint, Rules: g.rules, Seed: f.seed}, Plans: g.plans, OpponentPlan: g.opponentPlan,
		Value: value, Tolerance: f.tolerance / 100, Draws: f.draws, Bouts: f.bouts, Level: f.level, AcceptHarm: f.acceptHarm, Workers: f.workers,
	}
	if q.Store, err = f.resume.open(); err != nil {
		return err
	}
	defer f.resume.close(&err)
	done := func() {}
	if !f.quiet {
		q.Progress, done = progressOn(c.ErrOrStderr())
	}
	result, err := q.Run(c.Context())
	done()
	if result == nil {
		return err
	}
	out := f.describe(q, result, g)
	return errors.Join(show(c, f.format, out), err)
}

func (f *chooseFlags) describe(q *study.Choice, r *study.ChoiceResult, g *given) *report.Choice {
	out := report.NewChoice(q, r)
	out.Version, out.Inputs, out.Again = Version, g.inputs, f.again(q, g)
	out.Warnings = append(out.Warnings, g.warnings(r.Partial)...)
	return out
}

// again is the line that gives the same result.
func (f *chooseFlags) again(q *study.Choice, g *given) string {
	line := "whatbout choose" + g.underRules() + fmt.Sprintf(" --value %s --tolerance %g --seed %d --draws %d --bouts %d --level %g", shellWord(q.Value.Text), f.tolerance, q.Seed, q.Draws, q.Bouts, q.Level)
	if f.acceptHarm {
		line += " --accept-harm"
	}
	return line + g.again
}
