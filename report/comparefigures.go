package report

import (
	"fmt"
	"math"
	"strings"

	"gonum.org/v1/gonum/stat/distuv"

	"whatbout/internal/infer"
	"whatbout/report/chart"
	"whatbout/study"
)

// side says whose ink a plan is in: the baseline's, or a plan's.
func side(i int) chart.Side {
	if i == 0 {
		return chart.Usual
	}
	return chart.Plan
}

// icons is a hundred bouts under every plan.
func (c *Comparison) icons() chart.Figure {
	var arrays []chart.IconArray
	t := chart.Table{Head: []string{"plan", "won", "lost", "nobody's"}}
	for i, plan := range c.Plans {
		won, lost := plan.Outcomes["win"].Mean, plan.Outcomes["loss"].Mean
		n := chart.Hundred(won, lost, max(1-won-lost, 0))
		arrays = append(arrays, chart.IconArray{Label: title(plan.Name), Side: side(i), Won: n[0], Lost: n[1], Drawn: n[2]})
		t.Rows = append(t.Rows, []string{plan.Name, chart.Plain(100*won, 1), chart.Plain(100*lost, 1), chart.Plain(100*(1-won-lost), 1)})
	}
	return chart.NewFigure("of-100-bouts", "A hundred bouts under each plan", c.iconFinding(), "Each mark is one bout: a disc is won, a cross lost, a dash nobody's. Which bout goes which way, nobody knows.", t,
		func(w float64) string { return chart.Icons(w, arrays) })
}

// iconFinding holds every plan against the baseline.
func (c *Comparison) iconFinding() string {
	var parts []string
	for _, plan := range c.Plans[1:] {
		d := c.find(plan.Name, "win")
		words := chart.Plain(100*math.Abs(d.Mean), 1) + " more"
		switch {
		case d.SignResolved == study.Same:
			words = "exactly as many"
		case !isTold(d):
			words = "not told from as many (" + chart.Signed(100*d.Mean, 1) + ")"
		case d.Mean < 0:
			words = chart.Plain(100*math.Abs(d.Mean), 1) + " fewer"
		}
		parts = append(parts, words+" "+quoted(plan.Name))
	}
	return fmt.Sprintf("Bouts won of 100, against %s: %s.", c.Plans[0].Name, strings.Join(parts, "; "))
}

// shownDots is how many bouts a dotplot shows.
const shownDots = 50

// margins is the spread of single bouts on the cards, and the mean under it.
func (c *Comparison) margins(i int) chart.Figure {
	var rows []chart.DotRow
	t := chart.Table{Head: []string{"plan", "mean", "simulation from", "to", "lower tenth of bouts", "median", "upper tenth", "bouts traced"}}
	ahead := make([]float64, 0, 2)
	for _, at := range []int{0, i} {
		values, d := c.Watched.Plans[at].Margins, c.Plans[at].Outcomes["score_margin"]
		rows = append(rows, chart.DotRow{Label: title(c.Plans[at].Name), Side: side(at), Values: chart.Quantiles(values, shownDots), Mean: d.Mean, Low: d.Simulation.Low, High: d.Simulation.High})
		q := chart.Quantiles(values, 5) // at .1, .3, .5, .7, .9
		t.Rows = append(t.Rows, []string{c.Plans[at].Name, chart.Signed(d.Mean, 2), chart.Signed(d.Simulation.Low, 2), chart.Signed(d.Simulation.High, 2),
			chart.Signed(q[0], 2), chart.Signed(q[2], 2), chart.Signed(q[4], 2), fmt.Sprint(len(values))})
		ahead = append(ahead, shareAhead(values))
	}
	d := c.find(c.Plans[i].Name, "score_margin")
	finding := fmt.Sprintf("%s is ahead on the judges' cards in %.0f of 100 single bouts %s and in %.0f %s; the mean moves by %s points", title(c.Fighter), 100*ahead[0],
		quoted(c.Plans[0].Name), 100*ahead[1], quoted(c.Plans[i].Name), chart.Signed(d.Mean, 2))
	if !isTold(d) {
		finding += ", not told from none"
	}
	return chart.NewFigure(fmt.Sprintf("margin-%d", i), "Single bouts first, then their mean", finding+".",
		fmt.Sprintf("%d dots a plan, each as likely as any other; the bracket below is the mean with the doubt of the simulation. Rounds that were not finished do not count, so a bout stopped in the first round stands at 0.", shownDots),
		t, func(w float64) string { return chart.Dotplot(w, "judges' margin, points", rows) })
}

// shareAhead counts margins above a twentieth of a point.
func shareAhead(values []float64) (share float64) {
	for _, x := range values {
		if x > .05 {
			share += 1 / float64(len(values))
		}
	}
	return share
}

// doubtLead names the doubts that are drawn.
func (c *Comparison) doubtLead(plan string) (out []string) {
	d := c.find(plan, "win")
	if d.SignResolved != study.Same {
		out = append(out, fmt.Sprintf("Given this model, the chance that the plan is better at all is %s.", chanceBetter(d)))
	}
	if full := c.inFull(plan, "win"); full != nil {
		out = append(out, fmt.Sprintf("Followed at every decision while fresh: %s bouts in 100 (simulation %s).", chart.Signed(100*full.Mean, 1), in100(full.Simulation.Low, full.Simulation.High)))
	}
	return out
}

func (c *Comparison) doubts(i int) chart.Figure {
	d := c.find(c.Plans[i].Name, "win")
	rows := []chart.Doubt{
		{Name: "simulation", Shrinks: "Only some bouts were played. More bouts would shrink it.", Low: 100 * d.Simulation.Low, High: 100 * d.Simulation.High, None: d.SignResolved == study.Same},
		spreadDoubt("tape", "Only some rounds were coded. Only more coded tape would shrink it.", d.Mean, d.Tape),
		spreadDoubt("all doubt", "Tape and assumptions together. What assumptions add, neither bouts nor tape would shrink.", d.Mean, d.AllDoubt),
	}
	t := chart.Table{Head: []string{"doubt", "from", "to", "in words"}}
	for _, r := range rows {
		words := "interval"
		switch {
		case r.None:
			words = "none at all"
		case r.Open:
			words = "not told apart from luck; at most so far"
		}
		t.Rows = append(t.Rows, []string{r.Name, chart.Signed(r.Low, 1), chart.Signed(r.High, 1), words})
	}
	return chart.NewFigure(fmt.Sprintf("doubt-%d", i), "How sure, and what would make it surer", doubtFinding(d), fmt.Sprintf("Each interval at %.0f %%. An arrowed dotted line is an upper limit: the draws differ no more than luck does.", 100*c.Level), t,
		func(w float64) string {
			return chart.Doubts(w, "bouts in 100 that the plan adds", 100*d.Mean, rows)
		})
}

// spreadDoubt is an interval over draws; where draws are not told apart it may reach as far as the upper limit of their spread.
func spreadDoubt(name, shrinks string, mean float64, s infer.Spreading) chart.Doubt {
	d := chart.Doubt{Name: name, Shrinks: shrinks, Low: 100 * s.Low, High: 100 * s.High, None: !told(s) && s.AtMost == 0}
	if !told(s) {
		half := distuv.UnitNormal.Quantile((1+s.Level)/2) * s.AtMost
		d.Open, d.Low, d.High = true, 100*(mean-half), 100*(mean+half)
	}
	return d
}

func doubtFinding(d *study.Difference) string {
	switch d.SignResolved {
	case study.Same:
		return "No bout went differently, so there is nothing to doubt."
	case study.Unresolved:
		return "The bouts played do not tell the difference from none; more bouts might."
	case study.MeanResolved:
		return "The mean is told from none, but tape and assumptions leave some possible truths on the other side of it."
	}
	return "All doubt together leaves the sign of the difference."
}

// How bouts end: from best to worst for the fighter.
var (
	endNames    = []string{"won by KO or TKO", "won by submission", "won on the cards", "nobody's, or by foul", "lost on the cards", "lost by submission", "lost by KO or TKO"}
	endMeasures = []string{"win_by_strikes", "win_by_submission", "win_by_decision", "", "loss_by_decision", "loss_by_submission", "loss_by_strikes"}
	endTextures = []chart.Texture{"solid", "cross", "rising", "blank", "grain", "level", "upright"}
)

func (c *Comparison) ends(i int) chart.Figure {
	plan := c.Plans[i]
	var strips []chart.Strip
	for _, at := range []int{0, i} {
		s := chart.Strip{Label: title(c.Plans[at].Name), Side: side(at)}
		left := 1.0
		for _, name := range endMeasures {
			x := c.Plans[at].Outcomes[name].Mean
			s.Parts, left = append(s.Parts, x), left-x
		}
		s.Parts[3] = max(left, 0)
		strips = append(strips, s)
	}
	finding := "No ending moves by more than these bouts can tell from none."
	if d := c.most(plan.Name, sections[0].names); d != nil {
		finding = fmt.Sprintf("What moves most is bouts %s: %s of 100 %s, %s %s.", strings.TrimPrefix(measureWords(d.Outcome), "bouts "), chart.Plain(100*c.Plans[0].Outcomes[d.Outcome].Mean, 1),
			quoted(c.Plans[0].Name), chart.Plain(100*plan.Outcomes[d.Outcome].Mean, 1), quoted(plan.Name))
	}
	return chart.NewFigure(fmt.Sprintf("ends-%d", i), "How 100 bouts end", finding, "", c.sectionTable(&sections[0], plan),
		func(w float64) string { return chart.Strips(w, endNames, endTextures, strips) })
}

// What is paid, in numbers that can be counted.
var prices = []struct {
	measure, name string
	times         float64
	digits        int
}{
	{"head_strikes_absorbed", "clean head strikes taken in a bout", 1, 1},
	{"head_contacts_absorbed_per_minute", "head contacts of any kind in ten minutes", 10, 1},
	{"knockdowns_suffered", "knockdowns suffered in ten bouts", 10, 1},
	{"loss_by_stoppage", "losses by stoppage in 100 bouts", 100, 1},
}

func (c *Comparison) price(i int) chart.Figure {
	plan := c.Plans[i]
	var rows []chart.TallyRow
	for _, x := range prices {
		rows = append(rows, chart.TallyRow{Name: x.name, Usual: x.times * c.Plans[0].Outcomes[x.measure].Mean, Plan: x.times * plan.Outcomes[x.measure].Mean, Digits: x.digits})
	}
	return chart.NewFigure(fmt.Sprintf("price-%d", i), "What is taken for it", c.priceFinding(plan), "A scorer's strokes, in fives; what is left over is a shorter one.", c.sectionTable(&sections[1], plan),
		func(w float64) string {
			return chart.Tallies(w, title(c.Plans[0].Name), title(plan.Name), rows)
		})
}

// priceFinding says what goes up, what goes down and what cannot be told.
func (c *Comparison) priceFinding(plan study.PlanResult) string {
	var more, fewer []string
	for _, x := range prices {
		d := c.find(plan.Name, x.measure)
		by := chart.Plain(math.Abs(x.times*d.Mean), x.digits)
		switch {
		case !isTold(d):
		case d.Mean > 0:
			more = append(more, by+" more "+x.name)
		default:
			fewer = append(fewer, by+" fewer "+x.name)
		}
	}
	switch {
	case more == nil && fewer == nil:
		return "Nothing that is paid differs by more than these bouts can tell from none."
	case more == nil:
		return "Less is taken than usual: " + list(fewer) + "."
	case fewer == nil:
		return "It costs " + list(more) + "."
	}
	return "It costs " + list(more) + "; against that stand " + list(fewer) + "."
}

// way is a section of what changed on the way.
func (c *Comparison) way(i int, id string, s *section, unit string) chart.Figure {
	plan := c.Plans[i]
	var rows []chart.PairRow
	for _, name := range s.names {
		if c.Plans[0].Outcomes[name].Mean == 0 && plan.Outcomes[name].Mean == 0 {
			continue // what the rules do not allow; the table has it
		}
		row := strings.TrimSpace(study.Measures[study.MeasureNamed(name)].Plain)
		rows = append(rows, chart.PairRow{Name: row, Indented: row == landedClean, Usual: s.times * c.Plans[0].Outcomes[name].Mean, Plan: s.times * plan.Outcomes[name].Mean,
			Certainty: certainty(c.find(plan.Name, name))})
	}
	finding := "Nothing here differs by more than these bouts can tell from none."
	if d := c.most(plan.Name, s.names); d != nil {
		words, in := measureWords(d.Outcome), " "+unit
		if strings.HasSuffix(words, "per bout") {
			in = ""
		}
		finding = fmt.Sprintf("What changes most: %s, %s%s %s, %s %s.", words, s.number(c.Plans[0].Outcomes[d.Outcome].Mean), in, quoted(c.Plans[0].Name),
			s.number(plan.Outcomes[d.Outcome].Mean), quoted(plan.Name))
	}
	_, heading, _ := strings.Cut(s.heading, ": ")
	heading, _, _ = strings.Cut(heading, ",")
	return chart.NewFigure(fmt.Sprintf("%s-%d", id, i), title(heading), finding,
		fmt.Sprintf("Rings are %s, diamonds %s; the number at the right is the difference.", quotedName(c.Plans[0].Name), quotedName(plan.Name)), c.sectionTable(s, plan),
		func(w float64) string { return chart.Pairs(w, unit, s.digits, rows) })
}

func quotedName(plan string) string { return "\u201c" + plan + "\u201d" }

// evidenceFigure is what the figures of both rest on.
func (c *Comparison) evidenceFigure() chart.Figure {
	var strips []chart.Strip
	var finding []string
	t := chart.Table{Head: []string{"fighter", "moved by tape", "population", "assumption"}}
	for _, e := range c.Evidence {
		total := float64(max(e.Tape+e.Population+e.Assumption, 1))
		strips = append(strips, chart.Strip{Label: title(e.Fighter), Side: chart.Neither, Parts: []float64{float64(e.Tape) / total, float64(e.Population) / total, float64(e.Assumption) / total}})
		t.Rows = append(t.Rows, []string{e.Fighter, fmt.Sprint(e.Tape), fmt.Sprint(e.Population), fmt.Sprint(e.Assumption)})
		finding = append(finding, fmt.Sprintf("%d of %s's %.0f figures", e.Tape, title(e.Fighter), total))
	}
	return chart.NewFigure("evidence", "What the figures rest on, of 100", "Tape moved "+list(finding)+".",
		"Assumptions are what tape cannot show: reaction, retraction, power, chin, tiring.", t,
		func(w float64) string {
			return chart.Strips(w, []string{"moved by tape", "population only", "assumption"}, []chart.Texture{"solid", "rising", "blank"}, strips)
		})
}
