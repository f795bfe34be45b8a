package report

import (
	"fmt"
	"math"
	"strings"

	"whatbout/fighter"
	"whatbout/report/chart"
	"whatbout/study"
)

// Answer is the sweep's.
func (s *Sweep) Answer() Answer {
	a := Answer{Sentence: capital(s.sentence()), Played: fmt.Sprintf("%d draws of both doubts, %d bouts a draw and point, all points on the same luck.", s.Draws, s.Bouts)}
	a.Title, a.Under = meeting(s.Fighter, s.Opponent, s.Rules, "")
	a.Under += "; " + title(s.Fighter) + " fights " + quotedName(s.Plan) + "; moved: " + s.Figure.Plain
	for _, line := range s.doubts() {
		a.Leads = append(a.Leads, capital(strings.Join(strings.Fields(strings.ReplaceAll(line, "-", "\u2212")), " "))+".")
	}
	a.Leads = append(a.Leads, strings.ReplaceAll(s.support(), "marked * ", ""))
	return a
}

// Sections lists the parts: the curve, then what moves with it.
func (s *Sweep) Sections() []Section {
	return []Section{
		{ID: "curve", Heading: "Bouts won, and what moving it changes", Figures: []chart.Figure{s.winFigure()}},
		{ID: "follows", Heading: "What moves with it", Figures: []chart.Figure{s.followsFigure()}},
	}
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
func (s *Sweep) winFigure() chart.Figure {
	first, _ := s.ends()
	panels := []chart.CurvePanel{s.panel("Bouts won of 100", "win", 100, false), s.panel("Change from "+s.at(first.At)+", same luck", "win", 100, true)}
	return chart.NewFigure("win", "Bouts won as it moves, and the change", capital(s.sentence()),
		"The change is surer than either level: both ends are played on the same luck. "+strings.ReplaceAll(s.support(), "marked * ", ""), s.table([]string{"win"}, 100, 1),
		func(w float64) string { return chart.Curves(w, 2, s.axis(), panels) })
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

// followsFigure shows every other measure.
func (s *Sweep) followsFigure() chart.Figure {
	var panels []chart.CurvePanel
	var names []string
	if x := s.believing(); x != nil {
		panels = append(panels, *x)
	}
	for _, m := range study.SweepMeasures[1:] {
		names = append(names, m.Name)
		name, times := capital(strings.TrimSpace(m.Plain)), 1.0
		if strings.HasPrefix(m.Name, "time_share") {
			name, times = name+", % of the time", 100
		}
		panels = append(panels, s.panel(name, m.Name, times, false))
	}
	note := "Every panel has a scale of its own, which does not begin at nothing: look at its numbers before its slope."
	if s.believing() != nil {
		note += " What is not believed meets a static guard: that is the price of not biting."
	}
	return chart.NewFigure("moves", "What else moves", s.movesFinding(), note, s.table(names, 1, 3),
		func(w float64) string { return chart.Curves(w, 2, s.axis(), panels) })
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

// movesFinding names what changes most against its own size, of what the simulation tells from none.
func (s *Sweep) movesFinding() string {
	first, last := s.ends()
	best, most := "", 0.0
	for _, m := range study.SweepMeasures[1:] {
		d, from := last.FromFirst[m.Name], first.Outcomes[m.Name].Mean
		told := d.Simulation.Low > 0 || d.Simulation.High < 0
		if size := math.Abs(d.Mean) / math.Max(math.Abs(from), 1e-9); told && size > most {
			best, most = m.Name, size
		}
	}
	if best == "" {
		return "Nothing else moves by more than these bouts can tell from none."
	}
	times, digits := 1.0, 2
	unit := ""
	if strings.HasPrefix(best, "time_share") {
		times, digits, unit = 100, 1, " % of the time"
	}
	return fmt.Sprintf("What moves most against its own size: %s, from %s to %s%s.", sweepWords(best), chart.Plain(times*first.Outcomes[best].Mean, digits), chart.Plain(times*last.Outcomes[best].Mean, digits), unit)
}
