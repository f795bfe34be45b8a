package report

import (
	"fmt"
	"strings"

	"gonum.org/v1/gonum/stat/distuv"

	"whatbout/report/chart"
	"whatbout/study"
)

// Answer says whether coding can matter, what would be chosen now, and what knowing all would win.
func (n *Next) Answer() Answer {
	a := Answer{Sentence: n.verdict(), Leads: []string{n.now(), n.everything() + " " + n.brackets()}, Played: n.played()}
	a.Title, a.Under = meeting(n.Fighter, n.Opponent, n.Rules, n.OpponentPlan)
	a.Under += "; what to code next"
	return a
}

// Sections lists the parts: what to code, what the choice hangs on, how the plans stand.
func (n *Next) Sections() []Section {
	return []Section{
		{ID: "tape", Heading: "What more tape is worth", Figures: []chart.Figure{n.tapeFigure()}},
		{ID: "hangs-on", Heading: "What the choice hangs on", Figures: []chart.Figure{n.groupsFigure()}},
		{ID: "plans", Heading: "How the plans stand now", Figures: []chart.Figure{n.plansFigure()}, Lead: []string{n.method()}},
	}
}

// worthUnit is what worths are counted in.
func (n *Next) worthUnit() string { return n.Unit + " more than choosing now" }

// chartRows is how many rows a chart of worths shows; its table has all.
const chartRows = 10

// tapeFigure is what more minutes of each situation are worth, by what a minute of them wins at best.
func (n *Next) tapeFigure() chart.Figure {
	var rows []chart.WorthRow
	at := map[string]int{}
	t := chart.Table{Head: []string{"tape of", "minutes of tape", "your minutes", "minutes of bouts to look through", n.Unit, "from", "to"}}
	for i := range n.Tape {
		x := &n.Tape[i]
		name := situationOf(x)
		if _, known := at[name]; !known {
			at[name] = len(rows)
			rows = append(rows, chart.WorthRow{Name: name})
		}
		through := x.Minutes
		if x.Zone != "" && x.Share > 0 {
			through = x.Minutes / x.Share
		}
		t.Rows = append(t.Rows, []string{name, fmt.Sprintf("%g", x.Minutes), chart.Plain(x.Minutes*n.CoderMinutes, 0), chart.Plain(through, 0), chart.Plain(100*x.Gain, 2), chart.Plain(100*max(x.Low, 0), 2), chart.Plain(100*x.High, 2)})
	}
	for name, i := range at {
		rows[i].Values, rows[i].Upper = n.amounts(name)
	}
	return chart.NewFigure("tape-worth", "What more minutes of each situation would win", n.tapeFinding(),
		fmt.Sprintf("Marks grow with the minutes of tape (%s); the arrow ends where the last may be at most, as far as these bouts tell. The %d situations with most for your time; the numbers have all.", n.minutes(), min(chartRows, len(rows))), t,
		func(w float64) string {
			return chart.Worths(w, n.worthUnit(), 100*n.Tolerance, rows[:min(chartRows, len(rows))])
		})
}

// amounts are the worths of a situation by its minutes, and the upper end of the most.
func (n *Next) amounts(name string) (values []float64, upper float64) {
	for _, minutes := range n.byMinutes() {
		for i := range n.Tape {
			if x := &n.Tape[i]; x.Minutes == minutes && situationOf(x) == name {
				values, upper = append(values, 100*x.Gain), 100*x.High
			}
		}
	}
	return values, upper
}

// byMinutes are the amounts of tape, rising.
func (n *Next) byMinutes() (out []float64) {
	for i := range n.Tape {
		m, at := n.Tape[i].Minutes, 0
		for at < len(out) && out[at] < m {
			at++
		}
		if at == len(out) || out[at] != m {
			out = append(out[:at], append([]float64{m}, out[at:]...)...)
		}
	}
	return out
}

func (n *Next) minutes() string {
	var words []string
	for _, m := range n.byMinutes() {
		words = append(words, fmt.Sprintf("%g", m))
	}
	return list(words)
}

// tapeFinding names what to code first; where nothing is told to win anything, it names what could still win most.
func (n *Next) tapeFinding() string {
	told, most := -1, 0
	for i := range n.Tape {
		if told < 0 && n.Tape[i].Low > 0 {
			told = i
		}
		if n.Tape[i].High > n.Tape[most].High {
			most = i
		}
	}
	switch {
	case len(n.Tape) == 0 || n.Tape[most].High <= 0:
		return "No tape wins anything here."
	case told < 0:
		x := &n.Tape[most]
		return fmt.Sprintf("Of no situation is more tape told to win anything; by the upper ends, %g minutes of %s could still win %s %s.", x.Minutes, situationOf(x), chart.Plain(100*x.High, 2), n.Unit)
	}
	x := &n.Tape[told]
	return fmt.Sprintf("Most for your time: %g minutes of %s, which win %s %s, and at most %s.", x.Minutes, situationOf(x), chart.Plain(100*x.Gain, 2), n.Unit, chart.Plain(100*x.High, 2))
}

// groupsFigure is what knowing a group of figures for certain would win.
func (n *Next) groupsFigure() chart.Figure {
	rows := []chart.WorthRow{worthRow("everything in doubt", n.Everything, true), worthRow("all that tape can show", n.AllTape, false)}
	t := chart.Table{Head: []string{"known for certain", "shown by", n.Unit, "from", "to"}}
	add := func(name, doubt string, w study.Worth) {
		t.Rows = append(t.Rows, []string{name, doubt, chart.Plain(100*w.Gain, 2), chart.Plain(100*max(w.Low, 0), 2), chart.Plain(100*w.High, 2)})
	}
	add("everything in doubt", "tape and more", n.Everything)
	add("all that tape can show", "tape", n.AllTape)
	for i, g := range n.Groups {
		name := strings.TrimPrefix(title(g.Of)+": "+g.Group, "The fighter: ")
		if i < chartRows {
			rows = append(rows, worthRow(name, g.Worth, g.Doubt != "tape"))
		}
		add(name, g.Doubt, g.Worth)
	}
	finding := "The choice hangs on nothing that these bouts show."
	if len(n.Groups) > 0 && n.Groups[0].High > 0 {
		g := n.Groups[0]
		finding = fmt.Sprintf("Most of all it hangs on %s: known for certain, %s %s, and at most %s.", strings.TrimPrefix(title(g.Of)+": "+g.Group, "The fighter: "), chart.Plain(100*g.Gain, 2), n.Unit, chart.Plain(100*g.High, 2))
	}
	return chart.NewFigure("groups", "What it would win to know each group for certain", finding,
		"Full marks: tape can show it; rings: it is assumed, and no tape shows it. The arrow ends where it may be at most. Worths do not add up: each is that of knowing this alone.", t,
		func(w float64) string { return chart.Worths(w, n.worthUnit(), 100*n.Tolerance, rows) })
}

func worthRow(name string, w study.Worth, open bool) chart.WorthRow {
	return chart.WorthRow{Name: name, Open: open, Values: []float64{100 * w.Gain}, Upper: 100 * w.High}
}

// plansFigure is what each plan changes, as far as is known now.
func (n *Next) plansFigure() chart.Figure {
	var rows []chart.GainRow
	z := distuv.UnitNormal.Quantile((1 + n.Level) / 2)
	t := chart.Table{Head: []string{"plan", n.Unit + " less " + n.Plans[0], "standard error of the simulation", "standard deviation of all doubt"}}
	for i, d := range n.Differences {
		rows = append(rows, chart.GainRow{Name: title(n.Plans[i+1]), Mean: 100 * d.Mean, SimLow: 100 * (d.Mean - z*d.Simulation), SimHigh: 100 * (d.Mean + z*d.Simulation),
			AllLow: 100 * (d.Mean - z*d.AllDoubt), AllHigh: 100 * (d.Mean + z*d.AllDoubt), None: d.AllDoubt == 0 && d.Simulation == 0})
		t.Rows = append(t.Rows, []string{n.Plans[i+1], chart.Signed(100*d.Mean, 1), chart.Plain(100*d.Simulation, 1), chart.Plain(100*d.AllDoubt, 1)})
	}
	return chart.NewFigure("differences", "What each plan changes", strings.Join(n.differences(), "; ")+".", fmt.Sprintf("Both intervals at %.0f %%, by the normal. Where all doubt crosses the dotted line, learning may change the choice.", 100*n.Level), t,
		func(w float64) string { return chart.Gains(w, n.Unit, n.Plans[0], rows) })
}
