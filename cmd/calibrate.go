package cmd

import (
	"errors"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"

	"github.com/spf13/cobra"

	"whatbout/calibrate"
	"whatbout/demo"
	"whatbout/fighter"
	"whatbout/internal/input"
	"whatbout/tactics"
)

func calibrateCommand() *cobra.Command {
	var out string
	c := &cobra.Command{
		Use:     "calibrate BOUT_DIR...",
		Short:   "Turn coded tape into profiles",
		Example: "  whatbout init mine\n  whatbout calibrate mine/tape/* --out mine/profiles",
		Args:    func(c *cobra.Command, args []string) error { return wrap(cobra.MinimumNArgs(1)(c, args)) },
		RunE: func(c *cobra.Command, args []string) error {
			profiles, err := fromTape(args)
			if err != nil {
				return inputError{err}
			}
			if err := os.MkdirAll(out, 0o755); err != nil {
				return err
			}
			for _, id := range slices.Sorted(maps.Keys(profiles)) {
				file := filepath.Join(out, id+".yaml")
				if err := input.WriteFile(file, fighter.WriteProfile(profiles[id])); err != nil {
					return err
				}
				fmt.Fprintf(c.OutOrStdout(), "%s: %d figures moved by tape\n", file, moved(profiles[id]))
			}
			return nil
		},
	}
	c.Flags().StringVar(&out, "out", "profiles", "folder for the profiles")
	return c
}

func moved(p *fighter.Profile) (n int) {
	for _, s := range p.Sources {
		if s == fighter.FromTape {
			n++
		}
	}
	return n
}

// fromTape reads all folders before anything is made of them, so that all faults are listed.
func fromTape(dirs []string) (map[string]*fighter.Profile, error) {
	var tapes []*calibrate.Tape
	bodies := map[string]fighter.Body{}
	var faults []error
	for _, dir := range dirs {
		t, b, err := calibrate.ReadBout(dir)
		if err != nil {
			faults = append(faults, err)
			continue
		}
		tapes = append(tapes, t)
		for id, body := range b {
			if before, ok := bodies[id]; ok && before != body {
				faults = append(faults, fmt.Errorf("%s: the body of %q differs from an earlier folder's; expected the same", dir, id))
			}
			bodies[id] = body
		}
	}
	if err := errors.Join(faults...); err != nil {
		return nil, err
	}
	return calibrate.Profiles(tapes, bodies)
}

func initCommand() *cobra.Command {
	return &cobra.Command{
		Use:     "init DIR",
		Short:   "Write the invented demo as files to edit",
		Example: "  whatbout init mine",
		Args:    func(c *cobra.Command, args []string) error { return wrap(cobra.ExactArgs(1)(c, args)) },
		RunE: func(c *cobra.Command, args []string) error {
			dir := args[0]
			if entries, err := os.ReadDir(dir); err == nil && len(entries) > 0 {
				return inputError{fmt.Errorf("%s is not empty; name a new folder", dir)}
			}
			tapes, err := demo.Tapes()
			if err != nil {
				return err
			}
			for _, t := range tapes {
				if err := calibrate.WriteBout(filepath.Join(dir, "tape", t.Name), t, demo.Bodies); err != nil {
					return err
				}
			}
			red, blue, err := demo.Profiles()
			if err != nil {
				return err
			}
			plan, err := tactics.Write(demo.StayClose)
			if err != nil {
				return err
			}
			files := map[string][]byte{
				"profiles/" + red.ID + ".yaml": fighter.WriteProfile(red), "profiles/" + blue.ID + ".yaml": fighter.WriteProfile(blue),
				"plans/stay-close.yaml": plan, "codebook.md": demo.Codebook,
			}
			for _, name := range slices.Sorted(maps.Keys(files)) {
				file := filepath.Join(dir, name)
				if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
					return err
				}
				if err := input.WriteFile(file, files[name]); err != nil {
					return err
				}
			}
			fmt.Fprintf(c.OutOrStdout(), "%s: tape, profiles, a plan and the codebook. Next:\n  whatbout compare %s --fighter %s --opponent %s\n", dir,
				filepath.Join(dir, "plans", "stay-close.yaml"), filepath.Join(dir, "profiles", red.ID+".yaml"), filepath.Join(dir, "profiles", blue.ID+".yaml"))
			return nil
		},
	}
}

func validateCommand() *cobra.Command {
	return &cobra.Command{
		Use:     "validate FILE...",
		Short:   "Check plans, profiles and folders of tape; all faults at once",
		Example: "  whatbout validate mine/plans/* mine/profiles/* mine/tape/*",
		Args:    func(c *cobra.Command, args []string) error { return wrap(cobra.MinimumNArgs(1)(c, args)) },
		RunE: func(c *cobra.Command, args []string) error {
			var faults []error
			for _, name := range args {
				if err := validate(name); err != nil {
					faults = append(faults, err)
				} else {
					fmt.Fprintf(c.OutOrStdout(), "%s: fine\n", name)
				}
			}
			return wrap(errors.Join(faults...))
		},
	}
}

// validate reads a folder as tape and a file as what its format line says.
func validate(name string) error {
	if info, err := os.Stat(name); err == nil && info.IsDir() {
		_, _, err := calibrate.ReadBout(name)
		return err
	}
	data, err := input.ReadFile(name, 8<<20)
	if err != nil {
		return err
	}
	doc, faults := input.ParseYAML(name, data)
	if err := faults.Err(); err != nil {
		return err
	}
	switch doc.Root().Word("format", tactics.Format, fighter.ProfileFormat) {
	case tactics.Format:
		_, err = tactics.Read(name, data)
	case fighter.ProfileFormat:
		_, err = fighter.ReadProfile(name, data)
	default:
		err = doc.Faults().Err()
	}
	return err
}
