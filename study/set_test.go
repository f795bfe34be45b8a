package study

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"whatbout/fighter"
	"whatbout/sim"
)

// Exact: standing still to look changes nothing in the end, and a look after n draws is what a comparison of n draws answers.
func TestLooksChangeNothing(t *testing.T) {
	want := run(t, comparison(t, asUsual, stayClose))
	q := comparison(t, asUsual, stayClose)
	var seen []*Result
	q.Looks, q.Seen = []int{3, 6, 12, 20, 50}, func(r *Result) { seen = append(seen, r) } // 3 says nothing, 20 is the end, 50 is beyond it
	require.Equal(t, text(t, want), text(t, run(t, q)))
	require.Len(t, seen, 2)
	short := comparison(t, asUsual, stayClose)
	short.Draws = 12
	require.Equal(t, text(t, run(t, short)), text(t, seen[1]))
	require.Equal(t, 6, seen[0].Draws)
}

// Exact: a plan in a world that is moved differs from the same plan in that world by nothing, and what is set where it stands at the centre of a
// figure that is not drawn (tape doubt alone, an assumption) moves no bout.
func TestSettingsOfAComparison(t *testing.T) {
	dial, err := DialNamed("bites.hip")
	require.NoError(t, err)
	set := []Setting{{dial, 1, 9}}
	twin := *asUsual
	twin.Name = "twin"
	q := comparison(t, asUsual, &twin)
	q.Set = [][]Setting{set, set}
	for _, d := range run(t, q).Differences {
		require.Equal(t, Same, d.SignResolved, d.Outcome)
	}
	moved := comparison(t, asUsual, &twin)
	moved.Set = [][]Setting{nil, {{dial, 0, 10}}}
	// Who believes every hip feint bites more: of sign alone, since how often it is feinted at is the model's.
	require.Positive(t, run(t, moved).Find("twin", "bites_per_minute").Simulation.Low)
}

// Exact: every dial reads what it was set to from the moved profile's centre, within the rounding of its own arithmetic; nothing else moved.
func TestMovedProfilesStandWhereTheyWereMovedTo(t *testing.T) {
	p := fighter.Population("mole", fighter.AverageBody())
	before := string(fighter.WriteProfile(p))
	for _, d := range Dials() {
		if d.OfPlan() || d.check(p) != nil {
			continue
		}
		x := d.Low + .3*(d.High-d.Low)
		if strings.HasPrefix(d.Name, "rate.") || strings.HasPrefix(d.Name, "defends.") {
			x = .05 // little is hard to write down
		}
		m := Moved(p, []Setting{{&d, 0, x}})
		require.InDelta(t, x, d.Calibrated(m), 1e-9*math.Max(1, math.Abs(x)), d.Name)
		require.Equal(t, fighter.FromAssumption, m.Sources[d.main], d.Name)
		back, err := fighter.ReadProfile("moved.yaml", fighter.WriteProfile(m))
		require.NoError(t, err, d.Name)
		require.InDelta(t, x, d.Calibrated(back), 1e-5*math.Max(1, math.Abs(x)), d.Name)
	}
	require.Equal(t, before, string(fighter.WriteProfile(p)))
	require.Equal(t, before, string(fighter.WriteProfile(Moved(p, nil))))
}

// Exact: one bout that is looked at with dials moved is the very bout of the cell with that setting.
func TestOneBoutIsMovedAsItsCell(t *testing.T) {
	dial, err := DialNamed("rate.jab")
	require.NoError(t, err)
	following, err := DialNamed("adherence")
	require.NoError(t, err)
	q := comparison(t, asUsual, stayClose)
	set := []Setting{{following, 0, 30}, {dial, 1, 20}}
	b, err := NewBank(*q.meeting(), q.Plans...)
	require.NoError(t, err)
	cell := Cell{Plan: stayClose, Draw: 3, Bouts: 3, Set: set}
	require.NoError(t, b.Play(t.Context(), []Cell{cell}))
	one := One{Fighter: q.Fighter, Opponent: q.Opponent, Plan: stayClose, Rules: q.Rules, Seed: q.Seed, Draw: 3, Bout: 2, Set: set}
	o, err := one.Play(sim.NewBout())
	require.NoError(t, err)
	for m := range Measures {
		require.Equal(t, b.Values(cell).At(2, m), Measures[m].of(&o, 0), Measures[m].Name)
	}
}
