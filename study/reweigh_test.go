package study

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"whatbout/fighter"
	"whatbout/tactics"
	"whatbout/tape"
)

func find(t *testing.T, all []Reweighted, rule, where string) Reweighted {
	t.Helper()
	for _, w := range all {
		if w.Rule == rule && w.Where == where {
			return w
		}
	}
	require.Fail(t, "no table", "%s %s", rule, where)
	return Reweighted{}
}

func change(t *testing.T, w Reweighted, what string) ShareChange {
	t.Helper()
	for _, c := range w.Changes {
		if c.What == what {
			return c
		}
	}
	require.Fail(t, "no change", what)
	return ShareChange{}
}

// Exact: at initiate a multiple multiplies the rate and gives nothing to anybody; 60 of a rate a second are its rate a minute.
func TestReweightedRates(t *testing.T) {
	q := comparison(t, asUsual, stayClose)
	all := run(t, q).Plans[1].Reweighted
	centre := q.Fighter.Centre()
	w := find(t, all, "punch", "at long range")
	require.Equal(t, PerMinute, w.Unit)
	jab := change(t, w, "jab")
	rate := centre[fighter.Initiate(fighter.Long, tape.MoveJab)]
	require.InDelta(t, 60*rate, jab.Before, 1e-9)
	require.InDelta(t, 120*rate, jab.After, 1e-9)
	// The other rule holds there too and shows.
	require.Equal(t, 0.0, change(t, w, "step_back").After)
	for _, c := range w.Changes {
		require.Contains(t, []string{"jab", "jab_body", "cross", "cross_body", "lead_hook", "lead_hook_body", "rear_hook", "rear_hook_body", "overhand",
			"uppercut", "step_back"}, c.What)
	}
	// At kicking range the punches' rule does not hold.
	for _, w := range all {
		require.False(t, w.Rule == "punch" && w.Where == "at kicking range")
	}
}

// Exact: shares renormalise: p·m/(1 + Σ p(m-1)).
func TestReweightedShares(t *testing.T) {
	q := comparison(t, asUsual, stayClose)
	w := find(t, run(t, q).Plans[1].Reweighted, "answer", "in the pocket")
	require.Equal(t, OfShare, w.Unit)
	punches := 0.0
	for _, c := range w.Changes {
		if c.After > c.Before {
			punches += c.Before
		}
	}
	require.Greater(t, punches, 0.0)
	sum := 0.0
	for _, c := range w.Changes {
		by := 1.0
		if c.After > c.Before {
			by = 3
		}
		require.InDelta(t, c.Before*by/(1+2*punches), c.After, 1e-9, c.What)
		sum += c.After - c.Before
	}
	require.InDelta(t, 0, sum, 1e-9)
}

// Exact: a multiple of the odds, p/(1-p).
func TestReweightedBelief(t *testing.T) {
	q := comparison(t, asUsual, stayClose)
	w := find(t, run(t, q).Plans[1].Reweighted, "doubt the hip", "of the hip")
	require.Len(t, w.Changes, 1)
	before, after := w.Changes[0].Before, w.Changes[0].After
	require.InDelta(t, q.Fighter.Centre()[fighter.Bite(fighter.Hip)], math.Log(before/(1-before)), 1e-9)
	require.InDelta(t, .5*before/(1-before), after/(1-after), 1e-9)
}

// Of one's own condition the state follows: a cornered fighter has no step back to begin with, and one who is down cannot tie up.
func TestReweightedStates(t *testing.T) {
	plan := &tactics.Plan{Name: "states", Adherence: tactics.Adherence{Share: 1}, Rules: []tactics.Rule{
		{Name: "fence", At: tactics.Answer, Multiples: []tactics.Multiple{{What: "circles", By: 2}}, When: map[tactics.Fact][]int{tactics.FactOwnFence: {0}}},
		{Name: "hold on", At: tactics.Survive, Multiples: []tactics.Multiple{{What: "tie_up", By: 4}}},
		{Name: "kicks", At: tactics.Defend, Multiples: []tactics.Multiple{{What: "check", By: 2}},
			When: map[tactics.Fact][]int{tactics.FactThreat: {int(fighter.LowKick)}}},
	}}
	all := run(t, comparison(t, asUsual, plan)).Plans[1].Reweighted
	for _, c := range find(t, all, "fence", "at long range").Changes {
		require.NotEqual(t, "step_back", c.What)
	}
	require.Greater(t, change(t, find(t, all, "hold on", "hurt, standing"), "tie_up").After, change(t, find(t, all, "hold on", "hurt, standing"), "tie_up").Before)
	for _, w := range all {
		require.False(t, w.Rule == "hold on" && w.Where == "down")
		require.False(t, w.Rule == "kicks" && w.Where != "against a low kick")
	}
	require.Greater(t, change(t, find(t, all, "kicks", "against a low kick"), "check").After, 0.0)
}

// An act is warned about where it is multiplied, possible, and of the population.
func TestPriorOnly(t *testing.T) {
	plan := &tactics.Plan{Name: "jabs", Adherence: tactics.Adherence{Share: 1}, Rules: []tactics.Rule{
		{Name: "jab", At: tactics.Initiate, Multiples: []tactics.Multiple{{What: "jab", By: 2}, {What: "cross", By: 0}},
			When: map[tactics.Fact][]int{tactics.FactRange: {2, 3}}}}}
	q := comparison(t, asUsual, plan)
	r := run(t, q)
	require.Len(t, r.PriorOnly, 1)
	require.Equal(t, "jab", r.PriorOnly[0].Act)
	require.ElementsMatch(t, []string{"at long range", "in the pocket"}, r.PriorOnly[0].Where)
	q.Fighter.Sources[fighter.Initiate(fighter.Long, tape.MoveJab)] = fighter.FromTape
	require.Equal(t, []string{"in the pocket"}, run(t, q).PriorOnly[0].Where)
	q.Fighter.Sources[fighter.Initiate(fighter.Pocket, tape.MoveJab)] = fighter.FromTape
	require.Empty(t, run(t, q).PriorOnly)
}
