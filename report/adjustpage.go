package report

import (
	"fmt"
	"strings"

	"whatbout/report/chart"
	"whatbout/study"
)

// Answer says which plan is safe, or how to draw by lot.
func (a *Adjust) Answer() Answer {
	sentence, rest, _ := strings.Cut(strings.Join(said(a.verdict), " "), ". ")
	out := Answer{Sentence: strings.TrimSuffix(sentence, ".") + ".", Played: strings.TrimPrefix(strings.Join(said(a.work), " "), "Played: ")}
	if a.AcceptHarm {
		out.Alarm = harmAccepted
	}
	out.Title, out.Under = meeting(a.Fighter, a.Opponent, a.Rules, "")
	out.Under += "; what if they adjust"
	for _, words := range []string{rest, strings.Join(said(a.unadjusted), " "), a.keptOutLead()} {
		if words != "" {
			out.Leads = append(out.Leads, words)
		}
	}
	return out
}

// harmAccepted heads what harm was accepted for.
const harmAccepted = "HARM ACCEPTED (--accept-harm): plans that raise head strikes absorbed, knockdowns suffered or stoppage losses may be used here."

// keptOutLead names the plans that are kept out by their price.
func (a *Adjust) keptOutLead() string {
	var names []string
	for i := range a.Yours {
		if a.Yours[i].Barred {
			names = append(names, aloud(a.Yours[i].Name))
		}
	}
	if names == nil {
		return ""
	}
	return "Kept out by what it costs: " + list(names) + "."
}

// Sections lists the parts.
func (a *Adjust) Sections() []Section {
	falls := Section{ID: "falls", Heading: "How far each plan falls once they know it", Figures: []chart.Figure{a.fallsFigure()}, Items: said(a.keptOut)}
	return []Section{falls, {ID: "lot", Heading: "What to draw by lot", Figures: []chart.Figure{a.lotFigure("your-lot", "Your plans", a.Yours), a.lotFigure("their-lot", "Their answers", a.Theirs)}},
		{ID: "sure", Heading: "How sure this is", Items: said(a.odd), Lead: a.paragraphs(), Terms: a.doubts()}}
}

// doubts are the lines of the text that name a doubt and its range.
func (a *Adjust) doubts() (out []Term) {
	for _, line := range said(a.sure) {
		if name, words, ok := strings.Cut(line, ":  "); ok {
			out = append(out, Term{capital(name), strings.TrimSpace(words) + "."})
		}
	}
	return out
}

// paragraphs are what the text says of how sure it is, without the lines of its tables.
func (a *Adjust) paragraphs() (out []string) {
	for _, part := range []func(*strings.Builder){a.sure, a.knowing} {
		var lines []string
		for _, line := range said(part) {
			if !strings.Contains(line, "  ") {
				lines = append(lines, line)
			}
		}
		out = append(out, strings.Join(lines, " "))
	}
	return out
}

// fallsFigure shows every plan when they fight as usual, and when they answer with what is worst for it; its table is every plan against every answer.
func (a *Adjust) fallsFigure() chart.Figure {
	var rows []chart.PairRow
	worst, deepest := &a.Yours[0], -1.0
	for i := range a.Yours {
		o := &a.Yours[i]
		name := title(o.Name)
		if o.Barred {
			name += " (kept out)"
		}
		rows = append(rows, chart.PairRow{Name: name, Usual: 100 * o.Usual, Plan: 100 * o.Floor.Centre, Certainty: chart.Unstated})
		if fall := o.Usual - o.Floor.Centre; fall > deepest {
			worst, deepest = o, fall
		}
	}
	t := chart.Table{Head: []string{"your plan", "their plan", "bouts won of 100", "simulation from", "to"}}
	for i := range a.Yours {
		for j := range a.Theirs {
			m := &a.Met[i][j]
			t.Rows = append(t.Rows, []string{a.Yours[i].Name, a.Theirs[j].Name, tenth(m.Mean), tenth(m.Simulation.Low), tenth(m.Simulation.High)})
		}
	}
	finding := "No plan falls by what they answer here."
	if deepest > 0 {
		finding = fmt.Sprintf("%s falls most once they know it: from %s of 100 bouts won to %s, if they answer with %s.", title(worst.Name), tenth(worst.Usual), tenth(worst.Floor.Centre), aloud(worst.Reply))
	}
	return chart.NewFigure("falls-of", "Bouts won, unforeseen and answered", finding, "Rings: they fight as usual; diamonds: they know the plan and answer with what is worst for it. The numbers have every plan against every answer, with the doubt of the simulation.", t,
		func(w float64) string { return chart.Pairs(w, "bouts won of 100", 1, rows) })
}

var lotTextures = []chart.Texture{"solid", "rising", "blank", "grain", "cross", "level", "upright"}

// lotFigure is the best mixture of a side.
func (a *Adjust) lotFigure(id, name string, options []study.Option) chart.Figure {
	var parts []float64
	var names, drawn []string
	var textures []chart.Texture
	t := chart.Table{Head: []string{"plan", "share, %", "from", "to"}}
	for i := range options {
		o := &options[i]
		s := o.Share.Share
		t.Rows = append(t.Rows, []string{o.Name, chart.Plain(100*s.Centre, 0), chart.Plain(100*s.Low, 0), chart.Plain(100*s.High, 0)})
		if s.Centre > 0 {
			textures = append(textures, lotTextures[len(parts)%len(lotTextures)])
			parts, names = append(parts, s.Centre), append(names, o.Name)
			drawn = append(drawn, fmt.Sprintf("%s in %.0f of 100", aloud(o.Name), 100*s.Centre))
		}
	}
	finding := "Draw " + list(drawn) + "."
	if len(drawn) == 1 {
		finding = "One is enough: " + aloud(names[0]) + "."
	}
	return chart.NewFigure(id, name+", of 100 draws by lot", finding, fmt.Sprintf("Shares of the best mixture; the numbers have what the simulation leaves of them (%.0f %%).", 100*a.Level), t,
		func(w float64) string {
			return chart.Strips(w, names, textures, []chart.Strip{{Label: name, Side: chart.Neither, Parts: parts}})
		})
}
