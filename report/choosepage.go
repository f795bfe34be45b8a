package report

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"whatbout/internal/infer"
	"whatbout/report/chart"
	"whatbout/study"
)

// Answer is the choice's, never without what it costs.
func (c *Choice) Answer() Answer {
	a := Answer{Alarm: c.alarm(), Sentence: c.verdictSentence(), Played: strings.TrimPrefix(c.workSentence(), "Played: ")}
	a.Title, a.Under = meeting(c.Fighter, c.Opponent, c.Rules, c.OpponentPlan)
	a.Under += "; what counts: " + c.counts()
	for _, words := range []string{c.gainSentence(), c.leaderCost(), c.notRuledOut(), c.keptOutLead()} {
		if words != "" {
			a.Leads = append(a.Leads, words)
		}
	}
	return a
}

// leaderCost is the leader's price in a sentence, short.
func (c *Choice) leaderCost() string {
	if c.Leader == c.Plans[0].Name {
		return ""
	}
	var parts []string
	for _, p := range c.find(c.Leader).Prices {
		times, digits, per := priceScale(p.Outcome)
		parts = append(parts, fmt.Sprintf("%s %s on %s %s (%s)", priceWords(p.Outcome), chart.Signed(times*p.Difference, digits), chart.Plain(times*p.Usual, digits), per, stands[p.Stand]))
	}
	return "Its price: " + list(parts) + "."
}

// stands say how a plan stands to a price.
var stands = map[study.Harm]string{study.Raises: "raised", study.MayRaise: "may be raised", study.NotTold: "not told from as usual", study.Lowers: "lowered", study.Unchanged: "unchanged"}

// keptOutLead names the plans that are kept out.
func (c *Choice) keptOutLead() string {
	var names []string
	for _, p := range c.barred() {
		names = append(names, fmt.Sprintf("%s (gains %s)", c.named(p.Name), chart.Signed(100*p.Gain.Mean, 1)))
	}
	if names == nil {
		return ""
	}
	return "Kept out by what it costs: " + list(names) + "."
}

// Sections lists the parts of the choice: gain against price comes first.
func (c *Choice) Sections() []Section {
	price := Section{ID: "frontier", Heading: "Gain against price", Figures: []chart.Figure{c.frontierFigure()}}
	for _, p := range c.barred() {
		price.Items = append(price.Items, fmt.Sprintf("Kept out: %s, which gains %s, %s.", c.named(p.Name), chart.Signed(100*p.Gain.Mean, 1), strings.Join(harms(p.Prices, study.Raises, study.MayRaise), "; ")))
	}
	price.Items = append(price.Items, c.harmRule())
	out := []Section{price, {ID: "gains", Heading: "How sure each gain is", Figures: []chart.Figure{c.gainsFigure()}}}
	if c.Remaining.Plans >= 2 {
		out = append(out, Section{ID: "best", Heading: "Which would be the best", Figures: []chart.Figure{c.bestFigure()}})
	}
	out = append(out, c.buysSection())
	if c.Ledger.Plan != "" {
		out = append(out, Section{ID: "doubt", Heading: "Where the doubt comes from", Figures: []chart.Figure{ledgerFigure("ledger", &c.Ledger, c.Unit)}})
	}
	return out
}

// others are the plans beside as usual, those that may be chosen first, by their gain.
func (c *Choice) others() []study.Contender {
	out := slices.Clone(c.Plans[1:])
	slices.SortStableFunc(out, func(a, b study.Contender) int {
		if a.Barred != b.Barred {
			return cmp.Compare(bit(a.Barred), bit(b.Barred))
		}
		return cmp.Compare(b.Gain.Mean, a.Gain.Mean)
	})
	return out
}

func bit(yes bool) int {
	if yes {
		return 1
	}
	return 0
}

func letter(i int) string { return string(rune('A' + i%26)) }

// frontierFigure shows what every plan gains against each price.
func (c *Choice) frontierFigure() chart.Figure {
	var offers []chart.Offer
	t := chart.Table{Head: []string{"plan", "gain, " + c.Unit, "simulation from", "to"}}
	panels := make([]chart.FrontierPanel, len(c.others()[0].Prices))
	for m, p := range c.others()[0].Prices {
		_, _, per := priceScale(p.Outcome)
		panels[m].Name = priceShort(p.Outcome)
		t.Head = append(t.Head, "adds to "+priceWords(p.Outcome)+", "+per, "from", "to", "stand", "chance raised, %")
	}
	t.Head = append(t.Head, "may be chosen")
	for i, p := range c.others() {
		offers = append(offers, chart.Offer{Letter: letter(i), Name: title(p.Name), Gain: 100 * p.Gain.Mean, GainLow: 100 * p.Gain.Simulation.Low, GainUp: 100 * p.Gain.Simulation.High,
			Beaten: !p.Frontier, Barred: p.Barred})
		row := []string{p.Name, chart.Signed(100*p.Gain.Mean, 1), chart.Signed(100*p.Gain.Simulation.Low, 1), chart.Signed(100*p.Gain.Simulation.High, 1)}
		for m, q := range p.Prices {
			times, digits, _ := priceScale(q.Outcome)
			panels[m].Charges = append(panels[m].Charges, chart.Charge{Adds: times * q.Difference, Low: times * q.Simulation.Low, Up: times * q.Simulation.High})
			row = append(row, chart.Signed(times*q.Difference, digits), chart.Signed(times*q.Simulation.Low, digits), chart.Signed(times*q.Simulation.High, digits), string(q.Stand), chart.Plain(100*q.Chance, 0))
		}
		t.Rows = append(t.Rows, append(row, map[bool]string{true: "no", false: "yes"}[p.Barred]))
	}
	return chart.NewFigure("gain-price", "What each plan gains, and what it costs", c.frontierFinding(),
		fmt.Sprintf("Up is better, left is cheaper. The thin lines are the doubt of the simulation (gains: %.0f %% for all plans together).", 100*c.Level), t,
		func(w float64) string { return chart.Frontier(w, c.Unit, offers, panels) })
}

// priceShort is a price in a word or two.
func priceShort(outcome string) string {
	return map[string]string{"head_strikes_absorbed": "Clean head strikes a bout", "knockdowns_suffered": "Knockdowns a bout", "loss_by_stoppage": "Stoppage losses of 100"}[outcome]
}

// frontierFinding holds the plan that gains most against its price.
func (c *Choice) frontierFinding() string {
	most := c.others()[0]
	for _, p := range c.others() {
		if p.Gain.Mean > most.Gain.Mean {
			most = p
		}
	}
	words := fmt.Sprintf("%s gains most, %s %s, ", title(most.Name), chart.Signed(100*most.Gain.Mean, 1), c.Unit)
	switch raised := harmNames(most.Prices, study.Raises); {
	case most.Gain.Mean <= 0:
		return "No plan gains over as usual by the means."
	case most.Barred && raised != "":
		return words + "and is kept out: it raises " + raised + "."
	case most.Barred:
		return words + "and is kept out: it may raise " + harmNames(most.Prices, study.MayRaise) + "."
	case raised != "":
		return words + "and raises " + raised + "."
	}
	return words + "and raises none of the three prices as far as these bouts tell."
}

// harmNames names the prices that stand so.
func harmNames(prices []study.Price, as study.Harm) string {
	var names []string
	for _, p := range prices {
		if p.Stand == as {
			names = append(names, priceWords(p.Outcome))
		}
	}
	return list(names)
}

// gainsFigure shows the doubts about each gain.
func (c *Choice) gainsFigure() chart.Figure {
	var rows []chart.GainRow
	t := chart.Table{Head: []string{"plan", "gain, " + c.Unit, "simulation from", "to", "all doubt from", "to", "all doubt told apart", "draws"}}
	var told []string
	for _, p := range c.others() {
		g := p.Gain
		row := gainRow(title(p.Name), g.Mean, g.Simulation, g.AllDoubt)
		if p.Barred {
			row.Note = "kept out"
		}
		rows = append(rows, row)
		t.Rows = append(t.Rows, []string{p.Name, chart.Signed(row.Mean, 1), chart.Signed(row.SimLow, 1), chart.Signed(row.SimHigh, 1), chart.Signed(row.AllLow, 1), chart.Signed(row.AllHigh, 1),
			map[bool]string{true: "no, at most so far", false: "yes"}[row.Open], fmt.Sprint(p.Draws)})
		if row.SimLow > 0 || row.SimHigh < 0 {
			told = append(told, c.named(p.Name))
		}
	}
	finding := "These bouts tell no plan's gain from none."
	if told != nil {
		finding = "Told from as usual: " + list(told) + "."
	}
	return chart.NewFigure("gains-all", "Gain over as usual, with its doubts", finding,
		fmt.Sprintf("Intervals of the simulation hold for all plans together at %.0f %%, at whatever look the bouts stopped.", 100*c.Level), t,
		func(w float64) string { return chart.Gains(w, "gain, "+c.Unit, "as usual", rows) })
}

// gainRow puts a difference into hundredths; where draws are not told apart, all doubt may reach as far as the upper limit of their spread.
func gainRow(name string, mean float64, sim infer.Interval, all infer.Spreading) chart.GainRow {
	d := spreadDoubt("", "", mean, all)
	return chart.GainRow{Name: name, Mean: 100 * mean, SimLow: 100 * sim.Low, SimHigh: 100 * sim.High, AllLow: d.Low, AllHigh: d.High, Open: d.Open && !d.None, None: d.None}
}

// bestFigure is how often each plan would be the best.
func (c *Choice) bestFigure() chart.Figure {
	var rows []chart.TruthRow
	t := chart.Table{Head: []string{"plan", "best with, %", "one standard error", "expected loss, " + c.Unit, "one standard error", "less best of others from", "to"}}
	for _, p := range append(c.others(), c.Plans[0]) {
		if p.Barred {
			rows = append(rows, chart.TruthRow{Name: title(p.Name), Note: "kept out"})
			t.Rows = append(t.Rows, []string{p.Name, "kept out", "", "", "", "", ""})
			continue
		}
		rows = append(rows, chart.TruthRow{Name: title(p.Name), Share: p.Chance, Error: p.ChanceError, Note: fmt.Sprintf("%d of 20; gives away %s", chart.TruthsOf(p.Chance), c.hundred(p.Loss))})
		t.Rows = append(t.Rows, []string{p.Name, chart.Plain(100*p.Chance, 0), chart.Plain(max(100*p.ChanceError, 1), 0), c.hundred(p.Loss), chart.Plain(100*p.LossError, 1),
			chart.Signed(100*p.Against[0], 1), chart.Signed(100*p.Against[1], 1)})
	}
	lead := c.find(c.Leader)
	return chart.NewFigure("best-of", "In how many of twenty possible truths each is the best", fmt.Sprintf("Taking %s gives away %s %s on average against knowing the truth.", c.named(c.Leader), c.hundred(lead.Loss), c.Unit),
		"Of the plans that may be chosen, over all doubt and given the model. Full marks: the best there; open ones: one standard error more. What a plan gives away is its expected loss, on average against knowing which truth holds.", t,
		func(w float64) string { return chart.Truths(w, rows) })
}

// buysSection is what knowing more could win.
func (c *Choice) buysSection() Section {
	s := Section{ID: "more", Heading: "What knowing more could win"}
	if c.Remaining.Plans < 2 {
		s.Lead = []string{nothingToChoose}
		return s
	}
	for _, x := range c.buyLines() {
		s.Terms = append(s.Terms, Term{capital(x[0]), x[1]})
	}
	return s
}
