package report

import (
	"encoding/csv"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"

	"github.com/jedib0t/go-pretty/v6/table"

	"whatbout/calibrate"
	"whatbout/fighter"
	"whatbout/tape"
)

// BehindSchema names the form of the JSON.
const BehindSchema = "whatbout.evidence/1"

// What a row of tape counted as for a figure.
const (
	CountedSuccess  = "success"  // of a rate an act, of a choice that it was chosen, of bites and skills that it came off
	CountedOccasion = "occasion" // it could have been, and was not
	CountedExposure = "exposure" // of a rate: the free time of a round
)

// BehindRow is a row of tape behind a figure, or the exposure of a round.
type BehindRow struct {
	Bout    string  `json:"bout"`
	Coding  string  `json:"coding,omitempty"`
	Round   uint8   `json:"round"`
	Clock   string  `json:"clock,omitempty"` // m:ss.s since the bell
	Line    int     `json:"line,omitempty"`  // of the coding's file
	Counted string  `json:"counted_as"`
	Did     string  `json:"did,omitempty"`   // what the fighter did, or "nothing"
	About   string  `json:"about,omitempty"` // the act, the own one before or the other's, that it was about
	Weight  float64 `json:"weight"`
	Seconds float64 `json:"seconds,omitempty"`    // of exposure, by weight
	Hits    int     `json:"clean_hits,omitempty"` // of a skill, in an exchange

	bout *tape.Bout
	at   int64
}

// Behind is the tape behind one figure of a profile.
type Behind struct {
	Schema     string  `json:"schema"`
	Version    string  `json:"version"`
	Fighter    string  `json:"fighter"`
	Figure     string  `json:"figure"`
	Words      string  `json:"words"`
	Inputs     []Input `json:"inputs"`
	Source     string  `json:"source"`  // what the profile says that the figure rests on
	Seen       float64 `json:"seen"`    // as the profile states it
	Profile    string  `json:"profile"` // the figure, as a sentence
	Population string  `json:"population"`
	Tape       string  `json:"tape"`
	// Agrees says whether the rows are as many as the profile says were seen; "" where the profile counts something else (skills count
	// information) or rests on other bouts than were given.
	Agrees   string             `json:"agrees,omitempty"`
	Count    float64            `json:"count"` // by weight, as are the others
	Hits     float64            `json:"successes"`
	Exposure calibrate.Exposure `json:"exposure"`
	Coarse   *BehindCoarse      `json:"coded_by_exchanges,omitempty"` // nil: no bout of the fighter's is coded so
	Rows     []BehindRow        `json:"rows"`
	Notes    []string           `json:"notes"`

	Full bool        `json:"-"` // text with all rows
	Law  fighter.Law `json:"-"`
}

// BehindOf puts what was counted into rows. r is nil for a figure that no row of tape stands behind.
func BehindOf(p *fighter.Profile, f fighter.Figure, r *calibrate.FigureRows) *Behind {
	d := fighter.Define(f)
	b := &Behind{Schema: BehindSchema, Fighter: p.ID, Figure: d.Name, Words: figureWords(d.Name), Source: p.Sources[f].String(), Seen: p.Seen[f],
		Profile: stated(p, f), Law: d.Law, Rows: []BehindRow{}, Notes: []string{}}
	if p.StandsOn() != nil {
		b.Population = stated(p.Prior(), f)
	}
	if r == nil {
		return b
	}
	b.Count, b.Hits, b.Exposure = r.Count, r.Hits, r.Exposure
	b.Notes = append(b.Notes, r.Notes...)
	for _, s := range r.Sightings {
		b.Rows = append(b.Rows, b.row(s))
	}
	for _, s := range r.Others {
		b.Rows = append(b.Rows, b.row(s))
	}
	slices.SortStableFunc(b.Rows, func(x, y BehindRow) int { return strings.Compare(x.Bout, y.Bout) })
	for _, s := range r.Stretches {
		b.Rows = append(b.Rows, BehindRow{Bout: s.Bout.ID, Round: s.Round, Counted: CountedExposure, Weight: 1, Seconds: s.Seconds, bout: s.Bout})
	}
	b.Tape = b.tape()
	b.coarse(r.Coarse)
	return b
}

func (b *Behind) row(s calibrate.Sighting) BehindRow {
	row := BehindRow{Bout: s.Bout.ID, Coding: s.Coding, Round: s.Round, Clock: ClockOf(s.Clock), Counted: CountedOccasion, Did: "nothing", Weight: s.Weight, bout: s.Bout, at: s.Clock}
	if s.Hit {
		row.Counted = CountedSuccess
	}
	if s.About != nil {
		row.About, row.Line = actWords(s.About), s.About.Line
	}
	switch {
	case s.Act != nil:
		row.Did, row.Line = actWords(s.Act), s.Act.Line
	case b.met() && s.About.Defence != tape.DefenceUncoded && s.About.Defence != tape.DefenceNone:
		row.Did = plain(s.About.Defence.String())
	}
	return row
}

// met reports whether what the fighter did stands in the row of the other's act.
func (b *Behind) met() bool {
	kind, _, _ := strings.Cut(b.Figure, ".")
	return kind == "defend" || kind == "bite" || kind == "defence"
}

// actWords says an act as it was coded: what, where to, and what came of it.
func actWords(r *tape.Row) string {
	out := plain(tape.MoveOf(r.Act, r.Value).String())
	var came []string
	if r.Result != tape.ResultUncoded {
		came = append(came, plain(r.Result.String()))
	}
	if r.Defence != tape.DefenceUncoded {
		came = append(came, "met with "+plain(r.Defence.String()))
	}
	if r.How != tape.HowUncoded && r.How != tape.Set { // set is how strikes are thrown
		came = append(came, plain(r.How.String()))
	}
	if len(came) > 0 {
		out += ": " + strings.Join(came, ", ")
	}
	return out
}

// figureWords says what a figure is about.
func figureWords(name string) string {
	parts := strings.Split(name, ".")
	last := plain(parts[len(parts)-1])
	if last == "none" {
		last = "nothing"
	}
	zone := ""
	if len(parts) == 3 {
		zone = " at " + parts[1] + " range"
		switch parts[1] {
		case "out":
			zone = " out of range"
		case "pocket", "clinch":
			zone = " in the " + parts[1]
		case "top", "bottom":
			zone = " on the " + parts[1]
		}
	}
	switch parts[0] {
	case "initiate":
		return "how often " + last + " is begun when free" + zone
	case "answer":
		return "how often an attack of the other's is answered with " + last + zone
	case "continue":
		return "how often an own act is followed by " + last + zone
	case "defend":
		return "how often a threat (" + plain(parts[1]) + ") is met with " + last
	case "bite":
		return "how readily a feint of the " + last + " is bitten on"
	case "place":
		return "how much more often than elsewhere at the same range there is: " + plain(parts[1]) + ", " + last
	case "after":
		if parts[1] == "own" {
			return "how much likelier it is to go on after an own " + last + " than after a punch (odds)"
		}
		return "how much likelier it is to answer a " + last + " than a punch (odds)"
	case "attack":
		return "how often own attempts (" + last + ") come off"
	case "defence":
		return "how often the other's attempts (" + last + ") are kept from coming off"
	}
	return plain(name)
}

// stated says a figure of a profile.
func stated(p *fighter.Profile, f fighter.Figure) string {
	post, d := p.Figures[f], fighter.Define(f)
	switch d.Law {
	case fighter.Rate:
		if post.A == 0 {
			return "never"
		}
		return fmt.Sprintf("%s in %s free seconds, %s a second", short(post.A), wholes(post.B), short(post.Mean(d.Law)))
	case fighter.Weight:
		sum := 0.0
		for _, other := range calibrate.TableWith(f) {
			sum += p.Figures[other].Mean(d.Law)
		}
		if sum == 0 {
			return "weight " + short(post.Mean(d.Law))
		}
		return fmt.Sprintf("%.1f %% of the choices", 100*post.Mean(d.Law)/sum)
	case fighter.Skill:
		return fmt.Sprintf("%+.2f ± %.2f in log-odds", post.A, post.B)
	}
	return fmt.Sprintf("median %s %s, spread %s", short(post.A), d.Unit, short(post.B))
}

func wholes(x float64) string { return strconv.FormatFloat(x, 'f', 0, 64) }

// weighed writes a weight: as a whole number where it is one.
func weighed(x float64) string {
	return strconv.FormatFloat(six(x), 'f', -1, 64)
}

// tape says what the rows add up to.
func (b *Behind) tape() string {
	e := b.Exposure
	var out string
	switch kind, _, _ := strings.Cut(b.Figure, "."); kind {
	case "initiate":
		if e.Rounds == 0 {
			return "no coded round has free time there in which it was looked for and allowed"
		}
		out = fmt.Sprintf("%s in %.1f free seconds of %d rounds, %s a second", weighed(b.Count), e.Amount, e.Rounds, short(b.Count/e.Amount))
	case "answer", "continue", "defend":
		if e.Amount == 0 {
			return "no such choice is on the tape"
		}
		out = fmt.Sprintf("chosen in %s of %s, %.1f %%", weighed(b.Count), weighed(e.Amount), 100*b.Count/e.Amount)
		if e.Hidden > 0 {
			out += fmt.Sprintf("; in %s of them it was not looked for, so that it may have been done", weighed(e.Hidden))
		}
		if e.Barred > 0 {
			why := "the rules forbid it"
			if strings.HasSuffix(b.Figure, ".step_back") {
				why = "the back was on the fence, or the rules forbid it"
			}
			out += fmt.Sprintf("; in %s of them %s", weighed(e.Barred), why)
		}
	case "place":
		if e.Rounds == 0 {
			return "no coded round has free time there in which it was written down whether the place holds"
		}
		out = fmt.Sprintf("%s in %.1f free seconds there, of %d rounds, all ranges on the feet together", weighed(b.Count), e.Amount, e.Rounds)
	default:
		if b.Count == 0 {
			return "nothing of it is on the tape"
		}
		what := "came off"
		switch kind {
		case "bite":
			what = "were bitten on"
		case "defence":
			what = "were kept from coming off"
		case "after":
			what = "were followed by something"
		}
		out = fmt.Sprintf("%s of %s %s, %.1f %%", weighed(b.Hits), weighed(b.Count), what, 100*b.Hits/b.Count)
	}
	return out
}

// shownRows is how many rows the text lists.
const shownRows = 40

// Text says the figure, what stands behind it, and the rows.
func (b *Behind) Text(w io.Writer) error {
	var out strings.Builder
	fmt.Fprintf(&out, "%s of %s: %s\n", b.Figure, harmless(b.Fighter), b.Words)
	fmt.Fprintf(&out, "  profile: %s (source: %s)\n", b.Profile, b.Source)
	if b.Population != "" {
		fmt.Fprintf(&out, "  population: %s\n", b.Population)
	}
	if b.Tape != "" {
		fmt.Fprintf(&out, "  tape: %s\n", b.Tape)
	}
	if b.Coarse != nil {
		fmt.Fprintf(&out, "  coded by exchanges: %s\n", b.Coarse.Text)
	}
	if b.Agrees != "" {
		fmt.Fprintf(&out, "  %s\n", b.Agrees)
	}
	b.table(&out)
	for _, note := range b.Notes {
		fmt.Fprintf(&out, "Note: %s\n", harmless(note))
	}
	_, err := io.WriteString(w, out.String())
	return err
}

func (b *Behind) table(out *strings.Builder) {
	t := newAgreeTable()
	t.AppendRow(table.Row{"Bout", "round", "clock", "counted as", "did", "about"})
	listed, left := 0, map[string]int{}
	for i := range b.Rows {
		r := &b.Rows[i]
		if !b.Full && (listed == shownRows || b.unlisted(r)) {
			left[r.Counted]++
			continue
		}
		listed++
		as := r.Counted
		if r.Weight != 1 {
			as += " × " + short(r.Weight)
		}
		did := r.Did
		if r.Counted == CountedExposure && r.Clock == "" {
			did = fmt.Sprintf("free there for %.1f s", r.Seconds)
		} else if r.Counted == CountedExposure {
			did += fmt.Sprintf(", for %.1f s", r.Seconds)
		}
		where := harmless(r.Bout)
		if r.Line > 0 {
			where += fmt.Sprintf(" %s:%d", harmless(r.Coding), r.Line)
		}
		t.AppendRow(table.Row{where, r.Round, r.Clock, as, did, r.About})
	}
	if listed > 0 {
		out.WriteString("\n" + trimmed(t) + "\n")
	}
	for _, kind := range sortedByCount(left) {
		fmt.Fprintf(out, "  %d more rows that counted as %s: --full, json and csv list them.\n", left[kind], kind)
	}
}

// JSON writes all of it as one object, numbers to six digits.
func (b *Behind) JSON(w io.Writer) error { return writeJSON(w, b) }

// CSV writes one row for each row of tape, and for the exposure of each round (RFC 4180).
func (b *Behind) CSV(w io.Writer) error {
	rows := [][]string{{"bout", "coding", "line", "round", "clock", "counted_as", "did", "about", "weight", "seconds", "clean_hits"}}
	for _, r := range b.Rows {
		line, seconds, hits := "", "", ""
		if r.Line > 0 {
			line = strconv.Itoa(r.Line)
		}
		if r.Counted == CountedExposure {
			seconds = number(r.Seconds)
		}
		if b.Law == fighter.Skill && strings.HasSuffix(r.Coding, ".exchanges") {
			hits = strconv.Itoa(r.Hits)
		}
		rows = append(rows, []string{r.Bout, r.Coding, line, strconv.Itoa(int(r.Round)), r.Clock, r.Counted, r.Did, r.About, number(r.Weight), seconds, hits})
	}
	return csv.NewWriter(w).WriteAll(rows)
}

// VTT writes a cue over the video of one bout for every row that is listed there: of choices those at which it was chosen.
func (b *Behind) VTT(w io.Writer, bout *tape.Bout) error {
	var cues []Cue
	n := 0
	for i := range b.Rows {
		r := &b.Rows[i]
		if r.Counted == CountedExposure || b.unlisted(r) {
			continue
		}
		if n++; r.bout != bout {
			continue
		}
		text := fmt.Sprintf("%s %d: %s\n%s", b.Figure, n, r.Counted, r.Did)
		if r.About != "" {
			text += " (about: " + r.About + ")"
		}
		cues = append(cues, cueAround(bout, r.Round, r.at, fmt.Sprintf("%s (round %d, %s)", text, r.Round, r.Clock)))
	}
	return WriteVTT(w, []string{fmt.Sprintf("whatbout evidence of %s, %s, bout %s", b.Fighter, b.Figure, bout.ID), videoNote(bout)}, cues)
}
