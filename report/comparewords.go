package report

import (
	"fmt"
	"math"
	"strings"

	"whatbout/report/chart"
	"whatbout/study"
)

// sentence is the answer.
func (c *Comparison) sentence() string {
	var b strings.Builder
	c.frequencies(&b)
	return strings.TrimSpace(b.String())
}

// leads says of each plan whether its difference is told from none.
func (c *Comparison) leads() (out []string) {
	for _, plan := range c.Plans[1:] {
		out = append(out, c.lead(plan.Name))
	}
	return out
}

func (c *Comparison) lead(plan string) string {
	win := c.find(plan, "win")
	name := title(plan)
	mean, sim := chart.Signed(100*win.Mean, 1), in100(win.Simulation.Low, win.Simulation.High)
	switch win.SignResolved {
	case study.Same:
		return name + ": no bout went differently; the plan changes nothing that matters here."
	case study.Unresolved:
		return fmt.Sprintf("%s: %s bouts in 100, which these bouts do not tell from no difference (simulation alone leaves %s).", name, mean, sim)
	case study.MeanResolved:
		return fmt.Sprintf("%s: %s bouts in 100 on average (simulation leaves %s); but some of what tape and assumptions leave possible lies on the other side of none.", name, mean, sim)
	}
	return fmt.Sprintf("%s: %s bouts in 100 (simulation leaves %s), and all doubt leaves that sign.", name, mean, sim)
}

// in100 writes a range of shares as bouts in 100.
func in100(low, high float64) string {
	return chart.Signed(100*low, 1) + " to " + chart.Signed(100*high, 1)
}

// told reports how far a difference is told from none.
func certainty(d *study.Difference) chart.Certainty {
	switch d.SignResolved {
	case study.Resolved:
		return chart.Sure
	case study.MeanResolved:
		return chart.MeanOnly
	}
	return chart.Unsure
}

// isTold reports whether the mean is told from none.
func isTold(d *study.Difference) bool { return certainty(d) != chart.Unsure }

// list joins words as a sentence does.
func list(words []string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:len(words)-1], ", ") + " and " + words[len(words)-1]
}

// most gives the row whose mean difference is told from none and largest in the section's units; nil if there is none.
func (c *Comparison) most(plan string, names []string) (out *study.Difference) {
	for _, name := range names {
		d := c.find(plan, name)
		if isTold(d) && (out == nil || math.Abs(d.Mean) > math.Abs(out.Mean)) {
			out = d
		}
	}
	return out
}

// landedClean is how a measure is called that belongs to the one above it.
const landedClean = "landed clean"

// measureWords are a measure's words for a sentence; "landed clean" belongs to the row above it.
func measureWords(name string) string {
	words := strings.TrimSpace(study.Measures[study.MeasureNamed(name)].Plain)
	if words != landedClean {
		return words
	}
	thrown := strings.TrimSpace(study.Measures[study.MeasureNamed(strings.Replace(name, "clean_", "thrown_", 1))].Plain)
	if who, ok := strings.CutSuffix(thrown, " by the other"); ok {
		return who + " landed clean by the other"
	}
	return strings.TrimSuffix(thrown, " thrown") + " landed clean"
}

// sectionTable is a section's rows as the text has them.
func (c *Comparison) sectionTable(s *section, plan study.PlanResult) chart.Table {
	t := chart.Table{Head: []string{"", c.Plans[0].Name, plan.Name, "difference", fmt.Sprintf("all doubt, %.0f %%", 100*c.Level), "sign told"}}
	for _, name := range s.names {
		d := c.find(plan.Name, name)
		t.Rows = append(t.Rows, []string{measureWords(name), s.number(c.Plans[0].Outcomes[name].Mean), s.number(plan.Outcomes[name].Mean),
			chart.Signed(s.times*d.Mean, s.digits), strings.ReplaceAll(s.interval(d), "-", "\u2212"), string(d.SignResolved)})
	}
	return t
}
