package cmd

import (
	"errors"
	"fmt"
	"io"
	"maps"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"whatbout/calibrate"
	"whatbout/fighter"
	"whatbout/internal/input"
	"whatbout/tape"
)

func calibrateCommand() *cobra.Command {
	var out, coder, population, closing string
	var o calibrate.Options
	var age ageFlags
	c := &cobra.Command{
		Use:   "calibrate BOUT_DIR...",
		Short: "Turn coded tape into profiles",
		Long: "Turn coded tape into profiles: one for everybody whose body some bout.yaml gives, or for those named by --fighter.\n" +
			"Bouts that are not \"as usual\" (usual: false, or kind: sparring) are left out altogether, and said to be; --all takes them.\n" +
			"Bouts coded by exchanges (level: exchanges) count for what they can tell. What coders do wrong widens the profiles: estimated where a bout\n" +
			"has two codings, else assumed (--coder).\n" +
			"Two things take some seconds a fighter, since the bouts are fought again with the profiles: --steps finds how long each fighter's\n" +
			"steps are, and how fast they close, from how they move between ranges and how soon; --check sets coded attempts and shares that came off beside simulated ones.\n" +
			"--close goes on from there and shifts what is left: rates of each fighter, or everybody's log-odds of success, by as much as is more than\n" +
			"its own error (--close-whole: by all of it). The profiles say so, and residuals are shown before and after. It brings simulated bouts to this\n" +
			"tape; bouts to come were predicted no better by it.",
		Example: "  whatbout init mine\n  whatbout calibrate mine/tape/* --out mine/profiles",
		Args:    func(c *cobra.Command, args []string) error { return wrap(cobra.MinimumNArgs(1)(c, args)) },
		RunE: func(c *cobra.Command, args []string) error {
			var problems [5]error
			var codings []*tape.Coding
			o.Coder, problems[0] = calibrate.ReadCoderDoubt(coder)
			codings, o.Coarse, problems[1] = calibrate.ReadAll(args...)
			o.Population, problems[2] = readPopulation(population)
			o.Age, problems[3] = age.age, age.check(c)
			o.Close, problems[4] = readClosing(closing, o.CloseWhole)
			if err := errors.Join(problems[:]...); err != nil {
				return inputError{err}
			}
			r, err := calibrate.Calibrate(codings, o)
			if err != nil {
				return inputError{err}
			}
			files, err := profileFiles(out, r.Profiles)
			if err != nil {
				return inputError{err}
			}
			joint, err := r.Joint()
			if err != nil {
				return err
			}
			files[filepath.Join(out, calibrate.JointFile)] = fighter.WriteJoint(joint)
			if err := os.MkdirAll(out, 0o755); err != nil {
				return err
			}
			if err := input.WriteFiles(files); err != nil {
				return err
			}
			return errors.Join(tellEvidence(c.OutOrStdout(), out, r), tellSteps(c.OutOrStdout(), r), tellResiduals(c.OutOrStdout(), r), tellPlaces(c.OutOrStdout(), r),
				tellClosed(c.OutOrStdout(), r), tellWorth(c.ErrOrStderr(), r, o))
		},
	}
	c.Flags().StringVar(&out, "out", "profiles", "folder for the profiles")
	c.Flags().StringSliceVar(&o.For, "fighter", nil, "make the profile of this fighter only (may be repeated)")
	c.Flags().BoolVar(&o.All, "all", false, "take bouts that are not as usual, and sparring, too")
	c.Flags().StringVar(&population, "population", "", populationHelp)
	age.add(c)
	c.Flags().StringVar(&coder, "coder", "usual", coderHelp)
	c.Flags().BoolVar(&o.Steps, "steps", false, "fit length and time of steps, and so closing speed, by simulating the tape")
	c.Flags().BoolVar(&o.Check, "check", false, "simulate the tape from the profiles, and show what differs")
	c.Flags().StringVar(&closing, "close", "none", "shift what simulated bouts leave of the tape: rates, shares, both or none")
	c.Flags().BoolVar(&o.CloseWhole, "close-whole", false, "with --close: shift all of it, also what is within its own error")
	c.Flags().IntVar(&o.Workers, "workers", 0, "simulate on so many cores (0: all); the result is the same")
	return c
}

// profileFiles gives the profiles' files by path. An id is a file's name here, so it must be one.
func profileFiles(dir string, profiles map[string]*fighter.Profile) (map[string][]byte, error) {
	files := map[string][]byte{}
	var faults []error
	for _, id := range slices.Sorted(maps.Keys(profiles)) {
		if !filepath.IsLocal(id) || strings.ContainsAny(id, `/\:`) || strings.HasPrefix(id, ".") {
			faults = append(faults, fmt.Errorf("fighter %q: a profile's file is called by its id; expected one without slashes, colons and a leading dot", id))
			continue
		}
		files[filepath.Join(dir, id+".yaml")] = fighter.WriteProfile(profiles[id])
	}
	if len(profiles) == 0 {
		faults = append(faults, errors.New("no profile can be made: no bout.yaml that counts gives a body, or all bouts were left out (--all takes them)"))
	}
	return files, errors.Join(faults...)
}

// tellEvidence says what stands behind each profile, then what the tape leaves open.
func tellEvidence(w io.Writer, dir string, r *calibrate.Result) error {
	var b strings.Builder
	for _, id := range slices.Sorted(maps.Keys(r.Profiles)) {
		e := r.Evidence[id]
		if e.Rounds == 0 && e.Coarse.Rounds == 0 {
			fmt.Fprintf(&b, "%s: NO TAPE, the population: %d figures moved by others' rows\n", filepath.Join(dir, id+".yaml"), moved(r.Profiles[id]))
			continue
		}
		fmt.Fprintf(&b, "%s: %s, %d figures moved by tape\n", filepath.Join(dir, id+".yaml"), coded(e), moved(r.Profiles[id]))
		if e.Rounds > 0 {
			fmt.Fprintf(&b, "  acts vary between rounds more than chance by the factor: %s\n", dispersions(e))
		}
	}
	fmt.Fprintf(&b, "%s: the skills of all of them together\n", filepath.Join(dir, calibrate.JointFile))
	for _, note := range r.Notes {
		fmt.Fprintf(&b, "note: %s\n", note)
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// coded says how much was coded, by level.
func coded(e *calibrate.Evidence) string {
	acts := fmt.Sprintf("%.1f minutes in %d rounds coded", e.Minutes, e.Rounds)
	if math.Abs(e.Weighed-e.Minutes) > 1e-9*e.Minutes {
		acts += fmt.Sprintf(" (by age they count as %.1f)", e.Weighed)
	}
	if e.Coarse.Rounds == 0 {
		return acts
	}
	exchanges := fmt.Sprintf("%.1f minutes in %d rounds coded by exchanges (%.0f of them, %.0f led), which moved %d figures, and skills", e.Coarse.Minutes,
		e.Coarse.Rounds, e.Coarse.Exchanges, e.Coarse.Led, e.Coarse.Figures)
	if e.Rounds == 0 {
		return exchanges
	}
	return acts + " by every act, " + exchanges
}

// dispersions lists the factors that the counts were divided by, of the zones and tables in which there was something to tell.
func dispersions(e *calibrate.Evidence) string {
	var out []string
	for z, d := range e.Dispersion {
		if d.DF > 0 {
			out = append(out, fmt.Sprintf("%s %.2f", fighter.Zone(z), d.Factor))
		}
	}
	if e.Answers.DF > 0 {
		out = append(out, fmt.Sprintf("answers %.2f", e.Answers.Factor))
	}
	if e.Continues.DF > 0 {
		out = append(out, fmt.Sprintf("continuations %.2f", e.Continues.Factor))
	}
	if len(out) == 0 {
		return "not to be told from so little tape (taken as 1)"
	}
	return strings.Join(out, ", ")
}

func moved(p *fighter.Profile) (n int) {
	for _, s := range p.Sources {
		if s == fighter.FromTape {
			n++
		}
	}
	return n
}
