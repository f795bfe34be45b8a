// Package report puts results into words, tables and files. It decides wording and rounding; what is true is left to study.
package report

import (
	"whatbout/fighter"
	"whatbout/study"
)

// Input names something that was read, by hash.
type Input struct {
	Name   string `json:"name"`
	SHA256 string `json:"sha256"`
}

// Comparison is a comparison with everything needed to say it and to run it again. Shares are from 0 to 1, times in seconds,
// distances in metres.
type Comparison struct {
	Schema       string                `json:"schema"`
	Version      string                `json:"version"`
	Seed         uint64                `json:"seed"`
	Draws        int                   `json:"draws"`
	TapeDraws    int                   `json:"tape_draws"`
	Bouts        int                   `json:"bouts_per_draw"`
	Played       int                   `json:"bouts"`
	Level        float64               `json:"level"`
	Within       *study.Stopping       `json:"within,omitempty"`
	Rules        string                `json:"rules"`
	Fighter      string                `json:"fighter"`
	Opponent     string                `json:"opponent"`
	OpponentPlan string                `json:"opponent_plan"`
	Inputs       []Input               `json:"inputs"`
	Plans        []study.PlanResult    `json:"plans"`
	Differences  []study.Difference    `json:"differences"`
	Full         []study.FullAdherence `json:"full_adherence"`
	Evidence     []Evidence            `json:"evidence"`
	PriorOnly    []study.PriorOnly     `json:"prior_only"`
	Ledgers      []study.Ledger        `json:"ledgers"`
	Warnings     []string              `json:"warnings"`
	Again        string                `json:"again"`             // the line that gives the same result
	Truth        map[string]float64    `json:"truth,omitempty"`   // of the share of bouts won, by plan; demo only
	Watched      *study.TraceResult    `json:"watched,omitempty"` // closely, for a page
}

// SchemaOfComparison names what the JSON form holds.
const SchemaOfComparison = "whatbout.compare/1"

// NewComparison describes a result. What was read, warnings, the line to repeat it and the demo's truth are left to the caller.
func NewComparison(q *study.Comparison, r *study.Result) *Comparison {
	c := &Comparison{
		Schema: SchemaOfComparison, Seed: q.Seed, Draws: r.Draws, TapeDraws: r.TapeDraws, Bouts: r.Bouts, Played: r.Played, Level: q.Level,
		Within: r.Within, Rules: q.Rules.Name, Fighter: q.Fighter.ID, Opponent: q.Opponent.ID, OpponentPlan: "as usual",
		Plans: r.Plans, Differences: r.Differences, Full: r.Full, PriorOnly: r.PriorOnly,
		Ledgers: r.Ledgers,
	}
	if c.Ledgers == nil {
		c.Ledgers = []study.Ledger{}
	}
	if c.PriorOnly == nil {
		c.PriorOnly = []study.PriorOnly{}
	}
	if q.OpponentPlan != nil {
		c.OpponentPlan = q.OpponentPlan.Name
	}
	for _, p := range []*fighter.Profile{q.Fighter, q.Opponent} {
		c.Evidence = append(c.Evidence, evidenceOf(p))
	}
	return c
}

func (c *Comparison) find(plan, outcome string) *study.Difference {
	for i := range c.Differences {
		if d := &c.Differences[i]; d.Plan == plan && d.Outcome == outcome {
			return d
		}
	}
	return nil
}

func (c *Comparison) inFull(plan, outcome string) *study.FullAdherence {
	for i := range c.Full {
		if f := &c.Full[i]; f.Plan == plan && f.Outcome == outcome {
			return f
		}
	}
	return nil
}
