package report

import (
	"fmt"
	"strings"

	"whatbout/report/chart"
)

// Answer names what moves the plan's edge most, if anything is told to.
func (t *Tornado) Answer() Answer {
	a := Answer{Sentence: t.sentence(), Leads: t.said(false), Played: strings.TrimPrefix(strings.Join(said(t.work), " "), "Played: ")}
	a.Title, a.Under = meeting(t.Fighter, t.Opponent, t.Rules, t.OpponentPlan)
	a.Under += "; what moves " + planWords(t.Plan) + " less " + planWords(t.Against)
	return a
}

// said is what the text's finding says: of single figures, or of all.
func (t *Tornado) said(single bool) (out []string) {
	for _, line := range said(t.finding) {
		if isSingle := strings.Contains(line, "(simulation "); isSingle == single && !strings.HasSuffix(line, ":") {
			out = append(out, capital(line))
		}
	}
	return out
}

func (t *Tornado) sentence() string {
	x := &t.Bars[0]
	switch {
	case t.zero():
		return "Nothing moves what the plan is worth here."
	case !x.Told:
		return fmt.Sprintf("None of %s is told to move the plan's edge.", figuresOf(len(t.Bars)))
	}
	return fmt.Sprintf("What moves the plan's edge most: %s. From %s to %s %s it changes by %s %s.", x.Plain, at(x.Unit, x.Low), at(x.Unit, x.High), x.Unit, chart.Signed(100*x.Effect.Mean, 1), t.Unit)
}

// pageBars is how many figures the chart shows; its table has all.
const pageBars = 12

// Sections lists the parts.
func (t *Tornado) Sections() []Section {
	s := Section{ID: "figures", Heading: "Figure by figure", Figures: []chart.Figure{t.barsFigure()}, Items: t.said(true)}
	if len(t.LeftOut) > 0 {
		s.Items = append(s.Items, "Left out, since they cannot be moved here: "+strings.Join(t.LeftOut, "; ")+".")
	}
	return []Section{s}
}

func (t *Tornado) barsFigure() chart.Figure {
	var rows []chart.GainRow
	told := 0
	table := chart.Table{Head: []string{"figure", "of", "from", "to", "unit", "rests on", "edge at first", "edge at last", "effect, " + t.Unit, "simulation from", "to", "told"}}
	for i, x := range t.Bars {
		e := x.Effect
		if x.Told {
			told++
		}
		if i < pageBars {
			row := chart.GainRow{Name: title(x.Of) + ", " + strings.ReplaceAll(x.Figure, ".", " ") + ": " + at(x.Unit, x.Low) + " to " + at(x.Unit, x.High) + " " + x.Unit, Mean: 100 * e.Mean,
				SimLow: 100 * e.Simulation.Low, SimHigh: 100 * e.Simulation.High, AllLow: 100 * e.AllDoubt.Low, AllHigh: 100 * e.AllDoubt.High, SimOnly: !e.Resolved}
			if x.Told {
				row.Note = "told"
			}
			rows = append(rows, row)
		}
		table.Rows = append(table.Rows, []string{x.Figure, x.Of, at(x.Unit, x.Low), at(x.Unit, x.High), x.Unit, x.Source, chart.Signed(100*x.AtLow.Mean, 1), chart.Signed(100*x.AtHigh.Mean, 1),
			chart.Signed(100*e.Mean, 1), chart.Signed(100*e.Simulation.Low, 1), chart.Signed(100*e.Simulation.High, 1), map[bool]string{true: "yes", false: "no"}[x.Told]})
	}
	return chart.NewFigure("bars", "How far each figure alone moves what the plan is worth", fmt.Sprintf("Told from none, although so many were looked at: %d of %s.", told, figuresOf(len(t.Bars))),
		fmt.Sprintf("Each figure alone goes from one end of what may be to the other. The thick line is the simulation at %.0f %%; the hatched field, where there is one, all doubt about the rest. The first %d; the numbers have all.", 100*t.Level, len(rows)), table,
		func(w float64) string { return chart.Gains(w, "change of the edge, "+t.Unit, "no change", rows) })
}
