package sim

import (
	"whatbout/fighter"
	"whatbout/tactics"
	"whatbout/tape"
)

// reweigh applies the rules of mask to a table's weights, in place. At initiate weights are rates, and only a rule that keeps the tempo
// gives what it takes to the others.
func (s *Side) reweigh(w []float64, at tactics.Point, mask uint32) {
	if mask == 0 {
		return
	}
	before, after := 0.0, 0.0
	var all [tape.NumMoves]float64
	multiples := all[:len(w)]
	s.Plan.Multipliers(at, mask, multiples)
	for i := range w {
		before += w[i]
		w[i] *= multiples[i]
		after += w[i]
	}
	if at == tactics.Initiate && after > 0 && s.Plan.KeepTempo(mask) {
		for i := range w {
			w[i] *= before / after
		}
	}
}

// Reweighted gives a choice table as usual and as the plan's rules that hold under the facts re-weight it, by alternative, where the plan
// is followed: at initiate rates per free second, elsewhere shares. What the facts do not tell is as elsewhere, and after a punch. row is a [fighter.Zone] at initiate, a [fighter.Zone.Exchange] index at
// answer and continue, a [fighter.Threat] at defend; at survive 0 is standing and 1 down. There is no table at believe.
func (s *Side) Reweighted(at tactics.Point, row int, facts tactics.Facts) (before, after []float64) {
	state := stateUnder(at, row, &facts)
	switch at {
	case tactics.Initiate:
		row = initiateRow(fighter.Zone(row), spotUnder(&facts))
	case tactics.Answer:
		row = exchangeRow(row, afterUnder(tactics.FactTheirLast, &facts))
	case tactics.Continue:
		row = exchangeRow(row, afterUnder(tactics.FactLastAct, &facts))
	case tactics.Survive:
		row = 0
	}
	n := len(tactics.Alternatives(at))
	before = s.Weights(make([]float64, n), at, row, state)
	after = s.Weights(make([]float64, n), at, row, state)
	if s.Plan != nil {
		s.reweigh(after, at, s.Plan.Active(at, &facts))
	}
	if at != tactics.Initiate {
		normalise(before, at)
		normalise(after, at)
	}
	return before, after
}

// stateUnder is what besides the plan changes a table, as far as the facts tell.
func stateUnder(at tactics.Point, row int, facts *tactics.Facts) uint8 {
	switch {
	case at == tactics.Initiate && facts.Holds(tactics.FactOtherCondition, 2):
		return surging
	case at == tactics.Survive && row == 1:
		return isDown
	case at != tactics.Initiate && at != tactics.Survive && facts.Holds(tactics.FactOwnFence, 0):
		return cornered
	}
	return asIs
}

// normalise turns weights into shares; without any weight it is the one thing that is left.
func normalise(w []float64, at tactics.Point) {
	total := 0.0
	for _, x := range w {
		total += x
	}
	if total == 0 {
		w[nothingAt(at)], total = 1, 1
	}
	for i := range w {
		w[i] /= total
	}
}
