package report

import (
	"fmt"
	"io"
	"strings"

	"whatbout/internal/infer"
	"whatbout/study"
)

// Cautions stand under everything that whatbout prints.
const Cautions = `Cautions. This is a model, not a forecast of a bout, and no betting advice. Strikes to the head do harm, in sparring too: drill a plan,
do not test it in hard sparring. Medical clearance, the local rules, licensed officials and doctors come before any plan.
`

// Text writes the comparison for a coach.
func (c *Comparison) Text(w io.Writer) error {
	var b strings.Builder
	fmt.Fprintf(&b, "%s against %s, %s", title(c.Fighter), title(c.Opponent), c.Rules)
	if c.OpponentPlan != "as usual" {
		fmt.Fprintf(&b, "; %s fights %s", title(c.Opponent), quoted(c.OpponentPlan))
	}
	b.WriteString("\n\n")
	c.frequencies(&b)
	for _, plan := range c.Plans[1:] {
		c.answer(&b, plan)
	}
	c.work(&b)
	for i := range c.Ledgers {
		ledgerText(&b, &c.Ledgers[i], "bouts in 100")
	}
	c.tables(&b)
	c.reweighted(&b)
	c.evidence(&b)
	c.notes(&b)
	fmt.Fprintf(&b, "\nSeed %d. The same again: %s\n\n%s", c.Seed, c.Again, Cautions)
	_, err := io.WriteString(w, b.String())
	return err
}

// notes says what rests on assumption or needs care.
func (c *Comparison) notes(b *strings.Builder) {
	for _, p := range c.PriorOnly {
		fmt.Fprintf(b, "Note: prior only: %q multiplies %s %s, which %s's tape never shows; the figure is the population's.\n",
			p.Rule, plain(p.Act), strings.Join(p.Where, ", "), title(c.Fighter))
	}
	for _, plan := range c.Plans[1:] {
		c.few(b, c.find(plan.Name, "win"))
	}
	for _, warning := range c.Warnings {
		fmt.Fprintf(b, "Note: %s\n", warning)
	}
}

// few says where an interval of bouts won rests on few draws. That draws are not told apart is said with the interval.
func (c *Comparison) few(b *strings.Builder, win *study.Difference) {
	for _, s := range []struct {
		of     string
		spread infer.Spreading
	}{{"tape", win.Tape}, {"all-doubt", win.AllDoubt}} {
		if !s.spread.Resolved {
			continue
		}
		for _, warning := range s.spread.Warnings {
			fmt.Fprintf(b, "Note: %s interval of bouts won %s: %s.\n", s.of, quoted(win.Plan), warning)
		}
	}
}
