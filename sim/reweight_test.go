package sim

import (
	"testing"

	"github.com/stretchr/testify/require"

	"whatbout/fighter"
	"whatbout/sim/kernel"
	"whatbout/tactics"
	"whatbout/tape"
)

// What is told of a table is what bouts choose from: the same thresholds, for every row under every state of the two facts.
func TestReweightedIsTheTableOfABout(t *testing.T) {
	plan, err := tactics.Compile(&tactics.Plan{Name: "p", Rules: []tactics.Rule{
		{At: tactics.Initiate, Multiples: []tactics.Multiple{{What: "jab", By: 3}, {What: "step_back", By: 0}}, KeepTempo: true},
		{At: tactics.Answer, Only: []string{"jab", "none", "step_back"}, When: map[tactics.Fact][]int{tactics.FactOwnFence: {0}}},
		{At: tactics.Defend, Multiples: []tactics.Multiple{{What: "evasions", By: 2}}},
		{At: tactics.Survive, Only: []string{"tie_up"}},
	}})
	require.NoError(t, err)
	rules, err := tape.RuleSetNamed("mma-3x5")
	require.NoError(t, err)
	var s Side
	require.NoError(t, s.Load(fighter.AverageBody(), fighter.Population("mole", fighter.AverageBody()).Centre(), plan, nil, rules))
	for _, c := range []struct {
		at    tactics.Point
		rows  int
		state uint8
		fact  tactics.Fact
		value int
	}{
		{tactics.Initiate, int(fighter.NumZones), asIs, tactics.FactCentre, 0},
		{tactics.Initiate, int(fighter.NumZones), surging, tactics.FactOtherCondition, 2},
		{tactics.Answer, fighter.ExchangeZones, cornered, tactics.FactOwnFence, 0},
		{tactics.Answer, fighter.ExchangeZones, asIs, tactics.FactOwnFence, 1},
		{tactics.Continue, fighter.ExchangeZones, asIs, tactics.FactOwnFence, 1},
		{tactics.Defend, int(fighter.NumThreats), cornered, tactics.FactOwnFence, 0},
		{tactics.Survive, 1, asIs, tactics.FactCentre, 0},
	} {
		for row := range c.rows {
			var facts tactics.Facts
			facts.Set(c.fact, c.value)
			before, after := s.Reweighted(c.at, row, facts)
			for mask, w := range map[uint32][]float64{0: before, plan.Active(c.at, &facts): after} {
				var want kernel.Table
				if c.at == tactics.Initiate {
					require.NoError(t, want.SetRates(w, Bound))
				} else {
					require.NoError(t, want.Set(w))
				}
				got := s.table(c.at, row, c.state, mask)
				for i := range uint32(4096) {
					require.Equal(t, want.Pick(i<<20|1<<19), got.Pick(i<<20|1<<19), "%s row %d mask %b", c.at, row, mask)
				}
			}
		}
	}
	// Down, nothing but what is on the floor is left; tying up alone leaves the shell.
	_, after := s.Reweighted(tactics.Survive, 1, tactics.Facts{})
	require.Equal(t, 1.0, after[fighter.SurviveShell])
}
