package cmd

import (
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"

	"whatbout/calibrate"
	"whatbout/demo"
	"whatbout/fighter"
	"whatbout/internal/input"
	"whatbout/tactics"
	"whatbout/tape"
)

func initCommand() *cobra.Command {
	return &cobra.Command{
		Use:     "init DIR",
		Short:   "Write the invented demo as files to edit",
		Example: "  whatbout init mine",
		Args:    func(c *cobra.Command, args []string) error { return wrap(cobra.ExactArgs(1)(c, args)) },
		RunE: func(c *cobra.Command, args []string) error {
			dir := filepath.Clean(args[0])
			if entries, err := os.ReadDir(dir); err == nil && len(entries) > 0 {
				return inputError{fmt.Errorf("%s is not empty; name a new folder", dir)}
			} else if info, statErr := os.Lstat(dir); err != nil && statErr == nil {
				return inputError{fmt.Errorf("%s is there already (%s); name a new folder", dir, info.Mode())}
			}
			if err := whole(dir, writeDemo); err != nil {
				return err
			}
			in := func(parts ...string) string { return filepath.Join(append([]string{dir}, parts...)...) }
			fmt.Fprintf(c.OutOrStdout(), "%s: tape, a rule set, profiles and a plan. What counts as what on tape stands in %s. Next:\n"+
				"  whatbout calibrate %s --out %s\n  whatbout compare %s --fighter %s --opponent %s\n", dir, in("codebook.md"),
				in("tape", "*"), in("profiles"), in("plans", "stay-close.yaml"), in("profiles", demo.Fighter+".yaml"),
				in("profiles", demo.Opponent+".yaml"))
			return nil
		},
	}
}

// whole fills a folder beside the one that is wanted and renames it, so that an error leaves nothing half-written.
func whole(dir string, fill func(dir string) error) error {
	if err := os.MkdirAll(filepath.Dir(dir), 0o755); err != nil {
		return err
	}
	temp, err := os.MkdirTemp(filepath.Dir(dir), ".whatbout-*")
	if err != nil {
		return err
	}
	defer os.RemoveAll(temp) // gone by then if all went well
	if err := os.Chmod(temp, 0o755); err != nil {
		return err
	}
	if err := fill(temp); err != nil {
		return err
	}
	if err := os.Remove(dir); err != nil && !os.IsNotExist(err) { // an empty one
		return err
	}
	return os.Rename(temp, dir)
}

func writeDemo(dir string) error {
	codings, err := demo.Tape()
	if err != nil {
		return err
	}
	for _, c := range codings {
		if err := os.MkdirAll(filepath.Join(dir, "tape"), 0o755); err != nil {
			return err
		}
		if err := tape.WriteBout(filepath.Join(dir, "tape", c.Bout.ID), c.Bout, []*tape.Coding{c}); err != nil {
			return err
		}
	}
	files, err := demoFiles()
	if err != nil {
		return err
	}
	for name := range files {
		if err := os.MkdirAll(filepath.Dir(filepath.Join(dir, name)), fs.FileMode(0o755)); err != nil {
			return err
		}
	}
	paths := map[string][]byte{}
	for name, data := range files {
		paths[filepath.Join(dir, name)] = data
	}
	return input.WriteFiles(paths)
}

// demoFiles gives everything but the tape, by name.
func demoFiles() (map[string][]byte, error) {
	pair, err := demo.Pair()
	if err != nil {
		return nil, err
	}
	plan, err := tactics.Write(demo.StayClose)
	if err != nil {
		return nil, err
	}
	rules, err := demo.Rules()
	if err != nil {
		return nil, err
	}
	ruleFile, err := tape.RuleSetFile(rules.Name)
	if err != nil {
		return nil, err
	}
	return map[string][]byte{
		"profiles/" + pair.Red.ID + ".yaml": fighter.WriteProfile(pair.Red), "profiles/" + pair.Blue.ID + ".yaml": fighter.WriteProfile(pair.Blue),
		"profiles/" + calibrate.JointFile: fighter.WriteJoint(pair.Joint),
		"plans/stay-close.yaml":           plan, "rules/" + rules.Name + ".yaml": ruleFile, "codebook.md": demo.Codebook,
	}, nil
}
