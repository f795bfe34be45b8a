package cmd

import (
	"errors"
	"fmt"
	"os"
	"strings"

	"github.com/spf13/cobra"

	"whatbout/calibrate"
	"whatbout/report"
)

type auditFlags struct {
	rounds, workers                       int
	seed                                  uint64
	format, holdBack, require, population string
	page                                  string
	all, full, quiet                      bool
	age                                   ageFlags
	coder                                 string
}

func auditCommand() *cobra.Command {
	var f auditFlags
	c := &cobra.Command{
		Use:   "audit [PROFILE.yaml ...] BOUT_DIR...",
		Short: "Hold the model against coded rounds: does it reproduce what was coded?",
		Long: `Simulates every coded round many times, counts the simulated rounds by the rules of the coded ones, in the coded stretches and what was
looked for, and says of each group of figures: fits, does not fit, or too little tape to tell.

With profiles, they are taken as they are. Without, they are made from the same tape; with --hold-back bout (or round), for each bout (round)
from the others, which is the honest test. --hold-back round=3, or the id of a bout, holds back that alone, and only that is audited.
A folder is a bout, a file a profile. Profiles are made as calibrate makes them: give --population, --half-life, --as-of and --coder as there.

It also says whether the model forecasts counts better than two plain rivals do, the fighter's own rates and their last round, in
rounds and bouts that were held back.

Exit codes: 0 fine, 1 with --require fit when a group of figures does not fit or none can be told, 2 for wrong input.`,
		Example: "  whatbout init mine\n  whatbout audit mine/tape/* --hold-back bout\n  whatbout audit mine/tape/* --hold-back round=3 --require fit\n" +
			"  whatbout audit heron.yaml lynx.yaml mine/tape/heron-lynx",
		Args: func(c *cobra.Command, args []string) error { return wrap(cobra.MinimumNArgs(1)(c, args)) },
		RunE: func(c *cobra.Command, args []string) error { return f.run(c, args) },
	}
	c.Flags().IntVar(&f.rounds, "rounds", 500, "predictive rounds for each coded one, from 499")
	c.Flags().StringVar(&f.holdBack, "hold-back", "", "bout or round: each in turn; round=3; or the id of a bout: make the profiles without it")
	c.Flags().StringVar(&f.population, "population", "", populationHelp+"; of profiles that are given, that they stand on it is checked")
	f.age.add(c)
	c.Flags().StringVar(&f.coder, "coder", "usual", coderHelp)
	c.Flags().StringVar(&f.require, "require", "", "fit: exit with 1 when a group does not fit, or none can be told")
	c.Flags().BoolVar(&f.all, "all", false, "take bouts that are not as usual, and sparring, too")
	c.Flags().StringVar(&f.format, "format", "text", "text, json or csv")
	c.Flags().Uint64Var(&f.seed, "seed", 1, "seed; the same seed gives the same bytes")
	c.Flags().BoolVar(&f.full, "full", false, "text with all totals and rounds, not only those outside their interval")
	c.Flags().BoolVar(&f.quiet, "quiet", false, "no progress")
	c.Flags().IntVar(&f.workers, "workers", 0, "workers (0: one a core); never changes the result")
	c.Flags().StringVar(&f.page, "report", "", "write a report for a browser to this file: one file, no network, prints")
	return c
}

// errMisfit and errUntold are what --require fit ends with.
var (
	errMisfit = errors.New("--require fit: not everything fits")
	errUntold = errors.New("--require fit: too little tape to tell whether anything fits")
)

func (f *auditFlags) run(c *cobra.Command, args []string) error {
	files, dirs := filesAndFolders(args)
	g := &given{}
	o := calibrate.AuditOptions{Draws: f.rounds, Seed: f.seed, Workers: f.workers, All: f.all}
	if len(files) > 0 {
		g.standOn(f.populations())
		o.Profiles, o.Joint = g.profiles(files)
		g.idle()
	} else {
		o.Population = g.population(f.population)
	}
	g.faults = append(g.faults, f.check(c, &o, dirs))
	codings, err := calibrate.Read(dirs...)
	if err := errors.Join(append(g.faults, err)...); err != nil {
		return inputError{err}
	}
	for _, dir := range dirs {
		if err := g.folder(dir); err != nil {
			return inputError{err}
		}
	}
	end := func() {}
	if !f.quiet {
		o.Progress, end = progressOn(c.ErrOrStderr())
	}
	audit, err := calibrate.RunAudit(c.Context(), codings, o)
	end()
	if err != nil {
		if c.Context().Err() != nil {
			return c.Context().Err()
		}
		return inputError{err}
	}
	audit.Notes = append(audit.Notes, g.notes...)
	for _, p := range g.unstood {
		audit.Notes = append(audit.Notes, fmt.Sprintf("%s stands on the population %s.", p.ID, p.Population))
	}
	if o.Population != nil {
		audit.Notes = append(audit.Notes, fmt.Sprintf("the profiles stand on the population %s.", o.Population.ID))
	}
	out := &report.Audit{Schema: report.AuditSchema, Version: Version, Seed: f.seed, Inputs: g.inputs, Audit: *audit, Again: f.again(args), Full: f.full}
	page := pageFlags{page: f.page}
	return errors.Join(f.write(c, out), page.write(out), f.required(audit))
}

// populations are those that given profiles may stand on.
func (f *auditFlags) populations() []string {
	if f.population == "" {
		return nil
	}
	return []string{f.population}
}

func (f *auditFlags) check(c *cobra.Command, o *calibrate.AuditOptions, dirs []string) error {
	var err, wrong error
	if f.holdBack != "" {
		o.Hold, err = calibrate.ParseHolding(f.holdBack)
	}
	o.Age = f.age.age
	if len(o.Profiles) == 0 || c.Flags().Changed("coder") {
		o.Coder, wrong = calibrate.ReadCoderDoubt(f.coder)
	}
	faults := []error{format(f.format, "text", "json", "csv"), err, wrong, f.age.check(c), o.Check()}
	if f.require != "" && f.require != "fit" {
		faults = append(faults, fmt.Errorf("--require %q; expected fit", f.require))
	}
	if len(dirs) == 0 {
		faults = append(faults, errors.New("no folder of coded tape; expected at least one BOUT_DIR"))
	}
	return errors.Join(faults...)
}

// filesAndFolders tells profiles from bouts. What is not there is taken for a profile if it is called like one.
func filesAndFolders(args []string) (files, dirs []string) {
	for _, a := range args {
		info, err := os.Stat(a)
		if err == nil && !info.IsDir() || err != nil && strings.HasSuffix(a, ".yaml") {
			files = append(files, a)
		} else {
			dirs = append(dirs, a)
		}
	}
	return files, dirs
}

func (f *auditFlags) again(args []string) string {
	line := "whatbout audit"
	for _, a := range args {
		line += " " + shellWord(a)
	}
	line += fmt.Sprintf(" --rounds %d --seed %d", f.rounds, f.seed)
	for _, flag := range []struct {
		set  bool
		word string
	}{{f.age.age.HalfLife > 0, fmt.Sprintf(" --half-life %g", f.age.age.HalfLife)}, {f.age.age.AsOf != "", " --as-of " + f.age.age.AsOf}, {f.coder != "usual", " --coder " + shellWord(f.coder)},
		{f.population != "", " --population " + shellWord(f.population)}, {f.holdBack != "", " --hold-back " + shellWord(f.holdBack)}, {f.all, " --all"}, {f.full, " --full"}, {f.require != "", " --require " + f.require}} {
		if flag.set {
			line += flag.word
		}
	}
	return line
}

func (f *auditFlags) required(a *calibrate.Audit) error {
	if f.require == "" {
		return nil
	}
	var off []string
	fits := 0
	for _, v := range a.Verdicts {
		switch v.Verdict {
		case calibrate.DoesNot:
			off = append(off, v.Group)
		case calibrate.Fits:
			fits++
		}
	}
	switch {
	case len(off) > 0:
		return fmt.Errorf("%w: %s", errMisfit, strings.Join(off, ", "))
	case fits == 0:
		return errUntold
	}
	return nil
}

func (f *auditFlags) write(c *cobra.Command, out *report.Audit) error {
	switch f.format {
	case "json":
		return out.JSON(c.OutOrStdout())
	case "csv":
		return out.CSV(c.OutOrStdout())
	}
	return out.Text(c.OutOrStdout())
}
