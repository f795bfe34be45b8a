package report

import (
	"fmt"
	"math"
	"strings"

	"github.com/jedib0t/go-pretty/v6/table"

	"whatbout/internal/infer"
	"whatbout/study"
)

// contrasts tells where the better plan changes, then every difference as a curve.
func (s *Sweep) contrasts(b *strings.Builder) {
	for i := range s.Contrast {
		s.crossing(b, &s.Contrast[i])
	}
	fmt.Fprintf(b, "%s\n\n", s.support())
	for i := range s.Contrast {
		s.difference(b, &s.Contrast[i])
	}
	b.WriteString("  (o the mean, = simulation, - all doubt, | no difference)\n\n")
}

// crossing says in words where one plan takes over from the other.
func (s *Sweep) crossing(b *strings.Builder, c *study.Contrast) {
	fmt.Fprintf(b, "%s or %s: ", c.Plan, c.Against)
	switch n := len(c.Crossings); {
	case c.Same:
		b.WriteString("no bout went differently at any point; here they are the same plan.\n")
	case n == 0:
		fmt.Fprintf(b, "no crossing from %s to %s; %s is the better plan all the way, on the average of all doubt.\n", s.at(s.Points[0].At), s.end(), s.better(c, c.Points[0].Difference.Mean > 0))
	case n == 1:
		fmt.Fprintf(b, "%s.\n", s.stretch(c, &c.Crossings[0]))
	default:
		fmt.Fprintf(b, "%s.\n", s.often(c))
		for i := range c.Crossings {
			fmt.Fprintf(b, "  %s.\n", s.stretch(c, &c.Crossings[i]))
		}
	}
}

func (s *Sweep) end() string { return s.at(s.Points[len(s.Points)-1].At) + " " + s.Figure.Unit }

// often says how many crossings are told.
func (s *Sweep) often(c *study.Contrast) string {
	n := 0
	for i := range c.Crossings {
		if c.Crossings[i].Told() {
			n++
		}
	}
	switch n {
	case 0:
		return "close in more than one place, and no crossing is told"
	case 1:
		return "the better plan changes once for certain, and perhaps elsewhere"
	}
	return fmt.Sprintf("the better plan changes %d times", n)
}

func (s *Sweep) better(c *study.Contrast, plan bool) string {
	if plan {
		return c.Plan
	}
	return c.Against
}

// stretch says what is known where the two plans are close.
func (s *Sweep) stretch(c *study.Contrast, x *infer.Crossing) string {
	low, high := s.at(x.Low), s.at(x.High)
	switch {
	case x.Told():
		where := "between " + low + " and " + high
		if len(x.At) == 1 {
			where = fmt.Sprintf("at %s %s (%s to %s, %.0f %% for the simulation)", s.at(x.At[0]), s.Figure.Unit, low, high, 100*s.Level)
		}
		return fmt.Sprintf("the better plan changes %s: below it %s, above it %s", where, s.better(c, x.Before > 0), s.better(c, x.After > 0))
	case x.Before == 0 && x.After == 0:
		return "nowhere in this range can they be told apart by these bouts" + s.ifAnywhere(x) + "; more draws would tell"
	case x.Before == 0:
		return fmt.Sprintf("up to %s %s they cannot be told apart%s; above that %s is the better plan", high, s.Figure.Unit, s.ifAnywhere(x), s.better(c, x.After > 0))
	case x.After == 0:
		return fmt.Sprintf("from %s %s on they cannot be told apart%s; below that %s is the better plan", low, s.Figure.Unit, s.ifAnywhere(x), s.better(c, x.Before > 0))
	}
	return fmt.Sprintf("from %s to %s they cannot be told apart%s; on both sides %s is the better plan", low, high, s.ifAnywhere(x), s.better(c, x.After > 0))
}

// ifAnywhere names where the mean crosses although nothing vouches for it.
func (s *Sweep) ifAnywhere(x *infer.Crossing) string {
	if len(x.At) == 0 {
		return " (on the average there is no crossing)"
	}
	var places []string
	for _, at := range x.At {
		places = append(places, s.at(at))
	}
	return " (on the average they cross at " + strings.Join(places, " and ") + ")"
}

// hundred writes a value in hundredths with as many digits as it bears.
func hundred(x float64) string { return signed(100*x, 1) }

// difference is a contrast as a curve.
func (s *Sweep) difference(b *strings.Builder, c *study.Contrast) {
	unit := s.Unit
	if unit == "" {
		unit = "bouts in 100"
	}
	reach := 0.0
	for _, p := range c.Points {
		for _, x := range []float64{p.Difference.Simulation.Low, p.Difference.Simulation.High, p.Difference.AllDoubt.Low, p.Difference.AllDoubt.High} {
			reach = max(reach, math.Abs(x))
		}
	}
	fmt.Fprintf(b, "%s less %s, %s\n", capital(c.Plan), c.Against, unit)
	rows := []table.Row{{s.Figure.Unit, "difference", "simulation", "all doubt", "chance better", fmt.Sprintf("%-*s%+.1f", plotWidth-len(hundred(reach)), hundred(-reach), 100*reach)}}
	marked := false
	mark := func() {
		marked = true
		rows = append(rows, table.Row{"  " + s.at(s.Figure.Calibrated), "as calibrated"})
	}
	for i, p := range c.Points {
		if !marked && s.Figure.Calibrated < p.At {
			mark()
		}
		star, d := "  ", p.Difference
		if s.Points[i].Extrapolated {
			star = "* "
		}
		doubt := points(d.AllDoubt.Low, d.AllDoubt.High)
		if !d.Resolved {
			doubt = "not resolved"
		}
		rows = append(rows, table.Row{star + s.at(p.At), hundred(d.Mean), points(d.Simulation.Low, d.Simulation.High), doubt, percent(p.Probability.Value), plotAround(d, reach)})
	}
	if !marked {
		mark()
	}
	b.WriteString(plainTable(rows) + "\n")
	if c.Saved != nil {
		fmt.Fprintf(b, "  Pairing on the same luck was worth %s times the bouts.\n", roughly(*c.Saved))
	}
	b.WriteString("\n")
}

// plotAround draws a difference and its intervals on a line from -reach to reach.
func plotAround(e study.Estimate, reach float64) string {
	if reach == 0 {
		reach = 1
	}
	to := func(x float64) float64 { return .5 + x/reach/2 }
	move := func(i infer.Interval) infer.Interval { i.Low, i.High = to(i.Low), to(i.High); return i }
	line := []byte(plot(study.Estimate{Mean: to(e.Mean), Simulation: move(e.Simulation), AllDoubt: move(e.AllDoubt), Resolved: e.Resolved}))
	if zero := plotWidth / 2; line[zero] != 'o' {
		line[zero] = '|'
	}
	return string(line)
}
