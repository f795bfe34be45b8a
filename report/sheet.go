package report

import (
	"fmt"
	"strings"

	"whatbout/report/chart"
	"whatbout/study"
	"whatbout/tactics"
)

// The lines that every corner sheet ends with.
const (
	StopLine  = "Hurt, slow to answer, or not defending: stop it. No plan here applies."
	DrillLine = "Drill it, do not test it in hard sparring."
)

// Sheet is one page for the corner: what to do, what it is worth, when it is not working, what then, and what it costs. All words are
// sentences already, so that it can be set in text or on a page.
type Sheet struct {
	Title    string // who meets whom, under which rules
	Plan     string
	Sentence string // the answer, in bouts of 100 beside what is usual
	Lead     string // whether the difference is told from none
	Warning  string // where nothing speaks for the plan; "" otherwise
	Things   []Thing
	Also     []string // rules of the plan that are not among the things
	Signs    []string // that it is not being done, that it is not working
	Then     string   // what to change to
	Price    []string
	Notes    []string
	Again    string
}

// NewSheet makes the sheet of plan i of a comparison, from 1. plan holds its rules; trace gives the signs. worths are of the plan's
// [Comparison.Things], nil where they were not worked out.
func NewSheet(c *Comparison, i int, plan *tactics.Plan, trace *study.TraceResult, worths []Worth) *Sheet {
	s := &Sheet{Title: title(c.Fighter) + " against " + title(c.Opponent) + ", " + c.Rules, Plan: title(plan.Name), Sentence: oneOf(c, i), Lead: c.lead(plan.Name),
		Then: c.then(i), Price: c.priceLines(i), Again: strings.Replace(c.Again, "whatbout compare", "whatbout sheet", 1)}
	if c.OpponentPlan != "as usual" {
		s.Title += "; " + title(c.Opponent) + " fights " + quoted(c.OpponentPlan)
	}
	s.Warning = c.against(plan.Name)
	_, seconds := roundsOf(trace)
	s.Things, s.Also = c.things(plan, seconds/60, worths)
	s.Signs = c.signs(trace, i, seconds)
	return s
}

// against says what speaks against taking a plan at all.
func (c *Comparison) against(plan string) string {
	win := c.find(plan, "win")
	switch {
	case !isTold(win):
		return "Nothing shows that it is better than " + c.Plans[0].Name + "."
	case win.Mean < 0:
		return "On average it loses bouts: do not take it."
	}
	return ""
}

// oneOf is the answer for one plan.
func oneOf(c *Comparison, i int) string {
	only := *c
	only.Plans = []study.PlanResult{c.Plans[0], c.Plans[i]}
	return only.sentence()
}

// then says what to change to: the best of the other plans if it is told to be better than the baseline.
func (c *Comparison) then(i int) string {
	best, names := -1, []string{}
	for j := 1; j < len(c.Plans); j++ {
		if j == i {
			continue
		}
		names = append(names, "\""+c.Plans[j].Name+"\"")
		d := c.find(c.Plans[j].Name, "win")
		if isTold(d) && d.Mean > 0 && (best < 0 || d.Mean > c.find(c.Plans[best].Name, "win").Mean) {
			best = j
		}
	}
	base := c.Plans[0].Name
	switch {
	case best >= 0:
		d := c.find(c.Plans[best].Name, "win")
		words := fmt.Sprintf("Change to \"%s\": %s bouts in 100 against %s, from the first bell", c.Plans[best].Name, chart.Signed(100*d.Mean, 1), base)
		if d.SignResolved == study.MeanResolved {
			words += "; that mean is told from none, but not for every possible truth"
		}
		return words + "."
	case len(names) > 0:
		return fmt.Sprintf("Back to %s: no other plan that was compared (%s) is told to be better than it.", base, list(names))
	}
	return fmt.Sprintf("Back to %s: no other plan was compared. Name more plans, and the best of them stands here.", base)
}

// priceLines are what is paid, as usual and with the plan.
func (c *Comparison) priceLines(i int) (out []string) {
	for _, x := range prices {
		d := c.find(c.Plans[i].Name, x.measure)
		line := fmt.Sprintf("%s: %s %s, %s with the plan", x.name, chart.Plain(x.times*c.Plans[0].Outcomes[x.measure].Mean, x.digits), quoted(c.Plans[0].Name),
			chart.Plain(x.times*c.Plans[i].Outcomes[x.measure].Mean, x.digits))
		if !isTold(d) {
			line += " (not told apart)"
		}
		out = append(out, capital(line)+".")
	}
	return out
}
