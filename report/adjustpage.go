package report

import (
	"fmt"
	"strings"

	"whatbout/report/chart"
	"whatbout/study"
)

// Answer is the plan to take, or the lot to draw.
func (a *Adjust) Answer() Answer {
	lines := said(a.verdict)
	out := Answer{Played: strings.TrimPrefix(strings.Join(said(a.work), " "), "Played: ")}
	if a.AcceptHarm {
		out.Alarm = "Harm accepted (--accept-harm): plans that raise head strikes absorbed, knockdowns suffered or stoppage losses may be used here."
	}
	if a.tooClose() != "" {
		lines = lines[1:]
	}
	words := strings.Join(lines, " ")
	switch yours := mixed(a.Yours); {
	case len(yours) > 1 && a.safe() == nil:
		var shares []string
		for _, o := range yours {
			shares = append(shares, quotedName(o.Name)+" in "+tenths(o.Share.Share.Centre))
		}
		out.Sentence = "No single plan is safe once they know it: draw by lot between " + list(shares) + "."
		words = fmt.Sprintf("Draw it with a die and not by feel, and tell nobody outside the camp. Then, whatever they answer with of their plans here, you win at least %s of 100 bouts on average "+
			"(simulation %s to %s).", tenth(a.Value.Centre), tenth(a.Value.Low), tenth(a.Value.High))
	case len(yours) > 1:
		safe := a.safe()
		out.Sentence = take(safe) + ", every time: it is good enough."
		words = fmt.Sprintf("Even if they know it and answer with %s, you win %s of 100 bouts, and the best lot between your plans wins %s more (simulation %s to %s).", quotedName(safe.Reply),
			tenth(safe.Floor.Centre), tenth(safe.Given.Centre), tenth(safe.Given.Low), tenth(safe.Given.High))
	default:
		out.Sentence = take(yours[0]) + ", every time: they may know it."
		words = strings.TrimSpace(strings.TrimPrefix(words, out.Sentence))
	}
	if close := a.tooClose(); close != "" {
		out.Sentence, words = "Too close to call. By the means: "+uncapital(out.Sentence), close+" "+words
	}
	out.Leads = []string{words, strings.Join(said(a.unadjusted), " ")}
	if kept := a.barredNames(); kept != "" {
		out.Leads = append(out.Leads, "Kept out by what it costs: "+kept+".")
	}
	out.Title, out.Under = meeting(a.Fighter, a.Opponent, a.Rules, "")
	out.Under += "; what if they adjust"
	return out
}

func (a *Adjust) barredNames() string {
	var names []string
	for _, o := range a.Yours {
		if o.Barred {
			names = append(names, quotedName(o.Name))
		}
	}
	return list(names)
}

// Sections lists the parts: who wins what, how far each plan falls, what hangs on the truth.
func (a *Adjust) Sections() []Section {
	out := []Section{
		{ID: "met", Heading: "Every plan against every answer", Figures: []chart.Figure{a.floorsFigure()}},
		{ID: "plans", Heading: "How far each plan can be exploited", Figures: []chart.Figure{a.givenFigure("your", a.Yours), a.givenFigure("their", a.Theirs)}},
		{ID: "truths", Heading: "If the truth were known", Figures: []chart.Figure{a.truthsFigure("your", a.Yours), a.truthsFigure("their", a.Theirs)}},
	}
	if odd := strings.Join(said(a.odd), " "); odd != "" {
		out[1].Lead = []string{odd}
	}
	sure := Section{ID: "sure", Heading: "How sure the value is"}
	lines := said(a.sure)
	for _, line := range lines[1:] {
		if name, words, ok := strings.Cut(line, ": "); ok && len(name) < 20 {
			sure.Terms = append(sure.Terms, Term{capital(name), strings.TrimSpace(words)})
		} else {
			sure.Lead = append(sure.Lead, line)
		}
	}
	sure.Lead = []string{lines[0] + " " + strings.Join(sure.Lead, " ")}
	out = append(out, sure)
	for i := range a.Yours {
		o := &a.Yours[i]
		if words := harms(o.Prices, study.Raises, study.MayRaise); len(words) > 0 && (o.Barred || a.AcceptHarm) {
			out[1].Items = append(out[1].Items, fmt.Sprintf("%s: %s.", title(o.Name), strings.Join(words, "; ")))
		}
	}
	return out
}

// floorsFigure is the matrix as numbers, and what each plan falls to as a chart.
func (a *Adjust) floorsFigure() chart.Figure {
	var rows []chart.GainRow
	t := chart.Table{Head: []string{"plan", "they fight", "won of 100", "simulation from", "to", "all doubt from", "to", "all doubt told apart"}}
	for i, o := range a.Yours {
		x := o.Floor
		note := fmt.Sprintf("%s of 100, by %s", tenth(x.Centre), o.Reply)
		if o.Barred {
			note += "; kept out"
		}
		row := chart.GainRow{Name: title(o.Name), Note: note, Mean: 100*x.Centre - 50, SimLow: 100*x.Low - 50, SimHigh: 100*x.High - 50, SimOnly: true}
		for j, p := range a.Theirs {
			m := &a.Met[i][j]
			if p.Name == o.Reply && told(m.AllDoubt) {
				row.AllLow, row.AllHigh, row.SimOnly = 100*m.AllDoubt.Low-50, 100*m.AllDoubt.High-50, false
			}
			t.Rows = append(t.Rows, []string{o.Name, p.Name, tenth(m.Mean), tenth(m.Simulation.Low), tenth(m.Simulation.High), tenth(m.AllDoubt.Low), tenth(m.AllDoubt.High),
				map[bool]string{true: "yes", false: "no"}[told(m.AllDoubt)]})
		}
		rows = append(rows, row)
	}
	lowest := &a.Yours[0]
	for i := range a.Yours {
		if a.Yours[i].Floor.Centre < lowest.Floor.Centre {
			lowest = &a.Yours[i]
		}
	}
	return chart.NewFigure("floors", "What each of your plans falls to once they know it", fmt.Sprintf("%s falls lowest: to %s of 100, if they answer with %s.", title(lowest.Name),
		tenth(lowest.Floor.Centre), quotedName(lowest.Reply)), fmt.Sprintf("Won of 100 bouts against the answer that is worst for the plan, half of those that nobody wins counted; simulation at %.0f %%. The numbers have every meeting.",
		100*a.Level), t, func(w float64) string { return chart.Gains(w, "won of 100, above or below half", "half", rows) })
}

// givenFigure is what each plan of a side gives away when it is played always and known.
func (a *Adjust) givenFigure(whose string, options []study.Option) chart.Figure {
	var rows []chart.GainRow
	t := chart.Table{Head: []string{"plan", "share, %", "from", "to", "as good from", "to", "gives away", "from", "to", "answered by"}}
	finding := "No plan is shown to give anything away."
	var shown []string
	for _, o := range options {
		if o.Barred || o.Same != "" {
			continue
		}
		s, g := o.Share.Share, o.Given
		rows = append(rows, chart.GainRow{Name: title(o.Name), Note: "answered by " + o.Reply, Mean: -100 * g.Centre, SimLow: -100 * g.High, SimHigh: -100 * g.Low, SimOnly: true,
			None: g.Centre == 0 && g.Width() == 0})
		t.Rows = append(t.Rows, []string{o.Name, chart.Plain(100*s.Centre, 0), chart.Plain(100*s.Low, 0), chart.Plain(100*s.High, 0), chart.Plain(100*o.As.Low, 0), chart.Plain(100*o.As.High, 0),
			tenth(g.Centre), tenth(g.Low), tenth(g.High), o.Reply})
		if g.Low > 0 {
			shown = append(shown, quotedName(o.Name))
		}
	}
	if shown != nil {
		finding = "Shown to give something away: " + list(shown) + "."
	}
	return chart.NewFigure("given-"+whose, "What each of "+whose+" plans gives away against the best mixture, played always and known", finding,
		fmt.Sprintf("Bouts in 100; simulation at %.0f %%. The numbers have the shares of the best mixture, and those that give away at most %s.", 100*a.Level, tenth(a.Slack)), t,
		func(w float64) string { return chart.Gains(w, "bouts in 100", "the best mixture", rows) })
}

// truthsFigure is in how many possible truths each plan is in the best mixture.
func (a *Adjust) truthsFigure(whose string, options []study.Option) chart.Figure {
	var rows []chart.TruthRow
	t := chart.Table{Head: []string{"plan", "in the best mixture, %", "alone, %", "share there from, %", "to"}}
	for _, o := range options {
		if o.Barred || o.Same != "" {
			continue
		}
		rows = append(rows, chart.TruthRow{Name: title(o.Name), Share: o.InTruths, Note: fmt.Sprintf("alone in %d of 20", chart.TruthsOf(o.Alone))})
		t.Rows = append(t.Rows, []string{o.Name, chart.Plain(100*o.InTruths, 0), chart.Plain(100*o.Alone, 0), chart.Plain(100*o.Truths.Low, 0), chart.Plain(100*o.Truths.High, 0)})
	}
	w, who := a.Knowing.You, "you"
	if whose == "their" {
		w, who = a.Knowing.Them, "them"
	}
	finding := fmt.Sprintf("To know the truth alone is worth %s bouts in 100 to %s.", worth(w), who)
	note := "Possible truths, with the luck of bouts taken out."
	if !a.Knowing.Resolved {
		note += " What sets plans apart differs between truths by no more than luck can do: take this with care."
	}
	return chart.NewFigure("truths-"+whose, "In how many of twenty possible truths each of "+whose+" plans is in the best mixture", finding, note, t,
		func(w float64) string { return chart.Truths(w, rows) })
}

func uncapital(words string) string { return strings.ToLower(words[:1]) + words[1:] }
