package study

import (
	"cmp"
	"errors"
	"math"
	"slices"

	"whatbout/fighter"
	"whatbout/sim"
	"whatbout/tactics"
)

// Reweighted is one choice table before and after a rule, at the centre of the fighter's figures, where the rule holds and the plan is
// followed. Other rules that hold there act too.
type Reweighted struct {
	Rule    string        `json:"rule"`
	Point   string        `json:"point"`
	Where   string        `json:"where"`
	Unit    string        `json:"unit"` // "per minute" of being free, at initiate; "share" of decisions elsewhere
	Changes []ShareChange `json:"changes"`
}

// ShareChange is an alternative that the rule moves.
type ShareChange struct {
	What   string  `json:"what"`
	Before float64 `json:"before"`
	After  float64 `json:"after"`
}

// The units of Reweighted.
const (
	PerMinute = "per minute"
	OfShare   = "share"
)

// tellReweighted adds to a result what its plans re-weight, and which multiplied acts nobody coded.
func (q *Comparison) tellReweighted(r *Result) error {
	compiled, err := compile(q.Plans...)
	if err != nil {
		return err
	}
	var faults []error
	common := q.occasions(r)
	for p := range q.Plans {
		var side sim.Side
		plan := compiled[q.Plans[p]]
		faults = append(faults, side.Load(q.Fighter.Body, q.Fighter.Centre(), plan, nil, q.Rules))
		for i := range plan.Plan.Rules {
			states := common.where(&plan.Plan.Rules[i])
			r.Plans[p].Reweighted = append(r.Plans[p].Reweighted, reweighted(&side, &plan.Plan.Rules[i], states)...)
			r.PriorOnly = append(r.PriorOnly, priorOnly(q.Fighter, &side, i, states)...)
		}
	}
	return errors.Join(faults...)
}

// reweighted gives the tables that a rule moves, the most frequent first.
func reweighted(side *sim.Side, rule *tactics.Rule, states []state) (out []Reweighted) {
	for _, s := range states {
		before, after, unit := tables(side, rule.At, s)
		w := Reweighted{Rule: rule.Name, Point: rule.At.String(), Where: s.name, Unit: unit}
		for i, what := range tactics.Alternatives(rule.At) {
			if math.Abs(after[i]-before[i]) > 1e-9 {
				w.Changes = append(w.Changes, ShareChange{what, before[i], after[i]})
			}
		}
		if len(w.Changes) > 0 {
			out = append(out, w)
		}
	}
	return out
}

// tables gives a choice table as usual and under the plan. At believe it is the chance of taking an onset as real that looks half real
// and half empty, at the start of a bout.
func tables(side *sim.Side, at tactics.Point, s state) (before, after []float64, unit string) {
	if at == tactics.Believe {
		odds := side.Plan.BeliefOdds(side.Plan.Active(at, &s.facts))
		return []float64{chance(s.bite)}, []float64{chance(s.bite + math.Log(odds))}, OfShare
	}
	before, after = side.Reweighted(at, s.row, s.facts)
	if at != tactics.Initiate {
		return before, after, OfShare
	}
	for i := range before {
		before[i], after[i] = 60*before[i], 60*after[i]
	}
	return before, after, PerMinute
}

func chance(logit float64) float64 { return 1 / (1 + math.Exp(-logit)) }

// state is one state in which a rule holds: the row of its choice table, and facts that make it hold.
type state struct {
	name  string
	row   int
	facts tactics.Facts
	often float64 // how often it comes up, for order only
	bite  float64 // at believe: log-odds of the cue
}

// occasions is how often states come up: the fighter's time by zone under the baseline, and what the opponent begins there.
type occasions struct {
	zone   [fighter.NumZones]float64
	threat [fighter.NumThreats]float64
	bite   [fighter.NumCues]float64
}

func (q *Comparison) occasions(r *Result) (o occasions) {
	theirs, own := q.Opponent.Centre(), q.Fighter.Centre()
	for z := range fighter.NumZones {
		o.zone[z] = r.Plans[0].Outcomes["time_share_"+z.String()].Mean
		for i := range tactics.Alternatives(tactics.Initiate) {
			m := moveAt(i)
			if a := m.Act(); a.IsAttack() || a.IsFeint() {
				o.threat[fighter.ThreatOf(a)] += o.zone[z] * theirs[fighter.Initiate(z, m)]
			}
		}
	}
	for c := range fighter.NumCues {
		o.bite[c] = own[fighter.Bite(c)]
	}
	return o
}

// where lists the states in which a rule holds, one a row of its table, the most frequent first. Facts that the row does not settle have
// the first value that the rule names; what it does not name is not known.
func (o *occasions) where(rule *tactics.Rule) []state {
	var out []state
	switch rule.At {
	case tactics.Initiate:
		out = o.zones(rule)
	case tactics.Answer, tactics.Continue:
		out = o.exchanges(rule)
	case tactics.Defend:
		out = o.threats(rule)
	case tactics.Believe:
		out = o.cues(rule)
	case tactics.Survive:
		facts := factsOf(rule)
		out = []state{{name: "hurt, standing", facts: facts, often: 1}, {name: "down", row: 1, facts: facts}}
	}
	slices.SortStableFunc(out, func(a, b state) int { return cmp.Compare(b.often, a.often) })
	return out
}

// named reports whether a rule lets a fact have a value.
func named(rule *tactics.Rule, f tactics.Fact, value int) bool {
	values, limited := rule.When[f]
	return !limited || slices.Contains(values, value)
}

// factsOf sets the facts that a rule names to their first value, but for those that the row settles.
func factsOf(rule *tactics.Rule, settled ...tactics.Fact) (facts tactics.Facts) {
	for f := range tactics.NumFacts {
		if values := rule.When[f]; len(values) > 0 && !slices.Contains(settled, f) {
			facts.Set(f, slices.Min(values))
		}
	}
	return facts
}

func (o *occasions) zones(rule *tactics.Rule) (out []state) {
	for z := range fighter.NumZones {
		if value := int(min(z, fighter.Top)); named(rule, tactics.FactRange, value) {
			s := state{name: zoneWords[z], row: int(z), facts: factsOf(rule, tactics.FactRange), often: o.zone[z]}
			s.facts.Set(tactics.FactRange, value)
			out = append(out, s)
		}
	}
	return out
}

// exchanges gives the zones that have answer and continue tables; at out they are those of kicking range.
func (o *occasions) exchanges(rule *tactics.Rule) (out []state) {
	for z := fighter.Kicking; z <= fighter.Pocket; z++ {
		value := int(z)
		if z == fighter.Kicking && !named(rule, tactics.FactRange, value) {
			value = int(fighter.Out)
		}
		if named(rule, tactics.FactRange, value) {
			s := state{name: zoneWords[z], row: z.Exchange(), facts: factsOf(rule, tactics.FactRange), often: o.zone[z]}
			s.facts.Set(tactics.FactRange, value)
			out = append(out, s)
		}
	}
	return out
}

func (o *occasions) threats(rule *tactics.Rule) (out []state) {
	for t := range fighter.NumThreats {
		if named(rule, tactics.FactThreat, int(t)) && named(rule, tactics.FactCue, int(t.Cue())) {
			out = append(out, o.onset(rule, t, threatWords[t], int(t)))
		}
	}
	return out
}

// cues gives one state a cue: that of its most frequent threat.
func (o *occasions) cues(rule *tactics.Rule) (out []state) {
	for c := range fighter.NumCues {
		best, found := fighter.Threat(0), false
		for t := range fighter.NumThreats {
			if t.Cue() == c && named(rule, tactics.FactThreat, int(t)) && (!found || o.threat[t] > o.threat[best]) {
				best, found = t, true
			}
		}
		if found && named(rule, tactics.FactCue, int(c)) {
			s := o.onset(rule, best, cueWords[c], int(c))
			s.bite = o.bite[c]
			out = append(out, s)
		}
	}
	return out
}

func (o *occasions) onset(rule *tactics.Rule, t fighter.Threat, name string, row int) state {
	s := state{name: name, row: row, facts: factsOf(rule, tactics.FactThreat, tactics.FactCue), often: o.threat[t]}
	s.facts.Set(tactics.FactThreat, int(t))
	s.facts.Set(tactics.FactCue, int(t.Cue()))
	return s
}
