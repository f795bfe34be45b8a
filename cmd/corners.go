package cmd

import (
	"errors"
	"fmt"

	"github.com/spf13/cobra"

	"whatbout/demo"
	"whatbout/tactics"
)

// corners are the flags of who meets whom, how the opponent fights, and under which rules.
type corners struct {
	fighter, opponent, opponentPlan, rules string
	populations                            []string
}

func (f *corners) add(c *cobra.Command) {
	f.addMeeting(c)
	c.Flags().StringVar(&f.opponentPlan, "opponent-plan", "", "plan of the opponent (default: as usual)")
}

// addMeeting is for commands that have another way to say how the opponent fights.
func (f *corners) addMeeting(c *cobra.Command) {
	c.Flags().StringVar(&f.fighter, "fighter", "", "profile of the fighter (default: the demo's)")
	c.Flags().StringVar(&f.opponent, "opponent", "", "profile of the opponent (default: the demo's)")
	c.Flags().StringVar(&f.rules, "rules", "mma-3x5", "rule set: a built-in name or a file")
}

// addPopulation is for commands that tell what more tape would.
func (f *corners) addPopulation(c *cobra.Command) {
	c.Flags().StringArrayVar(&f.populations, "population", nil, standsHelp)
}

// demo reports whether the demo's fighters meet.
func (f *corners) demo() bool { return f.fighter == "" && f.opponent == "" }

// read reads all that the flags name, the fighter's own plans in between, and lists all faults, those found earlier first. The demo, which
// has no faults but takes a moment, is calibrated only if there are none.
func (f *corners) read(earlier error, own func(*given)) (*given, error) {
	g := &given{demo: f.demo(), faults: []error{earlier}}
	switch {
	case g.demo && len(f.populations) > 0:
		g.faults = append(g.faults, errors.New("--population goes with --fighter and --opponent; the demo stands on the program's own"))
	case g.demo:
	case f.fighter == "" || f.opponent == "":
		g.faults = append(g.faults, errors.New("--fighter and --opponent go together; name both profiles, or neither for the demo"))
	default:
		g.standOn(f.populations)
		g.red, g.blue = g.profile("--fighter", f.fighter), g.profile("--opponent", f.opponent)
		g.idle()
		g.together(f.fighter, f.opponent)
		g.twoFighters()
	}
	own(g)
	if f.opponentPlan != "" {
		g.opponentPlan = g.plan("--opponent-plan", f.opponentPlan)
	}
	g.ruleSet(f.rules)
	g.distinct(g.plans)
	if g.demo && errors.Join(g.faults...) == nil {
		g.fromDemo()
	}
	return g, wrap(errors.Join(g.faults...))
}

// onePlan are the flags of commands that follow one plan of the fighter.
type onePlan struct {
	corners
	plan  string
	named []string
}

func (f *onePlan) add(c *cobra.Command) {
	f.corners.add(c)
	c.Flags().StringVar(&f.plan, "plan", "", "plan of the fighter (default: as usual)")
	c.Flags().StringArrayVar(&f.named, "rule", nil, "instead of --plan: a named rule of plans/; repeated, they make one plan")
}

// meeting is what the flags named: plan nil is as usual.
type meeting struct {
	*given
	plan *tactics.Plan
}

func (f *onePlan) read(earlier error) (*meeting, error) {
	m := &meeting{}
	var err error
	m.given, err = f.corners.read(earlier, func(g *given) {
		switch {
		case f.plan != "" && len(f.named) > 0:
			g.faults = append(g.faults, errors.New("--plan and --rule exclude each other; a plan file may hold both"))
		case f.plan != "":
			m.plan = g.plan("--plan", f.plan)
		case len(f.named) > 0:
			m.plan = g.named(f.named)
		}
	})
	return m, err
}

// plansFlags are the flags of commands that hold several plans of the fighter against each other.
type plansFlags struct {
	corners
	baseline  string
	named     []string
	rulePlans []string
}

func (f *plansFlags) add(c *cobra.Command) {
	f.corners.add(c)
	c.Flags().StringArrayVar(&f.named, "rule", nil, "a named rule of plans/; repeated, they make one plan")
	c.Flags().StringArrayVar(&f.rulePlans, "rule-plan", nil, "a plan of named rules of plans/, joined by +; repeated, each is a plan")
}

// addBaseline is for commands that may start from another plan than as usual.
func (f *plansFlags) addBaseline(c *cobra.Command) {
	c.Flags().StringVar(&f.baseline, "baseline", "", "plan to start from (default: as usual)")
}

// read reads what the flags name and the plans of files. Without any plan the demo takes instead its own.
func (f *plansFlags) read(files []string, earlier error, instead ...*tactics.Plan) (*given, error) {
	return f.corners.read(earlier, func(g *given) {
		g.plans = []*tactics.Plan{demo.AsUsual}
		if f.baseline != "" {
			g.plans[0] = g.plan("--baseline", f.baseline)
		}
		for _, file := range files {
			g.plans = append(g.plans, g.plan("", file))
		}
		if len(f.named) > 0 {
			g.plans = append(g.plans, g.named(f.named))
		}
		for _, rules := range f.rulePlans {
			g.plans = append(g.plans, g.rulePlan(rules))
		}
		switch {
		case len(g.plans) > 1:
		case g.demo:
			g.plans = append(g.plans, instead...)
		default:
			g.faults = append(g.faults, fmt.Errorf("no plan is named; name a PLAN.yaml, a --rule or a --rule-plan"))
		}
	})
}
