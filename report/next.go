package report

import (
	"encoding/csv"
	"fmt"
	"io"
	"strings"

	"github.com/jedib0t/go-pretty/v6/table"

	"whatbout/study"
)

// NextSchema names the JSON form of what to code next.
const NextSchema = "whatbout.next/1"

// Next is what more knowledge is worth for a choice between plans. Worths are in the unit of what counts, per bout.
type Next struct {
	Schema       string             `json:"schema"`
	Version      string             `json:"version"`
	Seed         uint64             `json:"seed"`
	Draws        int                `json:"draws"`
	Bouts        int                `json:"bouts_per_draw"`
	Played       int                `json:"bouts"`
	Saved        float64            `json:"saved"` // bouts on luck of their own that one of these is worth; 0: any number
	Level        float64            `json:"level"`
	Rules        string             `json:"rules"`
	Fighter      string             `json:"fighter"`
	Opponent     string             `json:"opponent"`
	OpponentPlan string             `json:"opponent_plan"`
	Counts       string             `json:"what_counts"`
	Unit         string             `json:"unit_in_100"` // of a hundred times a worth
	Plans        []string           `json:"plans"`
	Means        []float64          `json:"value"`
	Differences  []study.Doubtful   `json:"differences"` // from the first plan
	Everything   study.Worth        `json:"everything"`
	AllTape      study.Worth        `json:"all_tape"`
	Explained    float64            `json:"explained"`
	Groups       []study.GroupWorth `json:"groups"`
	Tape         []study.TapeWorth  `json:"tape"`
	CoderMinutes float64            `json:"coder_minutes_per_minute"` // of work a minute of tape
	Tolerance    float64            `json:"tolerance"`
	Inputs       []Input            `json:"inputs"`
	Warnings     []string           `json:"warnings"`
	Again        string             `json:"again"`
}

// NewNext describes a result; the rest is left to the caller.
func NewNext(q *study.Next, r *study.NextResult) *Next {
	n := &Next{Schema: NextSchema, Seed: q.Seed, Draws: r.Draws, Bouts: r.Bouts, Played: r.Played, Saved: r.Saved, Level: q.Level, Rules: q.Rules.Name, Fighter: q.Fighter.ID,
		Opponent: q.Opponent.ID, OpponentPlan: "as usual", Counts: q.Value.Text, Unit: unitOf(q.Value), Means: r.Means, Differences: r.Differences, Everything: r.Everything, AllTape: r.AllTape,
		Explained: r.Explained, Groups: r.Groups, Tape: r.Tape}
	for _, p := range q.Plans {
		n.Plans = append(n.Plans, p.Name)
	}
	if q.OpponentPlan != nil {
		n.OpponentPlan = q.OpponentPlan.Name
	}
	return n
}

func (n *Next) lacks() string {
	if len(n.Plans) < 2 || len(n.Means) != len(n.Plans) || len(n.Differences) != len(n.Plans)-1 {
		return "its plans, means and differences do not go together"
	}
	return ""
}

// JSON writes it as one object, six digits a number.
func (n *Next) JSON(w io.Writer) error { return writeJSON(w, n) }

// CSV writes a row for everything that has a worth, in hundredths of what counts.
func (n *Next) CSV(w io.Writer) error {
	rows := [][]string{{"kind", "of", "what", "minutes", "coder_minutes", "worth", "low", "high"}}
	row := func(kind, of, what string, minutes float64, x study.Worth) {
		x.Low = max(x.Low, 0)
		rows = append(rows, []string{kind, of, what, number(minutes), number(minutes * n.CoderMinutes), number(100 * x.Gain), number(100 * x.Low), number(100 * x.High)})
	}
	row("all", "", "everything", 0, n.Everything)
	row("all", "", "all tape", 0, n.AllTape)
	for _, g := range n.Groups {
		row("group", g.Of, g.Group, 0, g.Worth)
	}
	for _, t := range n.Tape {
		row("tape", t.Of, situation(&t), t.Minutes, t.Worth)
	}
	return csv.NewWriter(w).WriteAll(rows)
}

func situation(t *study.TapeWorth) string {
	if t.Zone == "" {
		return "whole rounds"
	}
	where := map[string]string{"out": "out of range", "kicking": "at kicking range", "long": "at long range", "pocket": "in the pocket", "clinch": "in the clinch",
		"top": "on top", "bottom": "underneath"}[t.Zone]
	if t.Stance != "" {
		return "in " + t.Stance + " " + where
	}
	return where
}

// situationOf names it with whose tape it is.
func situationOf(t *study.TapeWorth) string { return title(t.Of) + " " + situation(t) }

// shownWorths is how many rows of each list the text shows; JSON and CSV have all.
const shownWorths = 12

// Text writes it for an analyst.
func (n *Next) Text(w io.Writer) error {
	var b strings.Builder
	fmt.Fprintf(&b, "%s against %s, %s: what to code next\n\n", title(n.Fighter), title(n.Opponent), n.Rules)
	fmt.Fprintf(&b, "%s\n\n%s\n", n.verdict(), n.now())
	for _, line := range n.differences() {
		fmt.Fprintf(&b, "  %s\n", line)
	}
	fmt.Fprintf(&b, "\n%s\n(%s)\n\n", n.everything(), n.brackets())
	t := rightTable(5)
	t.AppendRow(table.Row{"What to code next", "minutes of tape", "your minutes", n.Unit, ""})
	for i, x := range n.Tape {
		if i < shownWorths {
			t.AppendRow(table.Row{situationOf(&x), fmt.Sprintf("%g", x.Minutes), fmt.Sprintf("%.0f", x.Minutes*n.CoderMinutes), worth(x.Worth), n.found(&x)})
		}
	}
	b.WriteString(trimmed(t) + "\n")
	fmt.Fprintf(&b, "%s\n\n", n.order())
	t = rightTable(3)
	t.AppendRow(table.Row{"What it hangs on, known for certain", "shown by", n.Unit})
	for i, g := range n.Groups {
		if i < shownWorths {
			t.AppendRow(table.Row{strings.TrimPrefix(title(g.Of)+": "+g.Group, ": "), g.Doubt, worth(g.Worth)})
		}
	}
	b.WriteString(trimmed(t) + "\n")
	b.WriteString(wrapped("Played: "+n.played()+" "+n.method(), textWidth, ""))
	for _, warning := range n.Warnings {
		fmt.Fprintf(&b, "Note: %s\n", warning)
	}
	fmt.Fprintf(&b, "\nSeed %d. The same again: %s\n\n%s", n.Seed, n.Again, Cautions)
	_, err := io.WriteString(w, b.String())
	return err
}

// savedWords says what the plain way takes.
func savedWords(times float64) string {
	if times == 0 {
		return ""
	}
	return fmt.Sprintf("; with luck of its own for each, telling them apart as well would take %.1f times as many", times)
}

// explained says how far straight lines go; noise can put the share anywhere when little of it is there.
func (n *Next) explained() string {
	if n.Explained < 0 || n.Explained > 1 {
		return ", and how far that explains them is not told by so many bouts"
	}
	return fmt.Sprintf(", which explains about %.0f %% of how they differ between draws", 100*n.Explained)
}

// now says what would be chosen now.
func (n *Next) now() string {
	best := 0
	for i := range n.Means {
		if n.Means[i] > n.Means[best] {
			best = i
		}
	}
	return fmt.Sprintf("Choosing now, by %s on average: %s. Nothing else counts here; whatbout choose holds plans against their price.", countsWords(n.Counts), planWords(n.Plans[best]))
}

// differences says of each further plan what it changes.
func (n *Next) differences() (out []string) {
	for i, d := range n.Differences {
		out = append(out, fmt.Sprintf("%s less %s: %s %s (\u00b1 %.1f, one standard error of the simulation; all doubt has a standard deviation of %.1f)", planWords(n.Plans[i+1]), planWords(n.Plans[0]),
			signed(100*d.Mean, 1), n.Unit, 100*d.Simulation, 100*d.AllDoubt))
	}
	return out
}

func (n *Next) everything() string {
	return fmt.Sprintf("To know all that is in doubt before choosing would win %s %s more than choosing now; all that tape can show, %s.", worth(n.Everything), n.Unit, worth(n.AllTape))
}

func (n *Next) brackets() string {
	return fmt.Sprintf("In brackets: %.0f %% interval for the error of the simulation. What is learned wins something only where it changes the choice.", 100*n.Level)
}

func (n *Next) order() string {
	return fmt.Sprintf("Most for your time first, at %.3g minutes of work a minute of tape. A situation's minutes are those in which that fighter is there.", n.CoderMinutes)
}

func (n *Next) played() string {
	return fmt.Sprintf("%d bouts, %d draws of %d a plan%s.", n.Played, n.Draws, n.Bouts, savedWords(n.Saved))
}

func (n *Next) method() string {
	return "Differences between plans are taken to hang on the figures in straight lines" + n.explained() + "; what is learned is taken as normal. A profile has one set of figures for both stances: a minute of either teaches " +
		"as much, and they differ in how long they take to find. (Figures of their own by stance would need every row of tape told apart by it, and twice the tape.)"
}

// verdict says whether coding can change anything that matters.
func (n *Next) verdict() string {
	switch within := fmt.Sprintf("%.2g %s", 100*n.Tolerance, n.Unit); {
	case n.AllTape.High < n.Tolerance:
		return "No further tape can improve this choice by more than " + within + "."
	case n.AllTape.Low > n.Tolerance:
		return "More tape can still improve this choice by more than " + within + "."
	default:
		return "These bouts do not tell whether more tape could improve this choice by more than " + within + "; more --draws would."
	}
}

// found says how much tape must be looked through.
func (n *Next) found(t *study.TapeWorth) string {
	if t.Zone == "" || t.Share <= 0 {
		return ""
	}
	return fmt.Sprintf("found in about %.0f minutes of bouts", t.Minutes/t.Share)
}

func worth(w study.Worth) string {
	return fmt.Sprintf("%.2f (%.2f to %.2f)", 100*w.Gain, max(100*w.Low, 0), 100*w.High)
}
