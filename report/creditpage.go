package report

import (
	"fmt"
	"strings"

	"whatbout/report/chart"
	"whatbout/study"
)

// Answer is which rule does the work.
func (c *Credit) Answer() Answer {
	lines := said(c.answer)
	a := Answer{Sentence: lines[0], Played: strings.TrimPrefix(strings.Join(said(c.work), " "), "Played: ")}
	if c.Effect.Resolved != study.Same {
		a.Sentence = fmt.Sprintf("%s wins %.0f of 100 such bouts as usual and %.0f %s: %s.", title(c.Fighter), 100*c.Usual, 100*(c.Usual+c.Effect.Mean), quoted(c.Plan), chart.Signed(100*c.Effect.Mean, 1))
		ranked := said(c.ranked)
		if len(c.Credits) == 1 {
			ranked = nil
		} else {
			a.Leads = []string{"Of that " + strings.Join(ranked, "; ") + "."}
		}
		a.Leads = append(a.Leads, strings.Join(lines[1+len(ranked):], " "))
	}
	a.Title, a.Under = meeting(c.Fighter, c.Opponent, c.Rules, c.OpponentPlan)
	a.Under += "; which rule of " + quotedName(c.Plan) + " does the work"
	return a
}

// Sections lists the parts: each rule's share, then what the plan costs and moves.
func (c *Credit) Sections() []Section {
	s := Section{ID: "rules", Heading: "Rule by rule", Figures: []chart.Figure{c.sharesFigure()}, Lead: said(c.together)}
	for i, asks := range c.Asks {
		s.Terms = append(s.Terms, Term{c.Credits[i].Rule, "It asks for: " + asks + "."})
	}
	out := []Section{s}
	if c.Effect.Resolved != study.Same {
		price := Section{ID: "price", Heading: "What each rule costs"}
		for i := range sections {
			if sections[i].heading == priceHeading {
				price.Figures = append(price.Figures, c.movesFigure("price-by-rule", &sections[i]))
			}
		}
		out = append(out, price)
	}
	return out
}

func creditRow(name string, x *study.Credited) chart.GainRow {
	return gainRow(name, x.Mean, x.Simulation, x.AllDoubt)
}

// sharesFigure is each rule's share of what the plan changes.
func (c *Credit) sharesFigure() chart.Figure {
	rows := []chart.GainRow{}
	t := chart.Table{Head: []string{"rule", "share", "simulation from", "to", "alone", "left out", "sign told"}}
	for _, i := range c.order() {
		r := &c.Credits[i]
		rows = append(rows, creditRow(r.Rule, &r.Share))
		t.Rows = append(t.Rows, []string{r.Rule, chart.Signed(100*r.Share.Mean, 1), chart.Signed(100*r.Share.Simulation.Low, 1), chart.Signed(100*r.Share.Simulation.High, 1),
			chart.Signed(100*r.Alone.Mean, 1), chart.Signed(100*r.Last.Mean, 1), string(r.Share.Resolved)})
	}
	rows = append(rows, creditRow("all together", &c.Effect))
	t.Rows = append(t.Rows, []string{"all together", chart.Signed(100*c.Effect.Mean, 1), chart.Signed(100*c.Effect.Simulation.Low, 1), chart.Signed(100*c.Effect.Simulation.High, 1), "", "", string(c.Effect.Resolved)})
	finding := "No rule's share is told from nothing."
	if r := &c.Credits[c.order()[0]]; isTelling(&r.Share) && r.Share.Mean > 0 {
		finding = fmt.Sprintf("Most of it is done by \u201c%s\u201d: %s bouts in 100.", r.Rule, chart.Signed(100*r.Share.Mean, 1))
	}
	return chart.NewFigure("shares", "Each rule's share of what the plan changes", finding,
		fmt.Sprintf("A share is what a rule adds on average over all orders in which the rules can be added (Shapley's). Alone: added to as usual; left out: what the plan loses without it. Intervals at %.0f %%.", 100*c.Level), t,
		func(w float64) string { return chart.Gains(w, "bouts in 100", "nothing", rows) })
}

// movesFigure is what every rule does to the measures of a section.
func (c *Credit) movesFigure(id string, s *section) chart.Figure {
	t := chart.Table{Head: []string{"rule"}}
	for _, name := range s.names {
		t.Head = append(t.Head, measureWords(name))
	}
	m := study.MeasureNamed(s.names[0])
	var rows []chart.GainRow
	var raised []string
	for i := range c.Credits {
		r := &c.Credits[i]
		row := []string{r.Rule}
		for _, name := range s.names {
			row = append(row, chart.Signed(s.times*r.Moves[study.MeasureNamed(name)].Share.Mean, s.digits))
		}
		t.Rows = append(t.Rows, row)
		x := &r.Moves[m].Share
		g := creditRow(r.Rule, x)
		for _, v := range []*float64{&g.Mean, &g.SimLow, &g.SimHigh, &g.AllLow, &g.AllHigh} {
			*v *= s.times / 100
		}
		rows = append(rows, g)
		if isTelling(x) && x.Mean > 0 {
			raised = append(raised, "\u201c"+r.Rule+"\u201d")
		}
	}
	what := measureWords(s.names[0])
	finding := "No rule is told to raise " + what + "."
	if raised != nil {
		finding = capital(what) + " are raised by " + list(raised) + "."
	}
	return chart.NewFigure(id, capital(what)+", by rule", finding, "Each rule's share of the plan's difference, a bout; the numbers have the other prices.", t,
		func(w float64) string { return chart.Gains(w, what+", a bout", "nothing", rows) })
}
