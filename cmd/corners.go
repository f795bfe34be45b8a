package cmd

import (
	"errors"
	"fmt"

	"github.com/spf13/cobra"

	"whatbout/tactics"
)

// corners are the flags of who meets whom, how, and under which rules, for commands that follow one plan.
type corners struct {
	fighter, opponent, plan, opponentPlan string
	named                                 []string
	rules                                 string
}

func (f *corners) add(c *cobra.Command) {
	c.Flags().StringVar(&f.fighter, "fighter", "", "profile of the fighter (default: the demo's)")
	c.Flags().StringVar(&f.opponent, "opponent", "", "profile of the opponent (default: the demo's)")
	c.Flags().StringVar(&f.plan, "plan", "", "plan of the fighter (default: as usual)")
	c.Flags().StringArrayVar(&f.named, "rule", nil, "instead of --plan: a named rule of plans/; repeated, they make one plan")
	c.Flags().StringVar(&f.opponentPlan, "opponent-plan", "", "plan of the opponent (default: as usual)")
	c.Flags().StringVar(&f.rules, "rules", "mma-3x5", "rule set: a built-in name or a file")
}

// meeting is what the flags named: plan nil is as usual.
type meeting struct {
	*given
	plan *tactics.Plan
}

// read reads all that the flags name and lists all faults, those found earlier first. The demo, which has no faults but takes a moment,
// is calibrated only if there are none.
func (f *corners) read(earlier error) (*meeting, error) {
	m := &meeting{given: &given{demo: f.fighter == "" && f.opponent == ""}}
	m.faults = append(m.faults, earlier)
	m.ruleSet(f.rules)
	switch {
	case m.demo:
	case f.fighter == "" || f.opponent == "":
		m.faults = append(m.faults, errors.New("--fighter and --opponent go together; name both profiles, or neither for the demo"))
	default:
		m.red, m.blue = m.profile("--fighter", f.fighter), m.profile("--opponent", f.opponent)
		m.together(f.fighter, f.opponent)
		m.twoFighters()
	}
	switch {
	case f.plan != "" && len(f.named) > 0:
		m.faults = append(m.faults, errors.New("--plan and --rule exclude each other; a plan file may hold both"))
	case f.plan != "":
		m.plan = m.given.plan("--plan", f.plan)
	case len(f.named) > 0:
		m.plan = m.given.named(f.named)
	}
	if f.opponentPlan != "" {
		m.opponentPlan = m.given.plan("--opponent-plan", f.opponentPlan)
	}
	if m.demo && errors.Join(m.faults...) == nil {
		m.fromDemo()
	}
	return m, wrap(errors.Join(m.faults...))
}

// format refuses a format that a command does not have.
func format(word string, known ...string) error {
	list := ""
	for i, k := range known {
		switch {
		case k == word:
			return nil
		case i == 0:
			list = k
		case i == len(known)-1:
			list += " or " + k
		default:
			list += ", " + k
		}
	}
	return inputError{fmt.Errorf("--format %q; expected %s", word, list)}
}
