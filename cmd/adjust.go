package cmd

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"strings"

	"github.com/spf13/cobra"

	"whatbout/demo"
	"whatbout/report"
	"whatbout/study"
	"whatbout/tactics"
)

type adjustFlags struct {
	corners
	playing
	own, theirs []string
	slack       float64
	acceptHarm  bool
}

// What the demo's opponent may answer with.
var demoReplies = []string{"off-the-fence-at-once", "shoot-off-his-kick", "take-the-centre-back"}

func adjustCommand() *cobra.Command {
	var f adjustFlags
	c := &cobra.Command{
		Use:   "adjust",
		Short: "What plans are worth when the opponent adjusts: a plan that is safe, or a lot to draw; without plans, on the invented demo",
		Long: `Every plan of yours is played against every plan of theirs (as usual is always among both). If one of yours does well whatever they answer
with, that is said; if each can be answered, the shares by which to draw by lot between them, so that nothing can be foreseen, and what that wins
at least. Also how far each plan falls once they know it, and by which answer.

A plan is a file (a name with a dot or a slash, or that is there), or named rules of plans/ joined by +. A plan that raises head strikes absorbed,
knockdowns suffered or stoppage losses above as usual is kept out, unless --accept-harm lets it in.`,
		Example: "  whatbout adjust\n  whatbout adjust --plans feint-then-go,one-and-out+save-the-legs-when-tired --opponent-plans check-everything-low,high-guard-and-walk\n  whatbout adjust --plans stay-close.yaml --opponent-plans his-answer.yaml --fighter mine.yaml --opponent theirs.yaml",
		Args:    func(c *cobra.Command, args []string) error { return wrap(cobra.NoArgs(c, args)) },
		RunE:    func(c *cobra.Command, _ []string) error { return f.run(c) },
	}
	f.addMeeting(c)
	f.playing.add(c, 300, 8, "; from 20")
	f.addFormat(c)
	c.Flags().StringSliceVar(&f.own, "plans", nil, "plans of the fighter, with commas between them")
	c.Flags().StringSliceVar(&f.theirs, "opponent-plans", nil, "plans of the opponent, with commas between them")
	c.Flags().Float64Var(&f.slack, "slack", 0.5, "bouts in 100 that a mixture may give away and still be called as good")
	c.Flags().BoolVar(&f.acceptHarm, "accept-harm", false, "let plans be used that raise head strikes absorbed, knockdowns or stoppage losses")
	return c
}

func (f *adjustFlags) check() error {
	faults := []error{f.playing.check(20)}
	if !(f.slack > 0 && f.slack <= 50) {
		faults = append(faults, fmt.Errorf("--slack %g; expected bouts in 100, above 0 and at most 50", f.slack))
	}
	return errors.Join(faults...)
}

func (f *adjustFlags) run(c *cobra.Command) error {
	var replies []*tactics.Plan
	g, err := f.read(f.check(), func(g *given) {
		if !g.demo && len(f.own)+len(f.theirs) == 0 {
			g.faults = append(g.faults, errors.New("no plan is named; name --plans, --opponent-plans or both"))
		}
		instead := g.demo && len(f.own)+len(f.theirs) == 0
		g.plans = g.oneSide("--plans", f.own, instead, demo.StayClose, demoPlans[:2])
		replies = g.oneSide("--opponent-plans", f.theirs, instead, nil, demoReplies)
		g.distinct(replies)
	})
	if err != nil {
		return err
	}
	return f.playing.run(c, func(store study.Store, progress func(done, of int)) error {
		q := &study.Adjust{Meeting: f.meeting(g), Plans: g.plans, Replies: replies, Draws: f.draws, Bouts: f.bouts, Level: f.level, Slack: f.slack / 100,
			AcceptHarm: f.acceptHarm, Workers: f.workers, Store: store, Progress: progress}
		result, err := q.Run(c.Context())
		if result == nil {
			return err
		}
		out := report.NewAdjust(q, result)
		out.Version, out.Inputs, out.Again = Version, g.inputs, f.again(g)
		out.Warnings = append(out.Warnings, g.warnings(result.Partial)...)
		for _, p := range replies {
			out.Warnings = append(out.Warnings, report.Followed(p)...)
		}
		return f.show(c, out, err)
	})
}

// oneSide reads the plans of one side behind fighting as usual; the demo takes its own instead where neither side names any.
func (g *given) oneSide(flag string, named []string, instead bool, first *tactics.Plan, rules []string) []*tactics.Plan {
	out := []*tactics.Plan{demo.AsUsual}
	if instead {
		if first != nil {
			out = append(out, first)
		}
		for _, name := range rules {
			out = append(out, g.ofRules([]string{name}))
		}
		return out
	}
	if len(named) > 0 {
		g.again += " " + flag + " " + shellWord(strings.Join(named, ","))
	}
	for _, text := range named {
		if !isFile(text) {
			out = append(out, g.ofRules(strings.Split(text, "+")))
			continue
		}
		again := g.again
		out = append(out, g.plan("", text))
		g.again = again
	}
	return out
}

// isFile tells files from named rules, which have neither dots nor slashes.
func isFile(name string) bool {
	_, err := os.Stat(name)
	return strings.ContainsAny(name, "./") || !errors.Is(err, fs.ErrNotExist)
}

// again is the line that gives the same result.
func (f *adjustFlags) again(g *given) string {
	line := "whatbout adjust" + f.playing.again(g) + fmt.Sprintf(" --slack %g", f.slack)
	if f.acceptHarm {
		line += " --accept-harm"
	}
	return line + g.again
}
