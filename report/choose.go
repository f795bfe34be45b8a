package report

import (
	"io"

	"whatbout/study"
)

// SchemaOfChoice names what the JSON form holds.
const SchemaOfChoice = "whatbout.choose/1"

// Choice is a choice between plans with everything needed to say it and to run it again. Values are in the unit of what counts, per bout.
type Choice struct {
	Schema       string            `json:"schema"`
	Version      string            `json:"version"`
	Seed         uint64            `json:"seed"`
	Rules        string            `json:"rules"`
	Fighter      string            `json:"fighter"`
	Opponent     string            `json:"opponent"`
	OpponentPlan string            `json:"opponent_plan"`
	Counts       string            `json:"what_counts"`
	Unit         string            `json:"unit_in_100"` // of a hundred times a value
	Tolerance    float64           `json:"tolerance"`
	Level        float64           `json:"level"`
	Bouts        int               `json:"bouts_per_draw"`
	Most         int               `json:"most_draws"`
	HarmMargin   float64           `json:"harm_margin"`
	AcceptHarm   bool              `json:"accept_harm"`
	Verdict      study.Verdict     `json:"verdict"`
	Leader       string            `json:"leader"`
	AsGood       []string          `json:"as_good"`
	Bound        float64           `json:"simulation_loss_at_most"`
	Needed       int               `json:"draws_needed,omitempty"`
	Looks        int               `json:"looks"`
	Plans        []study.Contender `json:"plans"`
	Remaining    study.Buys        `json:"knowing_the_truth"`
	Tape         study.Buys        `json:"knowing_the_tape"`
	Ledger       study.Ledger      `json:"ledger"`
	Work         study.Work        `json:"work"`
	Partial      bool              `json:"partial,omitempty"`
	Inputs       []Input           `json:"inputs"`
	Warnings     []string          `json:"warnings"`
	Again        string            `json:"again"` // the line that gives the same bytes
}

// NewChoice describes a result. Version, what was read, warnings and the line to repeat it are left to the caller.
func NewChoice(q *study.Choice, r *study.ChoiceResult) *Choice {
	c := &Choice{Schema: SchemaOfChoice, Seed: q.Seed, Rules: q.Rules.Name, Fighter: q.Fighter.ID, Opponent: q.Opponent.ID, OpponentPlan: "as usual",
		Counts: q.Value.Text, Unit: unitOf(q.Value), Tolerance: q.Tolerance, Level: q.Level, Bouts: q.Bouts, Most: q.Draws, HarmMargin: study.HarmMargin,
		AcceptHarm: q.AcceptHarm, Verdict: r.Verdict, Leader: r.Leader, AsGood: r.AsGood, Bound: r.Bound, Needed: r.Needed, Looks: r.Looks,
		Plans: r.Plans, Remaining: r.Remaining, Tape: r.Tape, Ledger: r.Ledger, Work: r.Work, Partial: r.Partial, Inputs: []Input{}, Warnings: []string{}}
	if q.OpponentPlan != nil {
		c.OpponentPlan = q.OpponentPlan.Name
	}
	return c
}

// unitOf says what a hundred times the value are.
func unitOf(v *study.Value) string {
	switch {
	case v.Counts("win"):
		return "bouts in 100"
	case v.Counts("score_margin"):
		return "judges' points in 100 bouts"
	}
	return "hundredths, as weighed"
}

// JSON writes the choice as one object, every number with six digits.
func (c *Choice) JSON(w io.Writer) error { return writeJSON(w, c) }

func (c *Choice) find(plan string) *study.Contender {
	for i := range c.Plans {
		if c.Plans[i].Name == plan {
			return &c.Plans[i]
		}
	}
	return nil
}

// barred are the plans that harm keeps from being chosen.
func (c *Choice) barred() (out []*study.Contender) {
	for i := range c.Plans {
		if c.Plans[i].Barred {
			out = append(out, &c.Plans[i])
		}
	}
	return out
}
