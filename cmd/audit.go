package cmd

import (
	"errors"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"whatbout/calibrate"
	"whatbout/fighter"
	"whatbout/internal/input"
	"whatbout/report"
)

type auditFlags struct {
	rounds, workers           int
	seed                      uint64
	format, holdBack, require string
	all                       bool
}

func auditCommand() *cobra.Command {
	var f auditFlags
	c := &cobra.Command{
		Use:   "audit [PROFILE.yaml ...] BOUT_DIR...",
		Short: "Hold the model against coded rounds: does it reproduce what was coded?",
		Long: `Simulates every coded round many times, counts the simulated rounds by the rules of the coded ones, in the coded stretches and what was
looked for, and says of each group of figures: fits, does not fit, or too little tape to tell.

With profiles, they are taken as they are. Without, they are made from the same tape; with --hold-back bout, for each bout from the others,
which is the honest test. A folder is a bout, a file a profile.`,
		Example: "  whatbout init mine\n  whatbout audit mine/tape/* --hold-back bout\n  whatbout audit badger.yaml heron.yaml mine/tape/badger-heron --require fit",
		Args:    func(c *cobra.Command, args []string) error { return wrap(cobra.MinimumNArgs(1)(c, args)) },
		RunE:    func(c *cobra.Command, args []string) error { return f.run(c, args) },
	}
	c.Flags().IntVar(&f.rounds, "rounds", 200, "predictive rounds for each coded one, from 199")
	c.Flags().StringVar(&f.holdBack, "hold-back", "", "bout: make the profiles for each bout from all others")
	c.Flags().StringVar(&f.require, "require", "", "fit: exit with 1 when a group does not fit")
	c.Flags().BoolVar(&f.all, "all", false, "take bouts that are not as usual, and sparring, too")
	c.Flags().StringVar(&f.format, "format", "text", "text, json or csv")
	c.Flags().Uint64Var(&f.seed, "seed", 1, "seed; the same seed gives the same bytes")
	c.Flags().IntVar(&f.workers, "workers", 0, "workers (0: one a core); never changes the result")
	return c
}

// errMisfit is what --require fit ends with.
var errMisfit = errors.New("--require fit: not everything fits")

func (f *auditFlags) run(c *cobra.Command, args []string) error {
	files, dirs := filesAndFolders(args)
	g := &given{}
	o := calibrate.AuditOptions{Draws: f.rounds, Seed: f.seed, Workers: f.workers, HoldBack: f.holdBack != "", All: f.all}
	o.Profiles, o.Joint = g.profiles(files)
	g.faults = append(g.faults, f.check(&o, dirs))
	codings, err := calibrate.Read(dirs...)
	if err := errors.Join(append(g.faults, err)...); err != nil {
		return inputError{err}
	}
	for _, dir := range dirs {
		if err := g.folder(dir); err != nil {
			return inputError{err}
		}
	}
	audit, err := calibrate.RunAudit(c.Context(), codings, o)
	if err != nil {
		if c.Context().Err() != nil {
			return c.Context().Err()
		}
		return inputError{err}
	}
	audit.Notes = append(audit.Notes, g.notes...)
	out := &report.Audit{Schema: report.AuditSchema, Version: Version, Seed: f.seed, Inputs: g.inputs, Audit: *audit, Again: f.again(args)}
	return errors.Join(f.write(c, out), f.required(audit))
}

func (f *auditFlags) check(o *calibrate.AuditOptions, dirs []string) error {
	faults := []error{format(f.format, "text", "json", "csv"), o.Check()}
	if f.holdBack != "" && f.holdBack != "bout" {
		faults = append(faults, fmt.Errorf("--hold-back %q; expected bout", f.holdBack))
	}
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

// profiles reads profiles, and the joint part if all name the same one.
func (g *given) profiles(files []string) (map[string]*fighter.Profile, *fighter.Joint) {
	out := map[string]*fighter.Profile{}
	parts := map[string]bool{}
	for _, file := range files {
		p := g.profile("", file)
		if p == nil {
			continue
		}
		if out[p.ID] != nil {
			g.faults = append(g.faults, fmt.Errorf("%s: another profile of %q was given; name each fighter's once", file, p.ID))
		}
		out[p.ID] = p
		part := ""
		if p.JointFile != "" {
			part = filepath.Join(filepath.Dir(file), p.JointFile)
		}
		parts[part] = true
	}
	if parts[""] || len(parts) != 1 {
		if len(parts) > 1 {
			g.notes = append(g.notes, "the profiles name no common joint part: what their skills share is not known, and they are drawn apart.")
		}
		return out, nil
	}
	for part := range parts {
		return out, g.jointOf(part, out)
	}
	return out, nil
}

// jointOf reads the joint part and holds every profile against it.
func (g *given) jointOf(file string, profiles map[string]*fighter.Profile) *fighter.Joint {
	data := g.open("", file)
	if data == nil {
		return nil
	}
	joint, err := fighter.ReadJoint(file, data)
	if err != nil {
		g.faults = append(g.faults, err)
		return nil
	}
	for _, id := range slices.Sorted(maps.Keys(profiles)) {
		_, err := fighter.JoinPair(profiles[id], &fighter.Profile{}, joint)
		g.faults = append(g.faults, err)
	}
	return joint
}

// folder notes the hashes of a folder's files.
func (g *given) folder(dir string) error {
	entries, err := os.ReadDir(dir)
	if err != nil {
		return err
	}
	for _, e := range entries {
		if e.IsDir() || strings.HasPrefix(e.Name(), ".") || strings.HasPrefix(e.Name(), "~$") {
			continue
		}
		file := filepath.Join(dir, e.Name())
		data, err := input.ReadFile(file, 64<<20)
		if err != nil {
			return err
		}
		g.inputs = append(g.inputs, report.Input{Name: file, SHA256: input.SHA256(data)})
	}
	return nil
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
	}{{f.holdBack != "", " --hold-back " + f.holdBack}, {f.all, " --all"}, {f.require != "", " --require " + f.require}} {
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
	for _, v := range a.Verdicts {
		if v.Verdict == calibrate.DoesNot {
			off = append(off, v.Group)
		}
	}
	if len(off) == 0 {
		return nil
	}
	return fmt.Errorf("%w: %s", errMisfit, strings.Join(off, ", "))
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
