package study

import (
	"testing"

	"github.com/stretchr/testify/require"

	"whatbout/fighter"
	"whatbout/sim"
	"whatbout/tactics"
	"whatbout/tape"
)

func oneBout(t *testing.T, bout int, plan *tactics.Plan) *One {
	t.Helper()
	return &One{Fighter: fighter.Population("mole", fighter.AverageBody()), Opponent: fighter.Population("newt", fighter.AverageBody()),
		Plan: plan, Rules: short(t), Seed: 5, Draw: 2, Bout: bout}
}

func parted(t *testing.T, q *One, other *tactics.Plan) *Parting {
	t.Helper()
	p, err := q.Part(other)
	require.NoError(t, err)
	return p
}

// Exact: up to the moment two bouts are the same, row by row; at it the two chose differently, by what the plan re-weights; and the bouts are
// those that are played without anybody watching.
func TestPartingIsTheFirstDifference(t *testing.T) {
	points, nothing, found := map[tactics.Point]int{}, 0, 0
	for i := range 60 {
		q := oneBout(t, i, asUsual)
		p := parted(t, q, stayClose)
		for side, plan := range []*tactics.Plan{asUsual, stayClose} {
			b := sim.NewBout()
			again := oneBout(t, i, plan)
			o, err := again.Play(b)
			require.NoError(t, err)
			require.Equal(t, o, p.Bouts[side].Outcome)
			require.Equal(t, b.Events, p.Bouts[side].Events)
		}
		if !p.Parts {
			require.True(t, p.Same())
			continue
		}
		m := p.Moment
		points[m.At]++
		require.Equal(t, 0, m.Corner, "only the fighter has a plan")
		for _, bout := range p.Bouts {
			for r, e := range bout.Events[:p.Row] {
				require.Equal(t, p.Bouts[0].Events[r], e)
			}
			if p.Row < len(bout.Events) && earlier(&bout.Events[p.Row], &m) { // what is answered stands there already, its answer not yet
				require.Equal(t, bare(p.Bouts[0].Events[p.Row]), bare(bout.Events[p.Row]))
				require.Contains(t, []tactics.Point{tactics.Believe, tactics.Defend}, m.At)
			}
			if bout.Act >= 0 {
				e := bout.Events[bout.Act]
				require.GreaterOrEqual(t, e.Clock, m.Clock)
				if m.At == tactics.Initiate {
					found++
					require.Equal(t, tape.Move(bout.Choice.Chosen).Act(), e.Act)
				}
			}
		}
		usual, close := &p.Bouts[0], &p.Bouts[1]
		require.NotNil(t, close.Choice, "the busier side always has a moment there")
		require.NotEqual(t, usual.Did(), close.Did())
		require.NotEmpty(t, close.Choice.Rules, "a rule of the plan holds where it makes a difference")
		require.True(t, close.Choice.Followed())
		if usual.Choice != nil {
			require.Equal(t, close.Choice.Known, usual.Choice.Known, "both knew the same")
			require.Equal(t, close.Choice.Drawn, usual.Choice.Drawn, "and had the same luck")
			require.Empty(t, usual.Choice.Rules)
		}
		if usual.Did() == "" || close.Did() == "" {
			nothing++
		}
	}
	require.Greater(t, len(points), 2, "plans part at several kinds of moments: %v", points)
	require.Greater(t, found, 15, "acts that were begun are on the tape")
	require.Greater(t, nothing, 5, "also where only one of the two begins something")
}

// bare is a row without what is filled in when it has been answered.
func bare(e tape.Event) tape.Event {
	e.Defence, e.Result = tape.DefenceUncoded, tape.ResultUncoded
	return e
}

func earlier(e *tape.Event, m *sim.Decision) bool {
	return e.Round < m.Round || e.Round == m.Round && e.Clock < m.Clock
}

// Exact: parting is the same seen from the other side; equal plans, renamed ones and plans without rules never part.
func TestPartingLaws(t *testing.T) {
	renamed, empty := *stayClose, &tactics.Plan{Name: "empty"}
	renamed.Name = "by another name"
	for i := range 10 {
		there, back := parted(t, oneBout(t, i, asUsual), stayClose), parted(t, oneBout(t, i, stayClose), asUsual)
		require.Equal(t, there.Bouts[0], back.Bouts[1])
		require.Equal(t, there.Bouts[1], back.Bouts[0])
		require.Equal(t, there.Row, back.Row)
		there.Moment.Chosen, back.Moment.Chosen = 0, 0
		require.Equal(t, there.Moment, back.Moment)
		for _, same := range []*Parting{parted(t, oneBout(t, i, stayClose), &renamed), parted(t, oneBout(t, i, nil), empty)} {
			require.False(t, same.Parts)
			require.True(t, same.Same())
			require.Equal(t, len(same.Bouts[0].Events), same.Row)
			require.Nil(t, same.Bouts[0].Choice)
		}
	}
}

// The opponent's plan is the same on both sides, and its choices are not where the bouts part.
func TestPartingUnderAReply(t *testing.T) {
	q := oneBout(t, 3, asUsual)
	q.OpponentPlan = handsUp("jabs", 3)
	p := parted(t, q, stayClose)
	require.True(t, p.Parts)
	require.Zero(t, p.Moment.Corner)
}
