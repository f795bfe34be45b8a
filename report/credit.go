package report

import (
	"encoding/csv"
	"fmt"
	"io"

	"whatbout/study"
)

// CreditSchema names the JSON form of which rule does the work.
const CreditSchema = "whatbout.credit/1"

// Credit is which rule of a plan does the work, with everything needed to say it and to run it again. Figures are per bout.
type Credit struct {
	Schema       string             `json:"schema"`
	Version      string             `json:"version"`
	Seed         uint64             `json:"seed"`
	Draws        int                `json:"draws"`
	Bouts        int                `json:"bouts_per_draw"`
	Played       int                `json:"bouts"`
	Plain        int                `json:"plain_bouts"` // that the plain way would have taken
	Sets         int                `json:"sets_of_rules"`
	Exact        bool               `json:"all_sets"` // the shares go over all sets of rules
	Level        float64            `json:"level"`
	Rules        string             `json:"rules"`
	Fighter      string             `json:"fighter"`
	Opponent     string             `json:"opponent"`
	OpponentPlan string             `json:"opponent_plan"`
	Plan         string             `json:"plan"`
	Usual        float64            `json:"as_usual"` // share of bouts won
	Effect       study.Credited     `json:"effect"`
	Credits      []study.RuleCredit `json:"credits"` // in the order of the plan
	Asks         []string           `json:"asks"`    // what each rule asks for, in words
	Together     study.Credited     `json:"together"`
	Pairs        []study.PairCredit `json:"pairs"`
	Outcomes     []study.PlanMove   `json:"outcomes"`
	Partial      bool               `json:"partial,omitempty"`
	Inputs       []Input            `json:"inputs"`
	Warnings     []string           `json:"warnings"`
	Again        string             `json:"again"`
}

// NewCredit describes a result; version, what was read, warnings and the line to repeat it are left to the caller.
func NewCredit(q *study.Credit, r *study.CreditResult) *Credit {
	c := &Credit{Schema: CreditSchema, Seed: q.Seed, Draws: r.Draws, Bouts: r.Bouts, Played: r.Work.Bouts, Plain: r.Work.Plain, Sets: r.Sets, Exact: r.Exact,
		Level: q.Level, Rules: q.Rules.Name, Fighter: q.Fighter.ID, Opponent: q.Opponent.ID, OpponentPlan: "as usual", Plan: q.Plan.Name, Usual: r.Usual,
		Effect: r.Effect, Credits: r.Rules, Together: r.Together, Pairs: append([]study.PairCredit{}, r.Pairs...), Outcomes: r.Outcomes, Partial: r.Partial, Inputs: []Input{}, Warnings: []string{}}
	for i := range q.Plan.Rules {
		c.Asks = append(c.Asks, ruleWords(&q.Plan.Rules[i]))
	}
	if q.OpponentPlan != nil {
		c.OpponentPlan = q.OpponentPlan.Name
	}
	return c
}

func (c *Credit) lacks() string {
	if len(c.Credits) == 0 || len(c.Asks) != len(c.Credits) {
		return "its rules and their words do not go together"
	}
	if len(c.Outcomes) != len(study.Measures) {
		return fmt.Sprintf("it has %d outcomes of %d", len(c.Outcomes), len(study.Measures))
	}
	for i := range study.Measures {
		if c.Outcomes[i].Outcome != study.Measures[i].Name {
			return "it has no outcome " + study.Measures[i].Name
		}
		for _, r := range c.Credits {
			if len(r.Moves) != len(study.Measures) || r.Moves[i].Outcome != study.Measures[i].Name {
				return fmt.Sprintf("rule %q has no %s", r.Rule, study.Measures[i].Name)
			}
		}
	}
	for _, p := range c.Pairs {
		for _, i := range p.Rules {
			if i < 0 || i >= len(c.Credits) {
				return "it has a pair of rules that it does not name"
			}
		}
	}
	return ""
}

// JSON writes it as one object, six digits a number.
func (c *Credit) JSON(w io.Writer) error { return writeJSON(w, c) }

// CSV writes a row for each rule and outcome, and for the whole plan under no rule's name.
func (c *Credit) CSV(w io.Writer) error {
	rows := [][]string{{"rule", "outcome", "share", "simulation_low", "simulation_high", "all_doubt_low", "all_doubt_high", "resolved", "alone", "left_out"}}
	row := func(rule, outcome string, x *study.Credited, alone, last float64) {
		cells := append([]string{rule, outcome}, numbers(x.Mean, x.Simulation.Low, x.Simulation.High, x.AllDoubt.Low, x.AllDoubt.High)...)
		rows = append(rows, append(append(cells, string(x.Resolved)), numbers(alone, last)...))
	}
	for i := range c.Outcomes {
		o := &c.Outcomes[i]
		row("", o.Outcome, &o.Effect, o.Effect.Mean, o.Effect.Mean)
	}
	for _, r := range c.Credits {
		for i := range r.Moves {
			m := &r.Moves[i]
			row(r.Rule, m.Outcome, &m.Share, m.Alone, m.Last)
		}
	}
	return csv.NewWriter(w).WriteAll(rows)
}

// isTelling reports whether a mean is told from none.
func isTelling(x *study.Credited) bool {
	return x.Resolved == study.Resolved || x.Resolved == study.MeanResolved
}
