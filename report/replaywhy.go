package report

import (
	"fmt"
	"slices"
	"strings"

	"whatbout/sim"
	"whatbout/study"
	"whatbout/tactics"
)

// whyIs is one reason behind a row: a heading, lines of words, and a table whose rows are a word and numbers. Words that come again and
// again are numbers into the replay's words.
type whyIs struct {
	Head  string  `json:"head"`
	Knew  []int   `json:"knew,omitempty"`
	Lines []int   `json:"lines,omitempty"`
	Unit  int     `json:"unit"` // of the numbers
	Plan  bool    `json:"plan,omitempty"`
	Rows  [][]any `json:"rows,omitempty"` // word, number as usual, with the plan
	Mark  int     `json:"mark"`           // the row that was drawn; -1: none
	Note  string  `json:"note,omitempty"`
}

// lexicon numbers words.
type lexicon struct {
	list []string
	at   map[string]int
}

func (l *lexicon) of(word string) int {
	i, known := l.at[word]
	if !known {
		i = len(l.list)
		l.at[word], l.list = i, append(l.list, word)
	}
	return i
}

func (l *lexicon) each(words []string) (out []int) {
	for _, w := range words {
		out = append(out, l.of(w))
	}
	return out
}

// replayOptions is how many options are shown by name beside a moving picture.
const replayOptions = 5

// why lists the reasons behind the moment, in the order in which they came.
func (m *Moment) why(words *lexicon) (out []whyIs) {
	if m.Begun == nil && m.Landing == nil && m.Believed == nil && m.Defended == nil {
		return nil
	}
	if m.Begun != nil {
		out = append(out, m.whyChoice(m.Begun, words))
	}
	if m.Believed != nil {
		out = append(out, m.whyBelief(m.Believed, words))
	}
	if m.Defended != nil {
		out = append(out, m.whyChoice(m.Defended, words))
	}
	if m.Landing != nil {
		out = append(out, m.whyLanding(m.Landing, words))
	}
	return out
}

func (m *Moment) whyChoice(c *sim.Choice, words *lexicon) whyIs {
	w := whyIs{Head: fmt.Sprintf("%s at %s, %s, %.2f m apart", title(m.Story.Names[c.Corner]), Clock(c.Clock), occasions[c.At], c.Gap),
		Knew: words.each(knownWords(c.Known)), Plan: len(c.Rules) > 0, Mark: -1}
	unit, times := "of 100", 100.0
	if c.At == tactics.Initiate {
		unit, times = "a minute of free time", sim.Bound*60
	}
	w.Unit = words.of(unit)
	if rules := m.ruleWords(c); rules != "" {
		w.Lines = append(w.Lines, words.of(rules))
	}
	add := func(name string, usual, planned float64) {
		row := []any{words.of(name), oneDigit(times * usual)}
		if w.Plan {
			row = append(row, oneDigit(times*planned))
		}
		w.Rows = append(w.Rows, row)
	}
	rest := [2]float64{}
	for i, o := range shown(c) {
		switch {
		case o.Name == c.Name():
			w.Mark = len(w.Rows)
			add(spaced(o.Name), o.Usual, o.Planned)
		case i < replayOptions:
			add(spaced(o.Name), o.Usual, o.Planned)
		default:
			rest[0], rest[1] = rest[0]+o.Usual, rest[1]+o.Planned
		}
	}
	if rest[0]+rest[1] > 0 {
		add("everything else", rest[0], rest[1])
	}
	if c.At == tactics.Initiate {
		w.Note = fmt.Sprintf("At %.0f %% of such moments nothing begins.", 100*(1-total(c)))
	}
	return w
}

// oneDigit is a number with one digit.
func oneDigit(x float64) string { return fmt.Sprintf("%.1f", x) }

func (m *Moment) whyBelief(c *sim.Choice, words *lexicon) whyIs {
	b := c.Belief
	took := "did not take it for real"
	if c.Chosen == 1 {
		took = "took it for real"
	}
	w := whyIs{Head: fmt.Sprintf("%s at %s saw a %s move and %s", title(m.Story.Names[c.Corner]), Clock(c.Clock), cueWords[b.Cue], took), Mark: -1,
		Note: "Together " + oddsWords(b.Percept+b.Readiness+b.Learned+b.Plan) + "."}
	if rules := m.ruleWords(c); rules != "" {
		w.Lines = append(w.Lines, words.of(rules))
	}
	add := func(what string, odds int32) { w.Rows = append(w.Rows, []any{words.of(what), oddsWords(odds)}) }
	add("how it looked", b.Percept)
	add("own readiness", b.Readiness)
	add(fmt.Sprintf("this bout so far (%d real, %d empty)", b.SeenReal, b.SeenEmpty), b.Learned)
	if b.Plan != 0 {
		add("the plan", b.Plan)
	}
	w.Unit = words.of("odds")
	return w
}

func (m *Moment) whyLanding(l *sim.Landing, words *lexicon) whyIs {
	w := whyIs{Mark: -1, Unit: words.of("of 100")}
	if l.Short > 0 {
		w.Head = fmt.Sprintf("Why it missed: when it came, %s stood %.2f m further away than a %s reaches, the body's fall counted", title(m.Story.Names[1-l.Corner]),
			float64(l.Short)/1000, spaced(l.Move.String()))
		return w
	}
	w.Head = "Why it did not land clean"
	if l.Clean() {
		w.Head = "Why it landed clean"
	}
	for i, c := range m.contributions(l) {
		form := "%+.1f"
		if i == 0 {
			form = "%.1f"
		}
		w.Rows = append(w.Rows, []any{words.of(c.Reason), strings.Replace(fmt.Sprintf(form, c.Points), "-", "\u2212", 1)})
	}
	w.Rows = append(w.Rows, []any{words.of("in all"), oneDigit(100 * l.Chance)})
	w.Note = fmt.Sprintf("Drawn: %.1f of 100; below %.1f it lands clean.", 100*l.Drawn, 100*l.Chance)
	if !l.Clean() {
		w.Note += " A second draw says how it failed."
	}
	return w
}

// part says where the two bouts part, and why; nil if they do not.
func (r *Replay) part(words *lexicon) *replayPart {
	p := r.Parting
	if p == nil || !p.Parts {
		return nil
	}
	out := &replayPart{Round: int(p.Moment.Round), Clock: p.Moment.Clock, First: p.Row}
	for i := range p.Bouts {
		b := &p.Bouts[i]
		out.Told = append(out.Told, r.partWords(i, b, &p.Moment))
		why := []whyIs{}
		if b.Choice != nil {
			m := &Moment{Story: r.Story(i), Plans: r.Bouts[i].Plans}
			if b.Choice.Belief != nil {
				why = append(why, m.whyBelief(b.Choice, words))
			} else {
				why = append(why, m.whyChoice(b.Choice, words))
			}
		}
		out.Why = append(out.Why, why)
	}
	return out
}

// PartingText says where two bouts part, in lines: the first when, then one for each.
func (r *Replay) PartingText() []string {
	p := r.Parting
	if !p.Parts {
		return []string{"On this luck the two plans never part: the bouts are the same to the last row."}
	}
	out := []string{fmt.Sprintf("They part in round %d at %s, %s", p.Moment.Round, Clock(p.Moment.Clock), partOccasions[p.Moment.At])}
	for i := range p.Bouts {
		out = append(out, r.partWords(i, &p.Bouts[i], &p.Moment))
	}
	return out
}

// partOccasions say what kind of choice it was.
var partOccasions = [tactics.NumPoints]string{
	tactics.Initiate: "over what to begin", tactics.Believe: "over whether to believe a first movement", tactics.Defend: "over a defence",
	tactics.Answer: "over an answer", tactics.Continue: "over how to go on", tactics.Survive: "over what to do while hurt",
}

// partWords says what was done at the moment under plan i.
func (r *Replay) partWords(i int, b *study.PartedBout, m *sim.Decision) string {
	name := title(r.Names[m.Corner])
	did := spaced(b.Did())
	switch {
	case b.Choice != nil && m.At == tactics.Believe && b.Choice.Chosen == 1:
		did = name + " takes it for real"
	case b.Choice != nil && m.At == tactics.Believe:
		did = name + " does not take it for real"
	case slices.Contains([]string{"", "none"}, did):
		did = name + " begins nothing"
	default:
		did = name + " chooses: " + did
	}
	return capital(planCalled(r.Bouts[i].Plans[0])) + ": " + did + "."
}
