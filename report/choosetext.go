package report

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"whatbout/study"
)

// Text writes the choice for a coach.
func (c *Choice) Text(w io.Writer) error {
	var b strings.Builder
	c.harmFirst(&b)
	fmt.Fprintf(&b, "%s against %s, %s", title(c.Fighter), title(c.Opponent), c.Rules)
	if c.OpponentPlan != "as usual" {
		fmt.Fprintf(&b, "; %s fights %s", title(c.Opponent), quoted(c.OpponentPlan))
	}
	fmt.Fprintf(&b, ". What counts: %s.\n\n", c.counts())
	c.verdict(&b)
	c.keptOut(&b)
	b.WriteString("\n")
	c.standings(&b)
	c.frontier(&b)
	c.buys(&b)
	if c.Ledger.Plan != "" {
		ledgerText(&b, &c.Ledger, c.Unit)
	}
	c.work(&b)
	for _, warning := range c.Warnings {
		fmt.Fprintf(&b, "Note: %s\n", warning)
	}
	fmt.Fprintf(&b, "\nSeed %d. The same again: %s\n\n%s", c.Seed, c.Again, Cautions)
	_, err := io.WriteString(w, b.String())
	return err
}

func (c *Choice) counts() string { return countsWords(c.Counts) }

// countsWords says what counts.
func countsWords(value string) string {
	switch value {
	case "win":
		return "bouts won"
	case "margin", "score_margin":
		return "the judges' margin"
	}
	return value
}

// harmFirst heads the report where harm was accepted.
func (c *Choice) harmFirst(b *strings.Builder) {
	if !c.AcceptHarm {
		return
	}
	b.WriteString("HARM ACCEPTED (--accept-harm): plans that raise head strikes absorbed, knockdowns suffered or stoppage losses may be chosen here.\n")
	told := false
	for i := range c.Plans {
		if words := harms(c.Plans[i].Prices, study.Raises, study.MayRaise); words != "" {
			fmt.Fprintf(b, "  %s:\n%s", title(c.Plans[i].Name), words)
			told = true
		}
	}
	if !told {
		b.WriteString("  None of these plans does, as far as these bouts tell.\n")
	}
	b.WriteString("\n")
}

// harms says what a plan does to the prices that stand in one of those ways, a line each; "" if none does.
func harms(prices []study.Price, as ...study.Harm) string {
	var out []string
	for i := range prices {
		if slices.Contains(as, prices[i].Stand) {
			out = append(out, "    "+harm(&prices[i])+"\n")
		}
	}
	return strings.Join(out, "")
}

// harm says what a plan does to a price.
func harm(p *study.Price) string {
	words := map[study.Harm]string{study.Raises: "raises %s", study.MayRaise: "may raise %s",
		study.NotTold: "moves %s, not told from as usual,", study.Lowers: "lowers %s", study.Unchanged: "%s unchanged"}[p.Stand]
	if p.Stand == study.Unchanged {
		return fmt.Sprintf(words, priceWords(p.Outcome))
	}
	times, digits, per := priceScale(p.Outcome)
	return fmt.Sprintf(words+" by %s on %.*f %s (simulation %s to %s; chance that it is raised at all %s)", priceWords(p.Outcome), signed(times*p.Difference, digits),
		digits, times*p.Usual, per, signed(times*p.Simulation.Low, digits), signed(times*p.Simulation.High, digits), percent(p.Chance))
}

// priceScale shows shares of bouts as so many in 100.
func priceScale(outcome string) (times float64, digits int, per string) {
	if outcome == "loss_by_stoppage" {
		return 100, 1, "of 100 bouts"
	}
	return 1, 2, "a bout"
}

func priceWords(outcome string) string { return study.Measures[study.MeasureNamed(outcome)].Plain }

// verdict is the answer in a sentence or two.
func (c *Choice) verdict(b *strings.Builder) {
	lead := c.find(c.Leader)
	switch usual := c.Plans[0].Name; {
	case c.Verdict == study.TooClose:
		fmt.Fprintf(b, "Too close to call: %s. Whichever of them is taken, these bouts leave at most %s %s to be given away.\n", listed(c.AsGood), c.hundred(c.Tolerance), c.Unit)
		fmt.Fprintf(b, "By the means %s leads.", c.named(c.Leader))
	case c.Verdict == study.RanOut:
		fmt.Fprintf(b, "Not settled: %s leads, but taking it may give away %s %s as far as these bouts tell, more than the %s asked for;\nabout %s draws would settle it (--draws).",
			c.named(c.Leader), c.hundred(c.Bound), c.Unit, c.hundred(c.Tolerance), roughly(float64(c.Needed)))
	case c.Leader == usual && len(c.barred()) == len(c.Plans)-1:
		b.WriteString("Stay as usual: every other plan is kept out by its price.")
	case c.Leader == usual:
		b.WriteString("Stay as usual: no other plan that may be chosen comes out ahead.")
	default:
		fmt.Fprintf(b, "Take \"%s\".", c.Leader)
	}
	b.WriteString("\n")
	if c.Leader != c.Plans[0].Name {
		fmt.Fprintf(b, "With it %s instead of %s as usual: %s (simulation %s to %s, allowing for the picking).\n", c.level(lead.Value), c.hundred(c.Plans[0].Value), signed(100*lead.Gain.Mean, 1),
			signed(100*lead.Gain.Simulation.Low, 1), signed(100*lead.Gain.Simulation.High, 1))
		c.unresolvedHarm(b, lead)
	}
	c.notRuledOut(b, lead)
}

// notRuledOut names the plans that multiple comparisons leave as possibly better on average, where the expected loss has settled the choice.
func (c *Choice) notRuledOut(b *strings.Builder, lead *study.Contender) {
	var names []string
	for _, p := range c.Plans {
		if p.Name != lead.Name && !p.Barred && p.Against[1] > 0 {
			names = append(names, p.Name)
		}
	}
	if c.Verdict == study.Settled && lead.Against[0] < 0 && len(names) > 0 {
		fmt.Fprintf(b, "What it may give away is as little as asked for, but these bouts do not rule out that %s would do better on average.\n", listed(names))
	}
}

// level says a value in words.
func (c *Choice) level(x float64) string {
	if c.Counts == "win" {
		return fmt.Sprintf("%s wins %s of 100 such bouts", title(c.Fighter), c.hundred(x))
	}
	return fmt.Sprintf("%s comes to %s %s", title(c.Fighter), c.hundred(x), c.Unit)
}

func (c *Choice) hundred(x float64) string { return fmt.Sprintf("%.1f", 100*x) }

func (c *Choice) named(plan string) string {
	if plan == c.Plans[0].Name {
		return plan
	}
	return "\"" + plan + "\""
}

func listed(names []string) string {
	var out []string
	for _, n := range names {
		if n != "as usual" {
			n = "\"" + n + "\""
		}
		out = append(out, n)
	}
	if len(out) == 1 {
		return out[0]
	}
	return strings.Join(out[:len(out)-1], ", ") + " or " + out[len(out)-1]
}

// unresolvedHarm names what is not known of the leader's prices.
func (c *Choice) unresolvedHarm(b *strings.Builder, lead *study.Contender) {
	if words := harms(lead.Prices, study.Raises, study.MayRaise, study.NotTold); words != "" {
		fmt.Fprintf(b, "Its price:\n%s", words)
	}
}

// keptOut tells which plans harm bars, by which rule.
func (c *Choice) keptOut(b *strings.Builder) {
	kept := c.barred()
	if len(kept) == 0 {
		return
	}
	b.WriteString("Kept out by what they cost (--accept-harm lets them in):\n")
	for _, p := range kept {
		fmt.Fprintf(b, "  %s, which gains %s:\n%s", title(p.Name), signed(100*p.Gain.Mean, 1), harms(p.Prices, study.Raises, study.MayRaise))
	}
	fmt.Fprintf(b, "The rule: kept out is a plan that raises one of the three (the %.0f %% interval of what it adds lies above none), and one that would lead but\n"+
		"comes out more than %.0f %% above as usual and cannot be told from it with all draws.\n", 100*c.Level, 100*c.HarmMargin)
}
