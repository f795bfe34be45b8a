package report

import (
	"encoding/json"
	"fmt"
	"io"
	"strings"

	"whatbout/sim"
	"whatbout/study"
	"whatbout/tactics"
	"whatbout/tape"
)

// PartSchema names the JSON form of a parting.
const PartSchema = "whatbout.part/1"

// Parting is where one bout parts under two plans on the same luck. Stories are of the bouts, in the order of the parting's.
type Parting struct {
	*study.Parting
	Stories  [2]*Story
	Opponent *tactics.Plan // the opponent's plan in both; nil: as usual
	Inputs   []Input
	Warnings []string
	Version  string
	Again    string
}

// Text says when the two part, what each did and why, and how both end.
func (p *Parting) Text(w io.Writer) error {
	var b strings.Builder
	s := p.Stories[0]
	fmt.Fprintf(&b, "%s against %s, %s. %s, %s and %s\n\n", title(s.Names[0]), title(s.Names[1]), s.Rules.Name, s.which(), quoted(s.Plans[0]), quoted(p.Stories[1].Plans[0]))
	if !p.Parts {
		b.WriteString("They never part: on this luck no choice differs, and neither does anything else.\n\n" + s.ending() + "\n")
	} else {
		p.moment(&b)
		p.endings(&b)
	}
	for _, warning := range p.Warnings {
		fmt.Fprintf(&b, "Note: %s\n", warning)
	}
	fmt.Fprintf(&b, "\nThe same again: %s\n\n%s", p.Again, Cautions)
	_, err := io.WriteString(w, b.String())
	return err
}

// moment says what happens where they part, and what stands behind it on each side.
func (p *Parting) moment(b *strings.Builder) {
	m := p.Moment
	who := title(p.Stories[0].Names[m.Corner])
	fmt.Fprintf(b, "They are the same bout until round %d, %s. Then, %s, %s\n", m.Round, Clock(m.Clock), occasions[m.At], who)
	for i := range p.Bouts {
		fmt.Fprintf(b, "  %s: %s\n", planWords(p.Stories[i].Plans[0]), p.did(i))
	}
	for i := range p.Bouts {
		bout := &p.Bouts[i]
		if bout.Choice == nil || p.rulesOf(i) == nil {
			continue
		}
		fmt.Fprintf(b, "\nWhat stood behind it %s", quoted(p.Stories[i].Plans[0]))
		tell := &Moment{Story: p.Stories[i], Plans: [2]*tactics.Plan{bout.Plan, p.Opponent}}
		if bout.Choice.At == tactics.Believe {
			tell.tellBelief(b, bout.Choice)
			continue
		}
		tell.tellChoice(b, bout.Choice)
	}
	p.luck(b)
}

// rulesOf are the rules that hold at the moment on one side.
func (p *Parting) rulesOf(i int) []int { return p.Bouts[i].Choice.Rules }

// luck says that only the plans differ.
func (p *Parting) luck(b *strings.Builder) {
	if p.Moment.At == tactics.Believe {
		b.WriteString("\nBoth saw the same movement with the same luck; only the plans weigh it differently.\n")
		return
	}
	b.WriteString("\nBoth drew the same number. What it falls on moves with every option before it, so the act itself need not be one that the plan asks for.\n")
}

// nothing is what a side does where it begins nothing, by choice point.
var nothing = [tactics.NumPoints]string{tactics.Initiate: "begins nothing", tactics.Answer: "does nothing", tactics.Continue: "stops there"}

// did says what a side did, and what came of it on the tape.
func (p *Parting) did(i int) string {
	bout := &p.Bouts[i]
	name := bout.Did()
	if name == "" || name == "none" {
		return nothing[p.Moment.At] + "."
	}
	if p.Moment.At == tactics.Believe {
		words := map[string]string{"real": "takes it for real.", "not real": "does not take it for real."}[name]
		return words + p.came(i)
	}
	if bout.Act < 0 {
		return spaced(name) + ", which was cut off."
	}
	return spaced(name) + "." + p.came(i)
}

// came is the row of the tape that belongs to it, in words.
func (p *Parting) came(i int) string {
	bout := &p.Bouts[i]
	if bout.Act < 0 {
		return ""
	}
	e := &bout.Events[bout.Act]
	return fmt.Sprintf(" %s: %s", Clock(e.Clock), p.Stories[i].tell(e))
}

func (p *Parting) endings(b *strings.Builder) {
	b.WriteString("\nHow they end\n")
	for i, s := range p.Stories {
		fmt.Fprintf(b, "  %s: %s\n", planWords(s.Plans[0]), p.Stories[i].ending())
	}
	if p.Stories[0].ending() == p.Stories[1].ending() {
		b.WriteString("  In the end it made no difference.\n")
	}
	b.WriteString("One pair of bouts shows how a plan can matter, not how often: that is whatbout compare.\n")
}

type partSide struct {
	Plan   string        `json:"plan"`
	Did    string        `json:"did"` // "" for nothing
	Told   string        `json:"told"`
	Row    *int          `json:"row"` // of the tape, of what was done, from 0; null: none
	Choice *momentChoice `json:"choice"`
	Ending string        `json:"ending"`
	Winner string        `json:"winner,omitempty"`
	Method string        `json:"method"`
}

// JSON writes the parting as one object.
func (p *Parting) JSON(w io.Writer) error {
	s := p.Stories[0]
	out := struct {
		Schema   string      `json:"schema"`
		Version  string      `json:"version"`
		Rules    string      `json:"rules"`
		Seed     uint64      `json:"seed"`
		Draw     *int        `json:"draw"` // null: the centre of everything
		Bout     int         `json:"bout"`
		Red      string      `json:"red"`
		Blue     string      `json:"blue"`
		Parts    bool        `json:"parts"`
		Round    int         `json:"round,omitempty"`
		Clock    string      `json:"clock,omitempty"`
		Micros   int64       `json:"clock_microseconds"`
		Fighter  string      `json:"fighter,omitempty"`
		Point    string      `json:"point,omitempty"`
		Row      int         `json:"first_row_that_differs"`
		Sides    [2]partSide `json:"sides"`
		Inputs   []Input     `json:"inputs"`
		Warnings []string    `json:"warnings"`
		Again    string      `json:"again"`
	}{PartSchema, p.Version, s.Rules.Name, s.Seed, nil, s.Bout, s.Names[0], s.Names[1], p.Parts, 0, "", 0, "", "", p.Row, [2]partSide{}, p.Inputs, p.Warnings, p.Again}
	if s.Draw >= 0 {
		out.Draw = &s.Draw
	}
	if p.Parts {
		m := p.Moment
		out.Round, out.Clock, out.Micros, out.Fighter, out.Point = int(m.Round), tape.FormatClock(m.Clock), m.Clock, s.Names[m.Corner], m.At.String()
	}
	for i := range p.Bouts {
		out.Sides[i] = p.side(i)
	}
	e := json.NewEncoder(w)
	e.SetIndent("", " ")
	return e.Encode(out)
}

func (p *Parting) side(i int) partSide {
	bout, s := &p.Bouts[i], p.Stories[i]
	out := partSide{Plan: s.Plans[0], Did: bout.Did(), Ending: s.ending(), Method: bout.Outcome.Verdict.Method.String()}
	if v := bout.Outcome.Verdict; v.Winner >= 0 && v.Method != sim.NoContest {
		out.Winner = s.Names[v.Winner]
	}
	if p.Parts {
		out.Told = p.did(i)
		out.Choice = (&Moment{Story: s, Plans: [2]*tactics.Plan{bout.Plan, p.Opponent}}).choice(bout.Choice)
	}
	if bout.Act >= 0 {
		out.Row = &bout.Act
	}
	return out
}
