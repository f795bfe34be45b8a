package report

import (
	"encoding/csv"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"github.com/jedib0t/go-pretty/v6/table"

	"whatbout/fighter"
	"whatbout/internal/infer"
	"whatbout/study"
	"whatbout/tactics"
)

// SweepSchema names the JSON form of a sweep.
const SweepSchema = "whatbout.sweep/1"

// Sweep is a sweep with everything needed to say it and to run it again.
type Sweep struct {
	Schema   string             `json:"schema"`
	Version  string             `json:"version"`
	Seed     uint64             `json:"seed"`
	Draws    int                `json:"draws"`
	Bouts    int                `json:"bouts_per_draw"`
	Level    float64            `json:"level"`
	Rules    string             `json:"rules"`
	Fighter  string             `json:"fighter"`
	Opponent string             `json:"opponent"`
	Plan     string             `json:"plan"`
	Counts   string             `json:"what_counts,omitempty"` // by which plans are held against each other
	Unit     string             `json:"unit_in_100,omitempty"` // of a hundred times that
	Played   int                `json:"bouts,omitempty"`
	Figure   SweepFigure        `json:"figure"`
	Points   []study.SweepPoint `json:"points"`           // under the first plan
	Others   []SweepCurve       `json:"others,omitempty"` // under each further plan
	Contrast []study.Contrast   `json:"contrasts,omitempty"`
	Inputs   []Input            `json:"inputs"`
	Warnings []string           `json:"warnings"`
	Again    string             `json:"again"`
}

// SweepCurve is what happens under a plan.
type SweepCurve struct {
	Plan   string             `json:"plan"`
	Points []study.SweepPoint `json:"points"`
}

// NewSweep describes a result. Version, what was read, warnings and the line to repeat it are left to the caller.
func NewSweep(q *study.Sweep, r *study.SweepResult) *Sweep {
	moved := []*fighter.Profile{q.Fighter, q.Opponent}[q.Whose]
	s := &Sweep{Schema: SweepSchema, Seed: q.Seed, Draws: r.Draws, Bouts: r.Bouts, Level: q.Level, Rules: q.Rules.Name, Fighter: q.Fighter.ID, Opponent: q.Opponent.ID,
		Played: r.Total, Points: r.Curves[0], Contrast: r.Contrasts, Figure: SweepFigure{Name: q.Dial.Name, Of: moved.ID, Plain: q.Dial.Plain(title(moved.ID)),
			Unit: q.Dial.Unit, Calibrated: r.Calibrated, Believed: r.Believed, Source: r.Source.String()}}
	for i, p := range q.Plans {
		name := planNamed(p)
		if i == 0 {
			s.Plan = name
			continue
		}
		s.Others = append(s.Others, SweepCurve{name, r.Curves[i]})
	}
	if q.Value != nil && len(q.Plans) > 1 {
		s.Counts, s.Unit = q.Value.Text, unitOf(q.Value)
	}
	for _, x := range q.At {
		if believed, ok := q.Dial.RealBelieved(moved, x); ok {
			s.Figure.RealBelieved = append(s.Figure.RealBelieved, believed)
		}
	}
	return s
}

// planNamed names a plan; none is as usual.
func planNamed(p *tactics.Plan) string {
	if p == nil {
		return "as usual"
	}
	return p.Name
}

// curves gives all plans' curves, the first's first.
func (s *Sweep) curves() []SweepCurve {
	return append([]SweepCurve{{s.Plan, s.Points}}, s.Others...)
}

// SweepFigure is what was moved.
type SweepFigure struct {
	Name         string         `json:"name"`
	Of           string         `json:"of"` // the fighter whose figure it is
	Plain        string         `json:"plain"`
	Unit         string         `json:"unit"`
	Calibrated   float64        `json:"calibrated"`
	Believed     infer.Interval `json:"believed"`
	Source       string         `json:"source"` // of what is believed: tape, population or assumption
	RealBelieved []float64      `json:"real_believed,omitempty"`
}

// JSON writes the sweep as one object, six digits a number.
func (s *Sweep) JSON(w io.Writer) error { return writeJSON(w, s) }

// CSV writes one row a plan, point and outcome, and behind them the differences between plans.
func (s *Sweep) CSV(w io.Writer) error {
	rows := [][]string{{"figure", "of", "unit", "at", "extrapolated", "outcome", "mean", "simulation_low", "simulation_high", "all_doubt_low",
		"all_doubt_high", "from_first", "all_doubt_resolved", "plan", "against", "probability_better"}}
	row := func(at float64, extrapolated bool, plan, against, outcome string, e study.Estimate, fromFirst, better string) {
		rows = append(rows, []string{s.Figure.Name, s.Figure.Of, s.Figure.Unit, number(at), strconv.FormatBool(extrapolated), outcome, number(e.Mean),
			number(e.Simulation.Low), number(e.Simulation.High), number(e.AllDoubt.Low), number(e.AllDoubt.High), fromFirst, strconv.FormatBool(e.Resolved), plan, against, better})
	}
	for _, c := range s.curves() {
		for _, p := range c.Points {
			for _, m := range study.SweepMeasures {
				from := ""
				if d, ok := p.FromFirst[m.Name]; ok {
					from = number(d.Mean)
				}
				row(p.At, p.Extrapolated, c.Plan, "", m.Name, p.Outcomes[m.Name], from, "")
			}
		}
	}
	for _, c := range s.Contrast {
		for i, p := range c.Points {
			row(p.At, s.Points[i].Extrapolated, c.Plan, c.Against, s.counts(), p.Difference, "", number(p.Probability.Value))
		}
	}
	return csv.NewWriter(w).WriteAll(rows)
}

// counts is what plans are held against each other by.
func (s *Sweep) counts() string {
	if s.Counts == "" {
		return "win"
	}
	return s.Counts
}

// Text writes the sweep for a student: one finding, the curve, what moves with it, and how far it may be believed.
func (s *Sweep) Text(w io.Writer) error {
	var b strings.Builder
	if len(s.Others) == 0 {
		fmt.Fprintf(&b, "%s (%s) against %s, %s\nMoved: %s.\n\n", title(s.Fighter), s.Plan, title(s.Opponent), s.Rules, s.Figure.Plain)
		s.finding(&b)
		s.curve(&b)
	} else {
		fmt.Fprintf(&b, "%s against %s, %s\nMoved: %s.\n\n", title(s.Fighter), title(s.Opponent), s.Rules, s.Figure.Plain)
		s.contrasts(&b)
	}
	s.follows(&b)
	for _, warning := range s.Warnings {
		fmt.Fprintf(&b, "Note: %s\n", warning)
	}
	fmt.Fprintf(&b, "\nSeed %d, %d draws of both doubts, %d bouts a draw%s and point, all on the same luck%s. Again: %s\n\n%s", s.Seed, s.Draws, s.Bouts, s.aPlan(), s.inAll(), s.Again, Cautions)
	_, err := io.WriteString(w, b.String())
	return err
}

func (s *Sweep) aPlan() string {
	if len(s.Others) > 0 {
		return ", plan"
	}
	return ""
}

func (s *Sweep) inAll() string {
	if s.Played == 0 {
		return ""
	}
	return fmt.Sprintf(", %d bouts in all", s.Played)
}

func (s *Sweep) ends() (first, last *study.SweepPoint) {
	return &s.Points[0], &s.Points[len(s.Points)-1]
}

func (s *Sweep) finding(b *strings.Builder) {
	fmt.Fprintf(b, "Finding: %s\n", s.sentence(s.at))
	for _, line := range s.doubts() {
		fmt.Fprintf(b, "  %s\n", line)
	}
	fmt.Fprintf(b, "%s\n\n", s.support())
}

// sentence is the answer.
func (s *Sweep) sentence(at func(float64) string) string {
	first, last := s.ends()
	d := last.FromFirst["win"]
	verb := "wins about as often, as far as these bouts can tell"
	switch {
	case d.Simulation.Low > 0:
		verb = "wins more often"
	case d.Simulation.High < 0:
		verb = "wins less often"
	}
	return fmt.Sprintf("from %s to %s %s, %s %s: %.0f and %.0f of 100 bouts, a difference of %+.1f.", at(first.At), at(last.At), s.Figure.Unit,
		title(s.Fighter), verb, 100*first.Outcomes["win"].Mean, 100*last.Outcomes["win"].Mean, 100*d.Mean)
}

// doubts are the two intervals of the difference.
func (s *Sweep) doubts() []string {
	_, last := s.ends()
	d := last.FromFirst["win"]
	all := "all doubt:  not resolved: the draws differ no more than luck does; more bouts a draw would tell"
	if d.Resolved {
		all = fmt.Sprintf("all doubt:  %+.1f to %+.1f (tape and assumptions about everything else)", 100*d.AllDoubt.Low, 100*d.AllDoubt.High)
	}
	return []string{fmt.Sprintf("simulation: %+.1f to %+.1f (%.0f %%; more bouts would shrink it)", 100*d.Simulation.Low, 100*d.Simulation.High, 100*s.Level), all}
}

// support says in words what is known of the figure and where the curve goes beyond it.
func (s *Sweep) support() string {
	f := s.Figure
	var from string
	switch f.Source {
	case fighter.FromTape.String():
		from = "the tape supports %s to %s (%.0f %%)"
	case fighter.FromPopulation.String():
		from = "no tape shows it; of the population one believes %s to %s (%.0f %%)"
	default:
		from = "tape cannot show it; it is assumed to lie from %s to %s (%.0f %%)"
	}
	out := fmt.Sprintf("As calibrated it is %s; "+from+".", s.at(f.Calibrated), s.at(f.Believed.Low), s.at(f.Believed.High), 100*f.Believed.Level)
	beyond := s.beyond()
	switch beyond {
	case 0:
		return out + " Every point lies within that."
	case 1:
		return out + " The point marked * lies outside of that: there the curve is extrapolation, what the model makes of a fighter nobody has seen."
	}
	return out + fmt.Sprintf(" The %d points marked * lie outside of that: there the curve is extrapolation, what the model makes of a fighter nobody has seen.", beyond)
}

// at writes a place of the dial in as many digits as its unit bears.
func (s *Sweep) at(x float64) string { return at(s.Figure.Unit, x) }

func at(unit string, x float64) string {
	switch unit {
	case "ms", "%":
		return fmt.Sprintf("%.0f", x)
	case "m", "multiple":
		return fmt.Sprintf("%.2f", x)
	}
	return fmt.Sprintf("%.1f", x)
}

func plainTable(rows []table.Row) string {
	t := table.NewWriter()
	style := table.StyleDefault
	style.Options = table.OptionsNoBordersAndSeparators
	t.SetStyle(style)
	t.AppendRows(rows)
	return t.Render()
}

// curve is the win share at each point, with a mark where the dial stands as calibrated.
func (s *Sweep) curve(b *strings.Builder) {
	rows := []table.Row{{s.Figure.Unit, "wins of 100", "simulation", "all doubt", "0" + strings.Repeat(" ", plotWidth-4) + "100"}}
	marked := false
	mark := func() {
		rows = append(rows, table.Row{"  " + s.at(s.Figure.Calibrated), "as calibrated", "", "", ""})
		marked = true
	}
	for _, p := range s.Points {
		if !marked && s.Figure.Calibrated < p.At {
			mark()
		}
		e := p.Outcomes["win"]
		star := "  "
		if p.Extrapolated {
			star = "* "
		}
		doubt := fmt.Sprintf("%.0f to %.0f", 100*e.AllDoubt.Low, 100*e.AllDoubt.High)
		if !e.Resolved {
			doubt = "not resolved"
		}
		rows = append(rows, table.Row{star + s.at(p.At), fmt.Sprintf("%.1f", 100*e.Mean), fmt.Sprintf("%.1f to %.1f", 100*e.Simulation.Low, 100*e.Simulation.High), doubt, plot(e)})
	}
	if !marked {
		mark()
	}
	b.WriteString(plainTable(rows) + "\n  (o the mean, = simulation, - all doubt)\n\n")
}

const plotWidth = 51

// plot draws a share and its intervals on a line from 0 to 1.
func plot(e study.Estimate) string {
	line := []byte(strings.Repeat(" ", plotWidth))
	place := func(x float64) int { return int(math.Round(min(max(x, 0), 1) * (plotWidth - 1))) }
	draw := func(i infer.Interval, with byte) {
		for x := place(i.Low); x <= place(i.High); x++ {
			line[x] = with
		}
	}
	if e.Resolved {
		draw(e.AllDoubt, '-')
	}
	draw(e.Simulation, '=')
	line[place(e.Mean)] = 'o'
	return string(line)
}

// follows is what else moves.
func (s *Sweep) follows(b *strings.Builder) {
	first, last := s.ends()
	header := table.Row{"What moves with it"}
	if len(s.Others) > 0 {
		header = table.Row{"What moves with it " + quoted(s.Plan)}
	}
	for _, p := range s.Points {
		header = append(header, s.at(p.At))
	}
	rows := []table.Row{append(header, "change from "+s.at(first.At)+" to "+s.at(last.At))}
	if len(s.Figure.RealBelieved) > 0 {
		row := table.Row{"  real onsets of the cue believed at the start of a bout, of ten"}
		for _, x := range s.Figure.RealBelieved {
			row = append(row, fmt.Sprintf("%.1f", x))
		}
		rows = append(rows, append(row, "the price: what is not believed meets a static guard"))
	}
	for _, m := range study.SweepMeasures[1:] {
		row := table.Row{"  " + m.Plain}
		for _, p := range s.Points {
			row = append(row, fmt.Sprintf("%.2f", p.Outcomes[m.Name].Mean))
		}
		d := last.FromFirst[m.Name]
		i, kind := d.AllDoubt, "all doubt"
		if !d.Resolved {
			i, kind = d.Simulation, "simulation"
		}
		rows = append(rows, append(row, fmt.Sprintf("%+.2f (%s %+.2f to %+.2f)", d.Mean, kind, i.Low, i.High)))
	}
	b.WriteString(plainTable(rows) + "\n")
	if len(s.Others) > 0 {
		b.WriteString("  (--format csv has the same of every plan)\n")
	}
	b.WriteString("\n")
}

// Title writes a fighter's id as a name.
func Title(id string) string { return title(id) }
