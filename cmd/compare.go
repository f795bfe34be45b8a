package cmd

import (
	"errors"
	"fmt"

	"github.com/spf13/cobra"

	"whatbout/demo"
	"whatbout/internal/infer"
	"whatbout/report"
	"whatbout/study"
)

type compareFlags struct {
	plansFlags
	playing
	within float64
	set    []string
	truth  bool
}

func compareCommand() *cobra.Command {
	var f compareFlags
	c := &cobra.Command{
		Use:     "compare [PLAN.yaml ...]",
		Short:   "Compare game plans with fighting as usual; without files, on the invented demo",
		Example: "  whatbout compare\n  whatbout compare --rule no-step-back-after-a-block\n  whatbout compare plan.yaml --fighter mine.yaml --opponent theirs.yaml\n  whatbout compare --rules mma-5x5 --seed 7\n  whatbout compare --within 1\n  whatbout compare --truth\n  whatbout compare --format json > result.json\n  whatbout compare --report out.html",
		RunE:    func(c *cobra.Command, args []string) error { return f.run(c, args) },
	}
	f.add(c)
	f.addFormat(c)
	c.Flags().BoolVar(&f.truth, "truth", false, "show the demo's truth beside the answer")
	return c
}

// add gives a command the flags that say what is compared.
func (f *compareFlags) add(c *cobra.Command) {
	f.plansFlags.add(c)
	f.addPopulation(c)
	f.addBaseline(c)
	f.playing.add(c, 400, 24, fmt.Sprintf("; with --within the most, %d unless given", mostDraws))
	c.Flags().Float64Var(&f.within, "within", 0, "add draws until every difference in bouts won is known within this many bouts in 100")
	c.Flags().StringArrayVar(&f.set, "set", nil, "what if: put a dial of sweep at a value in every draw, such as own.bites.hip:4 or their.rate.jab:6; repeated")
}

func wrap(err error) error {
	if err == nil {
		return nil
	}
	return inputError{err}
}

const mostDraws = 20000 // how far --within goes by itself

func (f *compareFlags) check(c *cobra.Command) error {
	faults := []error{f.playing.check(4)}
	if c.Flags().Changed("within") {
		if !(f.within > 0 && f.within <= 50) {
			faults = append(faults, fmt.Errorf("--within %g; expected bouts in 100, above 0 and at most 50", f.within))
		}
		if !c.Flags().Changed("draws") {
			f.draws = mostDraws
		}
		if f.draws < infer.FirstLook {
			faults = append(faults, fmt.Errorf("--within with --draws %d; expected at least %d, where it first looks", f.draws, infer.FirstLook))
		}
	}
	settings, err := f.settings()
	if faults = append(faults, err); len(settings) > 0 && f.truth {
		faults = append(faults, errors.New("--truth and --set exclude each other; nobody's truth is what is put there by hand"))
	}
	if f.truth && !f.demo() {
		faults = append(faults, errors.New("--truth goes with the demo's fighters only; leave out --fighter and --opponent"))
	}
	return errors.Join(faults...)
}

// settings are what is moved under every plan.
func (f *compareFlags) settings() (out []study.Setting, err error) {
	var faults []error
	for _, word := range f.set {
		s, err := study.ParseSetting(word)
		if err != nil {
			faults = append(faults, fmt.Errorf("--set: %w", err))
		}
		out = append(out, s)
	}
	return out, errors.Join(faults...)
}

func (f *compareFlags) run(c *cobra.Command, args []string) error {
	return f.play(c, args, func(q *study.Comparison, out *report.Comparison, err error) error {
		if f.page != "" && err == nil {
			out.Watched, err = traceOf(q).Run(c.Context())
		}
		return f.show(c, out, err)
	})
}

// play compares what the flags name and hands the result on, with the error of an interruption if it is not whole.
func (f *compareFlags) play(c *cobra.Command, args []string, tell func(*study.Comparison, *report.Comparison, error) error) error {
	g, err := f.read(args, f.check(c), demo.StayClose)
	if err != nil {
		return err
	}
	return f.playing.run(c, func(store study.Store, progress func(done, of int)) error {
		q := &study.Comparison{
			Fighter: g.red, Opponent: g.blue, Joint: g.joint, Plans: g.plans, OpponentPlan: g.opponentPlan, Rules: g.rules,
			Seed: f.seed, Draws: f.draws, Bouts: f.bouts, Level: f.level, Within: f.within / 100, Workers: f.workers, Store: store, Progress: progress,
		}
		settings, err := f.settings()
		if err != nil {
			return wrap(err)
		}
		for range q.Plans {
			q.Set = append(q.Set, settings)
		}
		result, err := q.Run(c.Context())
		if result == nil {
			return err
		}
		out := f.describe(q, result, g)
		if f.truth && err == nil {
			out.Truth, err = truth(c.Context(), q)
		}
		return tell(q, out, err)
	})
}

func (f *compareFlags) describe(q *study.Comparison, r *study.Result, g *given) *report.Comparison {
	out := report.NewComparison(q, r)
	out.Version, out.Inputs, out.Again = Version, g.inputs, f.again(g)
	out.Warnings = append(out.Warnings, g.warnings(r.Partial)...)
	if len(f.set) > 0 {
		out.Warnings = append(out.Warnings, report.MovedNote)
	}
	return out
}

// again is the line that gives the same result.
func (f *compareFlags) again(g *given) string {
	line := "whatbout compare" + f.playing.again(g)
	if f.within > 0 {
		line += fmt.Sprintf(" --within %g", f.within)
	}
	if f.truth {
		line += " --truth"
	}
	for _, word := range f.set {
		line += " --set " + shellWord(word)
	}
	return line + g.again
}
