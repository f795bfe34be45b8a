package study

import (
	"errors"
	"fmt"

	"whatbout/fighter"
	"whatbout/sim"
	"whatbout/sim/kernel"
	"whatbout/tactics"
	"whatbout/tape"
)

// One is one bout of a comparison, to be looked at.
type One struct {
	Fighter, Opponent  *fighter.Profile
	Joint              *fighter.Joint // of the skills of both; nil: drawn apart
	Plan, OpponentPlan *tactics.Plan  // nil: as usual
	Rules              *tape.RuleSet
	Seed               uint64
	Draw               int       // of both doubts, as in a comparison; -1: the centre of everything
	Bout               int       // from 0
	Set                []Setting // moved in this order, as in a cell
}

// Play sets b up and plays it; its events and sides are then those of this bout. The bout of (seed, draw, bout) is the very one that
// a comparison with that seed played. Those at the centre have the luck of draw 0.
func (q *One) Play(b *sim.Bout) (sim.Outcome, error) {
	if q.Fighter.ID == q.Opponent.ID {
		return sim.Outcome{}, fmt.Errorf("both corners are %q; name two different fighters", q.Fighter.ID)
	}
	truth := truth{red: q.Fighter.Centre(), blue: q.Opponent.Centre(), world: sim.AverageWorld()}
	if q.Draw >= 0 {
		truth = draw(&fighter.Pair{Red: q.Fighter, Blue: q.Opponent, Joint: q.Joint}, q.Seed, uint64(q.Draw), true)
	}
	plans, err := compile(q.Plan, q.OpponentPlan)
	if err != nil {
		return sim.Outcome{}, err
	}
	b.Setup(q.Rules, truth.world)
	red := corner{q.Fighter, truth.red, plans[q.Plan], truth.shares(plans[q.Plan])}
	blue := corner{q.Opponent, truth.blue, plans[q.OpponentPlan], truth.shares(plans[q.OpponentPlan])}
	settle(q.Set, &red, &blue)
	if err := atSettings(q.Set, errors.Join(red.into(&b.Sides[0], q.Rules), blue.into(&b.Sides[1], q.Rules))); err != nil {
		return sim.Outcome{}, err
	}
	o := b.Run(kernel.NewKey(q.Seed, uint64(max(q.Draw, 0)), uint64(q.Bout)))
	return o, errors.Join(b.Sides[0].Fault(), b.Sides[1].Fault())
}
