package sim

import (
	"testing"

	"github.com/stretchr/testify/require"

	"whatbout/sim/kernel"
	"whatbout/tactics"
	"whatbout/tape"
)

// part is the events of a bout that something holds for.
func part(b *Bout, holds is) (out []tape.Event) {
	for i := range b.Events {
		if holds(&b.Events[i]) {
			out = append(out, b.Events[i])
		}
	}
	return out
}

// swings is a rule that shows as soon as it holds.
var swings = more(tactics.Initiate, 8, "overhand", "step_in")

// Mechanic 14, exact: a rule that holds at a time changes nothing before it, and does change what comes then.
func TestPlanChangesByTime(t *testing.T) {
	round := func(first, last uint8) is {
		return func(e *tape.Event) bool { return e.Round >= first && e.Round <= last }
	}
	const lastThirty = 270e6
	for _, row := range []struct {
		rule         tactics.Rule
		before, then is
	}{
		{when(swings, tactics.FactRound, "3"), round(1, 2), round(3, 3)},
		{when(swings, tactics.FactTimeLeft, "last_30_s"),
			allOf(round(1, 1), func(e *tape.Event) bool { return e.Clock < lastThirty }),
			allOf(round(1, 1), func(e *tape.Event) bool { return e.Clock >= lastThirty })},
		{when(swings, tactics.FactAhead, "ahead", "behind"), round(1, 1), round(2, 3)}, // before the first bell both think it level
	} {
		usual, planned := change{}.bout(t), change{plan: plan(row.rule)}.bout(t)
		differ := 0
		for i := range 60 {
			key := kernel.NewKey(0x7768656e, uint64(i))
			usual.Run(key)
			planned.Run(key)
			require.Equal(t, part(usual, row.before), part(planned, row.before))
			if len(part(usual, row.then)) != len(part(planned, row.then)) {
				differ++
			}
		}
		require.Greater(t, differ, 30)
	}
}

// Mechanic 14, exact: a rule for those behind changes nothing as long as the fighter thinks they are not, whatever the cards say.
func TestPlanChangesByScore(t *testing.T) {
	usual, planned := change{}.bout(t), change{plan: plan(when(swings, tactics.FactAhead, "behind"))}.bout(t)
	first := change{rules: func(r *tape.RuleSet) { r.Rounds = 1 }}.bout(t)
	same, differ := 0, 0
	for i := range 120 {
		key := kernel.NewKey(0x73636f7265, uint64(i))
		usual.Run(key)
		planned.Run(key)
		first.Run(key)
		second := func(e *tape.Event) bool { return e.Round == 2 }
		equal := len(part(usual, second)) == len(part(planned, second))
		switch {
		case first.men[0].rounds > 0:
			require.Equal(t, part(usual, second), part(planned, second))
			same++
		case !equal:
			differ++
		}
	}
	require.Greater(t, same, 30)
	require.Greater(t, differ, 30)
}
