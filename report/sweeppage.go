package report

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"whatbout/fighter"
	"whatbout/internal/infer"
	"whatbout/report/chart"
	"whatbout/study"
)

// Answer is the sweep's: what moving the figure does, or where the better plan changes.
func (s *Sweep) Answer() Answer {
	a := Answer{Sentence: capital(s.sentence(s.place)), Played: fmt.Sprintf("%d draws of both doubts, %d bouts a draw%s and point, all on the same luck%s.", s.Draws, s.Bouts, s.aPlan(), s.inAll())}
	a.Title, a.Under = meeting(s.Fighter, s.Opponent, s.Rules, "")
	a.Under += "; moved: " + s.Figure.Plain
	if len(s.Others) == 0 {
		a.Under += "; " + title(s.Fighter) + " fights " + quotedName(s.Plan)
		for _, line := range s.doubts() {
			a.Leads = append(a.Leads, capital(strings.Join(strings.Fields(line), " "))+".")
		}
	} else {
		for i := range s.Contrast {
			a.Leads = append(a.Leads, capital(strings.Join(said(func(b *strings.Builder) { s.crossing(b, &s.Contrast[i]) }), " ")))
		}
		a.Sentence = s.changes()
	}
	a.Leads = append(a.Leads, s.supportOnPage())
	return a
}

// place writes a place of the dial for a sentence.
func (s *Sweep) place(x float64) string { return strings.TrimSuffix(s.at(x), ".0") }

// changes says in a sentence whether the better plan changes anywhere.
func (s *Sweep) changes() string {
	first, last := s.ends()
	var told []string
	for _, c := range s.Contrast {
		if slices.ContainsFunc(c.Crossings, func(x infer.Crossing) bool { return x.Told() }) {
			told = append(told, planWords(c.Plan)+" or "+planWords(c.Against))
		}
	}
	where := fmt.Sprintf("rom %s to %s %s", s.place(first.At), s.place(last.At), s.Figure.Unit)
	if told == nil {
		return "F" + where + " no change of the better plan is told."
	}
	return "Which plan is better changes f" + where + ": " + list(told) + "."
}

// supportOnPage is what a chart's open marks say by themselves left out.
func (s *Sweep) supportOnPage() string {
	return strings.ReplaceAll(strings.ReplaceAll(s.support(), "The point marked * lies", "One point lies"), "The "+fmt.Sprint(s.beyond())+" points marked *", fmt.Sprint(s.beyond())+" points")
}

func (s *Sweep) beyond() (n int) {
	for _, p := range s.Points {
		if p.Extrapolated {
			n++
		}
	}
	return n
}

// Sections lists the parts: plans against each other, then each plan's curve and what moves with it.
func (s *Sweep) Sections() (out []Section) {
	if len(s.Contrast) > 0 {
		x := Section{ID: "plans", Heading: "Where the better plan changes"}
		for i := range s.Contrast {
			x.Figures = append(x.Figures, s.contrastFigure(i))
		}
		out = append(out, x)
	}
	for i, c := range s.curves() {
		one, id, with := *s, "", ""
		one.Plan, one.Points = c.Plan, c.Points
		if len(s.Others) > 0 {
			id, with = fmt.Sprintf("-%d", i), " "+quoted(c.Plan)
		}
		out = append(out, Section{ID: "curve" + id, Heading: "Bouts won" + with + ", and what moving it changes", Figures: []chart.Figure{one.winFigure("win" + id)}},
			Section{ID: "follows" + id, Heading: "What moves with it" + with, Figures: one.followsFigures(id)})
	}
	return out
}

// contrastFigure is the difference between two plans along the axis.
func (s *Sweep) contrastFigure(i int) chart.Figure {
	c := &s.Contrast[i]
	unit := s.Unit
	if unit == "" {
		unit = "bouts in 100"
	}
	p := chart.CurvePanel{Name: "difference, " + unit, Signed: true}
	t := chart.Table{Head: []string{s.Figure.Unit, c.Plan + " less " + c.Against, "simulation from", "to", "all doubt from", "to", "chance better, %"}}
	for k, x := range c.Points {
		d := x.Difference
		p.Points = append(p.Points, chart.CurvePoint{X: x.At, Mean: 100 * d.Mean, SimLow: 100 * d.Simulation.Low, SimHigh: 100 * d.Simulation.High, AllLow: 100 * d.AllDoubt.Low, AllHigh: 100 * d.AllDoubt.High,
			Open: !d.Resolved, Beyond: s.Points[k].Extrapolated})
		row := []string{s.at(x.At), chart.Signed(100*d.Mean, 1), chart.Signed(100*d.Simulation.Low, 1), chart.Signed(100*d.Simulation.High, 1), chart.Signed(100*d.AllDoubt.Low, 1), chart.Signed(100*d.AllDoubt.High, 1)}
		if !d.Resolved {
			row[4], row[5] = "not told apart", ""
		}
		t.Rows = append(t.Rows, append(row, chart.Plain(100*x.Probability.Value, 0)))
	}
	for _, x := range c.Crossings {
		p.Unclear = append(p.Unclear, [2]float64{x.Low, x.High})
	}
	finding := capital(strings.Join(said(func(b *strings.Builder) { s.crossing(b, c) }), " "))
	return chart.NewFigure(fmt.Sprintf("contrast-%d", i+1), title(c.Plan)+" less "+c.Against, finding, "Above the dotted line the first is the better plan. Both are played on the same luck.", t,
		func(w float64) string { return chart.Curves(w, 1, s.axis(), []chart.CurvePanel{p}) })
}

// axis is what is moved.
func (s *Sweep) axis() chart.CurveAxis {
	f := &s.Figure
	believed := map[string]string{fighter.FromTape.String(): "thick axis: what the tape supports", fighter.FromPopulation.String(): "thick axis: the population's; no tape"}[f.Source]
	if believed == "" {
		believed = "thick axis: what is assumed; no tape shows it"
	}
	return chart.CurveAxis{Unit: f.Unit, Low: f.Believed.Low, High: f.Believed.High, Mark: f.Calibrated, Believed: believed, Calibrate: "pin: as calibrated, " + s.at(f.Calibrated)}
}

// panel is a measure at every point, or its change from the first one.
func (s *Sweep) panel(name, measure string, times float64, fromFirst bool) chart.CurvePanel {
	p := chart.CurvePanel{Name: name, Signed: fromFirst}
	for i, x := range s.Points {
		e := x.Outcomes[measure]
		if fromFirst {
			e = x.FromFirst[measure]
		}
		c := chart.CurvePoint{X: x.At, Mean: times * e.Mean, SimLow: times * e.Simulation.Low, SimHigh: times * e.Simulation.High, AllLow: times * e.AllDoubt.Low, AllHigh: times * e.AllDoubt.High,
			Open: !e.Resolved, Beyond: x.Extrapolated}
		if fromFirst && i == 0 {
			c.Open = false // it is nothing, exactly
		}
		p.Points = append(p.Points, c)
	}
	return p
}

// winFigure shows bouts won beside what moving the figure changes.
func (s *Sweep) winFigure(id string) chart.Figure {
	first, _ := s.ends()
	panels := []chart.CurvePanel{s.panel("Bouts won of 100", "win", 100, false), s.panel("Change from "+s.place(first.At)+", same luck", "win", 100, true)}
	return chart.NewFigure(id, "Bouts won as it moves, and the change", s.winFinding(),
		"The change is surer than either level: both ends are played on the same luck.", s.table([]string{"win"}, 100, 1),
		func(w float64) string { return chart.Curves(w, 2, s.axis(), panels) })
}

// winFinding names the place where bouts won differ most from the first, if anywhere they are told to.
func (s *Sweep) winFinding() string {
	first, _ := s.ends()
	var most *study.SweepPoint
	for i := range s.Points[1:] {
		p := &s.Points[i+1]
		d := p.FromFirst["win"]
		if told := d.Simulation.Low > 0 || d.Simulation.High < 0; told && (most == nil || math.Abs(d.Mean) > math.Abs(most.FromFirst["win"].Mean)) {
			most = p
		}
	}
	if most == nil {
		return fmt.Sprintf("Nowhere from %s on does the change leave what these bouts cannot tell from none.", s.place(first.At))
	}
	d := most.FromFirst["win"]
	return fmt.Sprintf("The change is largest at %s %s: %s bouts in 100 against %s (simulation %s to %s).", s.place(most.At), s.Figure.Unit, chart.Signed(100*d.Mean, 1), s.place(first.At),
		chart.Signed(100*d.Simulation.Low, 1), chart.Signed(100*d.Simulation.High, 1))
}

// table has a row a point and measure.
func (s *Sweep) table(measures []string, times float64, digits int) chart.Table {
	t := chart.Table{Head: []string{s.Figure.Unit, "what", "mean", "simulation from", "to", "all doubt from", "to", "change from the first", "extrapolated"}}
	for _, name := range measures {
		for _, p := range s.Points {
			e := p.Outcomes[name]
			row := []string{s.at(p.At), sweepWords(name), chart.Plain(times*e.Mean, digits), chart.Plain(times*e.Simulation.Low, digits), chart.Plain(times*e.Simulation.High, digits)}
			if e.Resolved {
				row = append(row, chart.Plain(times*e.AllDoubt.Low, digits), chart.Plain(times*e.AllDoubt.High, digits))
			} else {
				row = append(row, "not told apart", "")
			}
			t.Rows = append(t.Rows, append(row, chart.Signed(times*p.FromFirst[name].Mean, digits), map[bool]string{true: "yes", false: "no"}[p.Extrapolated]))
		}
	}
	return t
}

func sweepWords(name string) string {
	for _, m := range study.SweepMeasures {
		if m.Name == name {
			return strings.TrimSpace(m.Plain)
		}
	}
	return plain(name)
}

// followsCharts are the other measures in charts that fit on a page of paper each.
var followsCharts = []struct {
	id, title string
	measures  []string
}{
	{"where", "Where it happens", []string{"time_share_kicking", "time_share_long", "time_share_pocket"}},
	{"strikes", "What lands", []string{"kicks_taken_clean_per_minute", "kicks_landed_clean_per_minute", "head_strikes_absorbed_per_minute", "head_strikes_per_minute"}},
	{"steps", "Who steps back", []string{"steps_back_per_minute", "steps_back_by_opponent_per_minute"}},
}

// followsFigures show every other measure.
func (s *Sweep) followsFigures(id string) (out []chart.Figure) {
	for _, x := range followsCharts {
		var panels []chart.CurvePanel
		note := "Every panel has a scale of its own, which does not begin at nothing: look at its numbers before its slope."
		if b := s.believing(); b != nil && x.id == "where" {
			panels = append(panels, *b)
			note += " What is not believed meets a static guard: that is the price of not biting."
		}
		for _, name := range x.measures {
			words, times := capital(sweepWords(name)), 1.0
			if strings.HasPrefix(name, "time_share") {
				words, times = words+", % of the time", 100
			}
			panels = append(panels, s.panel(words, name, times, false))
		}
		out = append(out, chart.NewFigure(x.id+id, x.title, s.movesFinding(x.measures), note, s.table(x.measures, 1, 3),
			func(w float64) string { return chart.Curves(w, 2, s.axis(), panels) }))
	}
	return out
}

// believing is how many real onsets are believed; nil where the dial has no such price.
func (s *Sweep) believing() *chart.CurvePanel {
	if len(s.Figure.RealBelieved) == 0 {
		return nil
	}
	p := chart.CurvePanel{Name: "Real onsets believed at the start, of ten"}
	for i, x := range s.Points {
		y := s.Figure.RealBelieved[i]
		p.Points = append(p.Points, chart.CurvePoint{X: x.At, Mean: y, SimLow: y, SimHigh: y, AllLow: y, AllHigh: y, Beyond: x.Extrapolated})
	}
	return &p
}

// movesFinding names what changes most against its own size, of the measures that the simulation tells from none.
func (s *Sweep) movesFinding(measures []string) string {
	first, last := s.ends()
	best, most := "", 0.0
	for _, name := range measures {
		d, from := last.FromFirst[name], first.Outcomes[name].Mean
		told := d.Simulation.Low > 0 || d.Simulation.High < 0
		if size := math.Abs(d.Mean) / math.Max(math.Abs(from), 1e-9); told && size > most {
			best, most = name, size
		}
	}
	if best == "" {
		return "Nothing here moves by more than these bouts can tell from none."
	}
	times, digits := 1.0, 2
	unit := ""
	if strings.HasPrefix(best, "time_share") {
		times, digits, unit = 100, 1, " % of the time"
	}
	return fmt.Sprintf("What moves most against its own size: %s, from %s to %s%s.", sweepWords(best), chart.Plain(times*first.Outcomes[best].Mean, digits), chart.Plain(times*last.Outcomes[best].Mean, digits), unit)
}
