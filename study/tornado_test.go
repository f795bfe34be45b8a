package study

import (
	"context"
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/require"

	"whatbout/tactics"
)

func levers(t *testing.T, texts ...string) (out []*Lever) {
	t.Helper()
	for _, text := range texts {
		l, err := ReadLever(text)
		require.NoError(t, err)
		require.Contains(t, l.String(), text)
		out = append(out, l)
	}
	return out
}

func tornado(t *testing.T) *Tornado {
	red, blue := two()
	return &Tornado{Meeting: Meeting{Fighter: red, Opponent: blue, Rules: rules(t), Seed: 3}, Plan: stayClose,
		Levers: levers(t, "fighter:chin", "bites.hip=0..10", "fighter:rate.submission"), Lenient: true, Draws: 8, Bouts: 3, Level: .9}
}

// Exact: the same bytes for any number of workers; a renamed plan changes nothing; between equal plans nothing has an effect; a figure's ends
// are those of a sweep of it; and bars do not see each other.
func TestTornadoExactly(t *testing.T) {
	renamed := *stayClose
	renamed.Name = "renamed"
	var want string
	for i, plan := range []*tactics.Plan{stayClose, stayClose, &renamed} {
		q := tornado(t)
		q.Plan, q.Workers = plan, []int{1, 2, 8}[i]
		r, err := q.Run(context.Background())
		require.NoError(t, err)
		got, err := json.Marshal(r)
		require.NoError(t, err)
		if want == "" {
			want = string(got)
		}
		require.Equal(t, want, string(got))
		require.Equal(t, 8*len(r.Bars)*4*3, r.Total)
		require.Len(t, r.Bars, 3-len(r.LeftOut))
		for _, b := range r.Bars {
			s := &Sweep{Meeting: q.Meeting, Plans: []*tactics.Plan{nil, plan}, Dial: b.Lever.Dial, Whose: b.Lever.Whose, At: []float64{b.Low, b.High}, Draws: 8, Bouts: 3, Level: .9}
			swept, err := s.Run(context.Background())
			require.NoError(t, err)
			c := swept.Contrasts[0]
			require.InDelta(t, c.Points[0].Difference.Mean, b.AtLow.Mean, 1e-12)
			require.InDelta(t, c.Points[1].Difference.Mean, b.AtHigh.Mean, 1e-12)
			require.InDelta(t, b.AtHigh.Mean-b.AtLow.Mean, b.Effect.Mean, 1e-12)
			require.InDelta(t, swept.Curves[1][1].FromFirst["win"].Mean, b.Own.Mean, 1e-12)
		}
	}
	q := tornado(t)
	q.Against = &renamed
	r, err := q.Run(context.Background())
	require.NoError(t, err)
	for _, b := range r.Bars {
		require.Zero(t, b.Effect.Mean)
		require.Zero(t, b.Effect.Simulation.Width())
		require.False(t, b.Told)
	}
	require.Nil(t, r.Saved)
}

// A dial that acts on what counts is told among many that do not, and comes first: what a plan of more punches adds to the straights landed
// hangs on how many come off. Told at a level of 5.5 standard errors (Student, 59 degrees of freedom).
func TestTornadoFindsTheLever(t *testing.T) {
	q := tornado(t)
	q.Levers = levers(t, "fighter:bites.leg", "opponent:legs", "fighter:skill.attack.straight=2..95", "fighter:recovery")
	q.Draws, q.Level = 60, .999999
	var err error
	q.Value, err = ReadValue("clean_straight")
	require.NoError(t, err)
	r, err := q.Run(context.Background())
	require.NoError(t, err)
	require.Equal(t, "skill.attack.straight", r.Bars[0].Figure)
	require.True(t, r.Bars[0].Told)
	require.Greater(t, r.Bars[0].Own.Simulation.Low, 0.0)
	require.Greater(t, *r.Saved, 1.0)
}

func TestTornadoRefuses(t *testing.T) {
	for text, want := range map[string]string{"bites.hips": "bites.hip", "him:chin": "expected fighter or opponent", "chin=2..1": "rising ends", "chin=2": "rising ends",
		"chin=.5..99": "rising ends", "opponent:adherence": "fighter's plan", "chin=a..b": "rising ends"} {
		_, err := ReadLever(text)
		require.ErrorContains(t, err, want, text)
	}
	q := tornado(t)
	q.Levers = levers(t, "adherence")
	q.Plan, q.Lenient = nil, false
	_, err := q.Run(context.Background())
	require.ErrorContains(t, err, "as usual has none")
	q.Lenient = true
	_, err = q.Run(context.Background())
	require.ErrorContains(t, err, "none of these")
	q.Levers = levers(t, "chin", "fighter:chin=0.5..2")
	_, err = q.Run(context.Background())
	require.ErrorContains(t, err, "named twice")
	require.NotEmpty(t, AllLevers())
	require.Len(t, UsualLevers(), 20)
}
