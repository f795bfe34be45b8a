package report

import (
	"fmt"
	"math"

	"whatbout/report/chart"
)

// Answer is the comparison's, every plan with how far its difference is told.
func (c *Comparison) Answer() Answer {
	a := Answer{Sentence: c.sentence(), Leads: c.leads(), Played: c.played()}
	a.Title, a.Under = meeting(c.Fighter, c.Opponent, c.Rules, c.OpponentPlan)
	return a
}

// Sections lists the parts of the comparison: what one plan changes comes before what is common to all.
func (c *Comparison) Sections() (out []Section) {
	out = append(out, Section{ID: "of-100", Heading: "Of 100 bouts", Figures: []chart.Figure{c.icons()}})
	for i := range c.Plans[1:] {
		out = append(out, c.planSections(i+1)...)
	}
	out = append(out, c.evidenceSection())
	if c.Watched == nil {
		out = append(out, Section{ID: "left-out", Heading: "What is left out here", Lead: []string{"No bouts were watched closely for this result, so there is no margin of single bouts, no range over time and no map of the floor. " +
			"A comparison that is run with --report watches some, and keeps in its result what it saw."}})
	}
	return out
}

// planSections is what plan i changes.
func (c *Comparison) planSections(i int) (out []Section) {
	plan, id := c.Plans[i], fmt.Sprintf("plan-%d-", i)
	head := func(what string) string {
		if len(c.Plans) > 2 {
			return title(plan.Name) + ": " + what
		}
		return title(what)
	}
	if c.Watched != nil {
		out = append(out, Section{ID: id + "margin", Heading: head("the margin"), Figures: []chart.Figure{c.margins(i)}})
	}
	out = append(out,
		Section{ID: id + "doubt", Heading: head("three kinds of doubt"), Lead: c.doubtLead(plan.Name), Figures: c.doubtFigures(i)},
		Section{ID: id + "ends", Heading: head("how bouts end"), Figures: []chart.Figure{c.ends(i)}},
		Section{ID: id + "price", Heading: head("the price"), Figures: []chart.Figure{c.price(i)}},
		Section{ID: id + "way", Heading: head("what changed on the way"), Figures: []chart.Figure{c.way(i, "where", &sections[2], "% of the time"), c.way(i, "acts", &sections[3], "a minute")}})
	if c.Watched != nil {
		out = append(out,
			Section{ID: id + "range", Heading: head("range over time"), Figures: []chart.Figure{c.ribbons(i)}},
			Section{ID: id + "floor", Heading: head("where on the floor"), Figures: []chart.Figure{c.floor(i)}})
	}
	return out
}

// doubtFigures are the three intervals and, where it was worked out, the ledger of what makes them.
func (c *Comparison) doubtFigures(i int) []chart.Figure {
	out := []chart.Figure{c.doubts(i)}
	for l := range c.Ledgers {
		if x := &c.Ledgers[l]; x.Plan == c.Plans[i].Name {
			out = append(out, ledgerFigure(fmt.Sprintf("ledger-%d", i), x, "bouts in 100"))
		}
	}
	return out
}

func (c *Comparison) evidenceSection() Section {
	s := Section{ID: "little-tape", Heading: "What rests on little tape", Figures: []chart.Figure{c.evidenceFigure()}}
	for _, x := range c.PriorOnly {
		s.Items = append(s.Items, fmt.Sprintf("%q multiplies %s %s, which %s's tape never shows: the figure is the population's.", x.Rule, plain(x.Act),
			list(x.Where), title(c.Fighter)))
	}
	for _, e := range c.Evidence {
		if e.Tape == 0 {
			s.Items = append(s.Items, title(e.Fighter)+" has no tape at all: good for trying a plan and for seeing what tape would buy, not for believing.")
		}
		if len(e.Skills) > 0 {
			s.Items = append(s.Items, fmt.Sprintf("Skills of %s without tape, the population's only: %s.", title(e.Fighter), list(e.Skills)))
		}
	}
	return s
}

func (c *Comparison) played() string {
	s := fmt.Sprintf("%d bouts, in %d draws of both doubts and %d of tape doubt alone, %d bouts a draw and plan; intervals at %.0f %%.",
		c.Played, c.Draws, c.TapeDraws, c.Bouts, math.Round(100*c.Level))
	if c.Watched != nil {
		s += fmt.Sprintf(" Watched closely: the first %d bouts of the first %d draws, under every plan.", c.Watched.Bouts, c.Watched.Draws)
	}
	return s
}
