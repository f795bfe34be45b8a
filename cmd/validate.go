package cmd

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"

	"whatbout/calibrate"
	"whatbout/fighter"
	"whatbout/internal/input"
	"whatbout/tactics"
	"whatbout/tape"
)

func validateCommand() *cobra.Command {
	return &cobra.Command{
		Use:     "validate FILE...",
		Short:   "Check plans, profiles, joint parts, sketches, populations, rule sets and folders of tape; all faults at once",
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

// validate reads a folder as tape and a file as what its format line says; a bout.yaml stands for its folder.
func validate(name string) error {
	if info, err := os.Stat(name); err == nil && info.IsDir() {
		_, _, err := calibrate.ReadAll(name)
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
	switch doc.Root().Word("format", tactics.Format, fighter.ProfileFormat, fighter.JointFormat, fighter.SketchFormat, fighter.PopulationFormat, tape.RulesFormat, tape.BoutFormat) {
	case tactics.Format:
		_, err = tactics.Read(name, data)
	case fighter.ProfileFormat:
		_, err = fighter.ReadProfile(name, data)
	case fighter.JointFormat:
		_, err = fighter.ReadJoint(name, data)
	case fighter.SketchFormat:
		_, err = fighter.ReadSketch(name, data)
	case fighter.PopulationFormat:
		_, err = fighter.ReadPopulation(name, data)
	case tape.RulesFormat:
		_, err = tape.ReadRuleSet(name, data)
	case tape.BoutFormat:
		_, _, err = calibrate.ReadAll(filepath.Dir(name))
	default:
		err = doc.Faults().Err()
	}
	return err
}
