package cmd

import (
	"errors"
	"fmt"

	"github.com/spf13/cobra"

	"whatbout/demo"
	"whatbout/internal/infer"
	"whatbout/report"
	"whatbout/study"
	"whatbout/tactics"
)

type chooseFlags struct {
	plansFlags
	playing
	value      string
	tolerance  float64
	acceptHarm bool
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
	f.plansFlags.add(c)
	f.addPopulation(c)
	f.playing.add(c, 1000, 24, fmt.Sprintf(", the most for a plan, from %d", infer.FirstLook))
	f.addFormat(c)
	c.Flags().StringVar(&f.value, "value", "win", "what counts: win, margin, or a weighted sum of measures")
	c.Flags().Float64Var(&f.tolerance, "tolerance", 0.5, "expected loss that the simulation may leave, in bouts of 100 (hundredths of what counts)")
	c.Flags().BoolVar(&f.acceptHarm, "accept-harm", false, "let plans be chosen that raise head strikes absorbed, knockdowns or stoppage losses")
	return c
}

// check lists everything that is wrong with the flags themselves.
func (f *chooseFlags) check() (*study.Value, error) {
	v, err := readValue(f.value)
	faults := []error{err, f.playing.check(infer.FirstLook)}
	if !(f.tolerance > 0 && f.tolerance <= 1e6) {
		faults = append(faults, fmt.Errorf("--tolerance %g; expected bouts in 100, above 0", f.tolerance))
	}
	return v, errors.Join(faults...)
}

// readValue reads what counts.
func readValue(text string) (*study.Value, error) {
	v, err := study.ReadValue(text)
	if err != nil {
		err = fmt.Errorf("--value: %w", err)
	}
	return v, err
}

func (f *chooseFlags) run(c *cobra.Command, args []string) error {
	value, err := f.check()
	var instead given // its files stand with the demo's
	own := []*tactics.Plan{demo.StayClose}
	for _, name := range demoPlans {
		own = append(own, instead.ofRules([]string{name}))
	}
	g, err := f.read(args, err, own...)
	if err != nil {
		return err
	}
	if len(args)+len(f.named)+len(f.rulePlans) == 0 {
		g.inputs = append(g.inputs, instead.inputs...)
	}
	return f.playing.run(c, func(store study.Store, progress func(done, of int)) error {
		q := &study.Choice{
			Meeting: f.meeting(g), Plans: g.plans, OpponentPlan: g.opponentPlan, Value: value, Tolerance: f.tolerance / 100, Draws: f.draws, Bouts: f.bouts,
			Level: f.level, AcceptHarm: f.acceptHarm, Workers: f.workers, Store: store, Progress: progress,
		}
		result, err := q.Run(c.Context())
		if result == nil {
			return err
		}
		return f.show(c, f.describe(q, result, g), err)
	})
}

func (f *chooseFlags) describe(q *study.Choice, r *study.ChoiceResult, g *given) *report.Choice {
	out := report.NewChoice(q, r)
	out.Version, out.Inputs, out.Again = Version, g.inputs, f.again(q, g)
	out.Warnings = append(out.Warnings, g.warnings(r.Partial)...)
	return out
}

// again is the line that gives the same result.
func (f *chooseFlags) again(q *study.Choice, g *given) string {
	line := "whatbout choose" + f.playing.again(g) + fmt.Sprintf(" --value %s --tolerance %g", shellWord(q.Value.Text), f.tolerance)
	if f.acceptHarm {
		line += " --accept-harm"
	}
	return line + g.again
}
