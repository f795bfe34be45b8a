package cmd

import (
	"errors"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"whatbout/calibrate"
	"whatbout/fighter"
	"whatbout/internal/input"
)

const populationHelp = "population file that stands behind what tape does not tell (default: the program's own; see whatbout population)"

const coderHelp = "what one coder alone does wrong: usual, exact, or percents such as missed=5,feints=20,extra=2,confused=5,wrong=5"

// ageFlags say how old tape weighs.
type ageFlags struct{ age calibrate.Ageing }

func (f *ageFlags) add(c *cobra.Command) {
	c.Flags().Float64Var(&f.age.HalfLife, "half-life", 0, "let a bout count half for every so many days before --as-of (0: age does not matter)")
	c.Flags().StringVar(&f.age.AsOf, "as-of", "", "day from which ages count, such as 2026-03-14 (default: that of the newest bout)")
}

// check lists what is wrong with the flags themselves; the dates of bouts are looked at when they are weighed.
func (f *ageFlags) check(c *cobra.Command) error {
	switch {
	case f.age.AsOf != "" && !c.Flags().Changed("half-life"):
		return errors.New("--as-of goes with --half-life DAYS; name both, or neither")
	case c.Flags().Changed("half-life") && !(f.age.HalfLife > 0):
		return fmt.Errorf("--half-life %g; expected a number of days above 0, such as 365", f.age.HalfLife)
	}
	return f.age.Check()
}

// readPopulation reads a population file; without a name there is none.
func readPopulation(file string) (*fighter.PopulationFile, error) {
	if file == "" {
		return nil, nil
	}
	data, err := input.ReadFile(file, 8<<20)
	if err != nil {
		return nil, err
	}
	return fighter.ReadPopulation(file, data)
}

// population is readPopulation for what lists its inputs.
func (g *given) population(file string) *fighter.PopulationFile {
	if file == "" {
		return nil
	}
	data := g.open("--population", file)
	if data == nil {
		return nil
	}
	p, err := fighter.ReadPopulation(file, data)
	g.faults = append(g.faults, err)
	return p
}

const standsHelp = "population file that a profile stands on and names, which has to be this very file; repeated where there are two"

// standOn reads the populations that profiles are to stand on, before the profiles are read.
func (g *given) standOn(files []string) {
	g.stood = map[*fighter.PopulationFile]bool{}
	for _, file := range files {
		if p := g.population(file); p != nil {
			g.populations = append(g.populations, p)
		}
	}
}

// stand gives a profile the population that it names, if that was given. If others were, that is a fault; if none was, the profile is put down as unstood.
func (g *given) stand(p *fighter.Profile, file string) {
	var others []string
	for _, f := range g.populations {
		if p.StandOn(f) == nil {
			g.stood[f] = true
			return
		}
		others = append(others, f.ID.String())
	}
	switch {
	case p.StandsOn() != nil:
	case len(others) > 0:
		g.faults = append(g.faults, fmt.Errorf("%s: the profile stands on the population %s, and --population gives %s; expected the very file that it was made with", file, p.Population,
			strings.Join(others, " and ")))
	default:
		g.unstood = append(g.unstood, p)
	}
}

// idle lists populations that no profile names.
func (g *given) idle() {
	for _, f := range g.populations {
		if !g.stood[f] {
			g.faults = append(g.faults, fmt.Errorf("--population gives %s, on which no profile here stands; leave it out, or name the file that the profile names", f.ID))
		}
	}
}
