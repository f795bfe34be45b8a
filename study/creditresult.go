package study

import (
	"math"

	"whatbout/internal/infer"
)

// result says what the finished draws tell.
func (s *sharing) result() *CreditResult {
	sets := len(s.of(0).sets)
	r := &CreditResult{Exact: s.exact(), Draws: s.draws, Bouts: s.q.Bouts, Sets: sets, Effect: s.credited(s.wide[0][winMeasure]),
		Together: s.credited(s.narrow[s.n]), Usual: infer.Split(s.usual[winMeasure]).Mean, Work: CreditWork{Bouts: s.played}}
	for m := range Measures {
		r.Outcomes = append(r.Outcomes, PlanMove{Measures[m].Name, infer.Split(s.usual[m]).Mean, s.credited(s.wide[0][m])})
	}
	for i, rule := range s.q.Plan.Rules {
		c := s.rule(i)
		c.Rule = rule.Name
		r.Rules = append(r.Rules, c)
		r.Work.Plain += s.plain(c.Share.Luck)
	}
	for i, p := range s.pairs() {
		more := s.credited(s.narrow[s.n+1+i])
		apart := r.Rules[p[0]].Alone.Mean + r.Rules[p[1]].Alone.Mean
		r.Pairs = append(r.Pairs, PairCredit{Rules: p, Together: apart + more.Mean, Apart: apart, More: more})
	}
	for i := range s.q.Groups {
		r.Groups = append(r.Groups, s.credited(s.narrow[s.n+1+len(r.Pairs)+i]))
	}
	return r
}

// rule is what rule i does.
func (s *sharing) rule(i int) RuleCredit {
	alone, last, share := s.wide[1+i], s.wide[1+s.n+i], s.wide[1+2*s.n+i]
	c := RuleCredit{Share: s.credited(share[winMeasure]), Alone: s.credited(alone[winMeasure]), Last: s.credited(last[winMeasure]), Depends: s.credited(s.narrow[i])}
	for m := range Measures {
		c.Moves = append(c.Moves, RuleMove{Measures[m].Name, s.credited(share[m]), infer.Split(alone[m]).Mean, infer.Split(last[m]).Mean})
	}
	return c
}

// credited sums a form up over the draws.
func (s *sharing) credited(groups []infer.Group) Credited {
	c := infer.Split(groups)
	out := Credited{Gain: Gain{c.Mean, c.Simulation(s.q.Level), infer.Spread(groups, s.q.Level)}, Luck: math.Sqrt(max(c.MSW, 0))}
	out.Resolved = resolution(&Difference{Doubts: Doubts{Mean: out.Mean, Simulation: out.Simulation, AllDoubt: out.AllDoubt}})
	return out
}

// plain is how many bouts one rule's share would take that is as sure as far as the luck of bouts goes, half of them with the rule and half
// without, each on luck of its own: with σ² the variance of winning and σ'² that of the share in one paired bout, a mean over n pairs is as sure
// as one over σ²/(σ'²/n) bouts on each side.
func (s *sharing) plain(luck float64) int {
	if luck == 0 {
		return 0
	}
	pairs, variance := float64(s.draws*s.q.Bouts), s.luck/float64(s.sets)
	return int(math.Round(4 * variance / (luck * luck / pairs)))
}
