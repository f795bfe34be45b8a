package report

import (
	"encoding/json"
	"fmt"
	"io"
	"strings"

	"whatbout/study"
)

// ChecklistRow is an item of the reporting checklist. Text is empty where nobody has answered it yet.
type ChecklistRow struct {
	Item   string `json:"item"` // number and name
	Text   string `json:"text,omitempty"`
	ByUser bool   `json:"by_user,omitempty"` // from the study's file; otherwise the tool knows it
	Field  string `json:"field,omitempty"`   // the field of the study's file that answers or adds to it
}

// Header is what every result of bouts says of itself.
type Header struct {
	Schema   string  `json:"schema"`
	Version  string  `json:"version"`
	Seed     uint64  `json:"seed"`
	Draws    int     `json:"draws"`
	PerDraw  int     `json:"bouts_per_draw"`
	Played   int     `json:"bouts"`
	Level    float64 `json:"level"`
	Rules    string  `json:"rules"`
	Fighter  string  `json:"fighter"`
	Opponent string  `json:"opponent"`
	Inputs   []Input `json:"inputs"`
	Again    string  `json:"again"`

	Warnings []string   `json:"warnings"`
	Most     int        `json:"most_draws"` // of a choice, of one plan
	Work     study.Work `json:"work"`       // of a choice
}

// HeaderOf reads the header of a result in its JSON form.
func HeaderOf(result []byte) (h Header, err error) {
	err = json.Unmarshal(result, &h)
	return h, err
}

// ChecklistFields are what only the user knows, by name in the study's file, with what is asked.
func ChecklistFields() (names []string) {
	for _, i := range checklist {
		if i.field != "" {
			names = append(names, i.field)
		}
	}
	return names
}

// checklist holds the items of STRESS-DES: Monks, Currie, Onggo, Robinson, Kunc & Taylor 2019, Journal of Simulation 13(1), 55-67, table for
// discrete-event simulation (numbers and names from memory). tool says what the program knows of an item; field is where the user answers,
// or adds to it.
var checklist = []struct {
	item, field string
	tool        func(h *Header) string
}{
	{"1.1 Purpose of the model", "purpose", nil},
	{"1.2 Model outputs", "", func(h *Header) string {
		return "Shares of 100 bouts won, the judges' margin in points over finished rounds, how bouts end, strikes absorbed and what happens on the way; each is a mean over draws of what is believed, and is told with the doubt of the simulation apart from that of tape and assumption."
	}},
	{"1.3 Experimentation aims", "aims", func(h *Header) string { return "The study is the line: " + h.Again }},
	{"2.1 Base model overview diagram", "", func(h *Header) string {
		return "One bout: ticks of two fighters -> choice (initiate, answer, continue, defend, believe, survive) -> act in reach or not -> reaction, defence -> landing -> damage, range, position -> next tick; referee and judges watch. The package comment of sim is the reference."
	}},
	{"2.2 Base model logic", "", func(h *Header) string {
		return "A seeded discrete-event simulation of range and striking exchanges under the rule set " + h.Rules + "; plans change what is chosen, never the chance that a choice comes off."
	}},
	{"2.3 Scenario logic", "scenarios", func(h *Header) string {
		return "Every plan is played over the same draws of the figures and the same luck; plans are followed as often as their adherence says."
	}},
	{"2.4 Algorithms", "", func(h *Header) string {
		return "Variance components of nested draws and bouts, paired differences, streams keyed by what is drawn and not by when; DEVELOPERS.md and the package comments name the sources of formulas."
	}},
	{"2.5.1 Entities", "", func(h *Header) string {
		return fmt.Sprintf("Two fighters (%s, %s) with body, figures, stance, stamina and damage; a referee; judges.", h.Fighter, h.Opponent)
	}},
	{"2.5.2 Activities", "", func(h *Header) string {
		return "Strikes, feints, steps, hand-fights, clinches, takedowns, defences and retractions, with times to contact and back to guard."
	}},
	{"2.5.3 Resources", "", func(h *Header) string {
		return "Limbs, balance and stamina of each fighter: what is busy cannot begin or defend anything."
	}},
	{"2.5.4 Queues", "", func(h *Header) string { return "None; an onset that cannot be answered is not answered later." }},
	{"2.5.5 Entry and exit points", "", func(h *Header) string {
		return "A bout begins at the first bell and ends by knockout, stoppage, submission, corner, disqualification, no contest or decision."
	}},
	{"3.1 Data sources", "data_sources", inputsOf},
	{"3.2 Input parameters", "", func(h *Header) string {
		return "The profiles named under 3.1: every figure with its posterior and whether it is tape, population or assumption."
	}},
	{"3.3 Pre-processing", "preparation", func(h *Header) string {
		return "Profiles come from coded tape by partial pooling over rounds, bouts and opponents (whatbout calibrate)."
	}},
	{"3.4 Assumptions", "assumptions", func(h *Header) string {
		return "Timing, damage, stamina and how well plans are followed cannot be seen on tape: they are population or judgement, drawn with their spread."
	}},
	{"4.1 Initialisation", "", func(h *Header) string {
		return "Both fighters fresh, at the marks of the rule set, nothing believed from earlier in the bout; no warm-up is needed, a bout ends by itself."
	}},
	{"4.2 Run length", "", func(h *Header) string {
		if h.Work.Bouts > 0 {
			return fmt.Sprintf("%d bouts, and %d of tape doubt alone: %d bouts a draw and plan, at most %d draws of a plan, by what the choice still needed.", h.Work.Bouts, h.Work.Tape, h.PerDraw, h.Most)
		}
		if h.Played > 0 {
			return fmt.Sprintf("%d bouts: %d draws, %d bouts a draw and plan.", h.Played, h.Draws, h.PerDraw)
		}
		return fmt.Sprintf("%d draws, %d bouts a draw and plan.", h.Draws, h.PerDraw)
	}},
	{"4.3 Estimation approach", "", func(h *Header) string {
		return fmt.Sprintf("Means over draws with %g %% intervals; which kind of doubt an interval holds is said beside it.", 100*h.Level)
	}},
	{"5.1 Software", "", func(h *Header) string { return "whatbout " + h.Version + ", Go." }},
	{"5.2 Random sampling", "", func(h *Header) string {
		return fmt.Sprintf("Counter-based streams keyed by seed %d, draw, bout, fighter and what is drawn; plans do not move them.", h.Seed)
	}},
	{"5.3 Model execution", "", func(h *Header) string {
		return "One event at a time in a total order; bouts in parallel, reduced in index order."
	}},
	{"5.4 System specification", "system", func(h *Header) string {
		return "The same seed gives the same bytes on every machine and for any number of workers."
	}},
	{"6.1 Computer model sharing statement", "sharing", func(h *Header) string { return "Repeat it with: " + h.Again }},
}

func inputsOf(h *Header) string {
	var out []string
	for _, in := range h.Inputs {
		out = append(out, fmt.Sprintf("%s (sha256 %.12s)", in.Name, in.SHA256))
	}
	return strings.Join(out, ", ") + "."
}

// Checklist fills in what the tool knows and what the user has said, by field. An item with a field that only the user can answer stays
// empty until then.
func Checklist(h *Header, said map[string]string) (rows []ChecklistRow) {
	for _, i := range checklist {
		row := ChecklistRow{Item: i.item, Field: i.field}
		if i.tool != nil {
			row.Text = i.tool(h)
		}
		if text := strings.TrimSpace(said[i.field]); i.field != "" && text != "" {
			row.Text, row.ByUser = strings.TrimSpace(text+" "+row.Text), true
		}
		rows = append(rows, row)
	}
	return rows
}

// checklistText writes the rows, gaps last as a list of fields to fill in.
func checklistText(b *strings.Builder, rows []ChecklistRow) {
	b.WriteString("Reporting checklist for simulation studies (STRESS-DES, Monks et al. 2019)\n")
	var gaps, thin []string
	for _, r := range rows {
		switch {
		case r.Text == "":
			gaps = append(gaps, r.Field)
			fmt.Fprintf(b, "  %s: MISSING; only you know it (field %s)\n", r.Item, r.Field)
		default:
			if r.Field != "" && !r.ByUser {
				thin = append(thin, r.Field)
			}
			b.WriteString(wrapped("  "+r.Item+": "+r.Text, 130, "      "))
		}
	}
	if len(gaps) > 0 {
		fmt.Fprintf(b, "Gaps, to be answered under checklist: in the study's file: %s.\n", strings.Join(gaps, ", "))
	}
	if len(thin) > 0 {
		fmt.Fprintf(b, "You may add to: %s.\n", strings.Join(thin, ", "))
	}
}

// wrapped breaks a line at spaces so that it is no longer than width, where words let it; later lines are indented.
func wrapped(line string, width int, indent string) string {
	var b strings.Builder
	for len(line) > width {
		at := strings.LastIndexByte(line[:width], ' ')
		if at <= len(indent) {
			break
		}
		b.WriteString(line[:at] + "\n")
		line = indent + line[at+1:]
	}
	return b.String() + line + "\n"
}

// ChecklistText writes the checklist.
func ChecklistText(w io.Writer, rows []ChecklistRow) error {
	var b strings.Builder
	checklistText(&b, rows)
	_, err := io.WriteString(w, b.String())
	return err
}
