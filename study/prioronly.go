package study

import (
	"whatbout/fighter"
	"whatbout/sim"
	"whatbout/tactics"
)

// PriorOnly is an act that a plan multiplies although the fighter's tape says nothing of it: the figure is the population's.
type PriorOnly struct {
	Plan  string   `json:"plan"`
	Rule  string   `json:"rule"`
	Act   string   `json:"act"`
	Where []string `json:"where"`
}

// priorOnly looks at what one rule multiplies in the states where it holds. What is forbidden or impossible there has no weight and
// does not count.
func priorOnly(p *fighter.Profile, side *sim.Side, rule int, states []state) (out []PriorOnly) {
	r := &side.Plan.Plan.Rules[rule]
	multiples := make([]float64, len(tactics.Alternatives(r.At)))
	side.Plan.Multipliers(r.At, 1<<rule, multiples)
	for i, by := range multiples {
		if by == 0 || by == 1 {
			continue
		}
		act := PriorOnly{Plan: side.Plan.Plan.Name, Rule: r.Name, Act: tactics.Alternatives(r.At)[i]}
		for _, s := range states {
			if before, _, _ := tables(side, r.At, s); before[i] > 0 && p.Sources[figureOf(r.At, s.row, i)] == fighter.FromPopulation {
				act.Where = append(act.Where, s.name)
			}
		}
		if len(act.Where) > 0 {
			out = append(out, act)
		}
	}
	return out
}

// figureOf is the figure behind an alternative of a choice table.
func figureOf(at tactics.Point, row, i int) fighter.Figure {
	switch at {
	case tactics.Initiate:
		return fighter.Initiate(fighter.Zone(row), moveAt(i))
	case tactics.Answer:
		return fighter.Answer(row, moveAt(i))
	case tactics.Continue:
		return fighter.Continue(row, moveAt(i))
	case tactics.Defend:
		return fighter.Defend(fighter.Threat(row), fighter.Response(i))
	case tactics.Survive:
		return fighter.Survive(fighter.Survival(i))
	}
	return fighter.Bite(fighter.Cue(row))
}
