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
	"whatbout/study"
)

// TornadoSchema names the JSON form of a tornado.
const TornadoSchema = "whatbout.tornado/1"

// Tornado is a tornado with everything needed to say it and to run it again. Values are in the unit of what counts, per bout.
type Tornado struct {
	Schema       string      `json:"schema"`
	Version      string      `json:"version"`
	Seed         uint64      `json:"seed"`
	Draws        int         `json:"draws"`
	Bouts        int         `json:"bouts_per_draw"`
	Played       int         `json:"bouts"`
	Level        float64     `json:"level"`
	Rules        string      `json:"rules"`
	Fighter      string      `json:"fighter"`
	Opponent     string      `json:"opponent"`
	OpponentPlan string      `json:"opponent_plan"`
	Plan         string      `json:"plan"`
	Against      string      `json:"against"`
	Counts       string      `json:"what_counts"`
	Unit         string      `json:"unit_in_100"` // of a hundred times that
	Bars         []study.Bar `json:"bars"`        // told from none first, the largest first
	LeftOut      []string    `json:"left_out,omitempty"`
	Saved        *float64    `json:"saved,omitempty"` // separate bouts that one on shared luck is worth
	Inputs       []Input     `json:"inputs"`
	Warnings     []string    `json:"warnings"`
	Again        string      `json:"again"`
}

// NewTornado describes a result. Version, what was read, warnings and the line to repeat it are left to the caller.
func NewTornado(q *study.Tornado, r *study.TornadoResult) *Tornado {
	for i := range r.Bars {
		r.Bars[i].Plain = r.Bars[i].Lever.Dial.Plain(title(r.Bars[i].Of))
	}
	return &Tornado{Schema: TornadoSchema, Seed: q.Seed, Draws: r.Draws, Bouts: r.Bouts, Played: r.Total, Level: q.Level, Rules: q.Rules.Name, Fighter: q.Fighter.ID,
		Opponent: q.Opponent.ID, OpponentPlan: planNamed(q.OpponentPlan), Plan: planNamed(q.Plan), Against: planNamed(q.Against), Counts: q.Value.Text,
		Unit: unitOf(q.Value), Bars: r.Bars, LeftOut: r.LeftOut, Saved: r.Saved}
}

func (t *Tornado) lacks() string {
	if len(t.Bars) == 0 {
		return "it has no figures"
	}
	return ""
}

// JSON writes it as one object, six digits a number.
func (t *Tornado) JSON(w io.Writer) error { return writeJSON(w, t) }

// CSV writes one row a figure.
func (t *Tornado) CSV(w io.Writer) error {
	rows := [][]string{{"figure", "of", "unit", "source", "stated", "low", "high", "calibrated", "plan", "against", "what_counts", "at_low", "at_high", "effect", "simulation_low",
		"simulation_high", "all_doubt_low", "all_doubt_high", "all_doubt_resolved", "told", "own_effect", "own_simulation_low", "own_simulation_high"}}
	for _, x := range t.Bars {
		e := x.Effect
		rows = append(rows, []string{x.Figure, x.Of, x.Unit, x.Source, strconv.FormatBool(x.Stated), number(x.Low), number(x.High), number(x.Calibrated), t.Plan, t.Against, t.Counts,
			number(x.AtLow.Mean), number(x.AtHigh.Mean), number(e.Mean), number(e.Simulation.Low), number(e.Simulation.High), number(e.AllDoubt.Low), number(e.AllDoubt.High),
			strconv.FormatBool(e.Resolved), strconv.FormatBool(x.Told), number(x.Own.Mean), number(x.Own.Simulation.Low), number(x.Own.Simulation.High)})
	}
	return csv.NewWriter(w).WriteAll(rows)
}

// Text writes it for a coach: what moves the edge most, then every figure as a bar.
func (t *Tornado) Text(w io.Writer) error {
	var b strings.Builder
	fmt.Fprintf(&b, "%s against %s, %s: what moves %s less %s\n\n", title(t.Fighter), title(t.Opponent), t.Rules, t.Plan, t.Against)
	t.finding(&b)
	t.table(&b)
	t.work(&b)
	for _, warning := range t.Warnings {
		fmt.Fprintf(&b, "Note: %s\n", warning)
	}
	fmt.Fprintf(&b, "\nSeed %d. The same again: %s\n\n%s", t.Seed, t.Again, Cautions)
	_, err := io.WriteString(w, b.String())
	return err
}

// finding names what is told, or how large an effect may have been missed.
func (t *Tornado) finding(b *strings.Builder) {
	var told []*study.Bar
	missed := 0.0
	for i := range t.Bars {
		x := &t.Bars[i]
		if x.Told {
			told = append(told, x)
			continue
		}
		missed = max(missed, math.Abs(x.Effect.Simulation.Low), math.Abs(x.Effect.Simulation.High))
	}
	if t.zero() {
		b.WriteString("No bout went differently: nothing moves what the plan is worth here.\n\n")
		return
	}
	if len(told) == 0 {
		fmt.Fprintf(b, "None of %s is told to move the plan's edge, each alone, from end to end of what may be. The largest effect on the average:\n", figuresOf(len(t.Bars)))
		t.moves(b, &t.Bars[0])
	} else {
		fmt.Fprintf(b, "What moves the plan's edge most, each figure alone, from end to end of what may be (%d of %s told from none):\n", len(told), figuresOf(len(t.Bars)))
	}
	for _, x := range told {
		t.moves(b, x)
	}
	if len(told) < len(t.Bars) {
		fmt.Fprintf(b, "Of those that are not told (%d) none moves it by more than %.1f %s, as far as each interval goes; more draws would tell them apart.\n", len(t.Bars)-len(told), 100*missed, t.Unit)
	}
	b.WriteString("\n")
}

// moves says what one figure does.
func (t *Tornado) moves(b *strings.Builder, x *study.Bar) {
	fmt.Fprintf(b, "  %s: from %s to %s %s, %s %s (simulation %s; the edge is %s, then %s)\n", x.Plain, at(x.Unit, x.Low), at(x.Unit, x.High), x.Unit,
		hundred(x.Effect.Mean), t.Unit, points(x.Effect.Simulation.Low, x.Effect.Simulation.High), hundred(x.AtLow.Mean), hundred(x.AtHigh.Mean))
}

func (t *Tornado) zero() bool {
	for _, x := range t.Bars {
		if x.Effect.Mean != 0 || x.Effect.Simulation.Width() != 0 {
			return false
		}
	}
	return true
}

func figuresOf(n int) string {
	if n == 1 {
		return "1 figure"
	}
	return fmt.Sprintf("%d figures", n)
}

// shownBars is how many the text shows; JSON and CSV have all.
const shownBars = 30

func (t *Tornado) table(b *strings.Builder) {
	shown := t.Bars[:min(len(t.Bars), shownBars)]
	reach := 0.0
	for _, x := range shown {
		reach = max(reach, 1.5*math.Abs(x.Effect.Simulation.Low), 1.5*math.Abs(x.Effect.Simulation.High)) // all doubt beyond that ends at the edge
	}
	axis := fmt.Sprintf("%-*s%+.1f", plotWidth-len(signed(100*reach, 1)), signed(-100*reach, 1), 100*reach)
	rows := []table.Row{{"figure", "from", "to", "edge", "then", "effect", "simulation", axis}}
	for _, x := range shown {
		star := "  "
		if x.Told {
			star = "* "
		}
		rows = append(rows, table.Row{star + x.Of + " " + x.Figure + sourceMark(x.Source, x.Stated), at(x.Unit, x.Low), at(x.Unit, x.High) + " " + x.Unit, hundred(x.AtLow.Mean), hundred(x.AtHigh.Mean),
			hundred(x.Effect.Mean), points(x.Effect.Simulation.Low, x.Effect.Simulation.High), plotAround(x.Effect, reach)})
	}
	writer := rightTable(7)
	writer.AppendRows(rows)
	fmt.Fprintf(b, "%s: the edge with the figure at either end, and its change\n%s\n", capital(t.Unit), trimmed(writer))
	fmt.Fprintf(b, "  (o the mean, = simulation, %.0f %%, - all doubt about the rest, | no change; * told from none%s;\n"+
		"  ° no tape of this fighter shows it)\n", 100*t.Level, among(len(t.Bars)))
	if n := len(t.Bars) - len(shown); n > 0 {
		fmt.Fprintf(b, "  (%d more in --format csv)\n", n)
	}
	b.WriteString("\n")
}

// among says that looking at many was reckoned with.
func among(n int) string {
	if n == 1 {
		return ""
	}
	return fmt.Sprintf(" although %d figures were looked at", n)
}

// sourceMark marks what no tape of the fighter shows.
func sourceMark(source string, stated bool) string {
	if source == fighter.FromTape.String() || stated {
		return ""
	}
	return " °"
}

func (t *Tornado) work(b *strings.Builder) {
	fmt.Fprintf(b, "Played: %d bouts, %d draws of %d a plan, figure and end", t.Played, t.Draws, t.Bouts)
	if t.Saved != nil {
		fmt.Fprintf(b, "; with plans and ends on separate luck the same would have taken %s times as many", roughly(*t.Saved))
	}
	b.WriteString(".\n")
	if len(t.LeftOut) > 0 {
		fmt.Fprintf(b, "Left out, since they cannot be moved here: %s.\n", strings.Join(t.LeftOut, "; "))
	}
}
