package study

import (
	"testing"

	"github.com/stretchr/testify/require"

	"whatbout/fighter"
	"whatbout/sim"
	"whatbout/tactics"
	"whatbout/tape"
)

func watched(t *testing.T, rules string, draw, bout int, plan *tactics.Plan) *One {
	t.Helper()
	r, err := tape.RuleSetNamed(rules)
	require.NoError(t, err)
	return &One{Fighter: fighter.Population("mole", fighter.AverageBody()), Opponent: fighter.Population("newt", fighter.AverageBody()), Plan: plan, Rules: r,
		Seed: 5, Draw: draw, Bout: bout}
}

// Exact: watching changes nothing, neither a row nor the outcome, whatever the rules and the plan.
func TestAReplayIsTheBoutItself(t *testing.T) {
	for i, rules := range []string{"mma-3x5", "mma-5x5", "kickboxing-3x3", "boxing-3x3"} {
		for draw := -1; draw < 2; draw++ {
			q := watched(t, rules, draw, i, stayClose)
			b := sim.NewBout()
			want, err := q.Play(b)
			require.NoError(t, err)
			r, err := q.Replay()
			require.NoError(t, err)
			require.Equal(t, want, r.Outcome)
			require.Equal(t, b.Events, r.Events)
		}
	}
}

// Exact: where the two stand agrees with what the tape says of it. Between two rows of range on the feet the gap lies within the own range
// that the row names, at every place that was noted; places are in order, inside the area, and begin two metres apart at every bell.
func TestPlacesAgreeWithTheRowsOfRange(t *testing.T) {
	looked := 0
	for bout := range 4 {
		q := watched(t, "mma-3x5", bout, bout, nil)
		r, err := q.Replay()
		require.NoError(t, err)
		for i, s := range r.Places {
			if i == 0 || s.Round != r.Places[i-1].Round {
				require.Equal(t, [2]sim.Place{{X: -1000}, {X: 1000}}, s.At)
				require.Zero(t, s.Clock)
			} else {
				require.Greater(t, s.Clock, r.Places[i-1].Clock)
			}
			for c, zone := range zonesAt(r, s.Round, s.Clock) {
				if zone <= fighter.Pocket {
					looked++
					require.Equal(t, zone, zoneOf(r.Reach[c], s.At), "round %d, %s", s.Round, tape.FormatClock(s.Clock))
				}
			}
			for _, p := range s.At {
				require.LessOrEqual(t, float64(p.X)*float64(p.X)+float64(p.Y)*float64(p.Y), 1.1*1e6/4*q.Rules.Area.Diameter*q.Rules.Area.Diameter) // a corner of eight sides lies 1.08 times as far out
			}
		}
	}
	require.Greater(t, looked, 2000)
}

// zonesAt gives both ranges by the rows, as they stand when all rows of that clock are written.
func zonesAt(r *Replay, round int, clock int64) (out [2]fighter.Zone) {
	for i := range r.Events {
		e := &r.Events[i]
		if int(e.Round) != round || e.Clock > clock {
			continue
		}
		if e.Act == tape.StateRange && e.Corner < 2 {
			out[e.Corner] = fighter.ZoneOf(e.Value)
		}
	}
	return out
}

func zoneOf(r Rings, at [2]sim.Place) fighter.Zone {
	dx, dy := float64(at[0].X-at[1].X), float64(at[0].Y-at[1].Y)
	within := func(mm int32) bool { return dx*dx+dy*dy < (float64(mm)+1)*(float64(mm)+1) } // the engine's gap is cut to whole mm
	switch {
	case within(r.Hook):
		return fighter.Pocket
	case within(r.Straight):
		return fighter.Long
	case within(r.Kick):
		return fighter.Kicking
	}
	return fighter.Out
}

// Every strike that came has its landing, which says clean exactly where the row does; every act but what follows a caught kick has the
// choice that began it, and the choice comes before it.
func TestMomentsBelongToTheirRows(t *testing.T) {
	acts, begun := 0, 0
	for bout := range 4 {
		r, err := watched(t, "mma-3x5", bout, bout, nil).Replay()
		require.NoError(t, err)
		require.Len(t, r.Moments, len(r.Events))
		for i, m := range r.Moments {
			e := &r.Events[i]
			require.Same(t, e, m.Event)
			if e.Corner == tape.NoCorner || e.Act.IsState() && e.Act != tape.StateStance {
				require.Equal(t, sim.Moment{Event: e}, m)
				continue
			}
			acts++
			if m.Begun != nil {
				begun++
				require.Less(t, m.Begun.Clock, e.Clock)
				require.Equal(t, int(e.Corner), m.Begun.Corner)
			}
			if e.Act.IsStrike() {
				require.NotNil(t, m.Landing)
				require.Equal(t, e.Result.IsClean(), m.Landing.Clean())
			}
		}
	}
	require.Greater(t, float64(begun), .97*float64(acts))
}

// Whoever is hurt is so from the row that did it.
func TestHurtBeginsWithItsRow(t *testing.T) {
	found := 0
	for bout := range 12 {
		r, err := watched(t, "mma-3x5", bout, bout, nil).Replay()
		require.NoError(t, err)
		for _, h := range r.Hurt {
			found++
			require.Greater(t, h.Until, h.From)
			at := false
			for i := range r.Events {
				e := &r.Events[i]
				at = at || int(e.Round) == h.Round && e.Clock == h.From && int(e.Corner) == 1-h.Corner && e.Result >= tape.Hurt && e.Result <= tape.Stoppage
			}
			require.True(t, at, "%+v", h)
		}
	}
	require.Greater(t, found, 5)
}
