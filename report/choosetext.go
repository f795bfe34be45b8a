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
	b.WriteString(wrapped(c.alarm(), textWidth, "") + "\n")
}

// alarm says that harm was accepted, and of which plans; "" if it was not.
func (c *Choice) alarm() string {
	if !c.AcceptHarm {
		return ""
	}
	var told []string
	for i := range c.Plans {
		if lines := harms(c.Plans[i].Prices, study.Raises, study.MayRaise); len(lines) > 0 {
			told = append(told, fmt.Sprintf("%s %s.", title(c.Plans[i].Name), strings.Join(lines, "; ")))
		}
	}
	if len(told) == 0 {
		told = []string{"None of these plans does, as far as these bouts tell."}
	}
	return "HARM ACCEPTED (--accept-harm): plans that raise head strikes absorbed, knockdowns suffered or stoppage losses may be chosen here. " + strings.Join(told, " ")
}

// harms says what a plan does to the prices that stand in one of those ways.
func harms(prices []study.Price, as ...study.Harm) (out []string) {
	for i := range prices {
		if slices.Contains(as, prices[i].Stand) {
			out = append(out, harm(&prices[i]))
		}
	}
	return out
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

// verdict is the answer, what it gains, at what price, and what is not ruled out.
func (c *Choice) verdict(b *strings.Builder) {
	b.WriteString(wrapped(c.verdictSentence(), textWidth, ""))
	if words := c.gainSentence(); words != "" {
		b.WriteString(wrapped(words, textWidth, ""))
	}
	if lines := c.leaderPrice(); len(lines) > 0 {
		fmt.Fprintf(b, "Its price:\n    %s\n", strings.Join(lines, "\n    "))
	}
	if words := c.notRuledOut(); words != "" {
		b.WriteString(wrapped(words, textWidth, ""))
	}
}

// textWidth is how long a line of text may be.
const textWidth = 140

// verdictSentence is the answer in a sentence or two.
func (c *Choice) verdictSentence() string {
	switch usual := c.Plans[0].Name; {
	case c.Verdict == study.TooClose:
		return fmt.Sprintf("Too close to call: %s. Whichever of them is taken, as far as these bouts tell it gives away no more than %s %s.", listed(c.AsGood), c.hundred(c.Tolerance), c.Unit)
	case c.Verdict == study.RanOut:
		return fmt.Sprintf("Not settled: %s leads, but taking it may give away %s %s as far as these bouts tell, more than the %s asked for; about %s draws would settle it (--draws).",
			c.named(c.Leader), c.hundred(c.Bound), c.Unit, c.hundred(c.Tolerance), roughly(float64(c.Needed)))
	case c.Leader == usual && len(c.barred()) == len(c.Plans)-1:
		return "Stay as usual: every other plan is kept out by its price."
	case c.Leader == usual:
		return "Stay as usual: no other plan that may be chosen comes out ahead."
	}
	return fmt.Sprintf("Take \"%s\".", c.Leader)
}

// gainSentence says what the leader gains; "" if that is fighting as usual and it is not close.
func (c *Choice) gainSentence() string {
	lead, words := c.find(c.Leader), ""
	if c.Verdict == study.TooClose {
		words = fmt.Sprintf("By the means %s leads. ", c.named(c.Leader))
	}
	if c.Leader == c.Plans[0].Name {
		return strings.TrimSpace(words)
	}
	return words + fmt.Sprintf("With it %s instead of %s as usual: %s (simulation %s to %s, allowing for the picking).", c.level(lead.Value), c.hundred(c.Plans[0].Value),
		signed(100*lead.Gain.Mean, 1), signed(100*lead.Gain.Simulation.Low, 1), signed(100*lead.Gain.Simulation.High, 1))
}

// leaderPrice names what the leader raises, and what is not known of its prices.
func (c *Choice) leaderPrice() []string {
	if c.Leader == c.Plans[0].Name {
		return nil
	}
	return harms(c.find(c.Leader).Prices, study.Raises, study.MayRaise, study.NotTold)
}

// notRuledOut names the plans that multiple comparisons leave as possibly better on average, where the expected loss has settled the choice; "" if there
// is none.
func (c *Choice) notRuledOut() string {
	lead := c.find(c.Leader)
	var names []string
	for _, p := range c.Plans {
		if p.Name != lead.Name && !p.Barred && p.Against[1] > 0 {
			names = append(names, p.Name)
		}
	}
	if c.Verdict != study.Settled || lead.Against[0] >= 0 || len(names) == 0 {
		return ""
	}
	return fmt.Sprintf("What it may give away is as little as asked for, but these bouts do not rule out that %s would do better on average.", listed(names))
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

// keptOut tells which plans harm bars, by which rule.
func (c *Choice) keptOut(b *strings.Builder) {
	kept := c.barred()
	if len(kept) == 0 {
		return
	}
	b.WriteString("Kept out by what they cost (--accept-harm lets them in):\n")
	for _, p := range kept {
		fmt.Fprintf(b, "  %s, which gains %s:\n    %s\n", title(p.Name), signed(100*p.Gain.Mean, 1), strings.Join(harms(p.Prices, study.Raises, study.MayRaise), "\n    "))
	}
	b.WriteString(wrapped(c.harmRule(), textWidth, ""))
}

// harmRule says what keeps a plan out.
func (c *Choice) harmRule() string {
	return fmt.Sprintf("The rule: kept out is a plan that raises one of the three (the %.0f %% interval of what it adds lies above none), and one that would lead but comes out more than %.0f %% above as usual and cannot be told from it with all draws.",
		100*c.Level, 100*c.HarmMargin)
}
