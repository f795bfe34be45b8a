package report

import (
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"github.com/jedib0t/go-pretty/v6/table"

	"whatbout/internal/infer"
	"whatbout/study"
)

// Text writes it for a coach.
func (c *Credit) Text(w io.Writer) error {
	var b strings.Builder
	fmt.Fprintf(&b, "%s against %s, %s", title(c.Fighter), title(c.Opponent), c.Rules)
	if c.OpponentPlan != "as usual" {
		fmt.Fprintf(&b, "; %s fights %s", title(c.Opponent), quoted(c.OpponentPlan))
	}
	fmt.Fprintf(&b, ". Which rule of %q does the work\n\n", c.Plan)
	c.answer(&b)
	if c.Effect.Resolved != study.Same {
		c.shares(&b)
		c.together(&b)
		c.onTheWay(&b)
	}
	c.work(&b)
	for _, warning := range c.Warnings {
		fmt.Fprintf(&b, "Note: %s\n", warning)
	}
	fmt.Fprintf(&b, "\nSeed %d. The same again: %s\n\n%s", c.Seed, c.Again, Cautions)
	_, err := io.WriteString(w, b.String())
	return err
}

// order gives the rules by their share, the most helpful first.
func (c *Credit) order() []int {
	out := make([]int, len(c.Credits))
	for i := range out {
		out[i] = i
	}
	slices.SortStableFunc(out, func(a, b int) int {
		switch x, y := c.Credits[a].Share.Mean, c.Credits[b].Share.Mean; {
		case x > y:
			return -1
		case x < y:
			return 1
		}
		return 0
	})
	return out
}

// answer says it in a few sentences.
func (c *Credit) answer(b *strings.Builder) {
	e := &c.Effect
	if e.Resolved == study.Same {
		fmt.Fprintf(b, "No bout went differently: %q changes nothing that matters here, and none of its rules does.\n\n", c.Plan)
		return
	}
	whole := fmt.Sprintf("%s bouts in 100 by which %q moves what %s wins (%.0f as usual, %.0f with it)", signed(100*e.Mean, 1), c.Plan, title(c.Fighter), 100*c.Usual,
		100*(c.Usual+e.Mean))
	if len(c.Credits) == 1 {
		fmt.Fprintf(b, "The plan has one rule, which does all of the %s.\n", whole)
	} else {
		fmt.Fprintf(b, "Of the %s:\n", whole)
		c.ranked(b)
	}
	if !isTelling(e) {
		b.WriteString("These bouts do not tell whether the plan changes anything at all.\n")
	}
	fmt.Fprintf(b, "(In brackets: %.0f %% interval of the simulation, which more bouts would shrink. What tape and assumptions leave possible stands under\nall doubt.", 100*c.Level)
	if len(c.Credits) > 1 {
		b.WriteString(" The shares add up to the whole, but for rounding.")
	}
	b.WriteString(")\n\n")
}

// ranked says what each rule does, those that the bouts do not tell from nothing last.
func (c *Credit) ranked(b *strings.Builder) {
	var untold strings.Builder
	for _, i := range c.order() {
		x := &c.Credits[i].Share
		rule, in := quotedRule(c.Credits[i].Rule), inSimulation(&x.Simulation)
		switch {
		case x.Resolved == study.Same:
			fmt.Fprintf(&untold, "  %s does nothing: no bout goes differently for it\n", rule)
		case !isTelling(x):
			fmt.Fprintf(&untold, "  %s is not told from nothing by so many bouts (%s)\n", rule, in)
		case x.Mean < 0:
			fmt.Fprintf(b, "  %s takes away %.1f (%s)\n", rule, -100*x.Mean, in)
		default:
			fmt.Fprintf(b, "  %s does %s (%s)\n", rule, signed(100*x.Mean, 1), in)
		}
	}
	b.WriteString(untold.String())
}

func quotedRule(name string) string { return "\"" + harmless(name) + "\"" }

// shares is the table of rules.
func (c *Credit) shares(b *strings.Builder) {
	t := rightTable(7)
	t.AppendRow(table.Row{"Bouts won, in 100", "share", "simulation", "all doubt", "alone", "left out", "resolved"})
	row := func(name string, share, alone, last *study.Credited) {
		cells := table.Row{"  " + name, signed(100*share.Mean, 1), inSimulation(&share.Simulation), wide(share)}
		if alone == nil {
			cells = append(cells, "", "")
		} else {
			cells = append(cells, meanAnd(alone), meanAnd(last))
		}
		t.AppendRow(append(cells, string(share.Resolved)))
	}
	for _, i := range c.order() {
		r := &c.Credits[i]
		row(fmt.Sprintf("%d %s", i+1, harmless(r.Rule)), &r.Share, &r.Alone, &r.Last)
	}
	row("all together", &c.Effect, nil, nil)
	b.WriteString(trimmed(t) + "\n")
	fmt.Fprintf(b, "Alone: the rule added to as usual. Left out: what the plan loses without it. Share: what it adds on average over all orders in which the rules\n"+
		"can be added (Shapley's)%s.\n"+
		"Simulation, all doubt and resolved as in whatbout compare. Each row is looked at alone: by luck, one in %.0f of those that are nothing is told.\n", c.orders(), 1/(1-c.Level))
	fmt.Fprintf(b, "Luck of a single bout, standard deviation: %.0f of 100 bouts; no plan changes that.\n\nWhat they ask for\n", 100*c.Effect.Luck)
	for i, asks := range c.Asks {
		fmt.Fprintf(b, "  %d %s: %s\n", i+1, harmless(c.Credits[i].Rule), asks)
	}
	b.WriteString("\n")
}

// orders says how shares were come by where not every order counts.
func (c *Credit) orders() string {
	if c.Exact {
		return ""
	}
	return fmt.Sprintf("; of a plan of more than %d rules one order and the way back are drawn for each draw, which makes its all\ndoubt a little too wide", study.ExactRules)
}

func inSimulation(i *infer.Interval) string { return points(i.Low, i.High) }

// wide is the all-doubt interval, or that the draws do not tell themselves apart.
func wide(x *study.Credited) string {
	switch {
	case told(x.AllDoubt):
		return points(x.AllDoubt.Low, x.AllDoubt.High)
	case x.AllDoubt.AtMost == 0:
		return "none"
	}
	return fmt.Sprintf("sd at most %.1f", 100*x.AllDoubt.AtMost)
}

func meanAnd(x *study.Credited) string {
	return signed(100*x.Mean, 1) + " (" + inSimulation(&x.Simulation) + ")"
}

// together says whether rules help each other or get in each other's way.
func (c *Credit) together(b *strings.Builder) {
	if len(c.Credits) < 2 {
		return
	}
	t := &c.Together
	fmt.Fprintf(b, "Together: alone, the rules would add up to %s; together they do %s", signed(100*(c.Effect.Mean-t.Mean), 1), signed(100*c.Effect.Mean, 1))
	how := fmt.Sprintf("%.1f (%s)", 100*math.Abs(t.Mean), inSimulation(&t.Simulation))
	switch {
	case t.Resolved == study.Same:
		b.WriteString(": no bout knows of the others.\n")
	case !isTelling(t):
		fmt.Fprintf(b, ". The difference, %s (%s), is not told from none.\n", signed(100*t.Mean, 1), inSimulation(&t.Simulation))
	case t.Mean > 0:
		fmt.Fprintf(b, ": they help each other by %s.\n", how)
	default:
		fmt.Fprintf(b, ": they take %s from each other.\n", how)
	}
	if len(c.Credits) > 2 {
		c.depends(b)
		c.pairs(b)
	}
	b.WriteString("\n")
}

// depends says which rules are worth more or less beside the others than alone.
func (c *Credit) depends(b *strings.Builder) {
	for i := range c.Credits {
		r := &c.Credits[i]
		if !isTelling(&r.Depends) {
			continue
		}
		words := "more beside the others than alone"
		if r.Depends.Mean < 0 {
			words = "less beside the others than alone"
		}
		fmt.Fprintf(b, "  %s does %s: %s last, %s first (%s, %s)\n", quotedRule(r.Rule), words, signed(100*r.Last.Mean, 1), signed(100*r.Alone.Mean, 1), signed(100*r.Depends.Mean, 1),
			inSimulation(&r.Depends.Simulation))
	}
}

// pairs says which two rules do more or less together than each alone, where that is told.
func (c *Credit) pairs(b *strings.Builder) {
	toldOf := 0
	for i := range c.Pairs {
		p := &c.Pairs[i]
		if !isTelling(&p.More) {
			continue
		}
		toldOf++
		fmt.Fprintf(b, "  %s and %s without the others: %s together, %s one by one (%s, %s)\n", quotedRule(c.Credits[p.Rules[0]].Rule), quotedRule(c.Credits[p.Rules[1]].Rule),
			signed(100*p.Together, 1), signed(100*p.Apart, 1), signed(100*p.More.Mean, 1), inSimulation(&p.More.Simulation))
	}
	if len(c.Pairs) > 0 {
		fmt.Fprintf(b, "  (%d of %d pairs of rules are told to do more or less together than one by one; by luck alone about %.1f would be.)\n", toldOf, len(c.Pairs), float64(len(c.Pairs))*(1-c.Level))
	}
}

// mostColumns is how many rules stand beside each other.
const mostColumns = 8

// onTheWay is each rule's share of what the plan moves besides.
func (c *Credit) onTheWay(b *strings.Builder) {
	for from := 0; from < len(c.Credits); from += mostColumns {
		to := min(from+mostColumns, len(c.Credits))
		for i := range sections {
			c.section(b, &sections[i], from, to)
		}
	}
	b.WriteString("The columns are the rules by their number and their share of the plan's difference. A dot: not told from nothing.\n\n")
}

func (c *Credit) section(b *strings.Builder, s *section, from, to int) {
	t := rightTable(4 + to - from)
	header := table.Row{s.heading, "as usual", "the plan"}
	for i := from; i < to; i++ {
		header = append(header, fmt.Sprint(i+1))
	}
	t.AppendRow(header)
	for _, name := range s.names {
		m := study.MeasureNamed(name)
		cells, any := table.Row{"  " + study.Measures[m].Plain, s.number(c.Outcomes[m].Usual), s.cell(&c.Outcomes[m].Effect)}, isTelling(&c.Outcomes[m].Effect)
		for i := from; i < to; i++ {
			x := &c.Credits[i].Moves[m].Share
			cells, any = append(cells, s.cell(x)), any || isTelling(x)
		}
		if any || s.heading == priceHeading {
			t.AppendRow(cells)
		}
	}
	b.WriteString(trimmed(t) + "\n\n")
}

// cell is a difference, if it is told.
func (s *section) cell(x *study.Credited) string {
	if !isTelling(x) {
		return "·"
	}
	return signed(s.times*x.Mean, s.digits)
}

// work is what was played, and what the plain way takes.
func (c *Credit) work(b *strings.Builder) {
	fmt.Fprintf(b, "Played: %d bouts, %d draws of %d for each of %d sets of rules, all on the same luck.", c.Played, c.Draws, c.Bouts, c.Sets)
	if c.Plain > 0 {
		fmt.Fprintf(b, " Shares as sure one rule at a time, with and\nwithout it on luck of their own, would take about %s bouts.", roughly(float64(c.Plain)))
	}
	b.WriteString("\n")
}
