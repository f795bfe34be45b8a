package report

import (
	"fmt"
	"strings"

	"whatbout/study"
)

// frequencies is the answer in one sentence.
func (c *Comparison) frequencies(b *strings.Builder) {
	fmt.Fprintf(b, "Of 100 such bouts %s wins", title(c.Fighter))
	for i, plan := range c.Plans {
		switch {
		case i > 0 && i == len(c.Plans)-1:
			b.WriteString(" and")
		case i > 0:
			b.WriteString(",")
		}
		fmt.Fprintf(b, " %.0f %s", 100*plan.Outcomes["win"].Mean, quoted(plan.Name))
	}
	b.WriteString(".\n\n")
}

// answer tells what one plan changes, with the three kinds of doubt.
func (c *Comparison) answer(b *strings.Builder, plan study.PlanResult) {
	base, win := c.Plans[0], c.find(plan.Name, "win")
	fmt.Fprintf(b, "%s", title(plan.Name))
	if plan.Intent != "" {
		fmt.Fprintf(b, ": %s", strings.TrimSuffix(plan.Intent, "."))
	}
	fmt.Fprintf(b, ".\nThe difference is %s bouts in 100.\n", signed(100*win.Mean, 1))
	pct := 100 * c.Level
	fmt.Fprintf(b, "  simulation: %s (%.0f %% confidence interval of that mean; more bouts would shrink it)\n", points(win.Simulation.Low, win.Simulation.High), pct)
	fmt.Fprintf(b, "  tape:       %s\n", spread(win.Tape, fmt.Sprintf("%.0f %% of what the tape leaves possible, assumptions at their centre; only more coded tape would shrink it", pct)))
	fmt.Fprintf(b, "  all doubt:  %s\n", spread(win.AllDoubt, "the same with the assumptions drawn too; what they add, neither bouts nor tape would shrink"))
	c.better(b, win)
	margin := c.find(plan.Name, "score_margin")
	fmt.Fprintf(b, "Judges' margin per bout, finished rounds: %s points %s, %s with the plan (difference %s, simulation %s to %s).\n",
		signed(base.Outcomes["score_margin"].Mean, 2), base.Name, signed(plan.Outcomes["score_margin"].Mean, 2), signed(margin.Mean, 2),
		signed(margin.Simulation.Low, 2), signed(margin.Simulation.High, 2))
	c.followedInFull(b, plan.Name)
	c.truth(b, plan.Name)
	paired(b, win)
	b.WriteString("\n")
}

func (c *Comparison) better(b *strings.Builder, win *study.Difference) {
	if win.SignResolved == study.Same {
		b.WriteString("No bout went differently: the plan changes nothing that matters here.\n")
		return
	}
	fmt.Fprintf(b, "Given this model, the chance that the plan is better at all: %s.\n", chanceBetter(win))
}

// chanceBetter says a chance with its error; where draws are not told apart, between what it is if they do not differ and if they do as much as they
// may.
func chanceBetter(d *study.Difference) string {
	sure := fmt.Sprintf("%s (± %.0f, one standard error of the simulation)", percent(d.ProbabilityBetter), max(100*d.ProbabilityError, 1))
	if d.ProbabilityOther == nil {
		return sure
	}
	return fmt.Sprintf("%s if the draws do not differ, %s if they differ by as much as they may", sure, percent(*d.ProbabilityOther))
}

func (c *Comparison) followedInFull(b *strings.Builder, plan string) {
	win, margin := c.inFull(plan, "win"), c.inFull(plan, "score_margin")
	if win == nil || margin == nil {
		return
	}
	fmt.Fprintf(b, "Followed at every decision while fresh: %s bouts in 100 (simulation %s), judges' margin %s points.\n", signed(100*win.Mean, 1),
		points(win.Simulation.Low, win.Simulation.High), signed(margin.Mean, 2))
}

func (c *Comparison) truth(b *strings.Builder, plan string) {
	if truth, ok := c.Truth[plan]; ok {
		base := c.Plans[0].Name
		fmt.Fprintf(b, "The truth of the demo, known because it is invented: %.1f bouts in 100 %s, %.1f with the plan (difference %s).\n",
			100*c.Truth[base], base, 100*truth, signed(100*(truth-c.Truth[base]), 1))
	}
}

// paired says what playing both plans on the same luck won.
func paired(b *strings.Builder, d *study.Difference) {
	if d.Saved == nil {
		return
	}
	fmt.Fprintf(b, "Pairing on the same luck was worth %s times the bouts (%d pairs, correlation of winning %.2f ± %.2f).\n", roughly(*d.Saved), d.Pairs,
		d.Correlation, d.CorrelationError)
}

// work says what was played, and whether it was enough.
func (c *Comparison) work(b *strings.Builder) {
	fmt.Fprintf(b, "Played: %d bouts, in %d draws of both doubts and %d of tape doubt alone, %d bouts a draw and plan.\n", c.Played, c.Draws, c.TapeDraws, c.Bouts)
	if w := c.Within; w != nil {
		switch {
		case w.Reached:
			fmt.Fprintf(b, "Every difference in bouts won is known within ± %.2g in 100 bouts, as asked, after %d looks.\n", 100*w.Target, w.Looks)
		default:
			fmt.Fprintf(b, "The target of ± %.2g in 100 bouts was not reached; it would take about %s draws.\n", 100*w.Target, roughly(float64(w.Needed)))
		}
	}
	b.WriteString("\n")
}
