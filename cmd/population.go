package cmd

import (
	"errors"
	"fmt"

	"github.com/spf13/cobra"

	"whatbout/calibrate"
	"whatbout/fighter"
	"whatbout/internal/input"
	"whatbout/report"
	"whatbout/tape"
)

type populationFlags struct {
	ageFlags
	out, before, format, coder string
	all, full                  bool
}

func populationCommand() *cobra.Command {
	var f populationFlags
	c := &cobra.Command{
		Use:   "population BOUT_DIR... --out FILE.yaml",
		Short: "Re-estimate the population from a library of coded tape, by empirical Bayes",
		Long: `Re-estimates what is believed of a professional nobody has coded yet: the mean of every rate, table of choices, readiness to bite and multiple,
and how far fighters differ in them and in skills, from all fighters of a library of tape. The population before counts as one fighter more.
What a library does not carry (fewer than 5 fighters, or a handful of acts), and what no tape can show, stays as it was; both are said.

What coders miss is put back into rates and tables where a bout has two codings, which tell it. Of one coding it is assumed (--coder): standard
errors grow by it, and nothing is put back.

The file can be given to calibrate, audit, scout and population itself (--population FILE), read by validate, and edited by hand.
Means of skills stay 0: they stand above and below the population.`,
		Example: "  whatbout population mine/tape/* --out population.yaml\n  whatbout calibrate mine/tape/* --population population.yaml --out mine/profiles",
		Args:    func(c *cobra.Command, args []string) error { return wrap(cobra.MinimumNArgs(1)(c, args)) },
		RunE:    func(c *cobra.Command, args []string) error { return f.run(c, args) },
	}
	c.Flags().StringVar(&f.out, "out", "", "file for the population; without it nothing is written")
	c.Flags().StringVar(&f.before, "population", "", "population file to start from (default: the program's own)")
	c.Flags().BoolVar(&f.all, "all", false, "take bouts that are not as usual, and sparring, too")
	f.add(c)
	c.Flags().StringVar(&f.coder, "coder", "usual", coderHelp)
	c.Flags().StringVar(&f.format, "format", "text", "text or json")
	c.Flags().BoolVar(&f.full, "full", false, "text with every figure that was re-estimated, not only those that moved most")
	return c
}

func (f *populationFlags) run(c *cobra.Command, args []string) error {
	g := &given{}
	o := calibrate.Options{All: f.all, Age: f.age, Population: g.population(f.before)}
	var wrong error
	o.Coder, wrong = calibrate.ReadCoderDoubt(f.coder)
	codings, coarse, err := calibrate.ReadAll(args...)
	if err := errors.Join(append(g.faults, wrong, format(f.format, "text", "json"), f.check(c), err)...); err != nil {
		return inputError{err}
	}
	for _, dir := range args {
		if err := g.folder(dir); err != nil {
			return inputError{err}
		}
	}
	l, err := calibrate.EstimatePopulation(codings, o)
	if err != nil {
		return inputError{err}
	}
	out := f.describe(l, codings, coarse)
	if o.Population != nil {
		out.Before = o.Population.ID.String()
	}
	out.Inputs = g.inputs
	if err := f.write(l, out); err != nil {
		return err
	}
	if f.format == "json" {
		return out.JSON(c.OutOrStdout())
	}
	return out.Text(c.OutOrStdout())
}

// write writes the file whole, once it has been read back.
func (f *populationFlags) write(l *calibrate.Library, out *report.Population) error {
	if f.out == "" {
		return nil
	}
	data := fighter.WritePopulation(l.Population, fmt.Sprintf("Re-estimated by whatbout %s from %d bouts: %d fighters, %d of their rounds. Before: %s.", Version, l.Bouts,
		l.Fighters, l.Rounds, out.Before))
	if _, err := fighter.ReadPopulation(f.out, data); err != nil {
		return fmt.Errorf("the population that was estimated cannot be read again, and was not written: %w", err)
	}
	out.Written = report.Input{Name: f.out, SHA256: input.SHA256(data)}
	return input.WriteFile(f.out, data)
}

func (f *populationFlags) describe(l *calibrate.Library, codings []*tape.Coding, coarse []*tape.Coarse) *report.Population {
	out := &report.Population{Schema: report.PopulationSchema, Version: Version, Before: fighter.PopulationID{}.String(), Bouts: l.Bouts, Fighters: l.Fighters, Rounds: l.Rounds,
		Minutes: l.Minutes, Stay: report.StayOf(l.Population), Full: f.full, Notes: l.Notes}
	if out.Notes == nil {
		out.Notes = []string{}
	}
	for i := range l.Estimates {
		x := &l.Estimates[i]
		out.Figures = append(out.Figures, report.PopulationFigure{Figure: x.Name, Unit: x.Unit, Before: x.Before, After: x.After, SE: x.SE, Spread: x.Spread,
			SpreadBefore: x.Was, SpreadAfter: x.Is, AtLimit: x.AtLimit, Fighters: x.Fighters, Rounds: x.Rounds, Events: x.Events, Estimated: x.Estimated, Why: x.Why})
	}
	full, invented := map[*tape.Bout]bool{}, false
	for _, c := range codings {
		full[c.Bout] = true
		invented = invented || c.Bout.Invented
	}
	left := map[*tape.Bout]bool{}
	for _, c := range coarse {
		if !full[c.Bout] {
			left[c.Bout] = true
		}
	}
	if len(left) > 0 {
		out.Notes = append(out.Notes, fmt.Sprintf("%d bouts coded by exchanges alone are left out: a population is made of every act", len(left)))
	}
	if invented {
		out.Notes = append(out.Notes, "some of the tape is invented, and so is this population.")
	}
	return out
}
